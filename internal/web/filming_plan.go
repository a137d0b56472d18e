package web

import (
	"fmt"
	"html"
	"html/template"
	"math"
	"strings"

	"underkick/internal/poolside"
)

// sketch collects the lines of a drawing to scale: metres in, px out.
type sketch struct {
	b      strings.Builder
	scale  float64 // px per m
	x0, y0 float64 // px of the origin
}

func (s *sketch) at(x, y float64) (float64, float64) { return s.x0 + x*s.scale, s.y0 + y*s.scale }

func (s *sketch) line(class string, x1, y1, x2, y2 float64) {
	a, b := s.at(x1, y1)
	c, d := s.at(x2, y2)
	fmt.Fprintf(&s.b, `<line class="%s" x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f"/>`, class, a, b, c, d)
}

func (s *sketch) area(class string, points ...float64) {
	fmt.Fprintf(&s.b, `<polygon class="%s" points="`, class)
	for i := 0; i+1 < len(points); i += 2 {
		x, y := s.at(points[i], points[i+1])
		fmt.Fprintf(&s.b, "%.1f,%.1f ", x, y)
	}
	s.b.WriteString(`"/>`)
}

// text writes words at a place, moved by px.
func (s *sketch) text(anchor string, x, y, byX, byY float64, words string) {
	a, b := s.at(x, y)
	fmt.Fprintf(&s.b, `<text text-anchor="%s" x="%.1f" y="%.1f">%s</text>`, anchor, a+byX, b+byY, html.EscapeString(words))
}

func (s *sketch) dot(class string, x, y, px float64) {
	a, b := s.at(x, y)
	fmt.Fprintf(&s.b, `<circle class="%s" cx="%.1f" cy="%.1f" r="%.1f"/>`, class, a, b, px)
}

// svg closes the drawing.
func (s *sketch) svg(w, h float64, title string) string {
	return fmt.Sprintf(`<svg class="setup" viewBox="0 0 %.0f %.0f" width="%.0f" height="%.0f" role="img" aria-label="%s" xmlns="http://www.w3.org/2000/svg">%s</svg>`,
		w, h, w, h, html.EscapeString(title), s.b.String())
}

// Sizes of the drawings, px.
const (
	planWidth  = 340.0
	planMargin = 16.0
	planWords  = 22.0 // a line of words above or below
	planMost   = 300.0
)

// filmingPlan draws a set-up from above and from the end of the lane, to one scale.
func filmingPlan(c poolside.FilmingCard) template.HTML {
	in := c.Input
	air := 0.25 // room for the camera
	if in.Housing == "window" {
		air += in.BehindM
	}
	wide := max(c.WidthM, c.BodyM, 1)
	deep := air + in.DistanceM + 0.4
	scale := min((planWidth-2*planMargin)/wide, (planMost-2*planWords)/deep, (planWidth-2*planMargin)/(deep+0.2))
	return template.HTML( //nolint:gosec // every text is escaped where it is written
		`<figure>` + fromAbove(c, scale, air, deep) + `<figcaption>From above, to scale.</figcaption></figure>` +
			`<figure>` + fromTheEnd(c, scale, air) + `<figcaption>From the end of the lane, to the same scale.</figcaption></figure>`)
}

func fromAbove(c poolside.FilmingCard, scale, air, deep float64) string {
	in := c.Input
	s := &sketch{scale: scale, x0: planWidth / 2, y0: planWords + 8}
	// y runs from the swimmer's far side to the camera; the lens lies at lens.
	lane, pane := 0.4, 0.4+in.DistanceM
	lens := pane + air - 0.25
	half := c.WidthM / 2
	edge := (planWidth/2 - 1) / scale
	s.area("water", -edge, 0, edge, 0, edge, pane, -edge, pane)
	mouth := 0.0 // half the width that the rays have at the pane
	if in.Housing == "window" {
		mouth = in.BehindM * math.Tan(c.FieldAirDeg*math.Pi/360)
		if in.PaneM > 0 {
			mouth = min(mouth, in.PaneM/2)
		}
		s.line("wall", -edge, pane, -max(mouth, in.PaneM/2), pane)
		s.line("wall", max(mouth, in.PaneM/2), pane, edge, pane)
	}
	s.area("view", 0, lens, -mouth, pane, -half, lane, half, lane, mouth, pane)
	s.line("lane", -edge, lane, edge, lane)
	s.line("swimmer", -c.BodyM/2, lane, c.BodyM/2, lane)
	s.dot("camera", 0, lens, 5)
	s.text("middle", 0, 0, 0, -8, fmt.Sprintf("seen: %.1f m; swimmer, finger tip to toe: %.2f m", c.WidthM, c.BodyM))
	s.text("start", 0, (lane+pane)/2, 6, 0, fmt.Sprintf("%.1f m of water", in.DistanceM))
	s.text("start", 0, lens, 10, 4, "camera")
	return s.svg(planWidth, s.y0+scale*deep+8, fmt.Sprintf("The set-up from above: a camera sees %.1f m of the lane through %.1f m of water; the swimmer is %.2f m long, arms stretched.", c.WidthM, in.DistanceM, c.BodyM))
}

func fromTheEnd(c poolside.FilmingCard, scale, air float64) string {
	in := c.Input
	s := &sketch{scale: scale, x0: planMargin, y0: planWords + 8}
	lens, pane := 0.25, air
	swimmer := air + in.DistanceM
	right := (planWidth - 1 - planMargin) / scale
	tall := c.HeightM / 2
	top, bottom := max(in.CameraDepthM-tall, 0), min(in.CameraDepthM+tall, in.PoolDepthM)
	water := -planMargin / scale
	if in.Housing == "window" {
		water = pane
		s.line("wall", pane, 0, pane, in.PoolDepthM)
	}
	s.area("water", water, 0, right, 0, right, in.PoolDepthM, water, in.PoolDepthM)
	mouth := 0.0 // half the height that the rays have at the pane
	if in.Housing == "window" {
		mouth = in.BehindM * math.Tan(c.FieldAirDeg*math.Pi/360) * float64(in.HeightPx) / float64(in.WidthPx)
	}
	// In the swimmer's plane the view ends at the surface and at the floor.
	s.area("view", lens, in.CameraDepthM, pane, max(in.CameraDepthM-mouth, 0), swimmer, top, swimmer, bottom, pane, min(in.CameraDepthM+mouth, in.PoolDepthM))
	s.line("surface", water, 0, right, 0)
	s.line("floor", water, in.PoolDepthM, right, in.PoolDepthM)
	s.dot("camera", lens, in.CameraDepthM, 5)
	s.dot("body", swimmer, in.SwimmerDepthM, 6)
	s.text("start", max(water, 0), 0, 2, -8, "surface")
	s.text("end", swimmer, in.SwimmerDepthM, -10, 4, fmt.Sprintf("swimmer %.1f m deep", in.SwimmerDepthM))
	above := 20.0
	if in.Housing == "window" {
		above = -10 // clear of the wall's line
	}
	s.text("start", lens, in.CameraDepthM, -4, above, fmt.Sprintf("camera %.1f m deep", in.CameraDepthM))
	return s.svg(planWidth, s.y0+scale*in.PoolDepthM+12, fmt.Sprintf("The set-up from the end of the lane: camera %.1f m and swimmer %.1f m under water, %.1f m deep pool.", in.CameraDepthM, in.SwimmerDepthM, in.PoolDepthM))
}
