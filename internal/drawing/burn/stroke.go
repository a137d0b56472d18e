package burn

import (
	"image"
	"math"

	"underkick/internal/drawing"
)

// stroke paints a line through points with round joints and ends. Points that are
// no numbers break it.
func (b *Burner) stroke(pts []drawing.Point, width float64, c *image.Uniform) {
	b.begin()
	for i, p := range pts {
		if finite(p) {
			b.round(p, width/2)
		}
		if i > 0 {
			b.bar(pts[i-1], p, width)
		}
	}
	b.paint(c)
}

// leastDash is the shortest dash that is drawn, px: shorter ones run together.
const leastDash = 1

// dashed paints a line through points in dashes of dash px with gaps as long.
func (b *Burner) dashed(pts []drawing.Point, width, dash float64, c *image.Uniform) {
	if dash < leastDash || math.IsInf(dash, 0) {
		b.stroke(pts, width, c)
		return
	}
	b.begin()
	at := 0.0 // along the line, within a dash and its gap
	for i := 1; i < len(pts); i++ {
		p, q := pts[i-1], pts[i]
		length := math.Hypot(q.X-p.X, q.Y-p.Y)
		if !finite(p) || !finite(q) || length == 0 {
			continue
		}
		p, q, before := b.within(p, q)
		at = math.Mod(at+before*length, 2*dash)
		whole := math.Hypot(q.X-p.X, q.Y-p.Y)
		for from := 0.0; from < whole; {
			end := dash // of the dash, or of the gap
			if at >= dash {
				end = 2 * dash
			}
			step := math.Min(whole-from, end-at) + 1e-9 // rounding must not stop the way
			if at < dash {
				b.bar(between(p, q, from/whole), between(p, q, math.Min(1, (from+step)/whole)), width)
			}
			from += step
			at = math.Mod(at+step, 2*dash)
		}
	}
	b.paint(c)
}

func between(p, q drawing.Point, f float64) drawing.Point {
	return pt(p.X+f*(q.X-p.X), p.Y+f*(q.Y-p.Y))
}

// bar adds the straight piece from p to q to the shape, without rounded ends.
func (b *Burner) bar(p, q drawing.Point, width float64) {
	if !finite(p) || !finite(q) {
		return
	}
	p, q, _ = b.within(p, q)
	length := math.Hypot(q.X-p.X, q.Y-p.Y)
	if length == 0 {
		return
	}
	nx, ny := -(q.Y-p.Y)/length*width/2, (q.X-p.X)/length*width/2
	b.loop(pt(p.X+nx, p.Y+ny), pt(p.X-nx, p.Y-ny), pt(q.X-nx, q.Y-ny), pt(q.X+nx, q.Y+ny))
}

// within is the part of a straight piece inside the bounds, and the share of it
// that lies before that part (Liang and Barsky, ACM Trans. Graph. 3, 1984). A piece
// wholly outside becomes a point.
func (b *Burner) within(p, q drawing.Point) (from, to drawing.Point, before float64) {
	lo, hi := b.bounds()
	t0, t1 := 0.0, 1.0
	for _, side := range [4][2]float64{{p.X - q.X, p.X - lo.X}, {q.X - p.X, hi.X - p.X}, {p.Y - q.Y, p.Y - lo.Y}, {q.Y - p.Y, hi.Y - p.Y}} {
		d, room := side[0], side[1]
		switch {
		case d < 0:
			t0 = math.Max(t0, room/d)
		case d > 0:
			t1 = math.Min(t1, room/d)
		case room < 0:
			t1 = -1
		}
	}
	if t0 > t1 {
		return p, p, 0
	}
	return between(p, q, t0), between(p, q, t1), t0
}
