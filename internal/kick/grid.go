package kick

import (
	"math"

	"underkick/internal/series"
)

// grid is a uniform time axis. Its methods read curves sampled on it between
// the samples; every one returns NaN if it would have to read a NaN.
type grid struct {
	t  []float64 // s
	dt float64   // s
}

func (g grid) hz() float64 { return 1 / g.dt }

// span returns the first sample at or after a and the last at or before b; a
// rounding error of a millionth of a step counts as on the sample.
func (g grid) span(a, b float64) (lo, hi int) {
	lo = int(math.Ceil((a-g.t[0])/g.dt - 1e-6))
	hi = int(math.Floor((b-g.t[0])/g.dt + 1e-6))
	return max(lo, 0), min(hi, len(g.t)-1)
}

// at returns x at time t by the cubic through the four nearest samples, or by a
// line where they are not all known. NaN outside the grid.
func (g grid) at(x []float64, t float64) float64 {
	n := len(g.t)
	if len(x) != n || math.IsNaN(t) {
		return math.NaN()
	}
	s := (t - g.t[0]) / g.dt
	if s < -1e-6 || s > float64(n-1)+1e-6 {
		return math.NaN()
	}
	i := min(max(int(s), 0), n-2)
	u := s - float64(i)
	if i > 0 && i < n-2 {
		if v := cubic(x[i-1:i+3], u); !math.IsNaN(v) {
			return v
		}
	}
	switch {
	case u < 1e-6:
		return x[i]
	case u > 1-1e-6:
		return x[i+1]
	}
	return x[i] + u*(x[i+1]-x[i])
}

// cubic is the Lagrange cubic through samples at -1, 0, 1, 2, read at u.
func cubic(p []float64, u float64) float64 {
	return -u*(u-1)*(u-2)/6*p[0] + (u+1)*(u-1)*(u-2)/2*p[1] - (u+1)*u*(u-2)/2*p[2] + (u+1)*u*(u-1)/6*p[3]
}

// integral returns the integral of x from a to b: whole steps by the integral of
// the local cubic, the broken steps at the ends by two-point Gauss.
func (g grid) integral(x []float64, a, b float64) float64 {
	lo, hi := g.span(a, b)
	if hi < lo {
		return g.gauss(x, a, b)
	}
	sum := 0.0
	for i := lo; i < hi; i++ {
		sum += g.step(x, i)
	}
	if r := g.t[lo] - a; r > 1e-6*g.dt {
		sum += g.gauss(x, a, g.t[lo])
	}
	if r := b - g.t[hi]; r > 1e-6*g.dt {
		sum += g.gauss(x, g.t[hi], b)
	}
	return sum
}

// step returns the integral of x over the step from sample i to the next.
func (g grid) step(x []float64, i int) float64 {
	if i > 0 && i < len(x)-2 {
		if v := (13*(x[i]+x[i+1]) - x[i-1] - x[i+2]) / 24; !math.IsNaN(v) {
			return v * g.dt
		}
	}
	return (x[i] + x[i+1]) / 2 * g.dt
}

func (g grid) gauss(x []float64, a, b float64) float64 {
	const node = 0.5773502691896257 // 1/sqrt 3
	m, h := (a+b)/2, (b-a)/2
	return h * (g.at(x, m-node*h) + g.at(x, m+node*h))
}

// peak returns when x is largest between a and b (smallest for sign -1), and the
// value there, refined by the parabola through three samples.
func (g grid) peak(x []float64, a, b float64, sign float64) (t, v float64) {
	nan := math.NaN()
	if len(x) != len(g.t) {
		return nan, nan
	}
	t, v = a, g.at(x, a)
	if e := g.at(x, b); sign*e > sign*v || math.IsNaN(e) {
		t, v = b, e
	}
	if math.IsNaN(v) {
		return nan, nan
	}
	lo, hi := g.span(a, b)
	best := -1
	for i := lo; i <= hi; i++ {
		switch {
		case math.IsNaN(x[i]):
			return nan, nan
		case sign*x[i] > sign*v, best < 0 && sign*x[i] >= sign*v:
			t, v, best = g.t[i], x[i], i
		}
	}
	if best > 0 && best < len(x)-1 {
		if pt, pv, ok := g.vertex(x, best, sign); ok && pt >= a && pt <= b {
			return pt, pv
		}
	}
	return t, v
}

// vertex refines the extreme at sample i by the parabola through it and its two
// neighbours; ok is false if it is not one.
func (g grid) vertex(x []float64, i int, sign float64) (t, v float64, ok bool) {
	find := series.Maxima
	if sign < 0 {
		find = series.Minima
	}
	if e := find(g.t[i-1:i+2], x[i-1:i+2]); len(e) == 1 {
		return e[0].T, e[0].X, true
	}
	return 0, 0, false
}

// firstAbove returns the first time from a to b at which x reaches level, a
// itself if it is there already.
func (g grid) firstAbove(x []float64, level, a, b float64) (float64, bool) {
	last, lastT := g.at(x, a), a
	if last >= level {
		return a, true
	}
	lo, hi := g.span(a, b)
	for i := lo; i <= hi; i++ {
		if x[i] >= level {
			return lastT + (g.t[i]-lastT)*(level-last)/(x[i]-last), true
		}
		last, lastT = x[i], g.t[i]
	}
	return math.NaN(), false
}

// half returns the time at which the integral of x from a reaches half of that
// from a to b; x must not be negative.
func (g grid) half(x []float64, a, b float64) float64 {
	target := g.integral(x, a, b) / 2
	if !(target > 0) {
		return math.NaN()
	}
	lo, hi := g.span(a, b)
	left, done := a, 0.0
	for i := lo; i <= hi; i++ {
		next := done + g.integral(x, left, g.t[i])
		if next >= target {
			break
		}
		left, done = g.t[i], next
	}
	right := math.Min(left+g.dt, b)
	for range 40 {
		mid := (left + right) / 2
		if part := g.gauss(x, left, mid); done+part < target {
			left, done = mid, done+part
		} else {
			right = mid
		}
	}
	return (left + right) / 2
}
