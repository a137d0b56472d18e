package kick

import (
	"context"
	"math"
	"math/rand/v2"
	"sync"

	"gonum.org/v1/gonum/stat"

	"underkick/internal/body"
	"underkick/internal/series"
	"underkick/internal/spread"
)

// Errors of what is assumed about the swimmer, as relative standard errors.
const (
	assumedHeightRel = 0.03 // height taken from the finger-tip-to-toe length; our choice
	knownHeightRel   = 0.005
	areaRel          = 0.10 // breadths of foot and shank (package body: good to about 10 %)
)

// errorsOf are the standard errors of the run's values.
type errorsOf struct {
	constant row // scale, roll, marking offsets: the same in every kick of the clip
	random   row // marking and tracking, timing: new at every point
}

// noise is what one draw of constant errors changes.
type noise struct {
	scale, roll float64
	offset      [body.NumLandmarks][2]float64 // along and across the landmark's segment, m
	shares      *[body.NumLandmarks]float64
	facts       facts
}

// draw repeats the evaluation with seeded errors: opt.Draws times with new
// constant errors, and as often with new random ones, about the same kicks.
func (r *run) draw(ctx context.Context, m body.Motion, opt Options) (e errorsOf, err error) {
	if len(r.kicks) == 0 || opt.Draws == 0 {
		return e, ctx.Err()
	}
	d := &drawer{run: r, opt: opt, phases: r.pool.phasesOf(r.kicks)}
	r.pool.derive() // segment axes for the offsets
	e.constant, err = d.repeat(ctx, opt.Seed, d.constant)
	if err != nil {
		return e, err
	}
	e.random, err = d.repeat(ctx, opt.Seed+1, d.random)
	return e, err
}

// drawer runs error draws on reused scenes.
type drawer struct {
	*run
	opt    Options
	phases phases
	pool   sync.Pool
}

// repeat returns the standard deviation of the run's values over draws of one
// kind; 0 where fewer than half of the draws have a value.
func (d *drawer) repeat(ctx context.Context, seed uint64, one func(s *scene, rng *rand.Rand) row) (sd row, err error) {
	rows, err := spread.Draws(ctx, d.opt.Draws, seed, func(_ int, rng *rand.Rand) []float64 {
		s, _ := d.pool.Get().(*scene)
		if s == nil {
			s = d.run.pool.like()
		}
		defer d.pool.Put(s)
		out := one(s, rng)
		return out[:]
	})
	if err != nil {
		return sd, err
	}
	known := make([]float64, 0, len(rows))
	for j := range sd {
		known = known[:0]
		for _, v := range rows {
			if !math.IsNaN(v[j]) {
				known = append(known, v[j])
			}
		}
		if len(known) >= 2 && 2*len(known) >= len(rows) {
			sd[j] = d.deviation(known, slot(j))
		}
	}
	return sd, nil
}

// deviation is the standard deviation of draws; of phases about their own mean.
func (d *drawer) deviation(x []float64, j slot) float64 {
	for _, c := range circular {
		if c == j {
			for i := range x {
				x[i] = x[0] + math.Remainder(x[i]-x[0], 1)
			}
		}
	}
	return stat.StdDev(x, nil)
}

// constant evaluates the run with one draw of the errors that all kicks share.
func (d *drawer) constant(s *scene, rng *rand.Rand) row {
	n := d.noise(rng)
	s.copyFrom(d.run.pool)
	d.offset(s, &n)
	sin, cos := math.Sincos(n.roll)
	for i := range s.lm {
		k := &s.lm[i]
		for j := range k.x {
			x, y, vx, vy := k.x[j]*n.scale, k.y[j]*n.scale, k.vx[j]*n.scale, k.vy[j]*n.scale
			k.x[j], k.y[j] = cos*x-sin*y, sin*x+cos*y
			k.vx[j], k.vy[j] = cos*vx-sin*vy, sin*vx+cos*vy
		}
	}
	return d.rerun(s, n.shares, &n.facts, nil)
}

// noise draws the errors that all kicks share.
func (d *drawer) noise(rng *rand.Rand) noise {
	n := noise{
		scale:  1 + d.opt.Noise.ScaleRel*rng.NormFloat64(),
		roll:   d.opt.Noise.Roll * rng.NormFloat64(),
		shares: d.shares[rng.IntN(len(d.shares))],
		facts:  d.facts,
	}
	for l := range n.offset {
		n.offset[l] = [2]float64{d.opt.Noise.OffsetM * rng.NormFloat64(), d.opt.Noise.OffsetM * rng.NormFloat64()}
	}
	rel := knownHeightRel
	if !(d.given.Height > 0) {
		rel = assumedHeightRel
		n.facts.height *= n.scale // it was measured with the same scale
	}
	n.facts.height *= 1 + rel*rng.NormFloat64()
	n.facts.footArea *= math.Max(0.5, 1+areaRel*rng.NormFloat64())
	n.facts.shankArea *= math.Max(0.5, 1+areaRel*rng.NormFloat64())
	for k := range n.facts.places {
		n.facts.places[k] *= n.scale
	}
	return n
}

// offset moves every landmark by its constant offset, which turns with its
// segment: r + R(th) o, v + om R'(th) o. Where the segment is not known it stays
// in the pool's axes.
func (d *drawer) offset(s *scene, n *noise) {
	for i := range s.lm {
		k, o, g := &s.lm[i], n.offset[i], body.Landmark(i).Carrier()
		th, om := d.run.pool.th[g], d.run.pool.om[g]
		for j := range k.x {
			a, w := 0.0, 0.0
			if th != nil && !math.IsNaN(th[j]) {
				a, w = th[j], om[j]
			}
			sin, cos := math.Sincos(a)
			dx, dy := cos*o[0]-sin*o[1], sin*o[0]+cos*o[1]
			k.x[j], k.y[j] = k.x[j]+dx, k.y[j]+dy
			k.vx[j], k.vy[j] = k.vx[j]-w*dy, k.vy[j]+w*dx
		}
	}
}

// random evaluates the run with one draw of the errors of single points, and
// half a frame of timing for every event.
func (d *drawer) random(s *scene, rng *rand.Rand) row {
	if d.opt.Noise.Draw != nil {
		d.posterior(s, d.opt.Noise.Draw(rng))
	} else {
		s.copyFrom(d.run.pool)
		for i := range s.lm {
			d.white(&s.lm[i], d.prep.sd[i], rng)
		}
	}
	return d.rerun(s, d.shares[0], &d.facts, rng)
}

// posterior puts a drawn motion of the fit in place of the measured one.
func (d *drawer) posterior(s *scene, m body.Motion) {
	m = m.Transform(d.prep.sx, 0, 0, d.prep.sy)
	for l, path := range m.Paths {
		if path == nil || !s.lm[l].ok() {
			continue
		}
		k := d.prep.place(m.T, path)
		if path.VX == nil {
			k = d.prep.smooth(k)
		}
		s.lm[l] = k
	}
}

// white adds filtered white noise of the points' SD to one track.
func (d *drawer) white(k *track, sd []float64, rng *rand.Rand) {
	if !k.ok() {
		return
	}
	rate, n := d.prep.hz(), len(k.x)
	cutoff := math.Min(math.Max(floorCutoff, d.prep.cutoff), quarterRate*rate)
	for _, axis := range [2][2][]float64{{k.x, k.vx}, {k.y, k.vy}} {
		e := make([]float64, n)
		for i := range e {
			size := d.opt.Noise.PointM
			if sd != nil && !math.IsNaN(sd[i]) {
				size = sd[i]
			}
			e[i] = size * rng.NormFloat64()
		}
		e = series.LowPass(e, rate, cutoff)
		for i, v := range slope(e, d.prep.dt) {
			axis[0][i] += e[i]
			axis[1][i] += v
		}
	}
}

// rerun takes a disturbed scene in the pool's axes through travel line, events
// and measures. rng, if not nil, moves every event by up to half a frame.
func (d *drawer) rerun(s *scene, shares *[body.NumLandmarks]float64, f *facts, rng *rand.Rand) row {
	s.centre(shares)
	l := d.line
	if d.moving {
		if fit, ok := s.fitLine(d.phases, meanPeriod(d.kicks)); ok {
			l = fit
		}
	}
	s.turn(l)
	s.derive()
	toe := s.lm[s.kicker()].y
	kicks := make([]cycle, len(d.kicks))
	rows := make([]row, len(d.kicks))
	for k, c := range d.kicks {
		kicks[k] = s.again(toe, c)
	}
	if rng != nil {
		jitter(kicks, s.dt, rng)
	}
	for k, c := range kicks {
		rows[k] = s.evaluate(c, f)
	}
	out := overRun(rows, kicks)
	out[climb] = d.prep.sy * (out[climb] + l.angle/degree)
	return out
}

// jitter moves the kicks' events by up to half a frame; a top shared by two kicks
// moves once.
func jitter(kicks []cycle, dt float64, rng *rand.Rand) {
	half := func() float64 { return (rng.Float64() - 0.5) * dt }
	for k := range kicks {
		shared := k > 0 && kicks[k].top.I == kicks[k-1].next.I
		if shared {
			kicks[k].top.T = kicks[k-1].next.T
		} else {
			kicks[k].top.T += half()
		}
		kicks[k].bottom.T += half()
		kicks[k].next.T += half()
	}
}
