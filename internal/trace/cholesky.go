package trace

import "math"

// cholesky is the factor of a small symmetric matrix, made again and again while the
// tuning is learnt and the period looked for, where neither a measure of its
// condition nor a new block of memory is wanted.
type cholesky struct {
	n int
	l []float64 // lower triangle, rows of n
}

// factor reads the upper triangle of a (rows of n) and reports whether it is
// positive definite.
func (c *cholesky) factor(a []float64, n int) bool {
	if cap(c.l) < n*n {
		c.l = make([]float64, n*n)
	}
	c.n, c.l = n, c.l[:n*n]
	for i := range n {
		row := c.l[i*n : i*n+n]
		for j := range i + 1 {
			other := c.l[j*n : j*n+n]
			s := a[j*n+i]
			for k := range j {
				s -= row[k] * other[k]
			}
			switch {
			case i != j:
				row[j] = s / other[j]
			case s > 1e-14*a[i*n+i] && !math.IsInf(s, 1): // what is lost in rounding is not determined
				row[i] = math.Sqrt(s)
			default:
				return false
			}
		}
	}
	return true
}

// solve replaces b by the solution.
func (c *cholesky) solve(b []float64) {
	n := c.n
	for i := range n {
		row := c.l[i*n : i*n+n]
		for k := range i {
			b[i] -= row[k] * b[k]
		}
		b[i] /= row[i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			b[i] -= c.l[k*n+i] * b[k]
		}
		b[i] /= c.l[i*n+i]
	}
}

// logDet returns the log of the determinant.
func (c *cholesky) logDet() float64 {
	sum := 0.0
	for i := range c.n {
		sum += math.Log(c.l[i*c.n+i])
	}
	return 2 * sum
}
