package report

import (
	"html/template"
	"math"
	"strconv"

	"underkick/internal/chart"
	"underkick/internal/kick"
)

// Loop is the toe path of one kick, as a small drawing to choose the kick by.
type Loop struct {
	Kick    int
	Counted bool
	SVG     template.HTML
}

// ribbon widths of the slowest and the fastest foot, px.
const slowPx, fastPx = 1.0, 6.0

// Loops returns the toe path of every whole kick relative to the hip, all to
// one scale and with the swimming direction to the right. The path is a ribbon,
// as wide as the foot is fast; the dashed line is the body line.
func Loops(r *kick.Result) []Loop {
	x, y, fastest := loopExtent(r.Signals.Curves)
	var loops []Loop
	for _, c := range r.Signals.Curves {
		if len(c.ToeX) == 0 || len(c.FootSpeed) == 0 {
			continue
		}
		width := ribbonWidths(c.FootSpeed, fastest, 1)
		half := len(c.ToeX)/2 + 1
		p := chart.Plot{
			Class: "loop", Title: "toe path of kick " + itoa(c.Kick), Width: 104, Height: 118, Equal: true,
			X: x, Y: y,
			Ribbons: []chart.Ribbon{
				{X: c.ToeX[half-1:], Y: c.ToeY[half-1:], Width: width[half-1:], Class: "up"},
				{X: c.ToeX[:half], Y: c.ToeY[:half], Width: width[:half]},
			},
		}
		loops = append(loops, Loop{Kick: c.Kick, Counted: c.Counted, SVG: template.HTML(p.SVG())}) //nolint:gosec // chart escapes every text
	}
	return loops
}

// ribbonWidths returns the widths of a ribbon whose foot has these speeds, px.
func ribbonWidths(speeds []float64, fastest, size float64) []float64 {
	width := make([]float64, len(speeds))
	for i, v := range speeds {
		width[i] = size * (slowPx + (fastPx-slowPx)*v/fastest)
	}
	return width
}

// loopExtent returns axes that hold every kick's path and the body line, and the
// highest foot speed.
func loopExtent(curves []kick.Curve) (x, y chart.Axis, fastest float64) {
	x = chart.Axis{Bare: true, Min: math.Inf(1), Max: math.Inf(-1)}
	y = chart.Axis{Bare: true, Zero: true}
	fastest = 1e-9
	for _, c := range curves {
		for i := range c.ToeX {
			if math.IsNaN(c.ToeX[i]) || math.IsNaN(c.ToeY[i]) {
				continue
			}
			x.Min, x.Max = math.Min(x.Min, c.ToeX[i]), math.Max(x.Max, c.ToeX[i])
			y.Min, y.Max = math.Min(y.Min, c.ToeY[i]), math.Max(y.Max, c.ToeY[i])
		}
		for _, v := range c.FootSpeed {
			if !math.IsNaN(v) {
				fastest = math.Max(fastest, v)
			}
		}
	}
	if x.Min > x.Max { // no path at all
		x.Min, x.Max = -1, 0
	}
	const margin = 0.04 // m, so that the ribbon's width stays inside
	x.Min, x.Max = x.Min-margin, x.Max+margin
	y.Min, y.Max = y.Min-margin, y.Max+margin
	return x, y, fastest
}

func itoa(n int) string { return strconv.Itoa(n) }
