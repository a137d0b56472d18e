// Package series works on sampled signals: one number per instant, such as the
// height of a toe. It filters, differentiates, integrates, resamples, fits lines
// and Fourier series, and finds extremes and crossings.
//
// Conventions: times are in seconds and strictly rising; a uniform signal is
// given by its rate in samples per second or its step dt in seconds; values may
// be in any unit. NaN stands for "not known". Unless a function says otherwise,
// inputs are not changed and outputs are new slices. A caller's mistake (lengths
// that differ, a rate that is not positive) panics with the prefix "series: ".
//
// The package knows nothing of swimming, pictures or pools, and nothing here
// chooses a cut-off for the reader: ResidualCutoff only proposes one.
package series

import "math"

// sameLength panics when two slices that belong together differ in length.
func sameLength(a, b []float64, what string) {
	if len(a) != len(b) {
		panic("series: " + what + " differ in length")
	}
}

// positive panics when v is not a positive finite number.
func positive(v float64, what string) {
	if !(v > 0) || math.IsInf(v, 0) {
		panic("series: " + what + " must be positive and finite")
	}
}

// finite tells whether v is neither NaN nor infinite.
func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
