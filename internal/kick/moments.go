package kick

import (
	"math"

	"underkick/internal/body"
)

// halfPeak is the share of its peak at which the foot's speed starts the drive.
const halfPeak = 0.5

// moments finds a kick's key moments; s is in the travel frame and derived.
func (s *scene) moments(c cycle) Moments {
	nan := math.NaN()
	m := Moments{Finish: c.bottom.T, FinishUp: c.next.T, Set: nan, SetUp: nan}
	m.Set = s.kneeExtreme(c.top.T, c.period(), 1)
	m.SetUp = s.kneeExtreme(c.bottom.T, c.period(), -1)
	m.Drive, m.Fastest = s.drive(m.Set, c.top.T, c.bottom.T)
	m.DriveUp, m.FastestUp = s.drive(m.SetUp, c.bottom.T, c.next.T)
	return m
}

// kneeExtreme is when the knee is most bent (sign 1) or straightest (-1) within
// momentReach of a toe extreme; where the film ends sooner, within what is seen.
func (s *scene) kneeExtreme(at, period, sign float64) float64 {
	a := math.Max(at-momentReach*period, s.t[0])
	b := math.Min(at+momentReach*period, s.t[len(s.t)-1])
	t, _ := s.peak(s.angle[body.KneeJoint], a, b, sign)
	return t
}

// drive returns when, after the later of set and from, the foot first reaches
// half its peak speed of the phase, and when it peaks.
func (s *scene) drive(set, from, to float64) (drive, fastest float64) {
	fastest, top := s.peak(s.v, from, to, 1)
	if math.IsNaN(top) {
		return math.NaN(), math.NaN()
	}
	start := from
	if set > from {
		start = math.Min(set, to)
	}
	drive, ok := s.firstAbove(s.v, halfPeak*top, start, to)
	if !ok {
		drive = math.NaN()
	}
	return drive, fastest
}
