package trace

import (
	"math"
	"slices"

	"underkick/internal/body"
)

// thread is the finished fit of one landmark over a stretch of instants.
type thread struct {
	landmark body.Landmark
	report   Landmark
	outliers []int
	axes     [2]strand
	stretch  float64
	base     *base // the axes are then along and across a segment; nil = x and y

	before, after []float64 // time of the nearest mark on either side of each instant
}

// strand is one coordinate of a thread.
type strand struct {
	*chain
	passed *filtered
	co     *coefficients
	course course
	sd     []float64 // standard error of the place
}

// beyond is how far a trace is continued past its first and last mark, and how
// far from the nearest mark a frame may lie inside, in kicks.
const (
	beyond = 0.5
	farOff = 1.0
)

// nodeStep is the least time between instants at which the smoother stops when
// no mark asks for it, s. Frames between two instants are interpolated by the
// cubic that meets place and velocity at both, whose error for a movement of
// 10 Hz is 1 in 1000.
const nodeStep = 0.012

// instants merges enough frames with the times of all marks.
func instants(times []float64, tracks []*track) []float64 {
	var all []float64
	for i, t := range times {
		if len(all) == 0 || t-all[len(all)-1] >= nodeStep || i == len(times)-1 {
			all = append(all, t)
		}
	}
	for _, tr := range tracks {
		all = append(all, tr.own()...)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// trace fits the track with the given tuning and evaluates it over the instants
// near its marks. It returns nil when the marks do not determine it.
func (tr *track) trace(c *clock, u tuning, most int, all []float64) *thread {
	if tr.base != nil {
		return tr.traceGuessed(c, u, all)
	}
	if !tr.judge(c, u, min(tuneHarmonics, most)) {
		return nil
	}
	th := &thread{landmark: tr.landmark, report: Landmark{Marks: len(tr.spots)}}
	if !th.choose(tr, c, u, most) {
		return nil
	}
	first, last := tr.span()
	from, _ := slices.BinarySearch(all, first-beyond*c.period)
	to, _ := slices.BinarySearch(all, last+beyond*c.period)
	return th.settle(tr, c, u, all[from:to])
}

// settle evaluates the track over instants with what th has chosen; nil when the marks do
// not determine it.
func (th *thread) settle(tr *track, c *clock, u tuning, instants []float64) *thread {
	lay := tr.layout(c, instants, th.report.Harmonics, true)
	for axis, ch := range tr.chains(lay, c, u) {
		st, ok := ch.strand(th.stretch)
		if !ok {
			return nil
		}
		th.axes[axis] = st
	}
	th.neighbours()
	th.tell(tr, u)
	return th
}

// strand solves a chain for good.
func (c *chain) strand(stretch float64) (strand, bool) {
	f := c.forward(true)
	co, ok := c.coefficients(f, c.cols)
	if !ok {
		return strand{}, false
	}
	st := strand{chain: c, passed: f, co: co, course: c.mean(f, co.mean, c.data), sd: c.variances(f, co)}
	for i, v := range st.sd {
		st.sd[i] = stretch * math.Sqrt(v)
	}
	return st, true
}

// choose picks the number of harmonics that predicts left-out marks best (summed
// log density; Gelman, Hwang and Vehtari, Stat Comput 24, 2014) and sets the
// stretch of the standard errors by those predictions.
func (th *thread) choose(tr *track, c *clock, u tuning, most int) bool {
	lay := tr.layout(c, tr.own(), most, false)
	chains := tr.chains(lay, c, u)
	passed := [2]*filtered{chains[0].forward(false), chains[1].forward(false)}
	best := math.Inf(-1)
	for k := 1; k <= most; k++ {
		var left [2][]absence
		score := 0.0
		for axis, ch := range chains {
			co, ok := ch.coefficients(passed[axis], travelCols+2*k)
			if !ok {
				return !math.IsInf(best, -1)
			}
			left[axis] = ch.leaveOut(passed[axis], co)
			score += tr.predictive(left[axis])
		}
		if score > best {
			best = score
			th.report.Harmonics = k
			th.measure(tr, left)
		} else if k > th.report.Harmonics+1 {
			break // two more have not helped
		}
	}
	return !math.IsInf(best, -1)
}

// predictive returns the summed log density of left-out marks. A loose mark
// counts by the inverse of its looseness.
func (tr *track) predictive(left []absence) float64 {
	sum := 0.0
	for i, a := range left {
		if !math.IsInf(a.variance, 1) {
			sum -= (a.off*a.off/a.variance + math.Log(a.variance)) / (2 * tr.spots[i].loose)
		}
	}
	return sum
}

// stretchMarks is how many marks' worth of belief the model's own standard
// errors get against the scatter of left-out marks.
const stretchMarks = 10.0

// measure sets what the left-out marks say of the fit.
func (th *thread) measure(tr *track, left [2][]absence) {
	squares, scaled, count := 0.0, 0.0, 0.0
	for _, axis := range left {
		for i, a := range axis {
			if math.IsInf(a.variance, 1) || tr.spots[i].loose >= wildFactor {
				continue
			}
			squares += a.off * a.off
			scaled += min(a.off*a.off/a.variance, looseAt*looseAt)
			count++
		}
	}
	th.report.LeaveOneOut = math.Sqrt(squares / count)
	belief, factor := tr.belief()
	th.stretch = factor * max(1, math.Sqrt((scaled+belief)/(count+belief)))
	th.report.Stretch = th.stretch
}

// tell fills the rest of the report.
func (th *thread) tell(tr *track, u tuning) {
	var noise []float64
	squares, count := 0.0, 0.0
	next := 0
	for i, t := range th.axes[0].t {
		if next == len(tr.spots) || tr.spots[next].t != t {
			continue
		}
		s := &tr.spots[next]
		next++
		noise = append(noise, tr.noise(u)*s.sd)
		if s.loose >= wildFactor {
			th.outliers = append(th.outliers, s.from...)
			continue
		}
		for axis := range th.axes {
			d := s.at(axis) - th.axes[axis].course.pos[i]
			squares += d * d
			count++
		}
	}
	th.report.ResidualRMS = math.Sqrt(squares / count)
	th.report.MarkSD = tr.noise(u) * tr.click
	if len(noise) > 0 {
		th.report.MarkSD = median(noise)
	}
}
