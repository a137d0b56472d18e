package trace

import (
	"math"
	"math/rand/v2"
	"sync"

	"underkick/internal/body"
)

// Draw returns one motion at random from the posterior: a course that the marks
// and the model allow, with its own analytic velocities. Errors are correlated
// over time as the posterior says and independent between landmarks. Over many
// draws the mean is Motion's and the scatter its standard error; where the marks do
// not settle the kick period, half of the draws have the other period. SD in the
// result is that of the fit drawn from. rng is the only source of randomness; different goroutines need
// their own.
//
// Method: draw the coefficients from their posterior, a residual and click noise
// from the prior, and smooth what separates them from the marks (Durbin and
// Koopman, Biometrika 89, 2002).
func (f *Traces) Draw(rng *rand.Rand) body.Motion {
	if f.rival != nil && rng.Float64() < 0.5 {
		f = f.rival
	}
	room := drawRooms.Get().(*drawRoom)
	defer drawRooms.Put(room)
	return f.motion(func(th *thread) [2]course {
		return [2]course{th.axes[0].draw(th.stretch, rng, &room[0]), th.axes[1].draw(th.stretch, rng, &room[1])}
	})
}

// drawRoom is room for drawing both coordinates of a thread: hundreds of draws stand
// behind every band, and their courses only live until they are laid over the frames.
type drawRoom [2]axisRoom

type axisRoom struct {
	out, random course
	data, innov []float64
}

var drawRooms = sync.Pool{New: func() any { return new(drawRoom) }}

// fit makes the room that n instants need.
func (r *axisRoom) fit(n int) {
	for _, of := range []*[]float64{&r.out.pos, &r.out.vel, &r.random.pos, &r.random.vel, &r.data, &r.innov} {
		if cap(*of) < n {
			*of = make([]float64, n)
		}
		*of = (*of)[:n]
	}
}

// draw returns a course in r, which holds it until the next draw.
func (st *strand) draw(stretch float64, rng *rand.Rand, r *axisRoom) course {
	r.fit(len(st.t))
	beta := st.co.draw(rng)
	st.simulate(rng, r.random)
	for i, v := range st.noise {
		r.data[i] = 0
		if v > 0 {
			r.data[i] = st.data[i] - r.random.pos[i] - math.Sqrt(v)*rng.NormFloat64()
		}
	}
	st.meanInto(st.passed, beta, r.data, r.innov, r.out)
	for i := range r.out.pos {
		pos, vel := st.course.pos[i], st.course.vel[i]
		r.out.pos[i] = pos + stretch*(r.out.pos[i]+r.random.pos[i]-pos)
		r.out.vel[i] = vel + stretch*(r.out.vel[i]+r.random.vel[i]-vel)
	}
	return r.out
}

// draw returns coefficients at random from their posterior.
func (co *coefficients) draw(rng *rand.Rand) []float64 {
	n := len(co.mean)
	z := make([]float64, n)
	out := make([]float64, n)
	for i := range n {
		z[i] = rng.NormFloat64()
		out[i] = co.mean[i]
		for k := range i + 1 {
			out[i] += co.factor[i*n+k] * z[k]
		}
	}
	return out
}

// simulate fills out with a residual at random from its prior.
func (c *chain) simulate(rng *rand.Rand, out course) {
	x := startAt(&c.start, rng)
	for i := range c.t {
		if i > 0 {
			x = c.moves[i].jolt(&x, rng)
		}
		h := c.velocityOf(i)
		out.pos[i], out.vel[i] = c.position(i, &x), dot(&h, &x)
	}
}

// startAt returns states at random from the stationary covariance.
func startAt(p *sym, rng *rand.Rand) vec {
	var x vec
	for _, i := range []int{0, 1, 2, 3} {
		x[i] = math.Sqrt(p[i][i]) * rng.NormFloat64()
	}
	l := factor3([3][3]float64{
		{p[4][4], p[4][5], p[4][6]},
		{p[5][4], p[5][5], p[5][6]},
		{p[6][4], p[6][5], p[6][6]},
	})
	rest(&l, &x, rng)
	return x
}

// jolt carries the states over one step with its random part.
func (tr *transition) jolt(x *vec, rng *rand.Rand) vec {
	y := tr.apply(x)
	for _, i := range []int{0, 2} {
		a, b := rng.NormFloat64(), rng.NormFloat64()
		y[i] += tr.slowL[0][0] * a
		y[i+1] += tr.slowL[1][0]*a + tr.slowL[1][1]*b
	}
	rest(&tr.restL, &y, rng)
	return y
}

// rest adds a random part with factor l to the last three states.
func rest(l *[3][3]float64, x *vec, rng *rand.Rand) {
	a, b, c := rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()
	x[4] += l[0][0] * a
	x[5] += l[1][0]*a + l[1][1]*b
	x[6] += l[2][0]*a + l[2][1]*b + l[2][2]*c
}
