package demo

import (
	"math"

	"underkick/internal/body"
)

// The exact measures look at the continuous motion in steps this fine, s.
const fine = 1.0 / 4000

// across returns a landmark's place across the travel line at a time, m, positive to
// the swimmer's back side.
func (m *motion) across(l body.Landmark, t float64) float64 {
	p := m.landmarks(t)[l]
	s, c := math.Sincos(m.climb)
	return c*p.Y - s*p.X
}

// extremes returns the times at which the toe is highest (sign 1) or lowest (sign -1)
// between two times.
func (m *motion) extremes(from, to, sign float64) []float64 {
	const step = 1.0 / 250
	y := func(t float64) float64 { return sign * m.across(body.Toe, t) }
	var out []float64
	a, b := y(from), y(from+step)
	for t := from + 2*step; t <= to; t += step {
		c := y(t)
		if b > a && b >= c {
			out = append(out, peak(y, t-2*step, t))
		}
		a, b = b, c
	}
	return out
}

// peak returns where f is largest between two times, by golden-section search.
func peak(f func(float64) float64, lo, hi float64) float64 {
	const g = 0.6180339887498949
	for hi-lo > 1e-9 {
		a, b := hi-g*(hi-lo), lo+g*(hi-lo)
		if f(a) > f(b) {
			hi = b
		} else {
			lo = a
		}
	}
	return (lo + hi) / 2
}

// kicks returns the whole kicks, toe top to toe top, between two times.
func (m *motion) kicks(from, to float64) []TrueKick {
	tops, bottoms := m.extremes(from, to, 1), m.extremes(from, to, -1)
	var out []TrueKick
	for i := 1; i < len(tops); i++ {
		for _, b := range bottoms {
			if b > tops[i-1] && b < tops[i] {
				out = append(out, m.kick(tops[i-1], b, tops[i]))
				break
			}
		}
	}
	return out
}

// kick measures one whole kick of the continuous motion.
func (m *motion) kick(start, bottom, end float64) TrueKick {
	knee, ankle, down, up := newRange(), newRange(), 0.0, 0.0
	last := m.across(body.Toe, start)
	n := int((end - start) / fine)
	for i := 1; i <= n; i++ {
		t := start + float64(i)*fine
		post := m.posture(t)
		knee.add(post.Joints[body.KneeJoint] / deg)
		ankle.add(post.Joints[body.AnkleJoint] / deg)
		y := m.across(body.Toe, t)
		down, up = math.Max(down, (last-y)/fine), math.Max(up, (y-last)/fine)
		last = y
	}
	period := end - start
	a, b := m.centre(start), m.centre(end)
	speed := math.Hypot(b.X-a.X, b.Y-a.Y) / period
	amplitude := m.across(body.Toe, start) - m.across(body.Toe, bottom)
	return TrueKick{Start: start, Bottom: bottom, End: end, Values: map[string]float64{
		"speed": speed, "kick_frequency": 1 / period, "kick_length": speed * period, "toe_amplitude": amplitude,
		"strouhal": amplitude / period / speed, "downkick_duration": bottom - start, "upkick_duration": end - bottom,
		"knee_flexion_max": knee.hi, "knee_range": knee.hi - knee.lo, "ankle_min": ankle.lo, "ankle_max": ankle.hi,
		"toe_peak_speed_down": down, "toe_peak_speed_up": up,
	}}
}

// centre returns the swimmer's centre of mass at a time, m.
func (m *motion) centre(t float64) body.Point {
	one := body.Motion{T: []float64{t}}
	for l, p := range m.landmarks(t) {
		if needed[l] {
			one.Paths[l] = &body.Path{X: []float64{p.X}, Y: []float64{p.Y}}
		}
	}
	path, _, _ := body.CentreOfMass(one, m.subject) // all needed landmarks are there
	return body.Point{X: path.X[0], Y: path.Y[0]}
}

type span struct{ lo, hi float64 }

func newRange() *span { return &span{math.Inf(1), math.Inf(-1)} }

func (s *span) add(v float64) { s.lo, s.hi = math.Min(s.lo, v), math.Max(s.hi, v) }

var trueUnits = []struct{ id, unit string }{
	{"speed", "m/s"},
	{"kick_frequency", "Hz"},
	{"kick_length", "m"},
	{"toe_amplitude", "m"},
	{"strouhal", "1"},
	{"downkick_duration", "s"},
	{"upkick_duration", "s"},
	{"knee_flexion_max", "deg"},
	{"knee_range", "deg"},
	{"ankle_min", "deg"},
	{"ankle_max", "deg"},
	{"toe_peak_speed_down", "m/s"},
	{"toe_peak_speed_up", "m/s"},
}

// measures returns the run's measures: speed and tempo over all kicks, the others as
// mean and SD over them.
func (m *motion) measures(kicks []TrueKick) []TrueMeasure {
	var out []TrueMeasure
	run := m.kickTotals(kicks)
	for _, u := range trueUnits {
		sum, squares, n := 0.0, 0.0, float64(len(kicks))
		for _, k := range kicks {
			sum += k.Values[u.id]
		}
		mean := sum / n
		for _, k := range kicks {
			squares += (k.Values[u.id] - mean) * (k.Values[u.id] - mean)
		}
		tm := TrueMeasure{ID: u.id, Unit: u.unit, Value: mean, SD: math.Sqrt(squares / math.Max(1, n-1))}
		if v, ok := run[u.id]; ok {
			tm.Value = v
		}
		out = append(out, tm)
	}
	return out
}

// kickTotals are the measures that are of the whole run.
func (m *motion) kickTotals(kicks []TrueKick) map[string]float64 {
	first, last := kicks[0].Start, kicks[len(kicks)-1].End
	a, b := m.centre(first), m.centre(last)
	speed := math.Hypot(b.X-a.X, b.Y-a.Y) / (last - first)
	f := float64(len(kicks)) / (last - first)
	amplitude := 0.0
	for _, k := range kicks {
		amplitude += k.Values["toe_amplitude"] / float64(len(kicks))
	}
	return map[string]float64{"speed": speed, "kick_frequency": f, "kick_length": speed / f, "strouhal": f * amplitude / speed}
}
