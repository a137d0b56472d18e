package kick

import (
	"math"
	"testing"

	"underkick/internal/spread"
)

// The definitions' own limits: shares and facing lie from 0 to 1, T Int v^2 dt is never
// below (Int v dt)^2 (Cauchy and Schwarz), a travel is not negative; speed and angles are
// signed.
func TestBoundsOf(t *testing.T) {
	inf := math.Inf(1)
	for id, want := range map[string]spread.Bounds{
		"facing": {Least: 0, Most: 1}, "facing_foot_upkick": {Least: 0, Most: 1}, "push_part": {Least: 0, Most: 1},
		"build_late": {Least: 0, Most: 1}, "downkick_share": {Least: 0, Most: 1},
		"build": {Least: 1, Most: inf}, "build_upkick": {Least: 1, Most: inf},
		"toe_amplitude": {Least: 0, Most: inf}, "knee_flexion_range": spread.Unbounded(), "speed": spread.Unbounded(),
		"ankle_min": spread.Unbounded(), "end_lead": spread.Unbounded(), "no such measure": spread.Unbounded(),
	} {
		if got := BoundsOf(id); got != want {
			t.Errorf("%s lies within %v, want %v", id, got, want)
		}
	}
}

func TestBoundedMeasure(t *testing.T) {
	m := Measure{ID: "facing", Value: 0.06, Low: -0.02, High: 0.14}.Bounded()
	if m.Low != 0 || m.High != 0.14 {
		t.Errorf("band %v to %v", m.Low, m.High)
	}
	if math.Abs(m.Half()-0.08) > 1e-12 {
		t.Errorf("half of the uncut band = %v, want 0.08", m.Half())
	}
	if again := m.Bounded(); again.Low != m.Low || again.High != m.High || again.Half() != m.Half() {
		t.Error("cutting twice changes the band")
	}
	nan := math.NaN()
	if none := (Measure{ID: "facing", Value: nan, Low: nan, High: nan}).Bounded(); !math.IsNaN(none.Low) || !math.IsNaN(none.Half()) {
		t.Errorf("withheld: %+v", none)
	}
}
