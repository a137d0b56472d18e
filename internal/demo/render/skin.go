package render

import (
	"math"

	"underkick/internal/body"
)

// footRest is the ankle's angle in which the foot's outline is drawn, rad.
const footRest = 30 * math.Pi / 180

// turned returns the point of the foot's frame in the frame of a shank to which the
// foot stands at an angle.
func (p offset) turned(angle float64) offset {
	s, c := math.Sincos(angle)
	return offset{c*p.along - s*p.back, s*p.along + c*p.back}
}

// pose is a swimmer's posture ready for skinning: joints and the directions of the
// segments that meet there.
type pose struct {
	at    [body.NumLandmarks]body.Point
	angle [body.NumSegments]float64
	wide  float64 // scale of thickness
	long  float64 // scale of length
}

// meeting returns the segments towards the hands and towards the feet at a joint, and
// the turn between them in which the outline is drawn.
func meeting(joint body.Landmark) (cranial, caudal body.Segment, rest float64) {
	switch joint {
	case body.Shoulder:
		return body.Arms, body.Trunk, 0
	case body.Hip:
		return body.Trunk, body.Thighs, 0
	case body.Knee:
		return body.Thighs, body.Shanks, 0
	case body.Ankle:
		return body.Shanks, body.Feet, footRest
	}
	panic("render: an outline hangs on a landmark that is no joint")
}

// place returns where an outline point lies in the swimmer's own plane. Between two
// segments it turns by its share without coming closer to the joint.
func (p *pose) place(r *ring, q offset) (x, y float64) {
	cranial, caudal, rest := meeting(r.joint)
	along, back := q.along*p.long, q.back*p.wide
	turn := body.Wrap(p.angle[caudal]-p.angle[cranial]) - rest
	s, c := math.Sincos(p.angle[cranial] + r.turn*turn)
	j := p.at[r.joint]
	return j.X + along*c - back*s, j.Y + along*s + back*c
}

// vertex is a point of the skin in the picture.
type vertex struct {
	px, py  float64 // px
	x, y, z float64 // pool, m
	n       vec     // unit normal
	s, phi  float64 // along the stretched body, m, and around the section, rad
}

const (
	around = 13 // points around the visible half of a section
	finer  = 4  // sections drawn between two rings
)

// mesh is the visible half of one part's skin: around points for each section.
type mesh struct {
	part  part
	rows  int
	point []vertex
}

// section is a ring placed in the pool.
type section struct{ bx, by, fx, fy, width, side, along float64 }

// build skins an outline for a pose.
func (m *mesh) build(o *outline, p *pose, place func(x, y float64) (px, py, wx, wy float64)) {
	n := len(o.rings)
	sections := make([]section, n)
	for i := range o.rings {
		r := &o.rings[i]
		s := &sections[i]
		s.bx, s.by = p.place(r, r.back)
		s.fx, s.fy = p.place(r, r.front)
		s.width, s.side, s.along = r.width*p.wide, r.side*p.wide, r.along
	}
	m.part, m.rows = o.part, (n-1)*finer+1
	if cap(m.point) < m.rows*around {
		m.point = make([]vertex, m.rows*around)
	}
	m.point = m.point[:m.rows*around]
	for i := range m.rows {
		k, u := i/finer, float64(i%finer)/finer
		s := between(sections, k, u)
		m.ring(i, &s, place)
	}
	m.normals()
}

// ring fills the points of one section.
func (m *mesh) ring(i int, s *section, place func(x, y float64) (px, py, wx, wy float64)) {
	mx, my, hx, hy := (s.bx+s.fx)/2, (s.by+s.fy)/2, (s.bx-s.fx)/2, (s.by-s.fy)/2
	for j := range around {
		phi := math.Pi * (float64(j)/(around-1) - 0.5)
		sin, cos := math.Sincos(phi)
		v := &m.point[i*around+j]
		v.px, v.py, v.x, v.y = place(mx+hx*sin, my+hy*sin)
		v.z = s.side + s.width*cos
		v.s, v.phi = s.along, phi
	}
}

// normals sets the unit normals from the neighbours, out of the body: the half that is
// drawn faces the camera on the whole.
func (m *mesh) normals() {
	at := func(i, j int) vec {
		v := &m.point[i*around+j]
		return vec{v.x, v.y, v.z}
	}
	facing := 0.0
	for i := range m.rows {
		for j := range around {
			a := at(min(i+1, m.rows-1), j).sub(at(max(i-1, 0), j))
			b := at(i, min(j+1, around-1)).sub(at(i, max(j-1, 0)))
			n := a.cross(b).unit()
			m.point[i*around+j].n = n
			facing += n.z
		}
	}
	if facing < 0 {
		for i := range m.point {
			m.point[i].n = m.point[i].n.scale(-1)
		}
	}
}

// between is the Catmull-Rom curve through the sections, at the fraction u after k.
func between(s []section, k int, u float64) section {
	last := len(s) - 1
	if k >= last {
		return s[last]
	}
	a, b, c, d := &s[max(k-1, 0)], &s[k], &s[k+1], &s[min(k+2, last)]
	f := func(p, q, r, t float64) float64 {
		return q + u/2*(r-p+u*(2*p-5*q+4*r-t+u*(3*q-p-3*r+t)))
	}
	return section{
		bx: f(a.bx, b.bx, c.bx, d.bx), by: f(a.by, b.by, c.by, d.by),
		fx: f(a.fx, b.fx, c.fx, d.fx), fy: f(a.fy, b.fy, c.fy, d.fy),
		width: f(a.width, b.width, c.width, d.width), side: f(a.side, b.side, c.side, d.side),
		along: b.along + u*(c.along-b.along),
	}
}
