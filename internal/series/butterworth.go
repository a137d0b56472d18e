package series

import "math"

// CutoffCorrection returns the factor C by which the corner of a Butterworth
// low-pass of the given order must be raised so that several passes together
// have their -3 dB point where it was asked for:
//
//	C = (2^(1/passes) - 1)^(1/(2 order)),  Omega_design = tan(pi fc/fs) / C
//
// One pass forwards and one backwards are two passes: C = 0.8022 for order 2.
// It panics when order or passes is below 1. The formula follows from the gain
// 1/sqrt(1 + (Omega/Omega_c)^(2 order)) of one pass; used in biomechanics by
// Winter and by Robertson and Dowling (J Electromyogr Kinesiol 13, 2003).
func CutoffCorrection(order, passes int) float64 {
	if order < 1 || passes < 1 {
		panic("series: order and passes must be at least 1")
	}
	return math.Pow(math.Pow(2, 1/float64(passes))-1, 1/float64(2*order))
}

// LowPass returns x low-passed by a second-order Butterworth filter that runs
// once forwards and once backwards, so that nothing is shifted in time. cutoff
// (Hz) is where the two passes together have a gain of 1/sqrt(2); the corner of
// each pass is raised by CutoffCorrection and pre-warped for the bilinear
// transform. rate is in samples per second.
//
// Both ends are continued by point reflection (2 x[0] - x[i]) over three
// periods of the cut-off and at least 20 samples, as far as the signal reaches,
// which keeps value and slope there. A constant or a straight line passes
// unchanged. A cut-off at or above half the rate leaves nothing to remove and
// returns a copy, as do signals of fewer than three samples. It panics when x
// holds NaN or an infinity, or when rate or cutoff is not positive.
func LowPass(x []float64, rate, cutoff float64) []float64 {
	positive(rate, "rate")
	positive(cutoff, "cutoff")
	for _, v := range x {
		if !finite(v) {
			panic("series: LowPass needs finite values; fill or cut the gaps first")
		}
	}
	out := make([]float64, len(x))
	if len(x) < 3 || cutoff >= rate/2 {
		copy(out, x)
		return out
	}
	pad := min(len(x)-1, max(20, int(math.Ceil(3*rate/cutoff))))
	long := reflect(x, pad)
	b := butterworth2(math.Tan(math.Pi*cutoff/rate) / CutoffCorrection(2, 2))
	b.run(long)
	backwards(long)
	b.run(long)
	backwards(long)
	copy(out, long[pad:])
	return out
}

// biquad is a second-order recursive filter
// y[i] = b0 x[i] + b1 x[i-1] + b2 x[i-2] - a1 y[i-1] - a2 y[i-2].
type biquad struct{ b0, b1, b2, a1, a2 float64 }

// butterworth2 returns the second-order Butterworth low-pass whose pre-warped
// corner is omega = tan(pi fc/fs).
func butterworth2(omega float64) biquad {
	o2 := omega * omega
	d := 1 + math.Sqrt2*omega + o2
	return biquad{b0: o2 / d, b1: 2 * o2 / d, b2: o2 / d, a1: 2 * (o2 - 1) / d, a2: (1 - math.Sqrt2*omega + o2) / d}
}

// run filters x in place, starting as if x had stood at its first value for
// ever. The values are taken relative to the first one, which keeps the
// accuracy of small movements on top of a large offset.
func (q biquad) run(x []float64) {
	if len(x) == 0 {
		return
	}
	base := x[0]
	var x1, x2, y1, y2 float64
	for i, v := range x {
		v -= base
		y := q.b0*v + q.b1*x1 + q.b2*x2 - q.a1*y1 - q.a2*y2
		x2, x1, y2, y1 = x1, v, y1, y
		x[i] = y + base
	}
}

// reflect continues x by pad samples at both ends, mirrored through the end
// points. pad must be below len(x).
func reflect(x []float64, pad int) []float64 {
	n := len(x)
	long := make([]float64, n+2*pad)
	copy(long[pad:], x)
	for i := 1; i <= pad; i++ {
		long[pad-i] = 2*x[0] - x[i]
		long[pad+n-1+i] = 2*x[n-1] - x[n-1-i]
	}
	return long
}

func backwards(x []float64) {
	for i, j := 0, len(x)-1; i < j; i, j = i+1, j-1 {
		x[i], x[j] = x[j], x[i]
	}
}
