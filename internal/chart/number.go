package chart

import (
	"math"
	"strconv"
	"strings"
)

// FormatNumber writes x with a fixed count of decimals, a true minus sign, no
// negative zero, and "–" where x is not a finite number.
func FormatNumber(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "–"
	}
	s := strconv.FormatFloat(math.Abs(x), 'f', decimals, 64)
	if x < 0 && !isZero(s) {
		return "−" + s
	}
	return s
}

// NoDifference is what Signed writes for a difference that cannot be seen.
const NoDifference = "no difference"

// Signed writes a difference with its sign and what follows the number as it stands:
// Signed(0.04, 2, " m/s") is "+0.04 m/s". One that would read as zero keeps one more
// digit, so that a sign never stands before a zero; where that digit is zero as well, it
// is NoDifference. "–" where x is not a finite number.
func Signed(x float64, decimals int, unit string) string {
	s := FormatNumber(x, decimals)
	switch {
	case s == "–":
		return s
	case isZero(s):
		if s = FormatNumber(x, decimals+1); isZero(s) {
			return NoDifference
		}
	}
	if !strings.HasPrefix(s, "−") {
		s = "+" + s
	}
	return s + unit
}

func isZero(s string) bool {
	for _, r := range s {
		if r != '0' && r != '.' {
			return false
		}
	}
	return true
}
