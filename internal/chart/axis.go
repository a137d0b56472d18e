package chart

import "math"

// Axis is one axis of a Plot.
type Axis struct {
	Label    string  // what is measured, with its unit: "foot speed, m/s"
	Min, Max float64 // ends; both zero: taken from the data and widened to round numbers
	Ticks    []Tick  // nil: round numbers
	Zero     bool    // a line across the drawing at 0
	Bare     bool    // no ticks, no numbers and no label
}

// Tick is one labelled place on an axis.
type Tick struct {
	At   float64
	Text string
}

// step returns the round step (1, 2 or 5 times a power of ten) that cuts span
// into at most n parts. A span that is zero, negative or not finite gives 1.
func step(span float64, n int) float64 {
	if !(span > 0) || math.IsInf(span, 0) || n < 1 {
		return 1
	}
	raw := span / float64(n)
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 5} {
		if m*power >= raw*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// RoundTicks returns ticks at round numbers from lo to hi, at most n+1 of them,
// written with just the decimals their step needs.
func RoundTicks(lo, hi float64, n int) []Tick {
	s := step(hi-lo, n)
	decimals := max(0, -int(math.Floor(math.Log10(s)+1e-9)))
	var ticks []Tick
	for k := math.Ceil(lo/s - 1e-9); k*s <= hi+1e-9*s && len(ticks) <= n; k++ {
		ticks = append(ticks, Tick{At: k * s, Text: FormatNumber(k*s, decimals)})
	}
	return ticks
}

// rounded returns the axis with ends set: its own, or the data's widened to the
// next round numbers. Data without any finite number give 0 to 1.
func (a Axis) rounded(lo, hi float64, parts int) Axis {
	if a.Min != 0 || a.Max != 0 {
		return a
	}
	if !(lo <= hi) {
		lo, hi = 0, 1
	}
	if size := math.Max(math.Abs(lo), math.Abs(hi)); hi-lo <= 1e-9*size || size == 0 {
		margin := math.Max(0.5, size/10)
		lo, hi = lo-margin, hi+margin
	}
	s := step(hi-lo, parts)
	a.Min = math.Floor(lo/s+1e-9) * s
	a.Max = math.Ceil(hi/s-1e-9) * s
	return a
}

// extent returns the least and the greatest number of the slices that can be
// drawn, and lo > hi where there is none.
func extent(slices ...[]float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, s := range slices {
		for _, x := range s {
			if !bad(x) {
				lo, hi = min(lo, x), max(hi, x)
			}
		}
	}
	return lo, hi
}
