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
	chol   mat.Cholesky
	mean   []float64
	logLik float64 // log marginal likelihood of both coordinates
}

// equations returns nil when the marks do not determine the coefficients.
func (c *chain) equations(f *filtered, cols int) *equations {
	eq := &equations{mean: make([]float64, cols)}
	normal := make([]float64, cols*cols)
	rhs := make([]float64, cols)
	logPrior := 0.0
	for k := range cols {
		if !math.IsInf(c.prior[k], 1) {
			normal[k*cols+k] = 1 / c.prior[k]
			logPrior += math.Log(c.prior[k])
		}
	}
	sumSq, marks := f.accumulate(normal, rhs)
	if !eq.chol.Factorize(mat.NewSymDense(cols, normal)) || eq.chol.Cond() > 1e14 {
		return nil
	}
	b, sol := mat.NewVecDense(cols, rhs), mat.NewVecDense(cols, eq.mean)
	if eq.chol.SolveVecTo(sol, b) != nil {
		return nil
	}
	eq.logLik = -0.5 * (sumSq - mat.Dot(b, sol) + f.logDet + eq.chol.LogDet() + logPrior +
		float64(marks)*math.Log(2*math.Pi))
	return eq
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
