package series

import "math"

// ResidualCurve returns, for each cut-off of a grid up to a quarter of the
// rate, the root mean square of x - LowPass(x): what a filter with this cut-off
// would take away. The grid starts at a fiftieth of its top. x must be finite
// (see LowPass).
func ResidualCurve(x []float64, rate float64) (cutoffs, residuals []float64) {
	positive(rate, "rate")
	const steps = 100
	for i := 2; i <= steps; i++ {
		fc := rate / 4 * float64(i) / steps
		smooth := LowPass(x, rate, fc)
		sum := 0.0
		for j, v := range x {
			sum += (v - smooth[j]) * (v - smooth[j])
		}
		cutoffs = append(cutoffs, fc)
		residuals = append(residuals, math.Sqrt(sum/float64(len(x))))
	}
	return cutoffs, residuals
}

// ResidualCutoff proposes a cut-off frequency (Hz) for LowPass by residual
// analysis: what is taken away at high cut-offs is noise and falls along a
// straight line; the line through the upper half of ResidualCurve is carried
// back to cut-off 0, and the proposal is where the curve itself comes down to
// that height, so that as much signal is lost as noise is kept.
//
// The proposal lies between a fiftieth and the whole of a quarter of the rate.
// A signal without noise gives the top of that range. Fewer than 20 samples give NaN.
// Method: Winter, Biomechanics and Motor Control of Human Movement; for second
// derivatives it proposes too little (Yu et al., J Appl Biomech 15, 1999).
func ResidualCutoff(x []float64, rate float64) float64 {
	if len(x) < 20 {
		positive(rate, "rate")
		return math.NaN()
	}
	fc, r := ResidualCurve(x, rate)
	half := len(fc) / 2
	noise := Line(fc[half:], r[half:], nil).Intercept
	for i := len(r) - 1; i >= 0; i-- {
		if r[i] < noise {
			continue
		}
		if i == len(r)-1 {
			return fc[i]
		}
		// The curve falls from r[i] to r[i+1] through the noise level.
		return fc[i] + (fc[i+1]-fc[i])*(r[i]-noise)/(r[i]-r[i+1])
	}
	return fc[0]
}
