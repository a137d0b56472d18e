package demo

import (
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/swim"
)

// A swimmer without irregularity swims the model's steady swim exactly.
func TestExactMeasuresOfTheSteadySwim(t *testing.T) {
	s := body.Subject{Height: 1.8, Mass: 75, Sex: body.Male}
	k := swim.Reference()
	m, err := newMotion(s, k, 1, irregularity{}, 1)
	if err != nil {
		t.Fatal(err)
	}
	m.climb = 2 * deg // a rising path must not touch any measure
	kicks := m.kicks(0, 2.5)
	if len(kicks) != 5 {
		t.Fatalf("%d whole kicks in 2.5 s at 2.2 Hz, want 5", len(kicks))
	}
	orbit := m.orbits[1]
	hi, lo := math.Inf(-1), math.Inf(1)
	knee := newRange()
	for i := range 20000 {
		at := float64(i) / 20000
		y := orbit.Landmarks(at/k.Tempo, 0)[body.Toe].Y
		hi, lo = max(hi, y), min(lo, y)
		knee.add(k.Angles(at)[body.KneeJoint] / deg)
	}
	for id, want := range map[string]float64{
		"speed": orbit.Speed, "kick_frequency": k.Tempo, "toe_amplitude": hi - lo, "strouhal": k.Tempo * (hi - lo) / orbit.Speed,
		"knee_flexion_max": knee.hi, "knee_range": knee.hi - knee.lo, "kick_length": orbit.Speed / k.Tempo,
	} {
		for _, got := range m.measures(kicks) {
			if got.ID == id && math.Abs(got.Value/want-1) > 2e-4 {
				t.Errorf("%s = %.5f, the steady swim has %.5f", id, got.Value, want)
			}
		}
	}
	// hydrodynamics: this kick swims at 1.4714 m/s, toe travel 0.5138 m with a rigid foot
	// (the toe's travel hardly depends on the forefoot)
	if math.Abs(orbit.Speed-1.4714) > 2e-3 || math.Abs(hi-lo-0.5138) > 0.01 {
		t.Errorf("speed %.4f m/s and toe travel %.4f m, want 1.4714 and 0.514", orbit.Speed, hi-lo)
	}
}

// The peak speed of the toe is at least its travel over its time.
func TestExactKickInvariants(t *testing.T) {
	for i := range takes {
		truth, err := takes[i].truth()
		if err != nil {
			t.Fatal(err)
		}
		for n, k := range truth.Kicks {
			if !(k.Start < k.Bottom && k.Bottom < k.End) {
				t.Errorf("%s kick %d: %.3f, %.3f, %.3f s out of order", takes[i].name, n, k.Start, k.Bottom, k.End)
			}
			if k.Values["toe_peak_speed_down"] < k.Values["toe_amplitude"]/k.Values["downkick_duration"] {
				t.Errorf("%s kick %d: the toe is slower than its way over its time", takes[i].name, n)
			}
		}
	}
}

// Irregular kicks differ by about what was asked, and still go on at the same speed.
func TestIrregularity(t *testing.T) {
	s := body.Subject{Height: 1.8, Mass: 75, Sex: body.Male}
	m, err := newMotion(s, swim.Reference(), 1, irregularity{period: 0.02, amplitude: 0.03}, 9)
	if err != nil {
		t.Fatal(err)
	}
	all := m.measures(m.kicks(0, 40))
	for id, band := range map[string][2]float64{"kick_frequency": {0.008, 0.03}, "toe_amplitude": {0.012, 0.045}} {
		for _, got := range all {
			if rel := got.SD / got.Value; got.ID == id && !(rel > band[0] && rel < band[1]) {
				t.Errorf("%s varies by %.3f from kick to kick, want %.3f to %.3f", id, rel, band[0], band[1])
			}
			if got.ID == "speed" && math.Abs(got.Value/m.orbits[1].Speed-1) > 0.003 {
				t.Errorf("speed %.4f over 40 s, the model's is %.4f", got.Value, m.orbits[1].Speed)
			}
		}
	}
}

func TestPeak(t *testing.T) {
	if got := peak(func(x float64) float64 { return math.Sin(x) }, 1, 2); math.Abs(got-math.Pi/2) > 1e-7 {
		t.Errorf("peak of sine at %.9f", got)
	}
}
