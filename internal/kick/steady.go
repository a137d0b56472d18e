package kick

import (
	"math"

	"underkick/internal/series"
	"underkick/internal/spread"
)

// The steadiness rule (measures.md, Kicks and phases).
const (
	maxFallPerKick = 0.02 // of the mean speed, if its 95 % band lies below 0
	maxFallOverRun = 0.10 // of the mean speed, whatever the band
	MinForVerdict  = 3    // whole kicks
)

// StillFalling is Kick.Why of leading kicks that are left out because the run is not steady
// with them.
const StillFalling = "the speed still falls (push-off); kicks are counted once it holds"

// steady reports whether kick speeds (m/s, in order) do not fall: the regression
// of speed on kick number falls by at most 2 % of the mean per kick or its 95 %
// band reaches 0, and by at most 10 % over the run. Fewer than two kicks are
// steady; for two there is no band and only the second rule holds.
func steady(speeds []float64) bool {
	n := len(speeds)
	if n < 2 {
		return true
	}
	number := make([]float64, n)
	mean := 0.0
	for i, v := range speeds {
		number[i] = float64(i)
		mean += v / float64(n)
	}
	l := series.Line(number, speeds, nil)
	slope := l.Slope / mean
	if math.IsNaN(slope) || -slope*float64(n-1) > maxFallOverRun {
		return math.IsNaN(slope)
	}
	upper := slope + spread.T95(n-2)*l.SlopeSE/mean
	return !(slope < -maxFallPerKick && upper < 0)
}

// dropUntilSteady returns how many leading kicks to leave out so that the rest is
// steady.
func dropUntilSteady(speeds []float64) int {
	for d := range speeds {
		if steady(speeds[d:]) {
			return d
		}
	}
	return 0
}
