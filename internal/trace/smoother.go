package trace

import "math"

// course is a coordinate and its velocity over the instants of a chain.
type course struct{ pos, vel []float64 }

func newCourse(n int) course { return course{pos: make([]float64, n), vel: make([]float64, n)} }

// mean returns the posterior mean given the basis coefficients and the data,
// with the gains of a forward pass that kept what it needs.
func (c *chain) mean(f *filtered, beta, data []float64) course {
	n := len(c.t)
	out := newCourse(n)
	c.meanInto(f, beta, data, make([]float64, n), out)
	return out
}

// meanInto is mean into out, with room for the innovations. It serves both the fit itself
// and the drawing of random courses.
func (c *chain) meanInto(f *filtered, beta, data, innov []float64, out course) {
	n := len(c.t)
	var a vec
	for i := range n {
		if i > 0 {
			a = c.moves[i].apply(&a)
		}
		row, slope := c.basis[i*c.cols:], c.slope[i*c.cols:]
		fitted, speed := 0.0, 0.0
		for k, b := range beta {
			fitted += b * row[k]
			speed += b * slope[k]
		}
		h := c.velocityOf(i)
		guess := c.position(i, &a)
		out.pos[i], out.vel[i] = fitted+guess, speed+dot(&h, &a)
		if f.f[i] == 0 {
			continue
		}
		innov[i] = data[i] - fitted - guess
		for s := range a {
			a[s] += f.gain[i][s] * innov[i]
		}
	}
	var r vec
	for i := n - 1; i >= 0; i-- {
		if i < n-1 {
			r = c.moves[i+1].back(&r)
		}
		if f.f[i] != 0 {
			c.collect(i, &r, innov[i]/f.f[i]-dot(&f.gain[i], &r))
		}
		out.pos[i] += dot(&f.posP[i], &r)
		out.vel[i] += dot(&f.velP[i], &r)
	}
}

// collect adds h u to r, h being the observation weights at instant i.
func (c *layout) collect(i int, r *vec, u float64) {
	r[0] += c.cos[i] * u
	r[2] += c.sin[i] * u
	r[4] += u
}

// sweep runs backwards over the instants with the smoother's information about
// the basis columns (r) and its matrix (info), as they stand after the instant's
// own mark has been taken in. At instants with a mark it first calls atMark with
// the smoothing errors u of each column and their precision (de Jong, J Am Stat
// Assoc 83, 1988). Either function may be nil.
func (c *chain) sweep(f *filtered, cols int, atMark func(i int, u []float64, precision float64), visit func(i int, r []vec, info *sym)) {
	r := make([]vec, cols)
	u := make([]float64, cols)
	var info sym
	for i := len(c.t) - 1; i >= 0; i-- {
		if i < len(c.t)-1 {
			tr := c.moves[i+1]
			tr.gather(&info)
			for k := range r {
				r[k] = tr.back(&r[k])
			}
		}
		if total := f.f[i]; total != 0 {
			gain := &f.gain[i]
			row := f.innov[i*f.width+1:]
			for k := range r {
				u[k] = row[k]/total - dot(gain, &r[k])
				c.collect(i, &r[k], u[k])
			}
			precision := c.absorb(i, &info, gain, total)
			if atMark != nil {
				atMark(i, u, precision)
			}
		}
		if visit != nil {
			visit(i, r, &info)
		}
	}
}

// absorb takes the mark at instant i into the information matrix and returns
// the precision of its smoothing error.
func (c *layout) absorb(i int, info *sym, gain *vec, total float64) float64 {
	w := info.times(gain)
	precision := 1/total + dot(&w, gain)
	h := vec{c.cos[i], 0, c.sin[i], 0, 1}
	for r := range info {
		for k := range info[r] {
			info[r][k] += h[r]*h[k]*precision - h[r]*w[k] - w[r]*h[k]
		}
	}
	return precision
}

// variances returns the posterior variance of the position at every instant, the uncertainty of the coefficients included.
func (c *chain) variances(f *filtered, co *coefficients) []float64 {
	cols := len(co.mean)
	out := make([]float64, len(c.t))
	shape := make([]float64, cols)
	c.sweep(f, cols, nil, func(i int, r []vec, info *sym) {
		basis, guess := c.basis[i*c.cols:], f.pos[i*c.cols:]
		for k := range shape {
			shape[k] = basis[k] - guess[k] - dot(&f.posP[i], &r[k])
		}
		left := info.times(&f.posP[i])
		out[i] = max(0, f.posVar[i]-dot(&left, &f.posP[i])+quadratic(co.cov, shape))
	})
	return out
}

// absence is what a mark looks like to the fit made without it.
type absence struct {
	off      float64 // mark minus prediction
	variance float64 // of that difference, the mark's own error included
}

// leaveOut returns, for every instant with a mark, the mark held against the fit
// of all the other marks, by the identity of leave-one-out residuals
// e_i = (C^-1 z)_i / (C^-1)_ii for a linear model with covariance C.
func (c *chain) leaveOut(f *filtered, co *coefficients) []absence {
	cols := len(co.mean)
	out := make([]absence, len(c.t))
	plain := c.smoothingErrors(f, co)
	c.sweep(f, cols, func(i int, u []float64, precision float64) {
		p := precision - quadratic(co.cov, u)
		// A mark without which the coefficients are not determined has nothing
		// to be held against; its precision is lost in rounding.
		if p <= 1e-9*precision {
			out[i] = absence{variance: math.Inf(1)}
			return
		}
		out[i] = absence{off: plain[i] / p, variance: 1 / p}
	}, nil)
	return out
}

// smoothingErrors returns C^-1 (z - H beta) at the instants with a mark.
func (c *chain) smoothingErrors(f *filtered, co *coefficients) []float64 {
	out := make([]float64, len(c.t))
	var r vec
	for i := len(c.t) - 1; i >= 0; i-- {
		if i < len(c.t)-1 {
			r = c.moves[i+1].back(&r)
		}
		if f.f[i] == 0 {
			continue
		}
		row := f.innov[i*f.width : (i+1)*f.width]
		v := row[0]
		for k, b := range co.mean {
			v -= b * row[1+k]
		}
		out[i] = v/f.f[i] - dot(&f.gain[i], &r)
		c.collect(i, &r, out[i])
	}
	return out
}

// quadratic returns x' m x for a symmetric m of len(x) rows.
func quadratic(m, x []float64) float64 {
	n := len(x)
	sum := 0.0
	for i, xi := range x {
		row := m[i*n : i*n+n]
		part := 0.5 * row[i] * xi
		for j, xj := range x[:i] {
			part += row[j] * xj
		}
		sum += 2 * part * xi
	}
	return sum
}
