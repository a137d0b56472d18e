package report

import (
	"html/template"
	"math"
	"strings"

	"underkick/internal/chart"
	"underkick/internal/kick"
	"underkick/internal/limit"
)

// Bar returns the bar of a measure: its band, its published range as a bracket
// and the swimmer's earlier values, oldest first, as ticks. A measure without a
// number gets no bar. The text alternative says the same in words.
func Bar(m kick.Measure, published limit.Range, earlier []float64) template.HTML {
	if m.Text != "" || math.IsNaN(m.Value) {
		return ""
	}
	b := chart.Bar{Title: barWords(m, published, earlier), Value: m.Value, Low: m.Low, High: m.High, Earlier: earlier}
	if Doubtful(m) {
		b.Class = "doubtful"
	}
	if isKnown(published) {
		b.Range = &chart.Range{Low: published.Low, High: published.High}
		if published.Orientation {
			b.Class = strings.TrimSpace(b.Class + " orientation")
		}
	}
	b.Min, b.Max = barEnds(b)
	return template.HTML(b.SVG()) //nolint:gosec // chart escapes every text
}

// barReach is how far a bar reaches to both sides of the value, as a part of it.
const barReach = 0.4

// barEnds returns the ends of the line: 40 % of the value to both sides, so that
// a narrow band looks narrow, or twice the band around a value near zero, and as
// far as it takes to hold the range and the earlier values.
func barEnds(b chart.Bar) (lo, hi float64) {
	reach := math.Max(barReach*math.Abs(b.Value), 1e-6)
	if width := b.High - b.Low; width > reach {
		reach = width
	}
	lo, hi = b.Value-reach, b.Value+reach
	others := b.Earlier
	if b.Range != nil {
		others = append([]float64{b.Range.Low, b.Range.High}, others...)
	}
	margin := reach / 10
	for _, x := range others {
		if !math.IsNaN(x) {
			lo, hi = math.Min(lo, x-margin), math.Max(hi, x+margin)
		}
	}
	return lo, hi
}

func isKnown(r limit.Range) bool {
	return len(r.Rows) > 0 && !math.IsNaN(r.Low) && !math.IsNaN(r.High)
}

func barWords(m kick.Measure, published limit.Range, earlier []float64) string {
	words := []string{Value(m)}
	if s := Spread(m); s != "" {
		words = append(words, "band "+s)
	}
	if isKnown(published) {
		text := "published " + WithUnit(m.ID, m.Unit, published.High)
		if published.Low < published.High {
			text = "published " + Number(m.ID, m.Unit, published.Low) + " to " + WithUnit(m.ID, m.Unit, published.High)
		}
		words = append(words, text)
	}
	if n := len(earlier); n > 0 {
		words = append(words, "last time "+WithUnit(m.ID, m.Unit, earlier[n-1]))
	}
	return strings.Join(words, ", ")
}

// Trend returns a small line of one measure from visit to visit, oldest first,
// with its band behind it; nothing for fewer than two visits. low and high are the
// ends of the bands, as long as values.
func Trend(values, low, high []float64, words string) template.HTML {
	if len(values) < 2 {
		return ""
	}
	x := make([]float64, len(values))
	for i := range x {
		x[i] = float64(i)
	}
	last := len(values) - 1
	p := chart.Plot{
		Class: "trend", Title: words, Width: 96, Height: 28,
		X: chart.Axis{Bare: true}, Y: chart.Axis{Bare: true},
		Bands: []chart.Band{{X: x, Low: low, High: high}},
		Lines: []chart.Line{{X: x, Y: values}},
		Dots:  []chart.Dots{{X: x[last:], Y: values[last:], R: 3}},
	}
	return template.HTML(p.SVG()) //nolint:gosec // chart escapes every text
}
