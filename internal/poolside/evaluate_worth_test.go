package poolside

import (
	"math"
	"testing"

	"underkick/internal/limit/worth"
)

// Dense careful marks leave the worth of facing near that of the exact motion, and a more
// pointed foot is worth something: ankles taped to bend 7 degrees less cost swimmers 13 %
// of their speed (Kuhn and Legerlotz 2022). The exact motion held against itself is no
// error.
func TestWorthOfFacingIsHeldAgainstTheExactMotion(t *testing.T) {
	skipShort(t)
	k := knownNamed(t, seenClip)
	e := evaluator{req: EvaluateRequest{NoisePx: coachNoisePx, Repeats: 1, Seed: 1, Worth: true}, clips: []*knownClip{k}, progress: func(string) {}}
	if err := e.prepare(t.Context()); err != nil {
		t.Fatal(err)
	}
	m, err := e.marking(t.Context(), e.beside())
	if err != nil {
		t.Fatal(err)
	}
	w := m.Total.Worth
	if w == nil || w.N != 1 || w.Refused != 0 {
		t.Fatalf("the worth is %+v, want that of one run", w)
	}
	if !(w.True > 0) || !(w.RMS < w.True/2) {
		t.Errorf("10 degrees more are worth %.3f m/s, from the marks off by %.3f", w.True, w.RMS)
	}
	x := e.exact[0]
	s, err := (&Measured{motion: x.pool}).subject(k.input(nil).Subject)
	if err != nil {
		t.Fatal(err)
	}
	again, err := facingWorth(worth.Run{Result: x.result, ScaleRel: -1, Offset: -1}, s)
	if err != nil || again != x.worth {
		t.Errorf("the exact motion once more is worth %v, %v; it was %v", again, err, x.worth)
	}
}

func TestWorthOfFacingIsSummedUp(t *testing.T) {
	if gatherWorth(nil) != nil {
		t.Error("no pairs are something")
	}
	w := gatherWorth([]worthPair{{0.3, 0.2}, {0.1, 0.4}, {math.NaN(), 0.2}})
	near := func(a, b float64) bool { return math.Abs(a-b) < 1e-12 }
	if w.N != 2 || w.Refused != 1 || !near(w.True, 0.3) || !near(w.Bias, -0.1) || !near(w.RMS, math.Sqrt(0.05)) {
		t.Errorf("%+v", w)
	}
}
