package render

import "math"

// Camera is a pinhole camera in the pool. The zero angles look along -z.
type Camera struct {
	X, Y, Z          float64 // where it stands, m; Z is its distance from the swimmer's plane
	Yaw, Pitch, Roll float64 // turned to the right, upwards, and counter-clockwise in the picture's sense, rad
	FocalPx          float64 // focal length, px
}

// lens is a camera ready for use with a picture size.
type lens struct {
	at             vec
	right, up, out vec // the camera's axes in the pool; out is the line of sight
	focal, cx, cy  float64
}

func (c Camera) lens(w, h int) lens {
	sy, cy := math.Sincos(c.Yaw)
	sp, cp := math.Sincos(c.Pitch)
	sr, cr := math.Sincos(c.Roll)
	out := vec{sy * cp, sp, -cy * cp}
	right := vec{cy, 0, sy}
	up := right.cross(out)
	return lens{
		at: vec{c.X, c.Y, c.Z}, out: out,
		right: right.scale(cr).add(up.scale(sr)), up: up.scale(cr).sub(right.scale(sr)),
		focal: c.FocalPx, cx: float64(w) / 2, cy: float64(h) / 2,
	}
}

// project returns where a place is seen, px, and its depth along the line of sight, m.
func (l *lens) project(p vec) (x, y, depth float64) {
	d := p.sub(l.at)
	depth = d.dot(l.out)
	k := l.focal / depth
	return l.cx + k*d.dot(l.right), l.cy - k*d.dot(l.up), depth
}

// ray returns the unit direction in which the picture point (x, y) looks.
func (l *lens) ray(x, y float64) vec {
	return l.right.scale((x - l.cx) / l.focal).add(l.up.scale((l.cy - y) / l.focal)).add(l.out).unit()
}

// ToPicture returns where the point (x, y) of the swimmer's plane is seen in a picture
// of w by h px, px from its top-left corner.
func (c Camera) ToPicture(w, h int, x, y float64) (xPx, yPx float64) {
	l := c.lens(w, h)
	xPx, yPx, _ = l.project(vec{x, y, 0})
	return xPx, yPx
}
