package report

import (
	"math"
	"testing"
)

func TestDifference(t *testing.T) {
	for _, c := range []struct {
		id, unit string
		x        float64
		want     string
	}{
		{"sweep", "m", 0.041, "+0.04\u00a0m"},
		{"sweep", "m", 0.0042, "+0.004\u00a0m"},
		{"sweep", "m", -0.0004, "no difference"},
		{"knee_flexion_max", "deg", -0.3, "−0.3°"},
		{"facing", "1", -0.034, "−3 points"},
		{"facing", "1", 0.0004, "no difference"},
		{"strouhal", "1", 0.05, "+0.05"},
		{"speed", "m/s", math.NaN(), "–"},
	} {
		if got := Difference(c.id, c.unit, c.x); got != c.want {
			t.Errorf("Difference(%s, %v) = %q, want %q", c.id, c.x, got, c.want)
		}
	}
	if got := DifferenceBand("facing", "1", -0.034, 0.02); got != "−3 to 2 points" {
		t.Errorf("band %q", got)
	}
	if got := DifferenceBand("sweep", "m", -0.001, 0.02); got != "0.00 to 0.02\u00a0m" {
		t.Errorf("band %q", got)
	}
	if got := DifferenceBand("sweep", "m", math.NaN(), math.NaN()); got != "" {
		t.Errorf("no band %q", got)
	}
}
