package web

import (
	"fmt"
	"html/template"

	"underkick/internal/chart"
	"underkick/internal/wall"
)

// wallChart draws speed over the head's distance with its band, the window for the first kick, the
// breakout and the 15 m line, once wide and once narrow.
func wallChart(name string, p *wall.Plan) template.HTML {
	if len(p.Curve.X) == 0 {
		return ""
	}
	c := p.Curve
	out := c.X[len(c.X)-1]
	plot := chart.Plot{
		Title: fmt.Sprintf("%s: speed of the head over its distance from the wall, from %.1f m/s at %.1f m to %.1f m/s at the breakout at %.1f m",
			name, c.Speed[0], c.X[0], c.Speed[len(c.Speed)-1], out),
		X:     chart.Axis{Label: "head from the wall, m", Min: 0, Max: 15.8, Ticks: chart.RoundTicks(0, 14, 7)},
		Y:     chart.Axis{Label: "speed, m/s"},
		Bands: []chart.Band{{X: c.X, Low: c.Low, High: c.High}},
		Lines: []chart.Line{{X: c.X, Y: c.Speed, Class: "kick"}, {X: []float64{out, wall.Limit}, Y: []float64{p.Surface.Value, p.Surface.Value}, Class: "zero", Label: "swimming"}},
		Rules: []chart.Rule{{At: out, Label: "breakout"}, {At: wall.Limit, Label: "15 m", Class: "limit"}},
	}
	if p.Kicks > 0 {
		plot.Parts = []chart.Part{{From: p.Window[0], To: p.Window[1], Class: "window"}}
		plot.Rules = append([]chart.Rule{{At: (p.Window[0] + p.Window[1]) / 2, Label: "first kick", Class: "none"}}, plot.Rules...)
		plot.Title += fmt.Sprintf("; first kick from %.1f to %.1f m", p.Window[0], p.Window[1])
	}
	plot.Class, plot.Width, plot.Height = "wide", 620, 250
	wide := plot.SVG()
	plot.Class, plot.Width, plot.Height = "narrow", 340, 210
	return template.HTML(wide + plot.SVG()) //nolint:gosec // chart escapes every text
}

// ladderChart draws the runs of a tempo ladder, the curve with its band and the best range.
func ladderChart(l *wall.Ladder) template.HTML {
	var x, y []float64
	for _, s := range l.Steps {
		x, y = append(x, s.Tempo), append(y, s.Speed)
	}
	first, last := l.Curve.X[0], l.Curve.X[len(l.Curve.X)-1]
	margin := (last - first) / 15
	plot := chart.Plot{
		Title: fmt.Sprintf("Speed against kick tempo, %d runs; best from %.2f to %.2f kicks per second", len(x), l.Best[0], l.Best[1]),
		X:     chart.Axis{Label: "kicks per second", Min: first - margin, Max: last + margin, Ticks: chart.RoundTicks(first, last, 6)},
		Y:     chart.Axis{Label: "speed, m/s"},
		Bands: []chart.Band{{X: l.Curve.X, Low: l.Curve.Low, High: l.Curve.High}},
		Lines: []chart.Line{{X: l.Curve.X, Y: l.Curve.Speed, Class: "kick"}},
		Dots:  []chart.Dots{{X: x, Y: y, R: 4}},
		Parts: []chart.Part{{From: l.Best[0], To: l.Best[1], Class: "window"}},
		Rules: []chart.Rule{{At: (l.Best[0] + l.Best[1]) / 2, Label: "best range", Class: "none"}},
	}
	plot.Class, plot.Width, plot.Height = "wide", 620, 250
	wide := plot.SVG()
	plot.Class, plot.Width, plot.Height = "narrow", 340, 210
	return template.HTML(wide + plot.SVG()) //nolint:gosec // chart escapes every text
}
