package kick

import (
	"math"

	"underkick/internal/body"
)

// Bounds of the words for when the foot is fastest, in parts of the phase's
// duration: thirds, our choice.
const (
	earlyBefore = 1.0 / 3
	lateAfter   = 2.0 / 3
)

// peakWord puts the moment of fastest foot in a word.
func peakWord(at float64) string {
	switch {
	case math.IsNaN(at):
		return ""
	case at < earlyBefore:
		return "early"
	case at > lateAfter:
		return "late"
	}
	return "middle"
}

// sweeps fills how far the feet travel on both sides of the body line.
func (s *scene) sweeps(r *row, c cycle) {
	hip, toe := s.lm[body.Hip].y, s.lm[body.Toe].y
	if hip != nil && toe != nil {
		above := c.top.X - s.at(hip, c.top.T)
		below := s.at(hip, c.bottom.T) - c.bottom.X
		r[toeAboveHip], r[toeBelowHip], r[sweep] = above, below, above+below
		r[sweepUpkick] = below + c.next.X - s.at(hip, c.next.T)
	}
	if s.lead != nil {
		end := s.at(s.lead, c.bottom.T)
		r[sweepArc], r[endLead] = (end-s.at(s.lead, c.top.T))/degree, end/degree
	}
}

// qualities fills facing and build of both phases.
func (s *scene) qualities(r *row, c cycle, f *facts) {
	a, b, d := c.top.T, c.bottom.T, c.next.T
	r[facingDown], r[facingFoot], r[facingShank] = s.facing(a, b, f)
	if f.areasKnown {
		r[rearwardArea] = r[facingDown] * (f.footArea + f.shankArea)
	}
	r[facingUpkick], r[facingFootUpkick], r[facingShankUpkick] = s.facing(b, d, f)
	r[build], r[buildLate], r[buildPeak], r[footPath] = s.building(a, b)
	r[buildUpkick], r[buildLateUpkick], r[buildPeakUpkick], r[footPathUpkick] = s.building(b, d)
	r[pushPart] = s.pushing(a, b, -1) / r[footPath]
	r[pushPartUpkick] = s.pushing(b, d, 1) / r[footPathUpkick]
}

// facing returns Sum S Int c w^2 dt / Sum S Int w^2 dt over a phase for foot and
// shank together, and for each apart.
func (s *scene) facing(a, b float64, f *facts) (both, foot, shank float64) {
	part := func(q *facing) (top, bottom float64) {
		if q.c == nil {
			return math.NaN(), math.NaN()
		}
		return s.integral(q.cw2, a, b), s.integral(q.w2, a, b)
	}
	footTop, footBottom := part(&s.quality[footPart])
	shankTop, shankBottom := part(&s.quality[shankPart])
	both = (f.footArea*footTop + f.shankArea*shankTop) / (f.footArea*footBottom + f.shankArea*shankBottom)
	return both, footTop / footBottom, shankTop / shankBottom
}

// building returns, for a phase,
//
//	B = T Int v^2 dt / (Int v dt)^2,
//
// the share of Int v^2 dt in the second half of the path, the instant of the peak
// as a part of the duration, and the path Int v dt.
func (s *scene) building(a, b float64) (even, late, at, path float64) {
	nan := math.NaN()
	if s.v == nil {
		return nan, nan, nan, nan
	}
	path = s.integral(s.v, a, b)
	square := s.integral(s.v2, a, b)
	even = (b - a) * square / (path * path)
	late = s.integral(s.v2, s.grid.half(s.v, a, b), b) / square
	t, _ := s.peak(s.v, a, b, 1)
	return even, late, (t - a) / (b - a), path
}

// pushing returns the part of Int v dt from a to b on which the foot both moves
// and faces so that it can push: w and sin th of the given sign. Between samples
// both run straight, so that the part does not jump from sample to sample.
func (s *scene) pushing(a, b, sign float64) float64 {
	if s.v == nil || s.footW == nil {
		return math.NaN()
	}
	lo, hi := s.span(a, b)
	sum := 0.0
	for i := lo - 1; i <= hi; i++ {
		if i < 0 || i+1 >= len(s.t) {
			continue
		}
		w0, w1 := positive(sign*s.footW[i], sign*s.footW[i+1])
		f0, f1 := positive(sign*s.footSin[i], sign*s.footSin[i+1])
		from := math.Max(a, s.t[i]+s.dt*math.Max(w0, f0))
		to := math.Min(b, s.t[i]+s.dt*math.Min(w1, f1))
		if to > from || math.IsNaN(to) || math.IsNaN(from) {
			sum += s.gauss(s.v, from, to)
		}
	}
	return sum
}

// positive returns the part [u0, u1] of a step on which the line from x0 to x1 is
// positive; an empty part has u1 < u0.
func positive(x0, x1 float64) (u0, u1 float64) {
	switch {
	case math.IsNaN(x0 + x1):
		return math.NaN(), math.NaN()
	case x0 > 0 && x1 > 0:
		return 0, 1
	case x0 <= 0 && x1 <= 0:
		return 1, 0
	case x0 > 0:
		return 0, x0 / (x0 - x1)
	}
	return x0 / (x0 - x1), 1
}
