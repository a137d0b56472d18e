package trace

import (
	"math"

	"underkick/internal/series"
)

// searchMarks is the most marks per landmark used to find the period; more are
// thinned out evenly.
const searchMarks = 60

// profile is a landmark as the period search sees it.
type profile struct {
	t []float64    // s from the middle of the marks
	z [2][]float64 // both coordinates, less their means
}

// newProfile thins the track evenly, ends included, and centres it.
func newProfile(tr *track) profile {
	n := len(tr.spots)
	keep := min(n, searchMarks)
	p := profile{t: make([]float64, keep)}
	p.z[0], p.z[1] = make([]float64, keep), make([]float64, keep)
	for k := range keep {
		s := tr.spots[k*(n-1)/(keep-1)]
		p.t[k], p.z[0][k], p.z[1][k] = s.t, s.x, s.y
	}
	first, last := tr.span()
	for k := range p.t {
		p.t[k] -= (first + last) / 2
	}
	centre(p.z[0])
	centre(p.z[1])
	return p
}

// strays returns the variance of the profile about a straight path, both
// coordinates together; the median square keeps wild marks out of it.
func (p profile) strays() float64 {
	sum := 0.0
	for _, z := range p.z {
		line := series.Line(p.t, z, nil)
		sq := make([]float64, len(z))
		for i, v := range z {
			d := v - line.At(p.t[i])
			sq[i] = d * d
		}
		sum += median(sq)
	}
	return sum
}

// Relative sizes of the harmonics of a kick's landmarks, and of what a strictly
// periodic curve misses, as the period search expects them. They only keep the
// search sound where marks are few; from the demo of the reference kick's
// landmarks (hydrodynamics, reference kick), rounded up.
var (
	searchHarmonics = [...]float64{1, 0.5, 0.2}
	searchMiss      = 0.08
)

// searchCols is the number of unknowns of a coordinate in the search.
const searchCols = 2 + 2*len(searchHarmonics)

// searchFit is the outcome of solve.
type searchFit struct {
	coef   [2][searchCols]float64
	left   [2]float64 // weighted sum of squares not explained, the prior's share included
	logDet float64    // of the covariance of one coordinate, relative to an error of 1
}

// solve fits both coordinates by a straight path plus three harmonics of
// frequency f with a Gaussian prior, relative to an error of 1. weight may be
// nil. It reports false when the marks do not allow it.
func (p profile) solve(f float64, weight []float64) (fit searchFit, ok bool) {
	const cols = searchCols
	var normal [cols * cols]float64
	var rhs [2][cols]float64
	for k, g := range searchHarmonics {
		v := g * g / (searchMiss * searchMiss)
		for _, c := range []int{2 + 2*k, 3 + 2*k} {
			normal[c*cols+c] = 1 / v
			fit.logDet += math.Log(v)
		}
	}
	for i := range p.t {
		row := p.row(i, f)
		w := 1.0
		if weight != nil {
			w = weight[i]
		}
		x, y := w*p.z[0][i], w*p.z[1][i]
		fit.left[0] += x * p.z[0][i]
		fit.left[1] += y * p.z[1][i]
		for a, v := range row {
			rhs[0][a] += v * x
			rhs[1][a] += v * y
			for b := a; b < cols; b++ {
				normal[a*cols+b] += w * v * row[b]
			}
		}
	}
	var room [cols * cols]float64
	chol := cholesky{l: room[:]}
	if !chol.factor(normal[:], cols) {
		return fit, false
	}
	fit.logDet += chol.logDet()
	for axis := range 2 {
		fit.coef[axis] = rhs[axis]
		chol.solve(fit.coef[axis][:])
		for k, v := range fit.coef[axis] {
			fit.left[axis] -= rhs[axis][k] * v
		}
	}
	return fit, true
}

// row returns the basis at sample i for frequency f.
func (p profile) row(i int, f float64) (row [searchCols]float64) {
	sin, cos := math.Sincos(2 * math.Pi * f * p.t[i])
	row[0], row[1] = 1, p.t[i]/(p.t[len(p.t)-1]-p.t[0])
	row[2], row[3] = cos, sin
	for k := 4; k < searchCols; k += 2 {
		row[k], row[k+1] = row[k-2]*cos-row[k-1]*sin, row[k-1]*cos+row[k-2]*sin
	}
	return row
}

// evidence returns the log marginal likelihood, up to a constant, of the
// landmark moving with frequency f. The common scale of movement and error is
// profiled out of each coordinate, so that neither unit nor amplitude matters and
// a landmark spoilt by a wild mark has little to say about the period.
func (p profile) evidence(f float64) float64 {
	fit, ok := p.solve(f, nil)
	if !ok {
		return math.Inf(-1)
	}
	sum := -fit.logDet
	for axis, z := range p.z {
		total := 0.0
		for _, v := range z {
			total += v * v
		}
		floor := 1e-12*total + 1e-300
		sum -= 0.5 * float64(len(p.t)-2) * math.Log(max(fit.left[axis], floor))
	}
	return sum
}

// swing returns the standard deviation of the periodic part of each coordinate.
// Wild marks count less (three rounds of Huber weights).
func (p profile) swing(f float64) (sd [2]float64) {
	weight := make([]float64, len(p.t))
	for i := range weight {
		weight[i] = 1
	}
	for range 3 {
		fit, ok := p.solve(f, weight)
		if !ok {
			break
		}
		for axis := range 2 {
			variance := 0.0
			for _, c := range fit.coef[axis][2:] {
				variance += c * c / 2
			}
			sd[axis] = math.Sqrt(variance)
		}
		off := p.misses(f, &fit)
		limit := 3 * median(off) / math.Sqrt(2*math.Ln2)
		for i, d := range off {
			weight[i] = 1
			if d > limit && limit > 0 {
				weight[i] = limit / d
			}
		}
	}
	return sd
}

// misses returns the distance of each mark from the fit.
func (p profile) misses(f float64, fit *searchFit) []float64 {
	off := make([]float64, len(p.t))
	for i := range off {
		row := p.row(i, f)
		var d [2]float64
		for axis := range 2 {
			d[axis] = p.z[axis][i]
			for k, c := range fit.coef[axis] {
				d[axis] -= c * row[k]
			}
		}
		off[i] = math.Hypot(d[0], d[1])
	}
	return off
}

func centre(z []float64) {
	sum := 0.0
	for _, v := range z {
		sum += v
	}
	for i := range z {
		z[i] -= sum / float64(len(z))
	}
}
