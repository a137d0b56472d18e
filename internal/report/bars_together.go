package report

import (
	"html/template"
	"math"

	"underkick/internal/chart"
	"underkick/internal/kick"
	"underkick/internal/limit"
)

// BarsTogether returns the bars of one measure in several runs on lines of one scale, so that
// they can be compared by eye. A measure without a number gets no bar.
func BarsTogether(list []kick.Measure) []template.HTML {
	bars := make([]chart.Bar, len(list))
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, m := range list {
		if !drawable(m) {
			continue
		}
		bars[i] = chart.Bar{Title: barWords(m, limit.Range{}, nil), Value: m.Value, Low: m.Low, High: m.High}
		if Doubtful(m) {
			bars[i].Class = "doubtful"
		}
		from, to := barEnds(bars[i])
		lo, hi = math.Min(lo, from), math.Max(hi, to)
	}
	out := make([]template.HTML, len(list))
	for i, m := range list {
		if drawable(m) {
			bars[i].Min, bars[i].Max = lo, hi
			out[i] = template.HTML(bars[i].SVG()) //nolint:gosec // chart escapes every text
		}
	}
	return out
}

func drawable(m kick.Measure) bool { return m.Text == "" && !math.IsNaN(m.Value) }
