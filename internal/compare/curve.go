package compare

import (
	"math"
	"slices"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/series"
	"underkick/internal/spread"
)

// Samples is the number of places of a Curve: phase 0, 0.01, ... 1.
const Samples = kick.CurveSamples

// Curve is a signal over the phase of the kick: its mean over the counted kicks of a run
// with the 95 % band of that mean. Slices have Samples values, NaN where not known.
type Curve struct {
	ID   string // "knee"
	Name string // "knee flexion"
	Unit string // "m", "m/s", "deg", "1"

	Mean, Low, High []float64
	SD              []float64 // scatter from kick to kick
	N               []int     // kicks behind each value
	Constant        []float64 // standard error that all kicks of the clip share

	Bounds spread.Bounds // what the signal can be; Low and High lie within it

	Reasons []string // why there is no curve, or why it is doubtful
}

// Known reports whether the curve has any value.
func (c Curve) Known() bool {
	for _, v := range c.Mean {
		if !math.IsNaN(v) {
			return true
		}
	}
	return false
}

// signal is what a Curve is made of.
type signal struct {
	id, name, unit string
	factor         float64 // from the signal's unit to the one of the curve
	of             func(*kick.Signals) []float64
	measures       []string // the curve shares their clip-constant error and their reasons
	relative       bool     // that error grows with the value, as one of scale does
	bounds         spread.Bounds
}

const degree = 180 / math.Pi

// Ids of the toe's two curves, which together are its path in the body frame.
const (
	ToeAcross = "toe_across"
	ToeAlong  = "toe_along"
)

var anything = spread.Unbounded()

var signals = []signal{
	{ToeAcross, "toe across the body line", "m", 1, toeAcross, []string{"toe_above_hip", "toe_below_hip"}, false, anything},
	{ToeAlong, "toe along the body line", "m", 1, toeAlong, []string{"sweep"}, false, anything},
	{"foot_speed", "foot speed", "m/s", 1, func(s *kick.Signals) []float64 { return s.FootSpeed }, []string{"foot_peak_speed_down", "foot_peak_speed_up"}, true, spread.Bounds{Least: 0, Most: math.Inf(1)}},
	{"facing", "part of the foot that faces back", "1", 1, func(s *kick.Signals) []float64 { return s.FacingFoot }, []string{"facing_foot", "facing_foot_upkick"}, false, spread.Bounds{Least: 0, Most: 1}},
	{"hip", "hip flexion", "deg", degree, func(s *kick.Signals) []float64 { return s.Hip }, []string{"hip_flexion_min", "hip_flexion_max"}, false, anything},
	{"knee", "knee flexion", "deg", degree, func(s *kick.Signals) []float64 { return s.Knee }, []string{"knee_flexion_min", "knee_flexion_max"}, false, anything},
	{"ankle", "ankle angle from fully pointed", "deg", degree, func(s *kick.Signals) []float64 { return s.Ankle }, []string{"ankle_min", "ankle_max"}, false, anything},
	{"speed", "speed of the centre of mass", "m/s", 1, func(s *kick.Signals) []float64 { return s.Speed }, []string{"speed"}, true, anything},
}

func toeAcross(s *kick.Signals) []float64 {
	if p := s.Points[body.Toe]; p != nil {
		return p.Y
	}
	return nil
}

func toeAlong(s *kick.Signals) []float64 {
	if p := s.Points[body.Toe]; p != nil {
		return p.X
	}
	return nil
}

// Curves returns every curve of a run, known or not, always in the same order: the toe in
// the body frame (relative to the hip, travel frame), foot speed relative to the hip,
// facing of the foot, hip, knee and ankle angle, speed of the centre of mass. The result
// must hold its signals, which results read from JSON do not.
func Curves(r *kick.Result) []Curve {
	out := make([]Curve, len(signals))
	for i, s := range signals {
		out[i] = s.curve(r)
	}
	return out
}

func (s signal) curve(r *kick.Result) Curve {
	c := Curve{ID: s.id, Name: s.name, Unit: s.unit, N: make([]int, Samples), Bounds: s.bounds}
	for _, field := range []*[]float64{&c.Mean, &c.Low, &c.High, &c.SD, &c.Constant} {
		*field = nans()
	}
	constant, withheld := s.constant(r, &c)
	var kicks [][]float64
	for _, k := range r.Kicks {
		if !k.Counted || withheld {
			continue
		}
		if over := s.over(r, k); over != nil {
			kicks = append(kicks, over)
		}
	}
	at := make([]float64, len(kicks))
	for i := range c.Mean {
		for k := range kicks {
			at[k] = kicks[k][i]
		}
		e := spread.Band(at, 0, 0)
		c.Constant[i] = constant
		if s.relative {
			c.Constant[i] = constant * math.Abs(e.Value)
		}
		e = spread.Band(at, c.Constant[i], 0)
		c.Mean[i], c.SD[i], c.N[i] = e.Value, e.SD, e.N
		c.Low[i], c.High[i] = s.bounds.Cut(e.Value, e.Low, e.High)
	}
	return c
}

// over returns the signal of one kick on the phase grid, nil where the run has none.
// Resampling may overshoot a bounded signal's ends by a little; it is held within them.
func (s signal) over(r *kick.Result, k kick.Kick) []float64 {
	values := s.of(&r.Signals)
	if len(values) == 0 || len(values) != len(r.Signals.T) {
		return nil
	}
	out := series.Resample(r.Signals.T, values, times(k))
	for i := range out {
		if out[i] *= s.factor; !math.IsNaN(out[i]) {
			out[i] = min(max(out[i], s.bounds.Least), s.bounds.Most)
		}
	}
	return out
}

// constant returns the largest clip-constant error of the curve's measures, relative to
// the value where the curve wants it so, and whether the clip cannot give the curve at all.
func (s signal) constant(r *kick.Result, c *Curve) (se float64, withheld bool) {
	for _, id := range s.measures {
		m, _ := r.Measure(id)
		for _, why := range m.Reasons {
			withheld = withheld || why.Withheld
			if !slices.Contains(c.Reasons, why.Text) {
				c.Reasons = append(c.Reasons, why.Text)
			}
		}
		e := limit.ConstantError(m)
		if s.relative {
			e /= math.Abs(m.Value)
		}
		if e > se && !math.IsInf(e, 0) {
			se = e
		}
	}
	return se, withheld
}

// times are the instants of a kick on the phase grid, s.
func times(k kick.Kick) []float64 {
	at := make([]float64, Samples)
	for i := range at {
		at[i] = k.At(phase(i))
	}
	return at
}

// phase is the phase of the i-th sample.
func phase(i int) float64 { return float64(i) / (Samples - 1) }

func nans() []float64 {
	x := make([]float64, Samples)
	for i := range x {
		x[i] = math.NaN()
	}
	return x
}
