package trace

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, tol)
	}
}

// kernel is the covariance of the residual between two instants in closed form
// (Rasmussen and Williams, Gaussian Processes for Machine Learning, eq. 4.17),
// which the state-space form must reproduce.
func (w wander) kernel(t1, phase1, t2, phase2 float64) float64 {
	d := math.Abs(t1 - t2)
	a := math.Sqrt(3) * d / w.slowTime
	slow := w.slowSD * w.slowSD * (1 + a) * math.Exp(-a)
	b := math.Sqrt(5) * d / w.restTime
	rest := w.restSD * w.restSD * (1 + b + b*b/3) * math.Exp(-b)
	return slow*math.Cos(2*math.Pi*(phase1-phase2)) + rest
}

// problem is a small fit whose solution is also found by plain linear algebra.
type problem struct {
	track *track
	clock clock
	tune  tuning
	at    []float64 // instants, those of the marks included
	lay   *layout
	chain *chain
}

func newProblem(seed uint64) *problem {
	rng := rand.New(rand.NewPCG(seed, 5))
	p := &problem{clock: clock{origin: 0.3, period: 0.45, bend: []float64{0, 0.03, -0.02, 0.05, 0.01, -0.04, 0.02, 0}}, tune: startTuning}
	p.track = &track{amp: [2]float64{8, 20}}
	for i := range 80 {
		t := 0.3 + 0.025*float64(i) + 0.003*rng.Float64()
		p.at = append(p.at, t)
		if i > 5 && i < 70 && i%4 == 0 {
			p.track.spots = append(p.track.spots, spot{
				t: t, x: 100 * t, y: 20*math.Sin(14*t) + rng.NormFloat64(), sd: 0.5 + rng.Float64(), loose: 1, from: []int{i},
			})
		}
	}
	p.lay = p.track.layout(&p.clock, p.at, 3, true)
	p.chain = p.track.chains(p.lay, &p.clock, p.tune)[1]
	return p
}

// dense solves the problem by inverting the covariance of the marks, with the
// mean and speed given a very wide prior, and returns mean and variance at t.
func (p *problem) dense(leave int) (mean, variance []float64) {
	wide := 1e5
	prior := append([]float64(nil), p.chain.prior...)
	prior[0], prior[1] = wide, wide
	w := p.tune.wander(p.track.amp[1], p.clock.period)
	row := func(t float64) []float64 {
		return p.track.layout(&p.clock, []float64{t}, 3, false).basis
	}
	cov := func(t1, t2 float64) float64 {
		p1, _ := p.clock.at(t1)
		p2, _ := p.clock.at(t2)
		k := w.kernel(t1, p1, t2, p2)
		a, b := row(t1), row(t2)
		for c, v := range prior {
			k += v * a[c] * b[c]
		}
		return k
	}
	var spots []spot
	for i, s := range p.track.spots {
		if i != leave {
			spots = append(spots, s)
		}
	}
	n := len(spots)
	c := mat.NewSymDense(n, nil)
	z := mat.NewVecDense(n, nil)
	for i, a := range spots {
		for j := range i + 1 {
			c.SetSym(i, j, cov(a.t, spots[j].t))
		}
		c.SetSym(i, i, c.At(i, i)+a.sd*a.sd)
		z.SetVec(i, a.y)
	}
	var chol mat.Cholesky
	if !chol.Factorize(c) {
		panic("covariance not positive")
	}
	var alpha mat.VecDense
	if err := chol.SolveVecTo(&alpha, z); err != nil {
		panic(err)
	}
	for _, t := range p.at {
		k := mat.NewVecDense(n, nil)
		for i, s := range spots {
			k.SetVec(i, cov(t, s.t))
		}
		var solved mat.VecDense
		if err := chol.SolveVecTo(&solved, k); err != nil {
			panic(err)
		}
		mean = append(mean, mat.Dot(k, &alpha))
		variance = append(variance, cov(t, t)-mat.Dot(k, &solved))
	}
	return mean, variance
}

// The Kalman smoother is an algorithm for Gaussian-process regression: mean and
// variance must equal those of the textbook formula with the closed-form kernel,
// solved by gonum.
func TestSmootherEqualsGaussianProcess(t *testing.T) {
	p := newProblem(1)
	f := p.chain.forward(true)
	co, ok := p.chain.coefficients(f, p.chain.cols)
	if !ok {
		t.Fatal("not solvable")
	}
	got, sd := p.chain.mean(f, co.mean, p.chain.data), p.chain.variances(f, co)
	mean, variance := p.dense(-1)
	for i := range p.at {
		near(t, "mean", got.pos[i], mean[i], 1e-3)
		near(t, "standard error", math.Sqrt(sd[i]), math.Sqrt(variance[i]), 1e-3)
	}
}

// Each left-out residual and its standard error against the textbook formula for
// the other marks.
func TestLeaveOneOutEqualsRefitting(t *testing.T) {
	p := newProblem(2)
	lay := p.track.layout(&p.clock, p.track.own(), 3, false)
	ch := p.track.chains(lay, &p.clock, p.tune)[1]
	f := ch.forward(false)
	co, _ := ch.coefficients(f, ch.cols)
	for i, a := range ch.leaveOut(f, co) {
		s := p.track.spots[i]
		mean, variance := p.dense(i)
		for k, at := range p.at {
			if at == s.t {
				near(t, "left-out residual", a.off, s.y-mean[k], 2e-3*math.Max(1, math.Sqrt(variance[k])))
				near(t, "left-out standard error", math.Sqrt(a.variance), math.Sqrt(variance[k]+s.sd*s.sd), 2e-3*math.Sqrt(variance[k]+1))
			}
		}
	}
}

// Velocities are the derivative of the mean: against central differences of the
// mean between instants laid very close.
func TestVelocityIsTheDerivative(t *testing.T) {
	p := newProblem(3)
	const h = 1e-4
	for _, mid := range []float64{0.31, 0.62, 1.234, 1.9, 2.2} {
		near3 := []float64{mid - h, mid, mid + h}
		at := append([]float64(nil), near3...)
		for _, s := range p.track.spots {
			at = append(at, s.t)
		}
		sortFloats(at)
		ch := p.track.chains(p.track.layout(&p.clock, at, 3, true), &p.clock, p.tune)[1]
		f := ch.forward(true)
		co, _ := ch.coefficients(f, ch.cols)
		got := ch.mean(f, co.mean, ch.data)
		for i, v := range at {
			if v == mid {
				near(t, "velocity", got.vel[i], (got.pos[i+1]-got.pos[i-1])/(2*h), 0.02)
			}
		}
	}
}

// Draws from the posterior have its mean and its covariance over time.
func TestDrawsFollowThePosterior(t *testing.T) {
	p := newProblem(4)
	st, ok := p.chain.strand(1)
	if !ok {
		t.Fatal("not solvable")
	}
	rng := rand.New(rand.NewPCG(9, 9))
	const n = 4000
	at := len(p.at)
	sum, square := make([]float64, at), make([]float64, at)
	product := 0.0
	const a, b = 40, 41
	for range n {
		d := st.draw(1, rng, new(axisRoom))
		for i, v := range d.pos {
			e := v - st.course.pos[i]
			sum[i] += e / n
			square[i] += e * e / n
		}
		product += (d.pos[a] - st.course.pos[a]) * (d.pos[b] - st.course.pos[b]) / n
	}
	for i := range at {
		near(t, "mean of draws, in standard errors", sum[i]/st.sd[i], 0, 5/math.Sqrt(n))
		near(t, "scatter of draws", math.Sqrt(square[i])/st.sd[i], 1, 5/math.Sqrt(2*n))
	}
	// Neighbouring instants 25 ms apart move together.
	if c := product / (st.sd[a] * st.sd[b]); c < 0.3 || c > 1 {
		t.Errorf("correlation of neighbours %.2f", c)
	}
}

// One step of dt equals many small ones, in transition and in noise.
func TestStepsCompose(t *testing.T) {
	w := wander{slowSD: 3, slowTime: 0.5, restSD: 2, restTime: 0.1}
	x := vec{1, -2, 0.5, 3, 1, -4, 100}
	var p, q sym
	for i := range p {
		p[i][i] = float64(i + 1)
	}
	q = p
	once := w.step(0.05)
	y := once.apply(&x)
	once.spread(&p)
	z := x
	small := w.step(0.01)
	for range 5 {
		z = small.apply(&z)
		small.spread(&q)
	}
	for i := range y {
		near(t, "state", z[i], y[i], 1e-9*(1+math.Abs(y[i])))
		for j := range p {
			near(t, "covariance", q[i][j], p[i][j], 1e-8*(1+math.Abs(p[i][j])))
		}
	}
	// The stationary covariance stays.
	s := w.stationary()
	once.spread(&s)
	for i, row := range w.stationary() {
		for j, v := range row {
			near(t, "stationary", s[i][j], v, 1e-9*(1+math.Abs(v)))
		}
	}
}

func sortFloats(x []float64) {
	for i := range x {
		for j := i; j > 0 && x[j] < x[j-1]; j-- {
			x[j], x[j-1] = x[j-1], x[j]
		}
	}
}
