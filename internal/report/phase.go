package report

import (
	"html/template"
	"math"

	"underkick/internal/chart"
	"underkick/internal/kick"
)

// Signal chooses the curve that PhaseCurve draws.
type Signal struct {
	Scale float64                         // from the signal's unit to the one shown; 0: 1
	Name  string                          // "foot speed"
	Unit  string                          // written at the axis
	Max   float64                         // top of the axis; 0: from the data
	Of    func(c kick.Curve) []float64    // of one kick on the phase grid
	InRun func(s *kick.Signals) []float64 // on the run's time grid
}

// FootSpeed is the speed of the foot relative to the hip.
func FootSpeed() Signal {
	return Signal{
		Name: "foot speed", Unit: "m/s",
		Of:    func(c kick.Curve) []float64 { return c.FootSpeed },
		InRun: func(s *kick.Signals) []float64 { return s.FootSpeed },
	}
}

// FootFacing is the part of the foot that faces back while it moves.
func FootFacing() Signal {
	return Signal{
		Name: "foot facing back", Unit: "part", Max: 1,
		Of:    func(c kick.Curve) []float64 { return c.FacingFoot },
		InRun: func(s *kick.Signals) []float64 { return s.FacingFoot },
	}
}

// KneeAngle is the flexion of the knee.
func KneeAngle() Signal {
	return Signal{
		Name: "knee flexion", Unit: "°", Scale: 180 / math.Pi,
		Of:    func(c kick.Curve) []float64 { return c.Knee },
		InRun: func(s *kick.Signals) []float64 { return s.Knee },
	}
}

// AnkleAngle is the angle of the foot against the shank, 0 fully pointed.
func AnkleAngle() Signal {
	return Signal{
		Name: "ankle angle from fully pointed", Unit: "°", Scale: 180 / math.Pi,
		Of:    func(c kick.Curve) []float64 { return c.Ankle },
		InRun: func(s *kick.Signals) []float64 { return s.Ankle },
	}
}

// shown returns values in the unit shown. Resampling may overshoot a limited
// signal's ends by a little; what is drawn stays within them.
func (s Signal) shown(values []float64) []float64 {
	scale := s.Scale
	if scale == 0 {
		scale = 1
	}
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = v * scale
		if s.Max > 0 && !math.IsNaN(v) {
			out[i] = min(max(out[i], 0), s.Max)
		}
	}
	return out
}

// PhaseCurve returns a signal over the phase of a kick, the chosen kick strong
// and the other counted kicks faint, once wide and once narrow (a page shows one
// of them). It is empty when the chosen kick is not whole or has no such signal.
func PhaseCurve(r *kick.Result, chosen int, signal Signal) template.HTML {
	k, ok := wholeKick(r, chosen)
	if !ok {
		return ""
	}
	xs, ys := chosenCurve(&r.Signals, k, signal)
	if len(xs) == 0 {
		return ""
	}
	p := chart.Plot{
		Title: signal.Name + " through kick " + itoa(chosen) + ", from set to the end of the upkick",
		X:     chart.Axis{Min: math.Min(xs[0], 0), Max: 1},
		Y:     chart.Axis{Label: signal.Name + ", " + signal.Unit, Max: signal.Max},
		Parts: []chart.Part{{From: 0, To: 0.5, Label: "downkick"}, {From: 0.5, To: 1, Label: "upkick", Class: "other"}},
		Rules: momentRules(k),
	}
	if signal.Max == 0 {
		p.Y = roundAxis(p.Y, ys, r, signal)
	}
	for _, c := range r.Signals.Curves {
		if c.Counted && c.Kick != chosen {
			p.Lines = append(p.Lines, chart.Line{X: phaseGrid(), Y: signal.shown(signal.Of(c)), Class: "others"})
		}
	}
	p.Lines = append(p.Lines, chart.Line{X: xs, Y: ys, Class: "kick"})
	p.Class, p.Width, p.Height = "wide", 560, 230
	wide := p.SVG()
	p.Class, p.Width, p.Height = "narrow", 340, 210
	return template.HTML(wide + p.SVG()) //nolint:gosec // chart escapes every text
}

// roundAxis sets the axis to round numbers that hold 0 and every kick.
func roundAxis(a chart.Axis, chosen []float64, r *kick.Result, signal Signal) chart.Axis {
	low, high := 0.0, 0.0
	hold := func(ys []float64) {
		for _, y := range ys {
			if !math.IsNaN(y) {
				low, high = math.Min(low, y), math.Max(high, y)
			}
		}
	}
	hold(chosen)
	for _, c := range r.Signals.Curves {
		if c.Counted {
			hold(signal.shown(signal.Of(c)))
		}
	}
	a.Min, a.Max = roundEnds(low, high)
	return a
}

// roundEnds are the next round numbers around low and high.
func roundEnds(low, high float64) (lo, hi float64) {
	step := 0.5
	if high-low > 10 {
		step = 10
	}
	return math.Floor(low/step) * step, math.Max(math.Ceil(high/step)*step, step)
}

// chosenCurve returns the chosen kick's signal from its set, which may come
// before the toe top and then is on the run's time grid, to its end.
func chosenCurve(s *kick.Signals, k kick.Kick, signal Signal) (phase, value []float64) {
	if all := signal.InRun(s); len(all) == len(s.T) {
		for i, t := range s.T {
			if t >= k.Moments.Set && t < k.Start && !math.IsNaN(all[i]) {
				phase, value = append(phase, k.Phase(t)), append(value, all[i])
			}
		}
	}
	for _, c := range s.Curves {
		if c.Kick == k.Number && len(signal.Of(c)) == kick.CurveSamples {
			phase, value = append(phase, phaseGrid()...), append(value, signal.Of(c)...)
			return phase, signal.shown(value)
		}
	}
	return nil, nil
}

// momentRules marks the moments of the downkick, and of the upkick the fastest.
func momentRules(k kick.Kick) []chart.Rule {
	var rules []chart.Rule
	for _, m := range k.Moments.List() {
		if m.Upkick && m.Name != "fastest-up" {
			continue
		}
		rules = append(rules, chart.Rule{At: k.Phase(m.T), Label: m.Name})
	}
	return rules
}

func phaseGrid() []float64 {
	x := make([]float64, kick.CurveSamples)
	for i := range x {
		x[i] = float64(i) / (kick.CurveSamples - 1)
	}
	return x
}

// wholeKick returns the kick with this number.
func wholeKick(r *kick.Result, number int) (kick.Kick, bool) {
	for _, k := range r.Kicks {
		if number > 0 && k.Number == number {
			return k, true
		}
	}
	return kick.Kick{}, false
}
