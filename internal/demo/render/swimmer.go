package render

import (
	"math"

	"underkick/internal/body"
)

// Swimmer is the person in the scene.
type Swimmer struct {
	Subject body.Subject
	Chain   body.Chain
	Look    Look
	// Near and Far give the posture at a time for the side of the nearer and of the
	// farther leg, in the pool's plane of a prone swimmer to the right.
	Near, Far func(t float64) body.Posture
	// Place brings a point of that plane into the scene: it may mirror the swimmer.
	Place   func(x, y float64) (X, Y float64)
	Shutter float64 // time the shutter stays open about t, s
	Samples int     // moments drawn within it
}

// figure draws the swimmer.
type figure struct {
	outlines []outline
	mesh     mesh
	canvas   canvas
	sum      [4][]float32 // red, green, blue, share, summed over the samples
}

func (s *Scene) pose(t float64, far bool) pose {
	w := &s.Swimmer
	post := w.Near(t)
	if far {
		post = w.Far(t)
	}
	long := w.Subject.Height / 1.80
	p := pose{angle: post.Angles(), long: long, wide: math.Sqrt(w.Subject.Mass / 75 / long)}
	p.at = post.Landmarks(w.Chain, w.Subject.Height)
	return p
}

// paint draws the swimmer over the picture at a time.
func (g *figure) paint(img *picture, s *Scene, l *lens, c *caustics, t float64) {
	w := &s.Swimmer
	near := s.pose(t, false)
	g.frameUp(img, s, l, &near)
	n := g.canvas.w * g.canvas.h
	if n == 0 {
		return
	}
	for i := range g.sum {
		g.sum[i] = append(g.sum[i][:0], make([]float32, n)...)
	}
	for k := range w.Samples {
		at := t + ((float64(k)+0.5)/float64(w.Samples)-0.5)*w.Shutter
		g.sample(s, l, at, halton(k+1, 2)-0.5, halton(k+1, 3)-0.5)
		g.shade(s, l, c)
	}
	k := 1 / float32(w.Samples)
	for i := range n {
		if share := g.sum[3][i] * k; share > 0 {
			j := (g.canvas.y0+i/g.canvas.w)*img.w + g.canvas.x0 + i%g.canvas.w
			img.r[j] = img.r[j]*(1-share) + g.sum[0][i]*k
			img.g[j] = img.g[j]*(1-share) + g.sum[1][i]*k
			img.b[j] = img.b[j]*(1-share) + g.sum[2][i]*k
		}
	}
}

// frameUp sets the canvas about the swimmer.
func (g *figure) frameUp(img *picture, s *Scene, l *lens, p *pose) {
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, q := range p.at {
		x, y := s.Swimmer.Place(q.X, q.Y)
		px, py, depth := l.project(vec{x, y, 0})
		margin := 0.24 * l.focal / depth
		x0, x1 = min(x0, px-margin), max(x1, px+margin)
		y0, y1 = min(y0, py-margin), max(y1, py+margin)
	}
	g.canvas.reset(max(0, int(x0)), max(0, int(y0)), min(img.w, int(x1)+1), min(img.h, int(y1)+1))
}

// sample draws one moment with the picture shifted by (dx, dy) px.
func (g *figure) sample(s *Scene, l *lens, t, dx, dy float64) {
	g.canvas.reset(g.canvas.x0, g.canvas.y0, g.canvas.x0+g.canvas.w, g.canvas.y0+g.canvas.h)
	near, far := s.pose(t, false), s.pose(t, true)
	place := func(x, y float64) (px, py, wx, wy float64) {
		wx, wy = s.Swimmer.Place(x, y)
		px, py, _ = l.project(vec{wx, wy, 0})
		return px, py, wx, wy
	}
	for i := range g.outlines {
		o := &g.outlines[i]
		p := &near
		if o.part == farLeg || o.part == farArm {
			p = &far
		}
		g.mesh.build(o, p, place)
		g.canvas.draw(&g.mesh, dx, dy)
	}
}

// shade lights the fragments and adds them to the sums.
func (g *figure) shade(s *Scene, l *lens, c *caustics) {
	dist := l.at.z
	seen, veil := s.through(dist, vec{0, 0, -1})
	for i := range g.canvas.frag {
		f := &g.canvas.frag[i]
		if !f.hit {
			continue
		}
		col := s.lit(f, c).times(seen).add(veil)
		g.sum[0][i] += float32(col.x)
		g.sum[1][i] += float32(col.y)
		g.sum[2][i] += float32(col.z)
		g.sum[3][i]++
	}
}

// lit is the colour of a fragment in the light of the pool: most comes from above, some
// from the walls and the floor, and the moving pattern falls on what faces up.
func (s *Scene) lit(f *fragment, c *caustics) vec {
	albedo, shine := s.Swimmer.Look.coat(f.part, float64(f.s), float64(f.phi))
	n := vec{float64(f.nx), float64(f.ny), float64(f.nz)}.unit()
	light := s.lightAt(float64(f.y))
	pattern := float64(c.at(f.x-float32(s.Water.SunTilt)*f.y, f.z)) - 1
	above := clamp(0.20+0.80*n.y, 0, 1)
	key := above * (1 + 1.25*s.Water.Caustic*pattern)
	side := 0.24 + 0.16*n.y + 0.12*n.z
	bounce := clamp(-n.y, 0, 1) * 0.16
	e := light.scale(0.95*key + side).add(s.Water.Haze.vec().scale(0.30)).add(light.times(s.Pool.Floor.vec()).scale(bounce))
	if f.part == farLeg || f.part == farArm {
		e = e.scale(0.74)
	}
	edge := 0.72 + 0.28*smooth(0, 0.55, n.z) // skin seen at a flat angle darkens against the bright water
	col := albedo.times(e).scale(edge)
	half := vec{0.1, 0.86, 0.5}.unit()
	gloss := math.Pow(clamp(n.dot(half), 0, 1), 18) * shine * (0.6 + 0.8*s.Water.Caustic*math.Max(0, pattern))
	return col.add(light.scale(gloss))
}

// halton is the k-th number of the Halton sequence to a base.
func halton(k, base int) float64 {
	f, r := 1.0, 0.0
	for ; k > 0; k /= base {
		f /= float64(base)
		r += f * float64(k%base)
	}
	return r
}
