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

	from    int // index of the stretch's first instant among all
	chain   *chain
	passed  *filtered
	co      *coefficients
	course  course
	sd      []float64 // per axis
	stretch float64
}

// beyond is how far a trace is continued past its first and last mark, and how
// far from the nearest mark a frame may lie inside, in kicks.
const (
	beyond = 0.5
	farOff = 1.0
)

// instants merges the frames with the times of marks between frames.
func instants(times []float64, tracks []*track) []float64 {
	all := slices.Clone(times)
	for _, tr := range tracks {
		for _, s := range tr.spots {
			if _, found := slices.BinarySearch(times, s.t); !found {
				all = append(all, s.t)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// trace fits the track with the given tuning and evaluates it over the instants
// near its marks. It returns nil when the marks do not determine it.
func (tr *track) trace(c *clock, u tuning, most int, all []float64) *thread {
	if !tr.judge(c, u, min(tuneHarmonics, most)) {
		return nil
	}
	th := &thread{landmark: tr.landmark, report: Landmark{Marks: len(tr.spots)}}
	if !th.choose(tr, c, u, most) {
		return nil
	}
	first, last := tr.span()
	th.from, _ = slices.BinarySearch(all, first-beyond*c.period)
	to, _ := slices.BinarySearch(all, last+beyond*c.period)
	ch := tr.layout(c, all[th.from:to], th.report.Harmonics, u.noise, true)
	ch.wanders(u.wander(tr.amp, c.period))
	th.chain, th.passed = ch, ch.forward(true)
	co, ok := ch.coefficients(th.passed, ch.cols)
	if !ok {
		return nil
	}
	th.co = co
	th.course = ch.mean(th.passed, &co.mean, ch.data)
	th.sd = ch.variances(th.passed, co)
	for i, v := range th.sd {
		th.sd[i] = th.stretch * math.Sqrt(v)
	}
	th.tell(tr, u)
	return th
}

// choose picks the number of harmonics that predicts left-out marks best (mean
// log density; Gelman, Hwang and Vehtari, Stat Comput 24, 2014) and sets the
// stretch of the standard errors by those predictions.
func (th *thread) choose(tr *track, c *clock, u tuning, most int) bool {
	ch := tr.layout(c, tr.own(), most, u.noise, false)
	ch.wanders(u.wander(tr.amp, c.period))
	f := ch.forward(false)
	best := math.Inf(-1)
	for k := 1; k <= most; k++ {
		co, ok := ch.coefficients(f, travelCols+2*k)
		if !ok {
			break
		}
		left := ch.leaveOut(f, co)
		if score := tr.predictive(left); score > best {
			best = score
			th.report.Harmonics = k
			th.measure(tr, left)
		}
	}
	return !math.IsInf(best, -1)
}

// predictive returns the summed log density of left-out marks. A loose mark
// counts by the inverse of its looseness.
func (tr *track) predictive(left []absence) float64 {
	sum := 0.0
	for i, a := range left {
		if math.IsInf(a.variance, 1) {
			continue
		}
		sum -= ((a.x*a.x+a.y*a.y)/(2*a.variance) + math.Log(a.variance)) / tr.spots[i].loose
	}
	return sum
}

// stretchMarks is how many marks' worth of belief the model's own standard
// errors get against the scatter of left-out marks.
const stretchMarks = 10

// measure sets what the left-out marks say of the fit.
func (th *thread) measure(tr *track, left []absence) {
	squares, scaled, count := 0.0, 0.0, 0.0
	for i, a := range left {
		if math.IsInf(a.variance, 1) || tr.spots[i].loose >= wildFactor {
			continue
		}
		q := (a.x*a.x + a.y*a.y) / 2
		squares += q
		scaled += min(q/a.variance, looseAt*looseAt/2)
		count++
	}
	th.report.LeaveOneOut = math.Sqrt(squares / count)
	th.stretch = max(1, math.Sqrt((scaled+stretchMarks)/(count+stretchMarks)))
	th.report.Stretch = th.stretch
}

// tell fills the rest of the report.
func (th *thread) tell(tr *track, u tuning) {
	var noise []float64
	squares, count := 0.0, 0.0
	next := 0
	for i, t := range th.chain.t {
		if next == len(tr.spots) || tr.spots[next].t != t {
			continue
		}
		s := &tr.spots[next]
		next++
		noise = append(noise, u.noise*s.sd)
		if s.loose >= wildFactor {
			th.outliers = append(th.outliers, s.from...)
			continue
		}
		dx, dy := s.x-th.course.pos[i][0], s.y-th.course.pos[i][1]
		squares += (dx*dx + dy*dy) / 2
		count++
	}
	th.report.MarkSD = median(noise)
	th.report.ResidualRMS = math.Sqrt(squares / count)
}

// covers tells whether the instant is close enough to a mark to be shown.
func (th *thread) covers(period float64) []bool {
	n := len(th.chain.t)
	ok := make([]bool, n)
	near := math.Inf(-1)
	for i := range n {
		if th.chain.noise[i] > 0 {
			near = th.chain.t[i]
		}
		ok[i] = th.chain.t[i]-near <= farOff*period
	}
	near = math.Inf(1)
	for i := n - 1; i >= 0; i-- {
		if th.chain.noise[i] > 0 {
			near = th.chain.t[i]
		}
		ok[i] = ok[i] || near-th.chain.t[i] <= farOff*period
	}
	return ok
}
