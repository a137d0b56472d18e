package report

import (
	"math"

	"underkick/internal/chart"
)

// Difference writes a difference of a measure with its sign and unit; of a percentage it
// is in points. A difference that would read as zero says so: see chart.Signed.
func Difference(id, unit string, x float64) string {
	s := showing(id, unit)
	return chart.Signed(x*s.factor, s.decimals, s.after())
}

// Distance writes the size of a difference, as of the smallest real change: without sign.
func Distance(id, unit string, x float64) string {
	s := showing(id, unit)
	n := chart.FormatNumber(x*s.factor, s.decimals)
	if n == "–" {
		return n
	}
	return n + s.after()
}

// DifferenceBand writes the band of a difference, "" where there is none.
func DifferenceBand(id, unit string, low, high float64) string {
	if math.IsNaN(low) || math.IsNaN(high) {
		return ""
	}
	return Number(id, unit, low) + " to " + Distance(id, unit, high)
}

// after is what follows the number of a difference.
func (s shown) after() string {
	switch s.unit {
	case "":
		return ""
	case "°":
		return s.unit
	case "%":
		return " points"
	}
	return "\u00a0" + s.unit
}
