package report

import (
	"html/template"
	"math"

	"underkick/internal/chart"
	"underkick/internal/kick"
)

// ToePath returns the toe's path of one kick as seen from the hip, with its key
// moments: along the body line to the right, towards the back side up, both in
// metres and to one scale. It is empty when the kick has no such path.
func ToePath(r *kick.Result, chosen int) template.HTML {
	k, ok := wholeKick(r, chosen)
	if !ok {
		return ""
	}
	for _, c := range r.Signals.Curves {
		if c.Kick == chosen && len(c.ToeX) == kick.CurveSamples && len(c.FootSpeed) == kick.CurveSamples {
			p := toePlot(c, r.Signals.Curves)
			p.Title = "toe path of kick " + itoa(chosen) + " seen from the hip, with its key moments"
			markMoments(&p, c, k)
			return template.HTML(p.SVG()) //nolint:gosec // chart escapes every text
		}
	}
	return ""
}

func toePlot(c kick.Curve, all []kick.Curve) chart.Plot {
	x, y, fastest := loopExtent(all)
	x.Bare, y.Bare = false, false
	x.Label, y.Label = "along the body line from the hip, m", "across it, m"
	width := ribbonWidths(c.FootSpeed, fastest, 1.5)
	const half = kick.CurveSamples / 2 // index of the toe bottom
	return chart.Plot{
		Class: "toe-path", Width: 340, Height: 340, Equal: true, X: x, Y: y,
		Ribbons: []chart.Ribbon{
			{X: c.ToeX[half:], Y: c.ToeY[half:], Width: width[half:], Class: "up"},
			{X: c.ToeX[:half+1], Y: c.ToeY[:half+1], Width: width[:half+1]},
		},
	}
}

// markMoments puts a dot and its name at every key moment that lies on the path,
// those of the downkick named on the right, those of the upkick on the left.
func markMoments(p *chart.Plot, c kick.Curve, k kick.Kick) {
	dots := chart.Dots{R: 3.5}
	for _, m := range k.Moments.List() {
		at := k.Phase(m.T) * (kick.CurveSamples - 1)
		i := int(math.Floor(at))
		if i < 0 || i+1 >= kick.CurveSamples || m.Name == "finish-up" {
			continue
		}
		f := at - float64(i)
		x, y := c.ToeX[i]+f*(c.ToeX[i+1]-c.ToeX[i]), c.ToeY[i]+f*(c.ToeY[i+1]-c.ToeY[i])
		dots.X, dots.Y = append(dots.X, x), append(dots.Y, y)
		if near := len(p.Notes); near > 0 && p.Notes[near-1].Left == m.Upkick && math.Hypot(p.Notes[near-1].X-x, p.Notes[near-1].Y-y) < 0.04 {
			p.Notes[near-1].Text += ", " + m.Name
			continue
		}
		p.Notes = append(p.Notes, chart.Note{X: x, Y: y, Text: m.Name, Left: m.Upkick})
	}
	p.Dots = append(p.Dots, dots)
}
