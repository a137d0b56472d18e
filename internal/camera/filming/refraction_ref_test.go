package filming

import (
	"math"
	"testing"
)

// Checks 31 and 32 of the reference notes: Snell's law with n = 1.333; tolerance
// is the rounding of the table.
func TestFlatPort(t *testing.T) {
	deg := math.Pi / 180
	for _, c := range []struct{ air, water float64 }{{60, 44.06}, {90, 64.07}, {122.6, 82.30}, {180, 97.21}} {
		if got := FieldInWater(c.air*deg) / deg; math.Abs(got-c.water) > 0.02 {
			t.Errorf("field of %g deg in air: %.3f deg in water, want %.2f", c.air, got, c.water)
		}
	}
	if got := PortMagnification(45*deg) / PortMagnification(0); math.Abs(got-1.199) > 0.001 {
		t.Errorf("edge over centre at 45 deg: %.4f, want 1.199", got)
	}
	if got := PortMagnification(0); got != RefractiveIndex {
		t.Errorf("on the axis: %g, want %g", got, RefractiveIndex)
	}
	// The limit at the axis is approached smoothly.
	if got := PortMagnification(1e-5); math.Abs(got-RefractiveIndex) > 1e-9 {
		t.Errorf("near the axis: %g", got)
	}
	for a := -80.0; a <= 80; a += 7 {
		if got := AirAngle(WaterAngle(a*deg)) / deg; math.Abs(got-a) > 1e-9 {
			t.Errorf("%g deg comes back as %g", a, got)
		}
	}
	if !math.IsNaN(AirAngle(50 * deg)) {
		t.Error("a ray at 50 deg in water leaves it; it should be totally reflected")
	}
}
