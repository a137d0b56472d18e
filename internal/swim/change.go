package swim

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/series"
)

// Scaled returns the kick with every joint's oscillation multiplied by factor; the
// knee keeps its smallest angle, the other joints their means.
func (k Kick) Scaled(factor float64) Kick {
	straight, _ := extremes(k.Joints[body.KneeJoint])
	for j, f := range k.Joints {
		k.Joints[j] = affine(f, f.Mean, factor, f.Mean)
	}
	knee := &k.Joints[body.KneeJoint]
	now, _ := extremes(*knee)
	knee.Mean += straight - now
	return k
}

// Pointed returns the kick with the foot pointed further by angle (rad, negative:
// less) at the pointed end of the ankle curve; the dorsiflexed end stays, and what lies
// between is stretched,
//
//	a' = hi - (hi - a) (hi - lo + angle)/(hi - lo)
func (k Kick) Pointed(angle float64) Kick {
	ankle := k.Joints[body.AnkleJoint]
	lo, hi := extremes(ankle)
	k.Joints[body.AnkleJoint] = affine(ankle, hi, (hi-lo+angle)/(hi-lo), hi)
	return k
}

// affine returns to + factor (f - from).
func affine(f series.Fourier, from, factor, to float64) series.Fourier {
	g := series.Fourier{Mean: to + factor*(f.Mean-from), Cos: make([]float64, len(f.Cos)), Sin: make([]float64, len(f.Sin))}
	for h := range f.Cos {
		g.Cos[h], g.Sin[h] = factor*f.Cos[h], factor*f.Sin[h]
	}
	return g
}

// extremes returns the smallest and largest value of a periodic curve.
func extremes(f series.Fourier) (lo, hi float64) {
	x := make([]float64, 256)
	for i := range x {
		x[i], _ = valueAndRate(f, float64(i)/float64(len(x)), 1)
	}
	_, lo = peak(x, -1)
	_, hi = peak(x, 1)
	return math.Min(lo, hi), math.Max(lo, hi)
}
