package trace

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// coefficients is the posterior of the basis coefficients.
type coefficients struct {
	mean   [2][]float64 // for x and y
	cov    []float64    // cols x cols, the same for x and y
	factor []float64    // lower triangle L with cov = L L', cols x cols
	logLik float64      // log marginal likelihood of both coordinates
}

// coefficients solves for the first cols basis columns (the others are left
// out), given the innovations. It reports false when the marks do not determine
// the free ones.
func (c *chain) coefficients(f *filtered, cols int) (*coefficients, bool) {
	normal := make([]float64, cols*cols)
	var rhs [2][]float64
	rhs[0], rhs[1] = make([]float64, cols), make([]float64, cols)
	sumSq, marks := 0.0, 0
	logPrior := 0.0
	for k := range cols {
		if !math.IsInf(c.prior[k], 1) {
			normal[k*cols+k] = 1 / c.prior[k]
			logPrior += math.Log(c.prior[k])
		}
	}
	for i, total := range f.f {
		if total == 0 {
			continue
		}
		marks++
		row := f.innov[i*f.width : (i+1)*f.width]
		x, y, h := row[0], row[1], row[2:2+cols]
		sumSq += (x*x + y*y) / total
		for k, v := range h {
			v /= total
			rhs[0][k] += v * x
			rhs[1][k] += v * y
			for m := range k + 1 {
				normal[k*cols+m] += v * h[m]
			}
		}
	}
	for k := range cols {
		for m := range k {
			normal[m*cols+k] = normal[k*cols+m]
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(mat.NewSymDense(cols, normal)) || chol.Cond() > 1e14 {
		return nil, false
	}
	co := &coefficients{}
	fitted := 0.0
	for axis := range 2 {
		b := mat.NewVecDense(cols, rhs[axis])
		sol := mat.NewVecDense(cols, nil)
		if chol.SolveVecTo(sol, b) != nil {
			return nil, false
		}
		fitted += mat.Dot(b, sol)
		co.mean[axis] = sol.RawVector().Data
	}
	co.logLik = -0.5*(sumSq-fitted) - f.logDet - chol.LogDet() - logPrior -
		float64(marks)*math.Log(2*math.Pi)
	co.cov, co.factor = inverse(&chol, cols)
	return co, true
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
