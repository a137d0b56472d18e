package chart

import (
	"math"
	"strings"
	"testing"
)

func TestSigned(t *testing.T) {
	for _, c := range []struct {
		x        float64
		decimals int
		unit     string
		want     string
	}{
		{0.04, 2, " m/s", "+0.04 m/s"},
		{-0.04, 2, " m/s", "−0.04 m/s"},
		{0.004, 2, " m", "+0.004 m"},
		{-0.004, 2, " m", "−0.004 m"},
		{0.0004, 2, " m", "no difference"},
		{-0.0004, 2, " m", "no difference"},
		{0, 2, " m", "no difference"},
		{math.Copysign(0, -1), 0, " %", "no difference"},
		{-0.2, 0, "°", "−0.2°"},
		{0.96, 0, " %", "+1 %"},
		{math.NaN(), 2, " m", "–"},
		{math.Inf(1), 2, " m", "–"},
	} {
		if got := Signed(c.x, c.decimals, c.unit); got != c.want {
			t.Errorf("Signed(%v, %d, %q) = %q, want %q", c.x, c.decimals, c.unit, got, c.want)
		}
	}
}

// No number near zero may be written as a zero with a sign, whatever its decimals.
func TestSignedNeverSignsZero(t *testing.T) {
	for decimals := range 5 {
		for x := -2.0; x <= 2; x += 0.00037 {
			got := Signed(x, decimals, "")
			digits := strings.TrimLeft(got, "+−")
			if digits != got && isZero(digits) || strings.Contains(got, "-") {
				t.Fatalf("Signed(%v, %d) = %q", x, decimals, got)
			}
			if plain := FormatNumber(x, decimals); strings.HasPrefix(plain, "−") && isZero(strings.TrimPrefix(plain, "−")) {
				t.Fatalf("FormatNumber(%v, %d) = %q", x, decimals, plain)
			}
		}
	}
}
