package spread

import (
	"math"
	"sort"
	"sync"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// normal95 is the two-sided 95 % quantile of the normal distribution.
const normal95 = 1.959963984540054

// Estimate is a mean over kicks with its 95 % band.
type Estimate struct {
	Value float64 // mean
	SD    float64 // scatter from kick to kick (n-1 in the denominator); NaN for one kick
	N     int     // kicks
	Low   float64 // lower end of the 95 % band of the mean
	High  float64 // upper end
}

// Band returns the mean of values (one per kick) and the 95 % band of that mean.
// Half its width is
//
//	sqrt( max( t(n-1) SD/sqrt(n), 1.96 drawSE )^2 + (1.96 constantSE)^2 )
//
// constantSE is the standard error of what is the same in all kicks of a clip
// (scale, roll, marking offset), so it is not divided by n. drawSE is the
// standard error of the mean from random marking and tracking errors: the
// observed SD already holds it, so the larger of the two counts, never both.
// Pass 0 where an error does not apply; NaN counts as 0.
//
// Values that are not finite are left out. With one value SD is NaN and drawSE
// stands alone; with none everything is NaN. It panics on a negative error.
func Band(values []float64, constantSE, drawSE float64) Estimate {
	if constantSE < 0 || drawSE < 0 {
		panic("spread: a standard error must not be negative")
	}
	known := finiteOf(values)
	n := len(known)
	nan := math.NaN()
	if n == 0 {
		return Estimate{Value: nan, SD: nan, Low: nan, High: nan}
	}
	e := Estimate{Value: stat.Mean(known, nil), SD: nan, N: n}
	random := normal95 * zeroIfNaN(drawSE)
	if n > 1 {
		e.SD = stat.StdDev(known, nil)
		random = max(random, T95(n-1)*e.SD/math.Sqrt(float64(n)))
	}
	half := math.Hypot(random, normal95*zeroIfNaN(constantSE))
	e.Low, e.High = e.Value-half, e.Value+half
	return e
}

// T95 returns the two-sided 95 % quantile of Student's t distribution with df
// degrees of freedom: 12.706 for 1, 2.571 for 5, towards 1.960 for many. Below
// one degree of freedom it is NaN.
func T95(df int) float64 {
	switch {
	case df < 1:
		return math.NaN()
	case df > 100_000: // the difference is below 3e-5 and shrinks
		return normal95
	}
	if known, ok := quantiles.Load(df); ok {
		return known.(float64)
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Quantile(0.975)
	quantiles.Store(df, t)
	return t
}

// quantiles holds those that were asked for, by degrees of freedom: a page of trends asks
// for thousands.
var quantiles sync.Map

// Quantile returns the value below which the share p (0..1) of values lies,
// linearly between order statistics: position 1 + (n-1) p (definition 7 of
// Hyndman and Fan, Am Stat 50, 1996). Values that are not finite are left out;
// none left gives NaN. It panics when p is outside 0..1.
func Quantile(values []float64, p float64) float64 {
	if !(p >= 0 && p <= 1) {
		panic("spread: a quantile's share must lie between 0 and 1")
	}
	sorted := finiteOf(values)
	if len(sorted) == 0 {
		return math.NaN()
	}
	sort.Float64s(sorted)
	whole, part := math.Modf(p * float64(len(sorted)-1))
	i := int(whole)
	if i == len(sorted)-1 {
		return sorted[i]
	}
	return sorted[i] + part*(sorted[i+1]-sorted[i])
}

func finiteOf(values []float64) []float64 {
	known := make([]float64, 0, len(values))
	for _, v := range values {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			known = append(known, v)
		}
	}
	return known
}

func zeroIfNaN(v float64) float64 {
	if math.IsNaN(v) {
		return 0
	}
	return v
}
