package compare

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// manyDF is from where on Student's t is taken as normal.
const manyDF = 1e4

// exceeds is the probability that Student's t of df degrees of freedom exceeds u.
func exceeds(u, df float64) float64 {
	if df > manyDF {
		return distuv.UnitNormal.Survival(u)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Survival(u)
}

// atOnePlace is the probability that chance alone exceeds u to either side in one number.
func atOnePlace(u, df float64) float64 { return 2 * exceeds(u, df) }

// roughness is how often the slope of a random kick curve turns over, as the curve's
// length in units of its correlation: L sqrt(l2) with l2 the variance of the slope over
// that of the curve. A mean and four harmonics of equal size have the variance 1 + 4 and
// the slope's (2 pi)^2 (1 + 4 + 9 + 16), so over one kick it is 2 pi sqrt 6.
var roughness = 2 * math.Pi * math.Sqrt(6)

// onCurve is (at most) the probability that chance alone exceeds u to either side
// anywhere on the curve: the expected number of stretches above u,
//
//	P(t > u) + L sqrt(l2)/(2 pi) (1 + u^2/df)^(-(df-1)/2).
func onCurve(u, df float64) float64 {
	crossings := math.Exp(-u * u / 2)
	if df <= manyDF {
		crossings = math.Pow(1+u*u/df, -(df-1)/2)
	}
	return 2 * (exceeds(u, df) + roughness/(2*math.Pi)*crossings)
}

// dfSteps is the number of steps per degree of freedom at which reach is kept.
const dfSteps = 4

// remembered returns how many standard errors a band must reach so that chance leaves it
// with the given share, by degrees of freedom. They are rounded down to a quarter, which
// widens the band a little, and what was found is kept. Below 1 it is NaN.
func remembered(share float64, chance func(u, df float64) float64) func(df float64) float64 {
	kept := map[int]float64{}
	return func(df float64) float64 {
		if !(df >= 1) {
			return math.NaN()
		}
		key := int(math.Floor(min(df, 2*manyDF) * dfSteps))
		u, ok := kept[key]
		if !ok {
			u = solve(share, func(u float64) float64 { return chance(u, float64(key)/dfSteps) })
			kept[key] = u
		}
		return u
	}
}

// solve returns where a falling probability reaches share, to a thousandth.
func solve(share float64, chance func(u float64) float64) float64 {
	lo, hi := 0.0, 2.0
	for chance(hi) > share && hi < 1e9 {
		lo, hi = hi, 2*hi
	}
	for hi-lo > 1e-3*hi {
		if mid := (lo + hi) / 2; chance(mid) > share {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}
