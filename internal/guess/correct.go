package guess

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"underkick/internal/body"
)

// difference is where a person put a landmark against where it was guessed, in
// axes along and across its segment, in lengths of the body.
type difference struct {
	kicks         float64 // time in kicks
	along, across float64
	sd            float64 // of the mark, per axis
}

// covariance of a landmark's difference at two times in kicks.
func (v spread) covariance(a, b float64) float64 {
	phase := 2 * math.Sin(math.Pi*(a-b)) / kickWidth
	return v.steady*v.steady + v.kick*v.kick*math.Exp(-phase*phase/2) + v.drift*v.drift*math.Exp(-math.Abs(a-b)/driftKicks)
}

// correction predicts a landmark's difference at any time from those at the
// marked frames (Gaussian process regression: Rasmussen and Williams, Gaussian
// Processes for Machine Learning, MIT Press 2006, eq. 2.25 and 2.26).
type correction struct {
	src           source
	known         []difference
	chol          mat.Cholesky
	along, across *mat.VecDense // inverse covariance times the known differences
	surprise      float64       // their squared size as the covariance measures it
}

func newCorrection(src source, known []difference) *correction {
	c := &correction{src: src, known: known}
	n := len(known)
	if n == 0 {
		return c
	}
	k := mat.NewSymDense(n, nil)
	y := [2]*mat.VecDense{mat.NewVecDense(n, nil), mat.NewVecDense(n, nil)}
	for i, a := range known {
		for j := i; j < n; j++ {
			v := src.spread.covariance(a.kicks, known[j].kicks)
			if i == j {
				v += a.sd*a.sd + frameSD*frameSD
			}
			k.SetSym(i, j, v)
		}
		y[0].SetVec(i, a.along-src.along)
		y[1].SetVec(i, a.across)
	}
	if !c.chol.Factorize(k) {
		panic("guess: a covariance with noise on its diagonal is positive definite")
	}
	c.along, c.across = c.solve(y[0]), c.solve(y[1])
	c.surprise = mat.Dot(y[0], c.along) + mat.Dot(y[1], c.across)
	return c
}

func (c *correction) solve(v *mat.VecDense) *mat.VecDense {
	out := mat.NewVecDense(v.Len(), nil)
	// The only error is a warning about a poor condition; the noise on the
	// diagonal bounds it at about 1e3 times the number of marks.
	_ = c.chol.SolveVecTo(out, v)
	return out
}

// at returns the difference expected at a time and its variance per axis.
func (c *correction) at(kicks float64) (along, across, variance float64) {
	along = c.src.along
	variance = c.src.spread.covariance(kicks, kicks) + frameSD*frameSD
	if len(c.known) == 0 {
		return along, 0, variance
	}
	k := mat.NewVecDense(len(c.known), nil)
	for i, d := range c.known {
		k.SetVec(i, c.src.spread.covariance(kicks, d.kicks))
	}
	along += mat.Dot(k, c.along)
	across = mat.Dot(k, c.across)
	return along, across, max(0, variance-mat.Dot(k, c.solve(k)))
}

// priorCounts is how many differences the spreads in sources.go are worth when
// a clip's own differences turn out larger or smaller.
const priorCounts = 20

// stretch is the factor on all standard errors because the differences at the
// marks are larger than the spreads say (or smaller).
func stretch(all map[body.Landmark]*correction) float64 {
	sum, count := float64(priorCounts), float64(priorCounts)
	for _, c := range all {
		sum += c.surprise
		count += 2 * float64(len(c.known))
	}
	return math.Sqrt(sum / count)
}
