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
	if s.pushing != nil {
		r[pushPart] = s.integral(s.pushing, a, b) / r[footPath]
		r[pushPartUpkick] = s.integral(s.pushingUp, b, d) / r[footPathUpkick]
	}
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
