package report

import (
	"html/template"
	"math"

	"underkick/internal/chart"
	"underkick/internal/compare"
)

// PhaseLine is a run's curve in a drawing of several.
type PhaseLine struct {
	Curve compare.Curve
	Class string // "a", "b" ...: each line has a colour and a dash of its own
}

// PhaseLines returns curves of several runs on one phase axis, from the toes' highest place over
// their lowest to the next highest; a single one with its band. Lines without any value are
// left out; it is empty when none is left. It is drawn once wide and once narrow, of which
// a page shows one.
func PhaseLines(lines []PhaseLine) template.HTML {
	p := chart.Plot{
		X:     chart.Axis{Min: 0, Max: 1},
		Parts: []chart.Part{{From: 0, To: 0.5, Label: "downkick"}, {From: 0.5, To: 1, Label: "upkick", Class: "other"}},
	}
	low, high := 0.0, 0.0
	hold := func(ys []float64) {
		for _, y := range ys {
			if !math.IsNaN(y) {
				low, high = math.Min(low, y), math.Max(high, y)
			}
		}
	}
	for _, l := range lines {
		if !l.Curve.Known() {
			continue
		}
		hold(l.Curve.Mean)
		p.Title = l.Curve.Name + " through the kick, mean of the counted kicks of each run"
		p.Y.Label = l.Curve.Name + unitWords(l.Curve.Unit)
		p.Lines = append(p.Lines, chart.Line{X: phaseGrid(), Y: l.Curve.Mean, Class: l.Class})
		if len(lines) == 1 {
			hold(l.Curve.Low)
			hold(l.Curve.High)
			p.Bands = append(p.Bands, chart.Band{X: phaseGrid(), Low: l.Curve.Low, High: l.Curve.High})
		}
	}
	if len(p.Lines) == 0 {
		return ""
	}
	p.Y.Min, p.Y.Max = roundEnds(low, high)
	p.Class, p.Width, p.Height = "wide", 660, 200
	wide := p.SVG()
	p.Class, p.Width, p.Height = "narrow", 340, 190
	return template.HTML(wide + p.SVG()) //nolint:gosec // chart escapes every text
}

// unitWords is a curve's unit after its name.
func unitWords(unit string) string {
	switch unit {
	case "1":
		return ""
	case "deg":
		return ", °"
	}
	return ", " + unit
}
