package series

import "math"

// LineFit is a straight line x = Intercept + Slope t with its spread.
type LineFit struct {
	Intercept float64 // value at t = 0
	Slope     float64 // change of x per unit of t
	SlopeSE   float64 // standard error of Slope from the residuals, N-2 degrees of freedom; NaN for N < 3
	N         int     // values used
}

// At returns the line's value at t.
func (l LineFit) At(t float64) float64 { return l.Intercept + l.Slope*t }

// Line fits a straight line to x(t) by weighted least squares. weight is the
// inverse variance of each value up to a common factor; nil means all alike.
// Values that are not finite or whose weight is not positive are left out.
// Fewer than two different times give NaN. It panics when the lengths differ.
func Line(t, x, weight []float64) LineFit {
	sameLength(t, x, "times and values")
	if weight != nil {
		sameLength(weight, x, "weights and values")
	}
	rows := usable(t, x, weight)
	w := func(i int) float64 {
		if weight == nil {
			return 1
		}
		return weight[i]
	}
	var sw, mt, mx float64
	for _, i := range rows {
		sw += w(i)
		mt += w(i) * t[i]
		mx += w(i) * x[i]
	}
	mt /= sw
	mx /= sw
	var stt, stx float64
	for _, i := range rows {
		stt += w(i) * (t[i] - mt) * (t[i] - mt)
		stx += w(i) * (t[i] - mt) * (x[i] - mx)
	}
	nan := math.NaN()
	if len(rows) < 2 || stt == 0 {
		return LineFit{Intercept: nan, Slope: nan, SlopeSE: nan, N: len(rows)}
	}
	l := LineFit{Slope: stx / stt, SlopeSE: nan, N: len(rows)}
	l.Intercept = mx - l.Slope*mt
	if len(rows) > 2 {
		sum := 0.0
		for _, i := range rows {
			r := x[i] - l.At(t[i])
			sum += w(i) * r * r
		}
		l.SlopeSE = math.Sqrt(sum / float64(len(rows)-2) / stt)
	}
	return l
}
