package series

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// DominantFrequency returns the frequency (Hz) between lo and hi whose single
// sinusoid, together with a straight line, explains most of the variance of x
// (a least-squares periodogram, which unlike the discrete Fourier transform is
// not tied to whole cycles in the record; Lomb, Astrophys Space Sci 39, 1976).
// rate is in samples per second. Samples that are not finite are left out.
//
// ok is false, and f NaN, when the record is shorter than one and a half cycles
// of the frequency found, when the sinusoid explains less than a quarter of the
// variance left by the line, or when the best frequency lies on the edge of the
// range. It panics when rate is not positive or lo and hi are not 0 < lo < hi.
func DominantFrequency(x []float64, rate, lo, hi float64) (f float64, ok bool) {
	positive(rate, "rate")
	positive(lo, "lo")
	if !(hi > lo) {
		panic("series: DominantFrequency needs lo < hi")
	}
	hi = min(hi, rate/2)
	var t, y []float64
	for i, v := range x {
		if finite(v) {
			t = append(t, float64(i)/rate)
			y = append(y, v)
		}
	}
	if len(y) < 8 || hi <= lo {
		return math.NaN(), false
	}
	span := t[len(t)-1] - t[0]
	line := Line(t, y, nil)
	total, size := 0.0, 0.0
	for i := range y {
		size += y[i] * y[i]
		y[i] -= line.At(t[i])
		t[i] -= span / 2
		total += y[i] * y[i]
	}
	if total <= 1e-20*size { // nothing but rounding is left of a line
		return math.NaN(), false
	}
	explained := func(f float64) float64 { return sinusoidShare(t, y, f) / total }
	// Twelve samples in the shortest cycle are enough to find the hump.
	thinT, thinY := thin(t, y, int(rate/(12*hi)))
	rough := func(f float64) float64 { return sinusoidShare(thinT, thinY, f) }
	step := min(1/(10*span), (hi-lo)/10)
	best, most := math.NaN(), -1.0
	for k := 0; lo+float64(k)*step <= hi; k++ {
		if e := rough(lo + float64(k)*step); e > most {
			best, most = lo+float64(k)*step, e
		}
	}
	if best < lo+step/2 || best+step > hi || explained(best) < 0.25 || span*best < 1.5 {
		return math.NaN(), false
	}
	return goldenMax(explained, best-step, best+step), true
}

// thin keeps every k-th sample.
func thin(t, y []float64, k int) ([]float64, []float64) {
	if k < 2 {
		return t, y
	}
	var tt, yy []float64
	for i := 0; i < len(t); i += k {
		tt, yy = append(tt, t[i]), append(yy, y[i])
	}
	return tt, yy
}

// sinusoidShare returns by how much the sum of squares of y falls when a
// constant, a line and one sinusoid of frequency f are fitted instead of
// nothing; y has already lost its own line. 0 where the fit is not determined.
func sinusoidShare(t, y []float64, f float64) float64 {
	var n [10]float64 // upper triangle of the normal matrix
	var b [4]float64
	for i, ti := range t {
		s, c := math.Sincos(2 * math.Pi * f * ti)
		row := [4]float64{1, ti, c, s}
		k := 0
		for p := range row {
			b[p] += row[p] * y[i]
			for q := p; q < len(row); q++ {
				n[k] += row[p] * row[q]
				k++
			}
		}
	}
	full := mat.NewSymDense(4, []float64{
		n[0], n[1], n[2], n[3],
		0, n[4], n[5], n[6],
		0, 0, n[7], n[8],
		0, 0, 0, n[9],
	})
	var chol mat.Cholesky
	if !chol.Factorize(full) {
		return 0
	}
	rhs := mat.NewVecDense(4, b[:])
	var sol mat.VecDense
	if chol.SolveVecTo(&sol, rhs) != nil {
		return 0
	}
	return mat.Dot(rhs, &sol)
}

// goldenMax returns where fn is largest between a and b, assuming one hump, to
// a millionth of the interval.
func goldenMax(fn func(float64) float64, a, b float64) float64 {
	const ratio = 0.6180339887498949
	c, d := b-ratio*(b-a), a+ratio*(b-a)
	fc, fd := fn(c), fn(d)
	for range 30 {
		if fc > fd {
			b, d, fd = d, c, fc
			c = b - ratio*(b-a)
			fc = fn(c)
		} else {
			a, c, fc = c, d, fd
			d = a + ratio*(b-a)
			fd = fn(d)
		}
	}
	return (a + b) / 2
}
