package web

import (
	"fmt"
	"html/template"
	"math"
	"net/http"

	"underkick/internal/body"
	"underkick/internal/chart"
	"underkick/internal/limit/worth"
	"underkick/internal/poolside"
)

// modelPage is a run in the swim model, for experts.
type modelPage struct {
	shell
	poolside.ModelView
	Forces  template.HTML // push, its greatest parts and drag
	Parts   template.HTML // every segment
	Numbers []modelNumber
	Rows    []modelShare
	Drawn   []modelNumber
	Method  string
}

// modelNumber is a number of the model with its words.
type modelNumber struct{ Name, Value, Meaning string }

// modelShare is a segment's part of the push.
type modelShare struct{ Segment, Down, Up string }

func (s *server) model(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.Model(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := modelPage{ModelView: view, Method: worth.Method}
	page.shell = s.shell("Swim model of "+view.Swimmer.Name, "squad")
	page.fill()
	s.render(w, r, http.StatusOK, "model", page)
}

func (p *modelPage) fill() {
	for _, c := range p.Coefficients {
		unit := c.Unit
		if unit == "deg" {
			unit = "°"
		}
		p.Drawn = append(p.Drawn, modelNumber{c.Name, fmt.Sprintf("%.3g%s", c.Value, unit), fmt.Sprintf("%.3g to %.3g%s", c.Low, c.High, unit)})
	}
	if p.Problem != "" {
		return
	}
	c := p.Curves
	p.Forces = p.plot("model: push of the whole body and drag along it", chart.Line{Y: c.Total, Class: "kick", Label: "push"}, chart.Line{Y: c.Drag, Class: "zero", Label: "drag"})
	p.Parts = p.plot("model: push of the feet and of the rest of the legs", chart.Line{Y: c.Push[body.Feet], Class: "kick", Label: "feet"},
		chart.Line{Y: sumOf(c.Push[body.Thighs], c.Push[body.Shanks]), Class: "others", Label: "thighs and shanks"})
	for _, s := range p.Shares {
		p.Rows = append(p.Rows, modelShare{s.Segment, percentage(s.Down), percentage(s.Up)})
	}
	band := ""
	if !math.IsNaN(p.FactorLow) {
		band = fmt.Sprintf(" (%.2f to %.2f)", p.FactorLow, p.FactorHigh)
	}
	p.Numbers = []modelNumber{
		{"personal factor", fmt.Sprintf("%.2f%s", p.Factor, band), "drag along the body, times the model's usual: solved so that the model swims at the measured speed. It takes up every error of the model and is not the swimmer's drag. Usual: 0.6 to 1.6."},
		{"trim force", chart.FormatNumber(100*p.TrimWeight, 1) + " %", "of the body's weight: holds the depth."},
		{"trim moment", chart.FormatNumber(100*p.TrimMoment, 2) + " %", "of weight times height: holds the heading."},
		{"efficiency in the model", percentage(p.Efficiency), "thrust times speed over the model's power. No fact about the swimmer."},
		{"error draws", fmt.Sprintf("%d, %d without a steady swim", p.Draws, p.Lost), "kicks reweighted, marks and scale off, other water; a fifth of them in water that only drags."},
	}
}

// plot draws curves over the kick's phase from toe top to toe top.
func (p *modelPage) plot(title string, lines ...chart.Line) template.HTML {
	plot := chart.Plot{
		Title: title, X: chart.Axis{Min: 0, Max: 1}, Y: chart.Axis{Label: "mean drag = 1 (model)", Zero: true},
		Parts: []chart.Part{{From: 0, To: p.Bottom - p.Top, Label: "downkick"}, {From: p.Bottom - p.Top, To: 1, Label: "upkick", Class: "other"}},
	}
	for _, l := range lines {
		l.X, l.Y = fromTop(p.Curves.Phase, l.Y, p.Top)
		plot.Lines = append(plot.Lines, l)
	}
	plot.Class, plot.Width, plot.Height = "wide", 560, 230
	wide := plot.SVG()
	plot.Class, plot.Width, plot.Height = "narrow", 340, 210
	return template.HTML(wide + plot.SVG()) //nolint:gosec // chart escapes every text
}

// fromTop turns evenly spaced periodic values so that they begin at the phase top, and
// closes the cycle.
func fromTop(phase, y []float64, top float64) (x, out []float64) {
	n := len(phase)
	first := int(math.Ceil(top * float64(n)))
	for i := range n + 1 {
		k := (first + i) % n
		x = append(x, math.Min(1, (float64(first+i)/float64(n))-top))
		out = append(out, y[k])
	}
	return x, out
}

func sumOf(a, b []float64) []float64 {
	out := make([]float64, len(a))
	for i := range out {
		out[i] = a[i] + b[i]
	}
	return out
}

func percentage(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }
