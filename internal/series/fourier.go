package series

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// ErrTooFew is returned when a fit is asked of fewer values than it has
// unknowns, or of values that do not determine them.
var ErrTooFew = errors.New("too few values for the fit")

// Fourier is a periodic curve with a steady drift:
//
//	x(p) = Mean + Trend p + sum_k Cos[k-1] cos(2 pi k p) + Sin[k-1] sin(2 pi k p)
//
// with the phase p in cycles.
type Fourier struct {
	Mean, Trend float64
	Cos, Sin    []float64
}

// FitFourier fits a Fourier curve with the given number of harmonics to x at
// the phases (cycles) by weighted least squares (QR). The phases may be uneven
// and spread over many cycles. weight is the inverse variance of each value, up
// to a common factor; nil means all alike. Values that are not finite, or whose
// weight is not positive, are left out. trend adds the drift, else Trend is 0.
//
// The error wraps ErrTooFew when the values do not determine the unknowns
// (1 + 2 harmonics, and 1 for the trend). It panics when lengths differ or
// harmonics is negative.
func FitFourier(phase, x, weight []float64, harmonics int, trend bool) (Fourier, error) {
	sameLength(phase, x, "phases and values")
	if weight != nil {
		sameLength(weight, x, "weights and values")
	}
	if harmonics < 0 {
		panic("series: harmonics must not be negative")
	}
	rows := usable(phase, x, weight)
	cols := 1 + 2*harmonics
	if trend {
		cols++
	}
	if len(rows) < cols {
		return Fourier{}, fmt.Errorf("Fourier fit of %d values with %d unknowns: %w", len(rows), cols, ErrTooFew)
	}
	// The trend column is centred so that it does not fight with the mean.
	centre := 0.0
	for _, i := range rows {
		centre += phase[i] / float64(len(rows))
	}
	a := mat.NewDense(len(rows), cols, nil)
	b := mat.NewVecDense(len(rows), nil)
	for r, i := range rows {
		w := 1.0
		if weight != nil {
			w = math.Sqrt(weight[i])
		}
		row := a.RawRowView(r)
		row[0] = w
		for k := 1; k <= harmonics; k++ {
			s, c := math.Sincos(2 * math.Pi * float64(k) * phase[i])
			row[2*k-1], row[2*k] = w*c, w*s
		}
		if trend {
			row[cols-1] = w * (phase[i] - centre)
		}
		b.SetVec(r, w*x[i])
	}
	var qr mat.QR
	qr.Factorize(a)
	if c := qr.Cond(); !(c < 1e10) {
		return Fourier{}, fmt.Errorf("Fourier fit with %d harmonics, values at too few different phases: %w", harmonics, ErrTooFew)
	}
	var sol mat.VecDense
	if err := qr.SolveVecTo(&sol, false, b); err != nil {
		return Fourier{}, fmt.Errorf("Fourier fit: %w", err)
	}
	f := Fourier{Mean: sol.AtVec(0), Cos: make([]float64, harmonics), Sin: make([]float64, harmonics)}
	for k := range harmonics {
		f.Cos[k], f.Sin[k] = sol.AtVec(2*k+1), sol.AtVec(2*k+2)
	}
	if trend {
		f.Trend = sol.AtVec(cols - 1)
		f.Mean -= f.Trend * centre
	}
	return f, nil
}

// usable lists the indexes that a fit can use.
func usable(t, x, weight []float64) []int {
	var rows []int
	for i := range x {
		if finite(t[i]) && finite(x[i]) && (weight == nil || (finite(weight[i]) && weight[i] > 0)) {
			rows = append(rows, i)
		}
	}
	return rows
}

// At returns the curve's value at phase p (cycles).
func (f Fourier) At(p float64) float64 {
	x := f.Mean + f.Trend*p
	for k := range f.Cos {
		s, c := math.Sincos(2 * math.Pi * float64(k+1) * p)
		x += f.Cos[k]*c + f.Sin[k]*s
	}
	return x
}

// Rate returns the curve's derivative by phase, dx/dp, at phase p (cycles).
// Times the frequency in cycles per second it is the derivative by time.
func (f Fourier) Rate(p float64) float64 {
	x := f.Trend
	for k := range f.Cos {
		w := 2 * math.Pi * float64(k+1)
		s, c := math.Sincos(w * p)
		x += w * (f.Sin[k]*c - f.Cos[k]*s)
	}
	return x
}
