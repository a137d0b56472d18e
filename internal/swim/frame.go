package swim

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/series"
)

// frame is the body at one phase of a kick, seen from the trunk (below the rib where it
// bends): the trunk lies along x with the hip at the origin. It holds all that does not depend on the hip's motion.
type frame struct {
	seg [maxLinks]place // the last one of a trunk that bends alone
	// inverse of the symmetric mass matrix of body and carried water for (Vx, Vy, Om)
	xx, xy, xo, yy, yo, oo float64
	// momentum and moment about the hip at zero hip motion, from the joint rates
	nx, ny, no float64
}

// place is where a segment is and how it moves against the trunk.
type place struct {
	ex, ey float64 // unit vector to the cranial end
	cx, cy float64 // cranial end C
	along  float64 // C x e: adds Om along to u
	across float64 // C . e: adds Om across to w
	u, w   float64 // velocity of C from the joint rates, along e and n
	rate   float64 // angular velocity against the trunk
}

// frames returns the body at n evenly spaced phases of k.
func (m *Model) frames(k Kick, n int) []frame {
	f := make([]frame, n)
	angle, rate := tabulate(k, n)
	for i := range f {
		m.setFrame(&f[i], angle[i], rate[i])
	}
	return f
}

// tabulate returns the joint angles and their time derivatives at n phases.
func tabulate(k Kick, n int) (angle, rate [][body.NumJoints]float64) {
	angle, rate = make([][body.NumJoints]float64, n), make([][body.NumJoints]float64, n)
	for j, f := range k.Joints {
		for i := range angle {
			angle[i][j], rate[i][j] = valueAndRate(f, float64(i)/float64(n), k.Tempo)
		}
	}
	return angle, rate
}

// valueAndRate evaluates a periodic curve and its time derivative with one sine and
// cosine, by the recurrence of multiple angles.
func valueAndRate(f series.Fourier, phase, tempo float64) (value, rate float64) {
	s1, c1 := math.Sincos(2 * math.Pi * phase)
	s, c := 0.0, 1.0
	value = f.Mean
	for h := range f.Cos {
		s, c = s*c1+c*s1, c*c1-s*s1
		value += f.Cos[h]*c + f.Sin[h]*s
		rate += float64(h+1) * (f.Sin[h]*c - f.Cos[h]*s)
	}
	return value, rate * 2 * math.Pi * tempo
}

func (m *Model) setFrame(f *frame, angle, rate [body.NumJoints]float64) {
	at, turn := body.Posture{Joints: angle}, body.Posture{Joints: rate} // the same sums of rates
	th, om := at.Angles(), turn.Angles()
	for g := range th {
		p := &f.seg[g]
		p.ey, p.ex = math.Sincos(th[g])
		p.rate = om[g]
	}
	if m.Bends() {
		p := &f.seg[chest]
		p.ey, p.ex = math.Sincos(at.Chest())
		p.rate = turn.Chest()
	}
	var vx, vy [maxLinks]float64
	m.setCranial(f, &vx, &vy)
	for g := range m.n {
		p := &f.seg[g]
		p.along = p.cx*p.ey - p.cy*p.ex
		p.across = p.cx*p.ex + p.cy*p.ey
		p.u = vx[g]*p.ex + vy[g]*p.ey
		p.w = -vx[g]*p.ey + vy[g]*p.ex
	}
	m.setMass(f)
}

// setCranial fills the cranial ends and returns their velocities from the joint rates.
func (m *Model) setCranial(f *frame, vx, vy *[maxLinks]float64) {
	s := &f.seg
	// to puts link g at the cranial end of link by, which starts at (x, y), or with
	// a negative length at its caudal end.
	to := func(g, by int, length, x, y, ux, uy float64) {
		p := &s[by]
		s[g].cx, s[g].cy = x+length*p.ex, y+length*p.ey
		vx[g], vy[g] = ux-length*p.rate*p.ey, uy+length*p.rate*p.ex
	}
	const trunk = int(body.Trunk)
	to(trunk, trunk, m.links[trunk].Length, 0, 0, 0, 0)
	top := trunk
	if m.Bends() {
		top = chest
		to(chest, chest, m.links[chest].Length, s[trunk].cx, s[trunk].cy, vx[trunk], vy[trunk])
	}
	to(int(body.Arms), int(body.Arms), m.links[body.Arms].Length, s[top].cx, s[top].cy, vx[top], vy[top])
	for g := int(body.Shanks); g <= int(body.Feet); g++ { // the thighs start at the hip, at rest
		to(g, g-1, -m.links[g-1].Length, s[g-1].cx, s[g-1].cy, vx[g-1], vy[g-1])
	}
}

// setMass fills the mass matrix's inverse and the momenta at zero hip motion.
func (m *Model) setMass(f *frame) {
	var xx, xy, xo, yy, yo, oo float64
	f.nx, f.ny, f.no = 0, 0, 0
	for g := range m.n {
		p, link, st := &f.seg[g], &m.links[g], m.strips[g]
		// body: mass at its centre
		rx, ry := p.cx-link.Centre*p.ex, p.cy-link.Centre*p.ey
		xx, yy = xx+link.Mass, yy+link.Mass
		xo, yo = xo-link.Mass*ry, yo+link.Mass*rx
		oo += link.Mass*(rx*rx+ry*ry) + link.Inertia
		w := p.w - link.Centre*p.rate
		bx, by := link.Mass*(p.u*p.ex-w*p.ey), link.Mass*(p.u*p.ey+w*p.ex)
		f.nx, f.ny = f.nx+bx, f.ny+by
		f.no += rx*by - ry*bx + link.Inertia*p.rate
		// water: mu0 across, surge along
		cross := st.Mu0*p.across - st.Mu1
		xx += st.Mu0*p.ey*p.ey + st.Surge*p.ex*p.ex
		xy += (st.Surge - st.Mu0) * p.ex * p.ey
		yy += st.Mu0*p.ex*p.ex + st.Surge*p.ey*p.ey
		xo += -cross*p.ey + st.Surge*p.along*p.ex
		yo += cross*p.ex + st.Surge*p.along*p.ey
		oo += st.Mu0*p.across*p.across - 2*st.Mu1*p.across + st.Mu2 + st.Surge*p.along*p.along
		along, across, moment := st.Carried(p.u, p.w, p.rate)
		f.nx += along*p.ex - across*p.ey
		f.ny += along*p.ey + across*p.ex
		f.no += along*p.along + across*p.across + moment
	}
	f.invert(xx, xy, xo, yy, yo, oo)
}

// invert stores the inverse of the symmetric 3x3 mass matrix.
func (f *frame) invert(xx, xy, xo, yy, yo, oo float64) {
	a, b, c := yy*oo-yo*yo, xo*yo-xy*oo, xy*yo-xo*yy
	det := xx*a + xy*b + xo*c
	f.xx, f.xy, f.xo = a/det, b/det, c/det
	f.yy, f.yo = (xx*oo-xo*xo)/det, (xy*xo-xx*yo)/det
	f.oo = (xx*yy - xy*xy) / det
}

// motion returns the hip's velocity and the trunk's rate, in the trunk's axes, that
// belong to the momentum (px, py) in the trunk's axes and the moment h.
func (f *frame) motion(px, py, h float64) (vx, vy, om float64) {
	px, py, h = px-f.nx, py-f.ny, h-f.no
	return f.xx*px + f.xy*py + f.xo*h, f.xy*px + f.yy*py + f.yo*h, f.xo*px + f.yo*py + f.oo*h
}

// momentum is the inverse of motion.
func (m *Model) momentum(f *frame, vx, vy, om float64) (px, py, h float64) {
	px, py, h = f.nx, f.ny, f.no
	for g := range m.n {
		p, link, st := &f.seg[g], &m.links[g], m.strips[g]
		rx, ry := p.cx-link.Centre*p.ex, p.cy-link.Centre*p.ey
		bx, by := link.Mass*(vx-om*ry), link.Mass*(vy+om*rx)
		u, w := vx*p.ex+vy*p.ey+om*p.along, -vx*p.ey+vy*p.ex+om*p.across
		along, across, moment := st.Carried(u, w, om)
		px += bx + along*p.ex - across*p.ey
		py += by + along*p.ey + across*p.ex
		h += rx*by - ry*bx + link.Inertia*om + along*p.along + across*p.across + moment
	}
	return px, py, h
}
