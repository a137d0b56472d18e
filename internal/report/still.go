package report

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strconv"
	"strings"
)

// Still is one framed picture of a kick's key moment.
type Still struct {
	Picture           string  // address of the whole picture
	WidthPx, HeightPx float64 // of the whole picture
	Crop              Box     // part that is shown, px
	Title             string  // read to people who do not see it
	Points            map[string]Point
	Facing            []Facing
	LineDeg           float64 // direction of travel on the picture, degrees clockwise from +x
}

// Box is a part of a picture, px.
type Box struct{ X, Y, W, H float64 }

// Point is a place on a picture, px.
type Point struct{ X, Y float64 }

// Facing is a segment with the part of it that faces back while it moves.
type Facing struct {
	From, To string  // landmarks at its ends, the toe side last
	Part     float64 // 0..1; NaN: not known, nothing is drawn
}

// bodyLine is the order in which landmarks are joined on the picture.
var bodyLine = []string{"fingertip", "wrist", "elbow", "shoulder", "rib", "hip", "knee", "ankle", "toe"}

// SVG returns the picture, cropped by the view box, with the body drawn over it
// and the backward-facing part of shank and foot hatched.
func (s Still) SVG() template.HTML {
	var b strings.Builder
	c := s.Crop
	fmt.Fprintf(&b, `<svg class="still film" viewBox="%s %s %s %s" role="img" aria-label="%s" preserveAspectRatio="xMidYMid slice" xmlns="http://www.w3.org/2000/svg">`,
		px(c.X), px(c.Y), px(c.W), px(c.H), html.EscapeString(s.Title))
	fmt.Fprintf(&b, `<image href="%s" x="0" y="0" width="%s" height="%s" preserveAspectRatio="none"/>`,
		html.EscapeString(s.Picture), px(s.WidthPx), px(s.HeightPx))
	unit := c.W / 320 // one CSS pixel of a still about 320 px wide
	s.drawTravel(&b, unit)
	s.drawBody(&b, unit)
	for _, f := range s.Facing {
		s.drawFacing(&b, f, unit)
	}
	b.WriteString("</svg>")
	return template.HTML(b.String()) //nolint:gosec // every text is escaped above
}

// drawTravel draws the body line: parallel to the travel line through the hip.
func (s Still) drawTravel(b *strings.Builder, unit float64) {
	hip, ok := s.Points["hip"]
	if !ok {
		return
	}
	sin, cos := math.Sincos(s.LineDeg * math.Pi / 180)
	r := s.Crop.W + s.Crop.H
	d := fmt.Sprintf("M%s %sL%s %s", px(hip.X-cos*r), px(hip.Y-sin*r), px(hip.X+cos*r), px(hip.Y+sin*r))
	stroke(b, "casing", d, 2.2*unit, 6*unit)
	stroke(b, "travel", d, 1*unit, 6*unit)
}

func (s Still) drawBody(b *strings.Builder, unit float64) {
	d, pen := "", "M"
	for _, name := range bodyLine {
		if p, ok := s.Points[name]; ok {
			d += pen + px(p.X) + " " + px(p.Y)
			pen = "L"
		}
	}
	ankle, hasAnkle := s.Points["ankle"]
	heel, hasHeel := s.Points["heel"]
	if hasAnkle && hasHeel {
		d += fmt.Sprintf("M%s %sL%s %s", px(ankle.X), px(ankle.Y), px(heel.X), px(heel.Y))
	}
	if d == "" {
		return
	}
	stroke(b, "casing", d, 3.6*unit, 0)
	stroke(b, "body", d, 1.4*unit, 0)
	for _, name := range bodyLine {
		if p, ok := s.Points[name]; ok {
			fmt.Fprintf(b, `<circle class="joint-casing" cx="%s" cy="%s" r="%s" stroke-width="%s"/><circle class="joint" cx="%s" cy="%s" r="%s" stroke-width="%s"/>`,
				px(p.X), px(p.Y), px(3*unit), px(3*unit), px(p.X), px(p.Y), px(3*unit), px(1.3*unit))
		}
	}
}

// drawFacing hatches the backward-facing side of a segment from its toe end, as
// long as the part of it that faces back.
func (s Still) drawFacing(b *strings.Builder, f Facing, unit float64) {
	from, ok1 := s.Points[f.From]
	to, ok2 := s.Points[f.To]
	if !ok1 || !ok2 || !(f.Part > 0) {
		return
	}
	strip := facingStrip(from, to, f.Part, s.LineDeg, 10*unit)
	edge := fmt.Sprintf("M%s %sL%s %sL%s %sL%s %sZ", px(strip[0].X), px(strip[0].Y), px(strip[1].X), px(strip[1].Y),
		px(strip[2].X), px(strip[2].Y), px(strip[3].X), px(strip[3].Y))
	lines := hatch(strip, 5.5*unit)
	stroke(b, "hatch-edge", edge+lines, 2.6*unit, 0)
	stroke(b, "hatch", edge, 1.2*unit, 0)
	stroke(b, "hatch", lines, 1.3*unit, 0)
}

// facingStrip returns the corners of the hatched strip: along the segment from
// its toe end, then back at the given breadth on the side that faces away from
// the swimming direction.
func facingStrip(from, to Point, part, lineDeg, breadth float64) [4]Point {
	ax, ay := from.X-to.X, from.Y-to.Y
	length := math.Hypot(ax, ay)
	if length == 0 {
		return [4]Point{to, to, to, to}
	}
	nx, ny := -ay/length, ax/length
	sin, cos := math.Sincos(lineDeg * math.Pi / 180)
	if nx*cos+ny*sin > 0 {
		nx, ny = -nx, -ny
	}
	end := Point{to.X + ax*math.Min(part, 1), to.Y + ay*math.Min(part, 1)}
	return [4]Point{to, end, {end.X + nx*breadth, end.Y + ny*breadth}, {to.X + nx*breadth, to.Y + ny*breadth}}
}

// hatch returns slanting lines across a strip, one every step px.
func hatch(strip [4]Point, step float64) string {
	length := math.Hypot(strip[1].X-strip[0].X, strip[1].Y-strip[0].Y)
	if length == 0 || step <= 0 {
		return ""
	}
	breadth := math.Hypot(strip[3].X-strip[0].X, strip[3].Y-strip[0].Y)
	var d strings.Builder
	at := func(along, across float64) Point {
		u, v := along/length, across/breadth
		return Point{
			strip[0].X + (strip[1].X-strip[0].X)*u + (strip[3].X-strip[0].X)*v,
			strip[0].Y + (strip[1].Y-strip[0].Y)*u + (strip[3].Y-strip[0].Y)*v,
		}
	}
	for s := step; s < length+breadth; s += step {
		low := at(math.Min(s, length), math.Max(0, s-length))
		high := at(math.Max(0, s-breadth), math.Min(s, breadth))
		fmt.Fprintf(&d, "M%s %sL%s %s", px(low.X), px(low.Y), px(high.X), px(high.Y))
	}
	return d.String()
}

// stroke writes a path of a width, dashed where dash is not 0.
func stroke(b *strings.Builder, class, d string, width, dash float64) {
	fmt.Fprintf(b, `<path class="%s" d="%s" stroke-width="%s"`, class, d, px(width))
	if dash > 0 {
		fmt.Fprintf(b, ` stroke-dasharray="%s %s"`, px(dash), px(dash))
	}
	b.WriteString("/>")
}

// px writes a length to a hundredth of a pixel.
func px(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "0"
	}
	return strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64)
}
