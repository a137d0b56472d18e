package worth

import (
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/series"
	"underkick/internal/swim"
)

// spined returns the kick with a spine wave of 5 degrees.
func spined(k swim.Kick, peak float64) swim.Kick {
	s, c := math.Sincos(2 * math.Pi * peak)
	k.Joints[body.SpineJoint] = series.Fourier{Cos: []float64{5 * deg * c}, Sin: []float64{5 * deg * s}}
	return k
}

// Where the rib is marked in all runs the trunk bends there, the spine's wave comes back
// and the fault is named; where it is missing in one of them all are held stiff.
func TestMarkedRibBendsTheTrunk(t *testing.T) {
	m := swim.NewModel(adult, swim.ModelOptions{Rib: 0.55})
	good, faulty := goodAndFaulty(t, m, spined(swim.Reference(), 0.7), faults[1])
	with, without := camera{point: 0.003, rib: true}, camera{point: 0.003}
	own, ref := filmRun(faulty, with, seeded(1)), filmRun(good, with, seeded(2))
	r := estimate(t, Input{Run: own, Against: []Run{ref}, Draws: 8})
	if r.Refused || !r.Swim.Bends() {
		t.Fatalf("the rib is not used: %s", r.Reason)
	}
	if r.Limiter != "facing" {
		t.Errorf("%s named, want facing: %s", r.Limiter, r.Reason)
	}
	near(t, "unexplained, six segments", r.Unexplained.Value, 0, 0.02)
	got, want := r.Swim.Kick.Joints[body.SpineJoint], faulty.Kick.Joints[body.SpineJoint]
	for _, p := range []float64{0, 0.25, 0.5, 0.75} {
		top, _, _ := faulty.Toe()
		near(t, "spine", got.At(p)/deg, want.At(p+top)/deg, 0.7)
	}
	near(t, "personal factor", r.Swim.DragFactor, 1, 0.05)

	blind := filmRun(good, without, seeded(2))
	if r := estimate(t, Input{Run: own, Against: []Run{blind}, Draws: none}); r.Refused || r.Swim.Bends() {
		t.Errorf("one run without a rib: six segments, or refused: %s", r.Reason)
	}
	far := filmRun(faulty, with, seeded(1))
	for i := range far.Result.Signals.Points[body.Rib].X {
		if i%7 == 0 {
			far.Result.Signals.Points[body.Rib].X[i] = math.NaN()
		}
	}
	if r := estimate(t, Input{Run: far, Against: []Run{ref}, Draws: none}); r.Refused || r.Swim.Bends() {
		t.Errorf("a rib with gaps: six segments, or refused: %s", r.Reason)
	}
}
