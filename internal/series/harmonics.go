package series

import "math"

// Harmonics returns the least-squares Fourier curve, without drift, of values evenly
// spaced over one cycle, x[i] at phase i/len(x): on an even grid the fit of FitFourier
// is a plain sum. count is the number of harmonics; it panics unless len(x) is at
// least 2 count + 1, below which the values do not determine them.
func Harmonics(x []float64, count int) Fourier {
	if count < 0 || len(x) < 2*count+1 {
		panic("series: too few values for the harmonics")
	}
	n := float64(len(x))
	f := Fourier{Cos: make([]float64, count), Sin: make([]float64, count)}
	s1, c1 := math.Sincos(2 * math.Pi / n)
	s, c := 0.0, 1.0 // of the phase, turned on from value to value
	for _, v := range x {
		f.Mean += v / n
		sk, ck := 0.0, 1.0
		for k := range count {
			sk, ck = sk*c+ck*s, ck*c-sk*s
			f.Cos[k] += 2 / n * v * ck
			f.Sin[k] += 2 / n * v * sk
		}
		s, c = s*c1+c*s1, c*c1-s*s1
	}
	return f
}
