package series

import (
	"math"
	"sort"
)

// Resample returns x(t) at the instants of grid, by the cubic through the four
// nearest samples (Lagrange), so that cubics are met exactly and the error for
// smooth signals is of order step^4. Near an end or a gap the nearest known
// samples on this side of it are used, and a parabola or line where only three
// or two stand together.
//
// The result is NaN outside the first and last sample, and between two samples
// of which one is NaN; exactly on a known sample it is that sample. t must rise
// strictly; grid may be in any order. It panics when t and x differ in length.
func Resample(t, x, grid []float64) []float64 {
	sameLength(t, x, "times and values")
	out := make([]float64, len(grid))
	for k, g := range grid {
		out[k] = interpolate(t, x, g)
	}
	return out
}

func interpolate(t, x []float64, g float64) float64 {
	i := sort.SearchFloat64s(t, g)
	if i < len(t) && t[i] == g {
		return x[i]
	}
	if i == 0 || i == len(t) || !finite(x[i-1]) || !finite(x[i]) {
		return math.NaN()
	}
	lo, hi := neighbours(x, i)
	return lagrange(t[lo:hi], x[lo:hi], g)
}

// neighbours returns the range [lo, hi) of up to four known samples standing
// together around the step from i-1 to i, the balanced one where possible.
func neighbours(x []float64, i int) (lo, hi int) {
	lo, hi = i-1, i+1
	known := func(j int) bool { return j >= 0 && j < len(x) && finite(x[j]) }
	for hi-lo < 4 {
		before, after := known(lo-1), known(hi)
		switch {
		case before && (!after || i-lo <= hi-i):
			lo--
		case after:
			hi++
		default:
			return lo, hi
		}
	}
	return lo, hi
}

// lagrange evaluates at g the polynomial through the points (t, x).
func lagrange(t, x []float64, g float64) float64 {
	sum := 0.0
	for i, v := range x {
		w := 1.0
		for j := range t {
			if j != i {
				w *= (g - t[j]) / (t[i] - t[j])
			}
		}
		sum += w * v
	}
	return sum
}
