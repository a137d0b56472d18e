package kick

import (
	"math"
	"slices"

	"underkick/internal/series"
)

// Rules of what counts as a kick (measures.md, Kicks and phases).
const (
	minAmplitude  = 0.05 // in standing heights, toe top to bottom
	minPeriod     = 0.25 // s
	maxPeriod     = 1.5  // s
	momentReach   = 0.2  // of the period around a toe extreme, for set and set-up
	refineReach   = 0.15 // of the period around a known extreme, when it is found again in an error draw
	defaultHeight = 1.6  // m, only for the amplitude threshold where nothing else is known
)

// cycle is one kick by the extremes of the toe across the travel line.
type cycle struct {
	top, bottom, next series.Event
}

func (c cycle) period() float64 { return c.next.T - c.top.T }

// turning is a confirmed extreme of the toe's path.
type turning struct {
	i   int
	top bool
}

// found is a kick as the search sees it.
type found struct {
	cycle
	whole bool
	why   string // why it cannot be counted, "" if it can
}

// search returns the kicks in a curve y (toe across the travel line, m): whole
// ones from top to top, and what is left over at the ends of every known
// stretch. threshold is the smallest travel that counts as a change of direction.
func (g grid) search(y []float64, threshold float64) []found {
	var out []found
	for _, r := range runs(y) {
		if r[1]-r[0] >= minSamples {
			out = append(out, g.searchRun(y, r, threshold)...)
		}
	}
	return out
}

func (g grid) searchRun(y []float64, r [2]int, threshold float64) []found {
	var events []series.Event
	firstTop := -1
	for _, t := range turnings(y, r[0], r[1], threshold) {
		if t.top && firstTop < 0 {
			firstTop = len(events)
		}
		events = append(events, g.extreme(y, t.i, t.top))
	}
	nan := series.Event{T: math.NaN(), X: math.NaN()}
	start, end := series.Event{T: g.t[r[0]], X: y[r[0]]}, series.Event{T: g.t[r[1]-1], X: y[r[1]-1]}
	if firstTop < 0 { // at most one bottom: nothing whole here
		c := cycle{start, nan, end}
		if len(events) > 0 {
			c.bottom = events[0]
		}
		return []found{{cycle: c, why: "no whole kick is seen here"}}
	}
	var out []found
	lead := cycle{start, nan, events[firstTop]}
	if firstTop > 0 {
		lead.bottom = events[0]
	}
	if lead.period() > 2*g.dt {
		out = append(out, found{cycle: lead, why: "it starts before the first usable picture"})
	}
	i := firstTop
	for ; i+2 < len(events); i += 2 {
		f := found{cycle: cycle{events[i], events[i+1], events[i+2]}, whole: true}
		f.why = whyNot(f.cycle)
		out = append(out, f)
	}
	tail := cycle{events[i], nan, end}
	if i+1 < len(events) {
		tail.bottom = events[i+1]
	}
	if tail.period() > 2*g.dt {
		out = append(out, found{cycle: tail, why: "it ends after the last usable picture"})
	}
	return out
}

func whyNot(c cycle) string {
	switch p := c.period(); {
	case p < minPeriod:
		return "it is shorter than 0.25 s"
	case p > maxPeriod:
		return "it is longer than 1.5 s"
	}
	return ""
}

// turnings returns the alternating tops and bottoms of y[from:to]: points that
// the curve leaves by at least threshold before it comes back. An extreme near
// an end counts if the curve reached it by the threshold and turned there.
func turnings(y []float64, from, to int, threshold float64) []turning {
	var out []turning
	hi, lo, dir := from, from, 0
	for i := from; i < to; i++ {
		if y[i] > y[hi] {
			hi = i
		}
		if y[i] < y[lo] {
			lo = i
		}
		switch {
		case dir >= 0 && y[i] < y[hi]-threshold:
			if inside(y, hi, from, to, threshold) {
				out = append(out, turning{hi, true})
			}
			dir, lo = -1, i
		case dir <= 0 && y[i] > y[lo]+threshold:
			if inside(y, lo, from, to, threshold) {
				out = append(out, turning{lo, false})
			}
			dir, hi = 1, i
		}
	}
	switch {
	case dir > 0 && inside(y, hi, from, to, threshold):
		out = append(out, turning{hi, true})
	case dir < 0 && inside(y, lo, from, to, threshold):
		out = append(out, turning{lo, false})
	}
	return out
}

// turnPart is the part of the threshold by which a curve must have left an extreme
// at the ends of what is seen, so that a flat end is not taken for one.
const turnPart = 0.02

// inside tells whether an extreme at i is one of the swimmer and not the end of
// the stretch y[from:to]: two samples on each side, and on each side the curve has
// been away from it.
func inside(y []float64, i, from, to int, threshold float64) bool {
	away := func(v float64) bool { return math.Abs(v-y[i]) > turnPart*threshold }
	return i >= from+2 && i <= to-3 && slices.ContainsFunc(y[from:i], away) && slices.ContainsFunc(y[i+1:to], away)
}

// extreme refines the top or bottom at sample i.
func (g grid) extreme(y []float64, i int, top bool) series.Event {
	sign := 1.0
	if !top {
		sign = -1
	}
	if t, v, ok := g.vertex(y, i, sign); ok {
		return series.Event{T: t, X: v, I: i}
	}
	return series.Event{T: g.t[i], X: y[i], I: i}
}

// again finds a kick's extremes in another version of the same curve, near where
// they were.
func (g grid) again(y []float64, c cycle) cycle {
	reach := refineReach * c.period()
	near := func(e series.Event, sign float64) series.Event {
		a, b := math.Max(e.T-reach, g.t[0]), math.Min(e.T+reach, g.t[len(g.t)-1])
		e.T, e.X = g.peak(y, a, b, sign)
		return e
	}
	return cycle{near(c.top, 1), near(c.bottom, -1), near(c.next, 1)}
}
