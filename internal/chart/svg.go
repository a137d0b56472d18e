package chart

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"
)

// drawing collects SVG elements.
type drawing struct{ b strings.Builder }

// open starts an SVG of w by h pixels with an accessible name. The width and
// height attributes keep text at its true size; a page may scale it down.
func (d *drawing) open(class string, w, h float64, title string) {
	fmt.Fprintf(&d.b, `<svg class="%s" viewBox="0 0 %s %s" width="%s" height="%s" role="img" aria-label="%s" xmlns="http://www.w3.org/2000/svg">`,
		html.EscapeString(class), num(w), num(h), num(w), num(h), html.EscapeString(title))
}

func (d *drawing) close() string {
	d.b.WriteString("</svg>")
	return d.b.String()
}

func (d *drawing) line(class string, x1, y1, x2, y2 float64) {
	fmt.Fprintf(&d.b, `<line class="%s" x1="%s" y1="%s" x2="%s" y2="%s"/>`,
		html.EscapeString(class), num(x1), num(y1), num(x2), num(y2))
}

func (d *drawing) rect(class string, x, y, w, h float64) {
	fmt.Fprintf(&d.b, `<rect class="%s" x="%s" y="%s" width="%s" height="%s"/>`,
		html.EscapeString(class), num(x), num(y), num(w), num(h))
}

func (d *drawing) circle(class string, x, y, r float64) {
	fmt.Fprintf(&d.b, `<circle class="%s" cx="%s" cy="%s" r="%s"/>`,
		html.EscapeString(class), num(x), num(y), num(r))
}

func (d *drawing) path(class, data string) {
	if data != "" {
		fmt.Fprintf(&d.b, `<path class="%s" d="%s"/>`, html.EscapeString(class), data)
	}
}

// text writes s with its anchor ("start", "middle" or "end") at x, y.
func (d *drawing) text(class, anchor string, x, y float64, s string) {
	fmt.Fprintf(&d.b, `<text class="%s" text-anchor="%s" x="%s" y="%s">%s</text>`,
		html.EscapeString(class), anchor, num(x), num(y), html.EscapeString(s))
}

// upright writes s turned a quarter to the left, centred on x, y.
func (d *drawing) upright(class string, x, y float64, s string) {
	fmt.Fprintf(&d.b, `<text class="%s" text-anchor="middle" transform="translate(%s %s) rotate(-90)">%s</text>`,
		html.EscapeString(class), num(x), num(y), html.EscapeString(s))
}

// num writes a coordinate to a tenth of a pixel, without a needless fraction.
func num(x float64) string {
	r := math.Round(x*10) / 10
	if r == 0 {
		r = 0 // no negative zero
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}

// polyline returns path data through the points, broken where one is not finite.
func polyline(xs, ys []float64) string {
	var b strings.Builder
	pen := byte('M')
	for i := range xs {
		if bad(xs[i]) || bad(ys[i]) {
			pen = 'M'
			continue
		}
		b.WriteByte(pen)
		b.WriteString(num(xs[i]) + " " + num(ys[i]))
		pen = 'L'
	}
	return b.String()
}

// bad reports whether x cannot be drawn: not a number, infinite, or so large
// that spans of it would overflow.
func bad(x float64) bool { return math.IsNaN(x) || math.Abs(x) > 1e100 }
