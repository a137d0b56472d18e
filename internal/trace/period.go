package trace

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Kick frequencies that are looked for, Hz: periods of 0.25 to 1.5 s.
const (
	slowestKick = 1 / 1.5
	fastestKick = 1 / 0.25
)

// searchMarks is the most marks per landmark used to find the period; more are
// thinned out evenly.
const searchMarks = 150

// profile is one coordinate of one landmark as the period search sees it.
type profile struct{ t, z []float64 }

// profiles returns the coordinates of all tracks, thinned and with times
// counted from the middle of mid.
func profiles(tracks []*track, mid float64) []profile {
	var out []profile
	for _, tr := range tracks {
		n := len(tr.spots)
		keep := min(n, searchMarks)
		px := profile{t: make([]float64, keep), z: make([]float64, keep)}
		py := profile{t: px.t, z: make([]float64, keep)}
		for k := range keep {
			// Evenly over the whole span, ends included, by index.
			s := tr.spots[k*(n-1)/max(keep-1, 1)]
			px.t[k], px.z[k], py.z[k] = s.t-mid, s.x, s.y
		}
		out = append(out, px, py)
	}
	return out
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

// solve fits the coordinate by a straight path plus three harmonics of frequency
// f with a Gaussian prior, relative to an error of 1. weight may be nil. It
// returns the coefficients, what is left of the weighted sum of squares (the
// prior's share included) and the log determinant of the covariance.
func (p profile) solve(f float64, weight []float64) (coef [searchCols]float64, left, logDet float64, ok bool) {
	const cols = searchCols
	var normal [cols * cols]float64
	var rhs [cols]float64
	total := 0.0
	for k, g := range searchHarmonics {
		v := g * g / (searchMiss * searchMiss)
		for _, c := range []int{2 + 2*k, 3 + 2*k} {
			normal[c*cols+c] = 1 / v
			logDet += math.Log(v)
		}
	}
	for i := range p.t {
		row := p.row(i, f)
		w := 1.0
		if weight != nil {
			w = weight[i]
		}
		for a, v := range row {
			rhs[a] += w * v * p.z[i]
			for b := range a + 1 {
				normal[b*cols+a] += w * v * row[b]
			}
		}
		total += w * p.z[i] * p.z[i]
	}
	var chol mat.Cholesky
	if !chol.Factorize(mat.NewSymDense(cols, normal[:])) {
		return coef, 0, 0, false
	}
	b := mat.NewVecDense(cols, rhs[:])
	var sol mat.VecDense
	if chol.SolveVecTo(&sol, b) != nil {
		return coef, 0, 0, false
	}
	copy(coef[:], sol.RawVector().Data)
	return coef, total - mat.Dot(b, &sol), logDet + chol.LogDet(), true
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
// coordinate moving with frequency f. The common scale of movement and error is
// profiled out, so that neither unit nor amplitude matters and a landmark spoilt
// by a wild mark has little to say about the period.
func (p profile) evidence(f float64) float64 {
	_, left, logDet, ok := p.solve(f, nil)
	if !ok {
		return math.Inf(-1)
	}
	total := 0.0
	for _, z := range p.z {
		total += z * z
	}
	floor := 1e-12*total + 1e-300
	return -0.5*logDet - 0.5*float64(len(p.t)-2)*math.Log(max(left, floor))
}

// swing returns the standard deviation of the coordinate's periodic part. Wild
// values count less (three rounds of Huber weights).
func (p profile) swing(f float64) float64 {
	weight := make([]float64, len(p.t))
	for i := range weight {
		weight[i] = 1
	}
	variance := 0.0
	for range 3 {
		coef, _, _, ok := p.solve(f, weight)
		if !ok {
			break
		}
		variance = 0
		for _, c := range coef[2:] {
			variance += c * c / 2
		}
		off := make([]float64, len(p.t))
		for i := range off {
			row := p.row(i, f)
			for k, c := range coef {
				off[i] += c * row[k]
			}
			off[i] = math.Abs(p.z[i] - off[i])
		}
		limit := 3 * 1.4826 * median(off)
		for i, d := range off {
			weight[i] = 1
			if d > limit && limit > 0 {
				weight[i] = limit / d
			}
		}
	}
	return math.Sqrt(variance)
}

// sizeTracks sets the amplitude of each track: the root of the variance of its
// periodic part, both coordinates together. A landmark that hardly moves still
// gets a twentieth of the largest, so that the model leaves it room.
func sizeTracks(tracks []*track, period float64) {
	largest := 0.0
	for _, tr := range tracks {
		first, last := tr.span()
		pair := profiles([]*track{tr}, (first+last)/2)
		centre(pair[0].z)
		centre(pair[1].z)
		tr.amp = math.Hypot(pair[0].swing(1/period), pair[1].swing(1/period))
		largest = max(largest, tr.amp)
	}
	for _, tr := range tracks {
		tr.amp = max(tr.amp, largest/20, tr.spots[0].sd)
	}
}

// findPeriod returns the kick period (s) that the tracks share: the one whose
// three-harmonic curve explains the marks best, all coordinates together. Where
// the marks hardly say, published kick frequencies (1.8 to 2.4 Hz, reference
// notes F02-F13) draw it towards 2.1 Hz.
func findPeriod(tracks []*track) float64 {
	first, last := wholeSpan(tracks)
	all := profiles(tracks, (first+last)/2)
	for _, p := range all {
		centre(p.z)
	}
	score := func(f float64) float64 {
		away := math.Log(f/2.1) / 0.5
		sum := -0.5 * away * away
		for _, p := range all {
			sum += p.evidence(f)
		}
		return sum
	}
	step := 1 / (8 * (last - first))
	step = min(step, 0.1)
	best, most := 0.0, math.Inf(-1)
	for f := slowestKick; f <= fastestKick; f += step {
		if s := score(f); s > most {
			best, most = f, s
		}
	}
	return 1 / climb(score, best, step)
}

// climb refines the maximum of fn near x by halving steps.
func climb(fn func(float64) float64, x, step float64) float64 {
	top := fn(x)
	for step > 1e-5*x {
		step /= 2
		for _, s := range []float64{-step, step} {
			if v := fn(x + s); v > top {
				x, top = x+s, v
				break
			}
		}
	}
	return x
}

func wholeSpan(tracks []*track) (first, last float64) {
	first, last = math.Inf(1), math.Inf(-1)
	for _, tr := range tracks {
		a, b := tr.span()
		first, last = min(first, a), max(last, b)
	}
	return first, last
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
