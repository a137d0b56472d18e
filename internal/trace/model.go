package trace

import "math"

// travelCols is the number of basis columns for the path on which the movement
// sits: Legendre polynomials of degree 0 to 3 over the landmark's marked span.
const travelCols = 4

// harmonicSize is how large the harmonics of a landmark's movement are expected
// to be, relative to its amplitude. It only shrinks harmonics on which the marks
// say little.
var harmonicSize = [...]float64{1.5, 0.7, 0.35, 0.2, 0.1, 0.06}

// mostHarmonics is the highest number of harmonics the fit can use.
const mostHarmonics = len(harmonicSize)

// tuning holds what is learnt from the marks about movements in general, with
// sizes relative to a landmark's amplitude and times relative to the period.
type tuning struct {
	slowSize float64 // change of amplitude and phase from kick to kick
	slowTime float64 // time over which it lasts
	restSize float64 // smooth residual
	restTime float64 // its time scale
	noise    float64 // factor on the stated standard error of the marks
	habit    float64 // factor on the habits of a guess; its differences' sizes are relative to them
}

// startTuning is where learning starts: judgement, confirmed on the synthetic
// swimmers of the tests.
var startTuning = tuning{slowSize: 0.1, slowTime: 1, restSize: 0.05, restTime: 0.22, noise: 1, habit: 1}

// wander returns the residual's sizes for a landmark.
func (u tuning) wander(amp, period float64) wander {
	return wander{
		slowSD: u.slowSize * amp, slowTime: u.slowTime * period,
		restSD: u.restSize * amp, restTime: u.restTime * period,
	}
}

// layout lays a track out over the given instants: those of its spots, and more
// where a course is wanted. withSlopes adds what velocities need.
func (tr *track) layout(c *clock, instants []float64, harmonics int, withSlopes bool) *layout {
	n, cols := len(instants), travelCols+2*harmonics
	lay := &layout{
		t: instants, cos: make([]float64, n), sin: make([]float64, n), rate: make([]float64, n),
		noise: make([]float64, n), basis: make([]float64, n*cols), cols: cols,
	}
	if withSlopes {
		lay.slope = make([]float64, n*cols)
	}
	first, last := tr.span()
	for i, t := range instants {
		phase, rate := c.at(t)
		omega := 2 * math.Pi * rate
		lay.rate[i] = omega
		lay.sin[i], lay.cos[i] = math.Sincos(2 * math.Pi * phase)
		row := lay.basis[i*cols : (i+1)*cols]
		var slope []float64
		if withSlopes {
			slope = lay.slope[i*cols : (i+1)*cols]
		}
		travel(row, slope, t, first, last)
		waves(row[travelCols:], lay.cos[i], lay.sin[i])
		for k := travelCols; withSlopes && k < cols; k += 2 {
			w := omega * float64(k-travelCols+2) / 2
			slope[k], slope[k+1] = -w*row[k+1], w*row[k]
		}
	}
	return lay
}

// chains returns both coordinates of the track on a layout that includes the
// instants of its spots.
func (tr *track) chains(lay *layout, c *clock, u tuning) [2]*chain {
	var out [2]*chain
	for axis := range out {
		out[axis] = &chain{layout: lay, data: make([]float64, len(lay.t)), prior: tr.priors(axis, c.period, (lay.cols-travelCols)/2)}
	}
	next := 0
	for i, t := range lay.t {
		if next < len(tr.spots) && tr.spots[next].t == t {
			out[0].data[i], out[1].data[i] = tr.spots[next].x, tr.spots[next].y
			next++
		}
	}
	tr.tune(out, c, u)
	return out
}

// tune gives the chains of a track another tuning.
func (tr *track) tune(chains [2]*chain, c *clock, u tuning) {
	lay := chains[0].layout
	noise := tr.noise(u)
	next := 0
	for i, t := range lay.t {
		if next < len(tr.spots) && tr.spots[next].t == t {
			s := &tr.spots[next]
			lay.noise[i] = noise * noise * s.sd * s.sd * s.loose
			next++
		}
	}
	for axis, ch := range chains {
		ch.wanders(tr.wander(axis, c, u))
		if tr.base != nil {
			copy(ch.prior, tr.base.priors(u, tr.factors().size[axis]))
		}
	}
}

// wander returns the sizes of the random part of an axis.
func (tr *track) wander(axis int, c *clock, u tuning) wander {
	part := tr.factors()
	if tr.base == nil {
		w := u.wander(part.size[axis]*tr.amp[axis], c.period)
		w.restTime *= part.time[axis]
		return w
	}
	w := u.wander(part.size[axis], c.period)
	w.restTime *= part.time[axis]
	w.slowSD *= u.habit * tr.base.kick
	w.restSD = math.Hypot(w.restSD*u.habit*tr.base.drift, tr.base.scatter)
	return w
}

// travel fills the Legendre columns and, unless slope is nil, their rates. The
// span is at least a millisecond, since tracks have spots at different times.
func travel(row, slope []float64, t, first, last float64) {
	half := (last - first) / 2
	s := (t - first - half) / half
	// Beyond the marks the curved terms are continued straight.
	in := min(max(s, -1), 1)
	row[0], row[1] = 1, s
	d2, d3 := 3*in, (15*in*in-3)/2
	row[2] = (3*in*in-1)/2 + d2*(s-in)
	row[3] = (5*in*in*in-3*in)/2 + d3*(s-in)
	if slope != nil {
		slope[0], slope[1], slope[2], slope[3] = 0, 1/half, d2/half, d3/half
	}
}

// waves fills cos and sin of the multiples of the phase.
func waves(row []float64, cos, sin float64) {
	for k := 0; k+1 < len(row); k += 2 {
		if k == 0 {
			row[0], row[1] = cos, sin
			continue
		}
		row[k], row[k+1] = row[k-2]*cos-row[k-1]*sin, row[k-1]*cos+row[k-2]*sin
	}
}

// priors returns the prior variances of an axis's basis columns. Place and speed are
// free. The curved travel is held back where the span is so short that it could
// pass for a part of the kick.
func (tr *track) priors(axis int, period float64, harmonics int) []float64 {
	if tr.base != nil {
		return tr.base.priors(startGuess, 1)
	}
	first, last := tr.span()
	a, b := &tr.spots[0], &tr.spots[len(tr.spots)-1]
	curved := 0.5*tr.amp[axis] + 0.1*math.Abs(b.at(axis)-a.at(axis))
	curved *= min(1, max(0.05, (last-first)/(3*period)))
	p := []float64{math.Inf(1), math.Inf(1), curved * curved, curved * curved / 4}
	for k := range harmonics {
		v := harmonicSize[k] * tr.amp[axis]
		p = append(p, v*v, v*v)
	}
	return p
}

// own returns the times of the track's spots.
func (tr *track) own() []float64 {
	t := make([]float64, len(tr.spots))
	for i, s := range tr.spots {
		t[i] = s.t
	}
	return t
}
