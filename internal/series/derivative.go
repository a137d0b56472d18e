package series

import "math"

// Derivative returns dx/dt of a uniform signal with step dt (s): inside by
// central differences (x[i+1] - x[i-1]) / (2 dt), at the ends by the one-sided
// three-point formula (-3 x[0] + 4 x[1] - x[2]) / (2 dt) and its mirror image.
// All are exact for parabolas; the error is of order dt^2. Two samples give
// their plain difference twice, one sample gives NaN. NaN spreads to its
// neighbours only.
func Derivative(x []float64, dt float64) []float64 {
	positive(dt, "dt")
	n := len(x)
	d := make([]float64, n)
	switch n {
	case 0:
		return d
	case 1:
		d[0] = math.NaN()
		return d
	case 2:
		d[0] = (x[1] - x[0]) / dt
		d[1] = d[0]
		return d
	}
	for i := 1; i < n-1; i++ {
		d[i] = (x[i+1] - x[i-1]) / (2 * dt)
	}
	d[0] = (-3*x[0] + 4*x[1] - x[2]) / (2 * dt)
	d[n-1] = (3*x[n-1] - 4*x[n-2] + x[n-3]) / (2 * dt)
	return d
}

// Integral returns the integral of x over t by the trapezoid rule. Fewer than
// two samples give 0; a NaN gives NaN. It panics when the lengths differ.
func Integral(t, x []float64) float64 {
	sameLength(t, x, "times and values")
	sum := 0.0
	for i := 1; i < len(x); i++ {
		sum += (t[i] - t[i-1]) * (x[i] + x[i-1]) / 2
	}
	return sum
}

// Cumulative returns the running integral of x over t by the trapezoid rule;
// the first value is 0. A NaN makes the rest NaN. It panics when the lengths
// differ.
func Cumulative(t, x []float64) []float64 {
	sameLength(t, x, "times and values")
	c := make([]float64, len(x))
	for i := 1; i < len(x); i++ {
		c[i] = c[i-1] + (t[i]-t[i-1])*(x[i]+x[i-1])/2
	}
	return c
}

// Unwrap returns the angles a (rad) with whole turns added so that neighbours
// differ by at most pi. NaN stays NaN and the next known angle is held against
// the last known one.
func Unwrap(a []float64) []float64 {
	out := make([]float64, len(a))
	last, turns := math.NaN(), 0.0
	for i, v := range a {
		if finite(v) {
			if finite(last) {
				turns -= 2 * math.Pi * math.Round((v-last)/(2*math.Pi))
			}
			last = v
		}
		out[i] = v + turns
	}
	return out
}
