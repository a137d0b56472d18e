package marker

import (
	"math"

	"underkick/internal/body"
)

// Estimate is how exactly a marker marks: standard errors per axis in body lengths.
type Estimate struct {
	Offset, Spread float64    // of a clip's constant offset, of a single click
	OffsetBand     [2]float64 // 95 % band of the offset's standard error
	SpreadBand     [2]float64
	Marks          int  // landmarks placed twice
	Groups         int  // of landmark and sitting: what the offset's number of degrees of freedom rests on, two each
	Later          int  // landmarks placed again in a later sitting
	Held           bool // Offset is held at LeastOffset, because too few were placed again later
	Landmarks      [body.NumLandmarks]Landmark
}

// Landmark is what was seen of one landmark.
type Landmark struct {
	Marks int     // placed twice
	RMS   float64 // of the differences per axis over sqrt 2: offset and click together, body lengths; NaN without marks
}

// sums are the statistics of all groups of one size.
type sums struct {
	groups int
	within float64 // sum of squares about the groups' means
	means  float64 // sum of n mean^2
}

// Fit returns the estimate. The model: on each axis a difference is
//
//	d = b + e,  b ~ N(0, 2 offset^2) once per landmark and sitting,  e ~ N(0, 2 spread^2)
//
// with scaled inverse chi-square priors of eight degrees of freedom on both
// variances, so placed that their means are DefaultOffset^2 and DefaultSpread^2. The
// posterior is summed over a grid of both; Offset and Spread are the roots of the
// posterior mean variances, the bands its 2.5 and 97.5 % quantiles. Without
// differences the defaults come back.
//
// Groups of one difference tell only offset^2 + spread^2; how that sum is shared out
// is then the priors' word. While fewer than ten marks were made again in later
// sittings, Offset is at least LeastOffset: marks placed twice in one sitting share
// most of their offset, which leaves no difference.
func Fit(all []Difference) Estimate {
	e := Estimate{Marks: len(all)}
	for l := range e.Landmarks {
		e.Landmarks[l].RMS = math.NaN()
	}
	by := map[group][]Difference{}
	for _, d := range all {
		by[group{d.Sitting, d.Landmark}] = append(by[group{d.Sitting, d.Landmark}], d)
		if d.Later {
			e.Later++
		}
		e.Landmarks[d.Landmark].Marks++
	}
	e.Groups = len(by)
	e.rms(all)
	sizes := map[int]*sums{}
	for _, ds := range by {
		s := sizes[len(ds)]
		if s == nil {
			s = &sums{}
			sizes[len(ds)] = s
		}
		s.add(ds, func(d Difference) float64 { return d.Along })
		s.add(ds, func(d Difference) float64 { return d.Across })
	}
	e.integrate(sizes)
	if e.Later < laterNeeded && e.Offset < LeastOffset {
		e.Offset, e.Held = LeastOffset, true
	}
	return e
}

type group struct {
	sitting  string
	landmark body.Landmark
}

func (e *Estimate) rms(all []Difference) {
	var sum [body.NumLandmarks]float64
	for _, d := range all {
		sum[d.Landmark] += d.Along*d.Along + d.Across*d.Across
	}
	for l, n := range e.Landmarks {
		if n.Marks > 0 {
			e.Landmarks[l].RMS = math.Sqrt(sum[l] / float64(4*n.Marks)) // two axes, two marks
		}
	}
}

func (s *sums) add(ds []Difference, of func(Difference) float64) {
	n := float64(len(ds))
	mean := 0.0
	for _, d := range ds {
		mean += of(d) / n
	}
	for _, d := range ds {
		s.within += (of(d) - mean) * (of(d) - mean)
	}
	s.means += n * mean * mean
	s.groups++
}

// gridReach bounds the standard errors looked at: a thirtieth to thirty times the
// default.
const (
	gridSteps = 60
	gridReach = 30
)

// axis is the grid of one standard error: ratios to its default, evenly spaced in
// their logarithm.
type axis struct{ low, step float64 }

func newAxis(low, high float64) axis {
	return axis{math.Log(low), math.Log(high/low) / (gridSteps - 1)}
}

func (x axis) at(i float64) float64 { return math.Exp(x.low + i*x.step) }

// around returns a finer axis over what p says can be.
func (x axis) around(p *[gridSteps]float64) axis {
	most := 0.0
	for _, v := range p {
		most = max(most, v)
	}
	first, last := gridSteps, 0
	for i, v := range p {
		if v > 1e-9*most {
			first, last = min(first, i), i
		}
	}
	return newAxis(x.at(float64(first)-1), x.at(float64(last)+1))
}

// integrate sums the posterior over a coarse grid, then over a fine one where there
// is anything.
func (e *Estimate) integrate(sizes map[int]*sums) {
	offset, spread := newAxis(1.0/gridReach, gridReach), newAxis(1.0/gridReach, gridReach)
	p, q := posterior(sizes, offset, spread)
	for range 2 {
		offset, spread = offset.around(&p), spread.around(&q)
		p, q = posterior(sizes, offset, spread)
	}
	e.Offset, e.OffsetBand = offset.marginal(&p, DefaultOffset)
	e.Spread, e.SpreadBand = spread.marginal(&q, DefaultSpread)
}

// posterior returns the marginal posteriors of offset and spread, but for a factor.
func posterior(sizes map[int]*sums, offset, spread axis) (offsets, spreads [gridSteps]float64) {
	var logs [gridSteps][gridSteps]float64
	best := math.Inf(-1)
	for i := range logs {
		o := offset.at(float64(i))
		for j := range logs[i] {
			s := spread.at(float64(j))
			v := prior(o) + prior(s) + likelihood(sizes, DefaultOffset*o, DefaultSpread*s)
			logs[i][j] = v
			best = max(best, v)
		}
	}
	for i := range logs {
		for j, v := range logs[i] {
			p := math.Exp(v - best)
			offsets[i] += p
			spreads[j] += p
		}
	}
	return offsets, spreads
}

// prior is the log density of the logarithm of a standard error that is ratio times
// the default, but for a constant.
func prior(ratio float64) float64 {
	const scale = float64(weight-2) / weight // puts the variance's mean at the default's square
	v := ratio * ratio
	return -weight/2*math.Log(v) - weight*scale/(2*v)
}

// likelihood is the log likelihood of the groups, but for a constant.
func likelihood(sizes map[int]*sums, offset, spread float64) float64 {
	e := 2 * spread * spread
	sum := 0.0
	for n, s := range sizes {
		all := e + float64(n)*2*offset*offset // variance of sqrt(n) times a group's mean
		free := float64(s.groups * (n - 1))
		sum -= 0.5 * (free*math.Log(e) + s.within/e + float64(s.groups)*math.Log(all) + s.means/all)
	}
	return sum
}

// marginal returns the root of the mean variance and the 95 % band over the axis.
func (x axis) marginal(p *[gridSteps]float64, unit float64) (root float64, band [2]float64) {
	var total, variance float64
	for i, v := range p {
		total += v
		variance += v * x.at(float64(i)) * x.at(float64(i))
	}
	return unit * math.Sqrt(variance/total), [2]float64{unit * x.quantile(p, 0.025*total), unit * x.quantile(p, 0.975*total)}
}

// quantile is where the running sum of p reaches want, between grid points.
func (x axis) quantile(p *[gridSteps]float64, want float64) float64 {
	sum := 0.0
	for i, v := range p {
		if sum+v >= want {
			return x.at(float64(i) + (want-sum)/v - 0.5)
		}
		sum += v
	}
	return x.at(gridSteps - 1)
}
