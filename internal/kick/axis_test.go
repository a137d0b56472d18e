package kick

import (
	"math"
	"testing"
)

// TestPhaseAxis checks the axis of measures.md: piecewise linear through toe top, toe
// bottom and next toe top, and At as its inverse.
func TestPhaseAxis(t *testing.T) {
	k := Kick{Start: 2, Bottom: 2.2, End: 2.6}
	for _, c := range [][2]float64{{2, 0}, {2.1, 0.25}, {2.2, 0.5}, {2.4, 0.75}, {2.6, 1}, {1.9, -0.25}, {2.8, 1.25}} {
		if got := k.Phase(c[0]); math.Abs(got-c[1]) > 1e-12 {
			t.Errorf("phase at %v s is %v, want %v", c[0], got, c[1])
		}
		if got := k.At(c[1]); math.Abs(got-c[0]) > 1e-12 {
			t.Errorf("phase %v is at %v s, want %v", c[1], got, c[0])
		}
	}
	if !math.IsNaN((Kick{Start: 2, Bottom: math.NaN(), End: 2.6}).Phase(2.1)) {
		t.Error("a kick without a bottom has a phase")
	}
}
