package drawing

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"
)

// Sheet says what a scene is written over.
type Sheet struct {
	Picture           string  // address of the whole picture, or a data: address; "" for none
	Cut               bool    // Picture is the crop's own, already cut and mirrored; else the whole one
	WidthPx, HeightPx float64 // of the whole picture
	Crop              Crop    // part that is shown; zero = all of it
	Title             string  // read to people who do not see it
	Class             string  // of the svg element
	ShownPx           float64 // width at which a file of its own opens; 0 = as wide as its place
}

// SVG writes a scene over its picture as one svg element, without ids, styles or
// scripts. Layers that are off are written hidden, so that a page can switch them.
// It panics unless the sheet has a size.
func SVG(s Scene, sheet Sheet) string {
	c := sheet.Crop
	if c.W == 0 {
		c.W, c.H = sheet.WidthPx, sheet.HeightPx
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="%s" viewBox="0 0 %s %s"`, html.EscapeString(sheet.Class), num(c.W), num(c.H))
	if sheet.ShownPx > 0 {
		fmt.Fprintf(&b, ` width="%s" height="%s"`, num(sheet.ShownPx), num(sheet.ShownPx*c.H/c.W))
	}
	fmt.Fprintf(&b, ` role="img" aria-label="%s" xmlns="http://www.w3.org/2000/svg">`, html.EscapeString(sheet.Title))
	if sheet.Picture != "" {
		writePicture(&b, sheet, c)
	}
	for _, l := range s.Through(c, 0).Layers {
		fmt.Fprintf(&b, `<g data-layer="%s"`, html.EscapeString(string(l.ID)))
		if l.Off {
			b.WriteString(` display="none"`)
		}
		b.WriteString(">")
		for _, shape := range l.Shapes {
			writeShape(&b, shape)
		}
		b.WriteString("</g>")
	}
	b.WriteString("</svg>")
	return b.String()
}

func writePicture(b *strings.Builder, sheet Sheet, c Crop) {
	if sheet.Cut {
		fmt.Fprintf(b, `<image href="%s" width="%s" height="%s" preserveAspectRatio="none"/>`, html.EscapeString(sheet.Picture), num(c.W), num(c.H))
		return
	}
	move := fmt.Sprintf("translate(%s %s)", num(-c.X), num(-c.Y))
	if c.Mirror {
		move = fmt.Sprintf("translate(%s %s) scale(-1 1)", num(c.W+c.X), num(-c.Y))
	}
	fmt.Fprintf(b, `<image href="%s" transform="%s" width="%s" height="%s" preserveAspectRatio="none"/>`,
		html.EscapeString(sheet.Picture), move, num(sheet.WidthPx), num(sheet.HeightPx))
}

func writeShape(b *strings.Builder, shape Shape) {
	switch s := shape.(type) {
	case Line:
		fmt.Fprintf(b, `<path class="%s" d="%s" fill="none"%s stroke-linecap="round" stroke-linejoin="round"/>`,
			s.Role, pathData(s.Points, s.Closed), stroke(s.Role, s.Width, s.Dash))
	case Area:
		fmt.Fprintf(b, `<path class="%s" d="%s"%s/>`, s.Role, pathData(s.Points, true), fill(s.Role))
	case Disc:
		paint := fill(s.Role)
		if s.Width > 0 {
			paint = ` fill="none"` + stroke(s.Role, s.Width, s.Dash)
		}
		fmt.Fprintf(b, `<circle class="%s" cx="%s" cy="%s" r="%s"%s/>`, s.Role, num(s.At.X), num(s.At.Y), num(s.R), paint)
	case Text:
		fmt.Fprintf(b, `<text class="%s" x="%s" y="%s" font-size="%s" text-anchor="%s" font-family="system-ui, sans-serif" font-weight="650"%s%s stroke-linejoin="round" paint-order="stroke">%s</text>`,
			s.Role, num(s.At.X), num(s.At.Y), num(s.Size), anchors[s.Anchor], fill(s.Role),
			stroke(Casing, TextCasing*s.Size, 0), html.EscapeString(s.Words))
	}
}

// TextCasing is the width of the dark line around words, in parts of their size.
const TextCasing = 0.3

var anchors = [...]string{Start: "start", Middle: "middle", End: "end"}

func stroke(r Role, width, dash float64) string {
	c := r.Colour()
	out := fmt.Sprintf(` stroke="%s" stroke-width="%s"`, c.Hex(), num(width))
	if c.A < 255 {
		out += fmt.Sprintf(` stroke-opacity="%s"`, num(float64(c.A)/255))
	}
	if dash > 0 {
		out += fmt.Sprintf(` stroke-dasharray="%s %s"`, num(dash), num(dash))
	}
	return out
}

func fill(r Role) string {
	c := r.Colour()
	out := fmt.Sprintf(` fill="%s"`, c.Hex())
	if c.A < 255 {
		out += fmt.Sprintf(` fill-opacity="%s"`, num(float64(c.A)/255))
	}
	return out
}

func pathData(points []Point, closed bool) string {
	var b strings.Builder
	for i, p := range points {
		if i == 0 {
			b.WriteByte('M')
		} else {
			b.WriteByte('L')
		}
		b.WriteString(num(p.X) + " " + num(p.Y))
	}
	if closed {
		b.WriteByte('Z')
	}
	return b.String()
}

// num writes a length to a hundredth of a px.
func num(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "0"
	}
	r := math.Round(x*100) / 100
	if r == 0 {
		r = 0 // no negative zero
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}
