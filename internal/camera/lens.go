package camera

import (
	"fmt"
	"math"
)

// Lens bends straight lines: the radial distortion of a lens, and of a flat window in
// front of it, about the middle of the picture. In units of half the picture's
// diagonal, from the picture's middle,
//
//	straight = bent (1 + K1 r^2 + K2 r^4),  r = |bent|
//
// (Brown, Photogrammetric Engineering 37, 855-866, 1971; Devernay and Faugeras, Machine
// Vision and Applications 13, 14-24, 2001). A picture whose edges bulge outwards
// (barrel) has a positive K1. The zero value is a lens that bends nothing.
type Lens struct {
	Width, Height float64 // of the picture, px
	K1, K2        float64

	// Covariance of K1 and K2: K1K1, K1K2, K2K2. Zero where it is not known.
	Cov [3]float64
	// ResidualPx is the rms distance from a straight line that was left in the fit, px.
	ResidualPx float64
}

// lensReach is how far out a lens is used, in half diagonals: the picture's corner and
// a third more, for a swimmer's traces that leave the picture.
const lensReach = 4.0 / 3

// NewLens returns a lens of known terms. The error tells of sizes and terms that cannot
// be used: not finite, or so strong that two places of the picture would fall on one.
func NewLens(width, height, k1, k2 float64) (Lens, error) {
	l := Lens{Width: width, Height: height, K1: k1, K2: k2}
	if !(width >= 2 && width <= 1e6 && height >= 2 && height <= 1e6) {
		return Lens{}, fmt.Errorf("%w: a picture of %g by %g px is none", ErrLens, width, height)
	}
	if math.IsNaN(k1+k2) || math.IsInf(k1+k2, 0) {
		return Lens{}, fmt.Errorf("%w: k1 = %g, k2 = %g; both must be finite", ErrLens, k1, k2)
	}
	if r := l.monotone(); r <= 1 {
		return Lens{}, fmt.Errorf("%w: k1 = %.3g and k2 = %.3g fold the picture over at %.0f %% of the way to its corner; no lens does that", ErrLens, k1, k2, 100*r)
	}
	return l, nil
}

// Bends reports whether the lens does anything.
func (l Lens) Bends() bool { return l.K1 != 0 || l.K2 != 0 }

// half is half the picture's diagonal, px.
func (l Lens) half() float64 { return math.Hypot(l.Width, l.Height) / 2 }

// factor is 1 + K1 r^2 + K2 r^4.
func (l Lens) factor(r float64) float64 { return 1 + r*r*(l.K1+r*r*l.K2) }

// slope is the derivative of r factor(r): 1 + 3 K1 r^2 + 5 K2 r^4.
func (l Lens) slope(r float64) float64 { return 1 + r*r*(3*l.K1+5*r*r*l.K2) }

// monotone returns the radius up to which a larger bent radius means a larger straight
// one, half diagonals; +Inf where it never ends. It is the smallest positive root of slope.
func (l Lens) monotone() float64 {
	a, b := 5*l.K2, 3*l.K1 // a q^2 + b q + 1 = 0, q = r^2
	if a == 0 {
		if b >= 0 {
			return math.Inf(1)
		}
		return math.Sqrt(-1 / b)
	}
	d := b*b - 4*a
	if d < 0 {
		return math.Inf(1)
	}
	s := -(b + math.Copysign(math.Sqrt(d), b)) / 2 // both roots without cancellation
	first := math.Inf(1)
	for _, q := range [2]float64{s / a, 1 / s} {
		if q > 0 {
			first = min(first, math.Sqrt(q))
		}
	}
	return first
}

// reach is the largest bent radius that is used, half diagonals.
func (l Lens) reach() float64 { return min(lensReach, l.monotone()) }

// Straight returns where a straight-line camera would show what is seen at (xPx, yPx).
// NaN farther out than a third beyond the picture's corner, or than the lens can be told.
func (l Lens) Straight(xPx, yPx float64) (x, y float64) {
	if !l.Bends() {
		return xPx, yPx
	}
	h, cx, cy := l.half(), l.Width/2, l.Height/2
	dx, dy := xPx-cx, yPx-cy
	r := math.Hypot(dx, dy) / h
	if !(r <= l.reach()) {
		return math.NaN(), math.NaN()
	}
	f := l.factor(r)
	return cx + dx*f, cy + dy*f
}

// Bent is the inverse of Straight: where the lens shows a point of the straight
// picture. The radius is found by Newton's method within brackets, to rounding.
// NaN beyond the reach of Straight.
func (l Lens) Bent(xPx, yPx float64) (x, y float64) {
	if !l.Bends() {
		return xPx, yPx
	}
	h, cx, cy := l.half(), l.Width/2, l.Height/2
	dx, dy := xPx-cx, yPx-cy
	want := math.Hypot(dx, dy) / h
	r := l.bentRadius(want)
	if math.IsNaN(r) {
		return math.NaN(), math.NaN()
	}
	f := l.factor(r)
	return cx + dx/f, cy + dy/f
}

// bentRadius solves r factor(r) = want on 0..reach, where it rises.
func (l Lens) bentRadius(want float64) float64 {
	lo, hi := 0.0, l.reach()
	if !(want <= hi*l.factor(hi)) {
		return math.NaN()
	}
	r := min(want, hi)
	for range 100 {
		e := r*l.factor(r) - want
		if e > 0 {
			hi = r
		} else {
			lo = r
		}
		next := r - e/l.slope(r)
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-r) <= 1e-15 {
			break
		}
		r = next
	}
	return r
}

// magnification returns the derivative of Straight at bent radius r: along the radius
// and across it.
func (l Lens) magnification(r float64) (along, across float64) { return l.slope(r), l.factor(r) }

// area is how many straight px2 a bent px2 at a place of the picture covers.
func (l Lens) area(xPx, yPx float64) float64 {
	if !l.Bends() {
		return 1
	}
	along, across := l.magnification(math.Hypot(xPx-l.Width/2, yPx-l.Height/2) / l.half())
	return along * across
}

// Errors returns what the error of K1 and K2 does to lengths and directions, rms over
// the picture against its middle: the relative standard error of a small length (the
// geometric mean of both directions), and the standard error of the direction of a small
// line, rad (half the difference of the logarithms of both magnifications is the largest turn).
func (l Lens) Errors() (scaleRel, turn float64) {
	if l.Cov == [3]float64{} {
		return 0, 0
	}
	const steps = 12
	var scale2, turn2, n float64
	for i := range steps {
		for j := range steps {
			u := (2*float64(i) + 1 - steps) / steps * l.Width / 2
			v := (2*float64(j) + 1 - steps) / steps * l.Height / 2
			r := math.Hypot(u, v) / l.half()
			q := r * r
			along, across := l.magnification(r)
			// Derivatives of log(along) and log(across) by K1 and K2.
			a1, a2, c1, c2 := 3*q/along, 5*q*q/along, q/across, q*q/across
			scale2 += l.variance((a1+c1)/2, (a2+c2)/2)
			turn2 += l.variance((a1-c1)/2, (a2-c2)/2) / 2 // rms over directions: sin^2
			n++
		}
	}
	return math.Sqrt(scale2 / n), math.Sqrt(turn2 / n)
}

// variance of g1 K1 + g2 K2.
func (l Lens) variance(g1, g2 float64) float64 {
	return g1*g1*l.Cov[0] + 2*g1*g2*l.Cov[1] + g2*g2*l.Cov[2]
}

// edge is the middle of the picture's farther side, half diagonals.
func (l Lens) edge() float64 { return max(l.Width, l.Height) / 2 / l.half() }

// EdgePx returns by how many px the lens moves the middle of the picture's farther
// side outwards, with the standard error of that.
func (l Lens) EdgePx() (shift, se float64) {
	r := l.edge()
	shift = l.half() * r * (l.factor(r) - 1)
	return shift, l.half() * r * math.Sqrt(l.variance(r*r, r*r*r*r))
}
