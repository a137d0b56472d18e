package kick

import (
	"math"

	"underkick/internal/series"
)

// line is the travel line in the axes of package body.
type line struct {
	x, y  float64 // a point on it, m
	angle float64 // rad
}

// stillBelow is the speed under which a path has no direction to speak of, m/s.
const stillBelow = 0.2

// lineHarmonics is the number of harmonics fitted along with the line.
const lineHarmonics = 2

// roughLine is the least-squares line through all of a path in time, for the
// first search of kicks.
func (s *scene) roughLine() (line, bool) {
	fx, fy := series.Line(s.t, s.com.x, nil), series.Line(s.t, s.com.y, nil)
	l := line{x: fx.At(s.t[0]), y: fy.At(s.t[0])}
	moving := math.Hypot(fx.Slope, fy.Slope) >= stillBelow && fx.Slope > 0
	if moving {
		l.angle = math.Atan2(fy.Slope, fx.Slope)
	}
	return l, moving
}

// phases are the instants over which the travel line is fitted and their phase
// in kicks.
type phases struct {
	from, to int // samples [from, to)
	p        []float64
}

// phasesOf returns the phase of every sample from the first to the last of the
// kicks: whole numbers at the tops, linear in between. Samples between kicks that
// do not touch are NaN and left out of fits.
func (g grid) phasesOf(kicks []cycle) phases {
	first, last := kicks[0].top.T, kicks[len(kicks)-1].next.T
	lo, hi := g.span(first, last)
	ph := phases{from: lo, to: hi + 1, p: nans(hi + 1 - lo)}
	for k, c := range kicks {
		a, b := g.span(c.top.T, c.next.T)
		for i := max(a, lo); i <= min(b, hi); i++ {
			ph.p[i-lo] = float64(k) + (g.t[i]-c.top.T)/c.period()
		}
	}
	return ph
}

// fitLine is the least-squares line of the centre of mass over whole kicks. The
// part of its path that repeats with every kick is fitted along with the line, so
// that a run of few kicks is not tilted by where in the kick it begins. ok is
// false if there is not enough or the path stands still.
func (s *scene) fitLine(ph phases, period float64) (line, bool) {
	fx, errX := series.FitFourier(ph.p, s.com.x[ph.from:ph.to], nil, lineHarmonics, true)
	fy, errY := series.FitFourier(ph.p, s.com.y[ph.from:ph.to], nil, lineHarmonics, true)
	if errX != nil || errY != nil {
		return line{}, false
	}
	if math.Hypot(fx.Trend, fy.Trend)/period < stillBelow || fx.Trend <= 0 {
		return line{x: fx.Mean, y: fy.Mean}, false
	}
	return line{x: fx.Mean, y: fy.Mean, angle: math.Atan2(fy.Trend, fx.Trend)}, true
}
