package trace

import (
	"fmt"
	"math"
	"slices"

	"underkick/internal/body"
)

// report gathers what the threads have to say.
func (f *Traces) report() {
	var kept []*thread
	var of []*track
	for i, th := range f.threads {
		if th == nil {
			continue
		}
		kept, of = append(kept, th), append(of, f.tracks[i])
		rep := th.report
		f.Landmarks[th.landmark] = &rep
		f.Outliers = append(f.Outliers, th.outliers...)
		if n := len(th.outliers); n > 0 {
			f.Warnings = append(f.Warnings, fmt.Sprintf("%v: %d of %d marks do not fit the others and hardly count; look at them again", th.landmark, n, rep.Marks))
		}
	}
	f.threads, f.tracks = kept, of
	slices.Sort(f.Outliers)
}

// Motion returns the fitted traces at the frames, with analytic velocities and
// standard errors per axis, in the unit of the marks. A landmark is NaN more
// than half a kick before its first or after its last mark, and more than a kick
// from any mark; towards those limits its standard error grows. Landmarks that
// were not traced are nil. Where the marks do not settle the kick period, the
// standard errors hold the difference to the other possible period.
func (f *Traces) Motion() body.Motion {
	m := f.plain()
	f.widen(m)
	return m
}

// plain is Motion without the doubt about the period.
func (f *Traces) plain() body.Motion {
	return f.motion(func(th *thread) [2]course {
		return [2]course{th.axes[0].course, th.axes[1].course}
	})
}

// agrees tells whether another fit differs from f by less than the standard
// errors say, root mean square over all frames and landmarks; twice the period
// often does.
func (f *Traces) agrees(other *Traces) bool {
	a, b := f.Motion(), other.Motion()
	sum, count := 0.0, 0.0
	for l, p := range a.Paths {
		q := b.Paths[l]
		if p == nil || q == nil {
			continue
		}
		for i := range p.SD {
			dx, dy := (q.X[i]-p.X[i])/p.SD[i], (q.Y[i]-p.Y[i])/p.SD[i]
			if !math.IsNaN(dx + dy) {
				sum += dx*dx + dy*dy
				count += 2
			}
		}
	}
	return sum < count
}

// widen raises the standard errors of m by what separates it from the rival: the
// scatter, about m, of an even mixture of both.
func (f *Traces) widen(m body.Motion) {
	if f.rival == nil {
		return
	}
	other := f.rival.Motion()
	for l, p := range m.Paths {
		q := other.Paths[l]
		if p == nil || q == nil {
			continue
		}
		for i := range p.SD {
			if dx, dy := q.X[i]-p.X[i], q.Y[i]-p.Y[i]; !math.IsNaN(dx) {
				p.SD[i] = math.Sqrt((p.SD[i]*p.SD[i] + q.SD[i]*q.SD[i] + (dx*dx+dy*dy)/2) / 2)
			}
		}
	}
}

// motion lays the courses of all threads over the frames.
func (f *Traces) motion(of func(*thread) [2]course) body.Motion {
	m := body.Motion{T: f.times}
	for _, th := range f.threads {
		m.Paths[th.landmark] = th.path(f.times, of(th), f.clock.period)
	}
	for _, th := range f.spare {
		fill(m.Paths[th.landmark], th.path(f.times, of(th), f.clock.period))
	}
	return m
}

// fill takes from q the places that p lacks.
func fill(p, q *body.Path) {
	for i := range p.X {
		if math.IsNaN(p.X[i]) {
			p.X[i], p.Y[i], p.VX[i], p.VY[i], p.SD[i] = q.X[i], q.Y[i], q.VX[i], q.VY[i], q.SD[i]
		}
	}
}

// path evaluates a course of the thread at the frames.
func (th *thread) path(times []float64, co [2]course, period float64) *body.Path {
	n := len(times)
	p := &body.Path{X: blank(n), Y: blank(n), VX: blank(n), VY: blank(n), SD: blank(n)}
	at := th.axes[0].t
	k := 0
	for i, t := range times {
		for k+1 < len(at) && at[k+1] <= t {
			k++
		}
		if !th.known(i) || t < at[0] || t > at[len(at)-1] || th.lonely(k, t, period) {
			continue
		}
		h, s := 0.0, 0.0
		if t > at[k] {
			h = at[k+1] - at[k]
			s = (t - at[k]) / h
		}
		a, va := co[0].between(k, s, h)
		b, vb := co[1].between(k, s, h)
		p.SD[i] = th.sd(k, s)
		if th.base == nil {
			p.X[i], p.Y[i], p.VX[i], p.VY[i] = a, b, va, vb
			continue
		}
		th.base.place(p, i, a, b, va, vb)
		// Where the smoothed guess is less sure than usual.
		p.SD[i] = math.Sqrt(p.SD[i]*p.SD[i] + max(0, th.base.path.SD[i]*th.base.path.SD[i]-th.base.scatter*th.base.scatter))
	}
	return p
}

// sd returns the standard error per axis, the mean square of both, at the share
// s of the step after instant k.
func (th *thread) sd(k int, s float64) float64 {
	both := func(k int) float64 {
		return math.Hypot(th.axes[0].sd[k], th.axes[1].sd[k]) / math.Sqrt2
	}
	if s == 0 {
		return both(k)
	}
	return both(k) + s*(both(k+1)-both(k))
}

// between returns place and velocity at the share s of the step of h seconds
// after instant k.
func (c course) between(k int, s, h float64) (pos, vel float64) {
	if s == 0 {
		return c.pos[k], c.vel[k]
	}
	return hermite(s, h, c.pos[k], c.vel[k], c.pos[k+1], c.vel[k+1])
}

// lonely tells whether time t, after instant k, is too far from any mark to be
// shown.
func (th *thread) lonely(k int, t, period float64) bool {
	return th.base == nil && t-th.before[k] > farOff*period && th.after[min(k+1, len(th.after)-1)]-t > farOff*period
}

// neighbours sets for each instant the time of the last mark up to it and of the
// next mark from it.
func (th *thread) neighbours() {
	n := len(th.axes[0].t)
	th.before, th.after = make([]float64, n), make([]float64, n)
	near := math.Inf(-1)
	for i := range n {
		if th.axes[0].noise[i] > 0 {
			near = th.axes[0].t[i]
		}
		th.before[i] = near
	}
	near = math.Inf(1)
	for i := n - 1; i >= 0; i-- {
		if th.axes[0].noise[i] > 0 {
			near = th.axes[0].t[i]
		}
		th.after[i] = near
	}
}

// hermite returns place and velocity at the share s of a step of h seconds with
// given places and velocities at its ends.
func hermite(s, h, x0, v0, x1, v1 float64) (x, v float64) {
	d := x1 - x0
	a, b := v0*h, v1*h
	c2, c3 := 3*d-2*a-b, a+b-2*d
	return x0 + s*(a+s*(c2+s*c3)), (a + s*(2*c2+3*s*c3)) / h
}

// blank returns n NaN.
func blank(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.NaN()
	}
	return out
}
