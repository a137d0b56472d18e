package swim

import (
	"errors"
	"math"
)

// ErrNoSteadySwim says that no steady swim was found for a kick: no number may be
// shown for it.
var ErrNoSteadySwim = errors.New("the model finds no steady swim for this kick")

// unknowns of the shooting, each over its scale: pitch at phase 0, momentum x and y,
// moment, trim force, trim moment, and the drag factor or the tow force.
type unknowns [7]float64

// The scales, per kg of body mass where momentum is meant.
const (
	pitchScale = 0.05 // rad
	spinScale  = 0.3  // N m s per kg
	trimScale  = 20   // N and N m
	kdScale    = 0.5
	towScale   = 40 // N

	usualSpeed = 1.4 // m/s, to start from
	usualTempo = 2.2 // Hz, of swimmers of that speed

	tolerance    = 1e-6 // of the scaled residual
	jacobianStep = 1e-5
	maxSteps     = 60 // Newton and Broyden steps before giving up
	maxHalvings  = 8
)

// shooting is one search for a periodic orbit.
type shooting struct {
	model  *Model
	frames []frame
	period float64
	pitch  float64 // wanted mean pitch, rad
	speed  float64 // wanted mean speed, m/s; 0 = free
	tow    bool    // the seventh unknown is the tow force, else the drag factor
	kd     float64 // drag factor where it is not unknown
	n      int     // unknowns in use, 6 or 7
	slope  matrix  // Jacobian at some x
	sloped bool    // slope is known
	evals  int
}

// start returns the initial state and the outside loads that x stands for.
func (p *shooting) start(x *unknowns) (state, outside) {
	mass := p.model.Subject.Mass
	s := state{th: x[0] * pitchScale, px: x[1] * mass, py: x[2] * mass, h: x[3] * spinScale * mass}
	o := outside{kd: p.kd, fy: x[4] * trimScale, moment: x[5] * trimScale}
	if p.n == 7 && p.tow {
		o.fx = x[6] * towScale
	} else if p.n == 7 {
		o.kd = x[6] * kdScale
	}
	return s, o
}

// residual returns by how much the swim from x fails to be steady; all zero in a
// steady swim.
func (p *shooting) residual(x *unknowns) (r unknowns) {
	p.evals++
	s, o := p.start(x)
	end, pitch := p.model.integrate(p.frames, p.period, s, &o, nil)
	mass := p.model.Subject.Mass
	r[0] = (end.th - s.th) / pitchScale
	r[1], r[2] = (end.px-s.px)/mass, (end.py-s.py)/mass
	r[3] = (end.h - s.h) / (spinScale * mass)
	r[4] = end.y / p.period
	r[5] = (pitch - p.pitch) / pitchScale
	if p.n == 7 {
		r[6] = end.x/p.period - p.speed
	}
	return r
}

// solveCold finds a steady swim from nothing. A start that leads nowhere is followed by
// starts at other speeds: one in some thousand kicks needs them.
func (p *shooting) solveCold() (x unknowns, err error) {
	speed := p.speed
	if speed == 0 {
		speed = usualSpeed
	}
	for _, factor := range [...]float64{1, 1.4, 0.6, 2} {
		p.sloped = false // another start has other slopes
		if x, err = p.solve(p.cold(factor * speed)); err == nil {
			return x, nil
		}
	}
	return x, err
}

// cold returns a start at the given speed with no heave, no pitch rate and the wanted
// pitch.
func (p *shooting) cold(speed float64) (x unknowns) {
	mass := p.model.Subject.Mass
	sin, cos := math.Sincos(p.pitch)
	bx, by, h := p.model.momentum(&p.frames[0], speed*cos, -speed*sin, 0)
	x[0] = p.pitch / pitchScale
	x[1], x[2] = (cos*bx-sin*by)/mass, (sin*bx+cos*by)/mass
	x[3] = h / (spinScale * mass)
	if !p.tow {
		x[6] = p.kd / kdScale
	}
	return x
}

// solve finds a steady swim from x: Newton steps with a forward-difference Jacobian,
// kept up to date by Broyden's rank-one change as long as each step takes the residual
// down by more than a factor of five. It starts with p.slope if that is known, the
// Jacobian of a swim nearby, and leaves its last one there.
func (p *shooting) solve(x unknowns) (unknowns, error) {
	r := p.residual(&x)
	size := p.size(&r)
	j := &p.slope
	fresh := p.sloped
	for range maxSteps {
		if size < tolerance {
			return x, nil
		}
		if math.IsNaN(size) {
			return x, ErrNoSteadySwim
		}
		if !fresh {
			p.jacobian(&x, &r)
		}
		dx, ok := j.solve(&r, p.n)
		if !ok {
			return x, ErrNoSteadySwim
		}
		next, nextR, nextSize, ok := p.step(&x, &dx, size)
		if !ok {
			if fresh { // an old Jacobian: try again with a new one
				fresh = false
				continue
			}
			return x, ErrNoSteadySwim
		}
		fresh = nextSize < size/5
		if fresh {
			j.broyden(&x, &next, &r, &nextR, p.n)
		}
		x, r, size = next, nextR, nextSize
	}
	return x, ErrNoSteadySwim
}

// step goes from x against dx, halving until the residual falls.
func (p *shooting) step(x, dx *unknowns, size float64) (next, r unknowns, nextSize float64, ok bool) {
	k := 1.0
	for range maxHalvings {
		next = *x
		for i := range p.n {
			next[i] -= k * dx[i]
		}
		r = p.residual(&next)
		if nextSize = p.size(&r); nextSize < size {
			return next, r, nextSize, true
		}
		k /= 2
	}
	return next, r, nextSize, false
}

// size is the largest part of a residual; NaN if one is not a number.
func (p *shooting) size(r *unknowns) float64 {
	largest := 0.0
	for _, v := range r[:p.n] {
		largest = math.Max(largest, math.Abs(v)) // keeps NaN
	}
	return largest
}

// jacobian sets the slope at x, whose residual is r.
func (p *shooting) jacobian(x, r *unknowns) {
	p.sloped = true
	for c := range p.n {
		moved := *x
		moved[c] += jacobianStep
		rc := p.residual(&moved)
		for i := range p.n {
			p.slope[i][c] = (rc[i] - r[i]) / jacobianStep
		}
	}
}

// matrix is the Jacobian; its first n rows and columns are in use.
type matrix [7]unknowns

// broyden changes the matrix so that it explains the last step exactly.
func (j *matrix) broyden(x, next, r, nextR *unknowns, n int) {
	var dx unknowns
	norm := 0.0
	for i := range n {
		dx[i] = next[i] - x[i]
		norm += dx[i] * dx[i]
	}
	for i := range n {
		miss := nextR[i] - r[i]
		for c := range n {
			miss -= j[i][c] * dx[c]
		}
		for c := range n {
			j[i][c] += miss * dx[c] / norm
		}
	}
}

// solve returns the solution of j dx = r by elimination with row exchange; ok is false
// if the matrix has no inverse.
func (j matrix) solve(r *unknowns, n int) (dx unknowns, ok bool) {
	b := *r
	for c := range n {
		top := c
		for i := c + 1; i < n; i++ {
			if math.Abs(j[i][c]) > math.Abs(j[top][c]) {
				top = i
			}
		}
		if !(math.Abs(j[top][c]) > 1e-12) {
			return dx, false
		}
		j[c], j[top] = j[top], j[c]
		b[c], b[top] = b[top], b[c]
		for i := c + 1; i < n; i++ {
			k := j[i][c] / j[c][c]
			for cc := c; cc < n; cc++ {
				j[i][cc] -= k * j[c][cc]
			}
			b[i] -= k * b[c]
		}
	}
	for i := n - 1; i >= 0; i-- {
		dx[i] = b[i]
		for c := i + 1; c < n; c++ {
			dx[i] -= j[i][c] * dx[c]
		}
		dx[i] /= j[i][i]
	}
	return dx, true
}
