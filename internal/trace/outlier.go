package trace

import (
	"cmp"
	"math"
	"slices"
)

// Distances of a mark from the trace fitted without it, in standard errors of
// that difference (both axes together): beyond looseAt it counts less (Huber,
// Ann Math Stat 35, 1964), beyond wildAt it hardly counts and is reported. With
// normal errors 1 % of marks pass 3 and one in 65 million pass 6.
const (
	looseAt = 3.0
	wildAt  = 6.0
	// wildFactor is what a reported mark's variance is raised by.
	wildFactor = 1e6
)

// judgeRounds bounds the rounds of judging. One round can settle one mark in
// every half kick, or in every three marks where they are closer.
const judgeRounds = 12

// judge holds every spot of the track against the fit of the others and sets
// how loosely each is held. In each round only the worst spot of its surroundings
// is changed, because a wild mark makes its neighbours look bad.
func (tr *track) judge(c *clock, u tuning, harmonics int) bool {
	for i := range tr.spots {
		tr.spots[i].loose = 1
	}
	for range judgeRounds {
		distances, ok := tr.distances(c, u, harmonics)
		if !ok {
			return false
		}
		first, last := tr.span()
		reach := min(c.period/2, 3*(last-first)/float64(max(len(tr.spots)-1, 1)))
		if !tr.loosen(distances, reach) {
			break
		}
	}
	return true
}

// distances returns for each spot its distance from the fit without it, in
// standard errors, as if the spot itself were held normally. Where most spots
// are further off than the model expects, all are judged by their median.
func (tr *track) distances(c *clock, u tuning, harmonics int) ([]float64, bool) {
	left, ok := tr.leaveOut(c, u, harmonics)
	if !ok {
		return nil, false
	}
	out := make([]float64, len(tr.spots))
	for _, axis := range left {
		for i, a := range axis {
			own := tr.noise(u) * tr.spots[i].sd
			variance := a.variance - own*own*(tr.spots[i].loose-1)
			out[i] += a.off * a.off / variance
		}
	}
	for i, d := range out {
		out[i] = math.Sqrt(d)
	}
	// The median of the distance of two normal coordinates is sqrt(2 ln 2).
	// Few differences from a guess are judged by its habits alone.
	if tr.base != nil {
		return out, true
	}
	if scale := median(out) / math.Sqrt(2*math.Ln2); scale > 1 {
		for i := range out {
			out[i] /= scale
		}
	}
	return out, true
}

// leaveOut returns each coordinate of each spot against the fit without it.
func (tr *track) leaveOut(c *clock, u tuning, harmonics int) (left [2][]absence, ok bool) {
	lay := tr.layout(c, tr.own(), harmonics, false)
	for axis, ch := range tr.chains(lay, c, u) {
		f := ch.forward(false)
		co, ok := ch.coefficients(f, ch.cols)
		if !ok {
			return left, false
		}
		left[axis] = ch.leaveOut(f, co)
	}
	return left, true
}

// loosen sets the looseness of the spots that are worst within reach (s) and
// tells whether any changed by more than a tenth.
func (tr *track) loosen(distances []float64, reach float64) bool {
	order := make([]int, len(distances))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(distances[b], distances[a]) })
	var changed []float64
	for _, i := range order {
		s := &tr.spots[i]
		want := looseness(distances[i])
		if math.Abs(math.Log(want/s.loose)) < 0.1 {
			continue
		}
		if slices.ContainsFunc(changed, func(t float64) bool { return math.Abs(t-s.t) < reach }) {
			continue
		}
		s.loose = want
		changed = append(changed, s.t)
	}
	return len(changed) > 0
}

func looseness(distance float64) float64 {
	switch {
	case distance <= looseAt:
		return 1
	case distance <= wildAt:
		return distance / looseAt
	}
	return wildFactor
}

func median(values []float64) float64 {
	sorted := slices.Clone(values)
	slices.Sort(sorted)
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}
