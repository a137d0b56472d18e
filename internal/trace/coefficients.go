package trace

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// coefficients is the posterior of the basis coefficients.
type coefficients struct {
	mean   []float64
	cov    []float64 // cols x cols
	factor []float64 // lower triangle L with cov = L L', cols x cols
}

// coefficients solves for the first cols basis columns (the others are left
// out), given the innovations. It reports false when the marks do not determine
// the free ones.
func (c *chain) coefficients(f *filtered, cols int) (*coefficients, bool) {
	eq := c.equations(f, cols)
	if eq == nil {
		return nil, false
	}
	co := &coefficients{mean: eq.mean}
	co.cov, co.factor = inverse(&eq.chol, cols)
	return co, true
}

// equations are the solved normal equations of the basis coefficients.
type equations struct {
	chol mat.Cholesky
	mean []float64
}

// equations returns nil when the marks do not determine the coefficients.
func (c *chain) equations(f *filtered, cols int) *equations {
	eq := &equations{mean: make([]float64, cols)}
	normal := make([]float64, cols*cols)
	rhs := make([]float64, cols)
	c.gather(f, normal, rhs)
	if !eq.chol.Factorize(mat.NewSymDense(cols, normal)) || eq.chol.Cond() > 1e14 {
		return nil
	}
	b, sol := mat.NewVecDense(cols, rhs), mat.NewVecDense(cols, eq.mean)
	if eq.chol.SolveVecTo(sol, b) != nil {
		return nil
	}
	return eq
}

// gather fills the normal equations of the basis coefficients, whose matrix and right
// side are zero when it is called. It returns what accumulate does, and the summed log
// variance of the coefficients that are not free.
func (c *chain) gather(f *filtered, normal, rhs []float64) (sumSq float64, marks int, logPrior float64) {
	cols := len(rhs)
	for k := range cols {
		if !math.IsInf(c.prior[k], 1) {
			normal[k*cols+k] = 1 / c.prior[k]
			logPrior += math.Log(c.prior[k])
		}
	}
	sumSq, marks = f.accumulate(normal, rhs)
	return sumSq, marks, logPrior
}

// likelihood is room for the log marginal likelihood of a coordinate's marks.
type likelihood struct {
	normal, rhs, mean []float64
	chol              cholesky
}

// of returns the log marginal likelihood given the innovations of all columns, -Inf
// when the marks do not determine the free coefficients.
func (l *likelihood) of(c *chain, f *filtered) float64 {
	if l.normal == nil {
		l.normal, l.rhs, l.mean = make([]float64, c.cols*c.cols), make([]float64, c.cols), make([]float64, c.cols)
	}
	clear(l.normal)
	clear(l.rhs)
	sumSq, marks, logPrior := c.gather(f, l.normal, l.rhs)
	if !l.chol.factor(l.normal, c.cols) {
		return math.Inf(-1)
	}
	copy(l.mean, l.rhs)
	l.chol.solve(l.mean)
	for k, v := range l.mean {
		sumSq -= l.rhs[k] * v
	}
	return -0.5 * (sumSq + f.logDet + l.chol.logDet() + logPrior + float64(marks)*math.Log(2*math.Pi))
}

// accumulate adds the whitened innovations to the upper triangle of the normal
// matrix and to the right side. It returns the whitened sum of squares of the
// data and the number of marks.
func (f *filtered) accumulate(normal, rhs []float64) (sumSq float64, marks int) {
	cols := len(rhs)
	for i, total := range f.f {
		if total == 0 {
			continue
		}
		marks++
		row := f.innov[i*f.width : (i+1)*f.width]
		z, h := row[0], row[1:1+cols]
		sumSq += z * z / total
		for k, v := range h {
			v /= total
			rhs[k] += v * z
			upper := normal[k*cols : (k+1)*cols]
			for m := k; m < cols; m++ {
				upper[m] += v * h[m]
			}
		}
	}
	return sumSq, marks
}

// inverse returns the inverse of a factorised matrix and a factor of it.
func inverse(chol *mat.Cholesky, n int) (inv, factor []float64) {
	var s mat.SymDense
	// The matrix was found well conditioned, so the error can only repeat that.
	_ = chol.InverseTo(&s)
	inv = make([]float64, n*n)
	for i := range n {
		for j := range n {
			inv[i*n+j] = s.At(i, j)
		}
	}
	var again mat.Cholesky
	factor = make([]float64, n*n)
	if again.Factorize(&s) {
		var l mat.TriDense
		again.LTo(&l)
		for i := range n {
			for j := range i + 1 {
				factor[i*n+j] = l.At(i, j)
			}
		}
	}
	return inv, factor
}
