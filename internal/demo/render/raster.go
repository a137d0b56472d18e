package render

import "math"

// fragment is what is seen of the body in one picture point.
type fragment struct {
	z, x, y    float32
	nx, ny, nz float32
	s, phi     float32
	part       part
	hit        bool
}

// canvas holds fragments of a rectangle of the picture.
type canvas struct {
	x0, y0, w, h int
	frag         []fragment
}

// reset makes the canvas an empty rectangle.
func (c *canvas) reset(x0, y0, x1, y1 int) {
	c.x0, c.y0, c.w, c.h = x0, y0, max(0, x1-x0), max(0, y1-y0)
	if n := c.w * c.h; cap(c.frag) < n {
		c.frag = make([]fragment, n)
	} else {
		c.frag = c.frag[:n]
		clear(c.frag)
	}
}

// draw adds a part's skin, its picture moved by (dx, dy) px.
func (c *canvas) draw(m *mesh, dx, dy float64) {
	for i := range m.rows - 1 {
		for j := range around - 1 {
			a, b := &m.point[i*around+j], &m.point[i*around+j+1]
			d, e := &m.point[(i+1)*around+j], &m.point[(i+1)*around+j+1]
			c.triangle(a, b, d, m.part, dx, dy)
			c.triangle(b, e, d, m.part, dx, dy)
		}
	}
}

// triangle fills the picture points whose middle lies in the triangle, nearest first
// by z, with everything interpolated.
func (c *canvas) triangle(a, b, d *vertex, part part, dx, dy float64) {
	ox, oy := float64(c.x0)-dx, float64(c.y0)-dy
	ax, ay, bx, by, ex, ey := a.px-ox, a.py-oy, b.px-ox, b.py-oy, d.px-ox, d.py-oy
	area := (bx-ax)*(ey-ay) - (by-ay)*(ex-ax)
	if math.Abs(area) < 1e-9 {
		return
	}
	left, right := min(ax, bx, ex), max(ax, bx, ex)
	top, low := min(ay, by, ey), max(ay, by, ey)
	x0, x1 := max(0, int(math.Ceil(left-0.5))), min(c.w-1, int(math.Floor(right-0.5)))
	y0, y1 := max(0, int(math.Ceil(top-0.5))), min(c.h-1, int(math.Floor(low-0.5)))
	for y := y0; y <= y1; y++ {
		cy := float64(y) + 0.5
		for x := x0; x <= x1; x++ {
			cx := float64(x) + 0.5
			u := ((bx-cx)*(ey-cy) - (by-cy)*(ex-cx)) / area
			v := ((ex-cx)*(ay-cy) - (ey-cy)*(ax-cx)) / area
			w := 1 - u - v
			if u < 0 || v < 0 || w < 0 {
				continue
			}
			z := float32(u*a.z + v*b.z + w*d.z)
			f := &c.frag[y*c.w+x]
			if f.hit && f.z >= z {
				continue
			}
			*f = fragment{
				z: z, hit: true, part: part,
				x: float32(u*a.x + v*b.x + w*d.x), y: float32(u*a.y + v*b.y + w*d.y),
				nx: float32(u*a.n.x + v*b.n.x + w*d.n.x), ny: float32(u*a.n.y + v*b.n.y + w*d.n.y), nz: float32(u*a.n.z + v*b.n.z + w*d.n.z),
				s: float32(u*a.s + v*b.s + w*d.s), phi: float32(u*a.phi + v*b.phi + w*d.phi),
			}
		}
	}
}
