package steady

import (
	"math"
	"math/rand/v2"
	"slices"
)

// pair is a point of one picture and where it is in another.
type pair struct{ x, y, u, v float64 }

// Numbers of the robust fit, px of the pictures handed in.
const (
	near     = 1.5  // of the sampled similarity: within it a pair agrees
	samples  = 200  // similarities tried
	fewest   = 20   // agreeing pairs below which a picture counts as lost: fewer may agree by chance
	tukey    = 4.69 // in standard deviations: 95 % efficiency for normal errors
	sharpest = 0.1  // standard deviation that a pair has at least, px
)

// fitTransform returns the projective map that most pairs agree on and the number
// of pairs that do. centre and size norm the coordinates: the middle and half the
// width of the picture. Methods: random sampling of similarities through two pairs
// (Fischler and Bolles, Commun ACM 24, 1981), then reweighted least squares with
// Tukey's weights.
func fitTransform(pairs []pair, centre [2]float64, size float64) (m Transform, agree int) {
	start, agree := sampleSimilarity(pairs)
	if agree < fewest {
		return identity, agree
	}
	return refine(pairs, start, centre, size), agree
}

func sampleSimilarity(pairs []pair) (best Transform, agree int) {
	best = identity
	if len(pairs) < 2 {
		return best, 0
	}
	rng := rand.New(rand.NewPCG(1, uint64(len(pairs))))
	for range samples {
		a, b := pairs[rng.IntN(len(pairs))], pairs[rng.IntN(len(pairs))]
		m, ok := similarity(a, b)
		if !ok {
			continue
		}
		n := 0
		for i := range pairs {
			if miss(&m, &pairs[i]) < near {
				n++
			}
		}
		if n > agree {
			best, agree = m, n
		}
	}
	return best, agree
}

// similarity is the turn, zoom and shift that brings both pairs into agreement.
func similarity(a, b pair) (Transform, bool) {
	dx, dy, du, dv := b.x-a.x, b.y-a.y, b.u-a.u, b.v-a.v
	d := dx*dx + dy*dy
	if d < 400 { // two near points say nothing about turn and zoom
		return identity, false
	}
	c, s := (dx*du+dy*dv)/d, (dx*dv-dy*du)/d
	if zoom := math.Hypot(c, s); zoom < 0.8 || zoom > 1.25 {
		return identity, false
	}
	return Transform{c, -s, a.u - c*a.x + s*a.y, s, c, a.v - s*a.x - c*a.y, 0, 0, 1}, true
}

func miss(m *Transform, p *pair) float64 {
	u, v := m.At(p.x, p.y)
	return math.Hypot(u-p.u, v-p.v)
}

// Prior standard deviations of what a camera hardly does between two pictures, in
// the normed coordinates: keystone, and stretch or skew.
const (
	keystone = 0.01
	stretch  = 0.01
)

// refine solves for the eight numbers of a projective map by reweighted least
// squares of the picture distances.
func refine(pairs []pair, m Transform, centre [2]float64, size float64) Transform {
	toNorm := Transform{1 / size, 0, -centre[0] / size, 0, 1 / size, -centre[1] / size, 0, 0, 1}
	fromNorm := toNorm.Inverse()
	for range 8 {
		spread := scatter(pairs, &m)
		n := toNorm.After(m).After(fromNorm)
		var eq equations
		for i := range pairs {
			p := &pairs[i]
			w := weight(miss(&m, p), spread)
			if w == 0 {
				continue
			}
			x, y := toNorm.At(p.x, p.y)
			u, v := toNorm.At(p.u, p.v)
			w /= math.Pow(n[6]*x+n[7]*y+1, 2) * spread * spread / (size * size)
			eq.add(w, [8]float64{x, y, 1, 0, 0, 0, -u * x, -u * y}, u)
			eq.add(w, [8]float64{0, 0, 0, x, y, 1, -v * x, -v * y}, v)
		}
		eq.add(1/(keystone*keystone), [8]float64{6: 1}, 0)
		eq.add(1/(keystone*keystone), [8]float64{7: 1}, 0)
		eq.add(1/(stretch*stretch), [8]float64{0: 1, 4: -1}, 0)
		eq.add(1/(stretch*stretch), [8]float64{1: 1, 3: 1}, 0)
		h, ok := eq.solve()
		if !ok {
			return m
		}
		next := fromNorm.After(Transform{h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1}).After(toNorm)
		done := settled(&m, &next, centre, size)
		m = next
		if done {
			break
		}
	}
	return m
}

// settled reports whether two maps agree to a hundredth of a pixel.
func settled(a, b *Transform, c [2]float64, size float64) bool {
	for _, d := range [][2]float64{{-size / 2, -size / 4}, {size / 2, -size / 4}, {-size / 2, size / 4}, {size / 2, size / 4}} {
		u, v := a.At(c[0]+d[0], c[1]+d[1])
		if miss(b, &pair{c[0] + d[0], c[1] + d[1], u, v}) > 0.01 {
			return false
		}
	}
	return true
}

// scatter is the standard deviation per axis of the pairs that agree, from the
// median distance (1.1774 standard deviations for normal errors of both axes).
func scatter(pairs []pair, m *Transform) float64 {
	var all []float64
	for i := range pairs {
		if d := miss(m, &pairs[i]); d < 2*near {
			all = append(all, d)
		}
	}
	if len(all) == 0 {
		return near
	}
	slices.Sort(all)
	return max(all[len(all)/2]/1.1774, sharpest)
}

func weight(distance, spread float64) float64 {
	r := distance / (tukey * spread)
	if r >= 1 {
		return 0
	}
	return (1 - r*r) * (1 - r*r)
}

// equations are weighted normal equations of eight unknowns.
type equations struct {
	a [8][8]float64
	b [8]float64
}

func (e *equations) add(w float64, row [8]float64, right float64) {
	for i, r := range row {
		if r == 0 {
			continue
		}
		for j, c := range row {
			e.a[i][j] += w * r * c
		}
		e.b[i] += w * r * right
	}
}

// solve eliminates with the largest pivot of the diagonal's column.
func (e *equations) solve() (x [8]float64, ok bool) {
	a, b := e.a, e.b
	for k := range 8 {
		p := k
		for i := k + 1; i < 8; i++ {
			if math.Abs(a[i][k]) > math.Abs(a[p][k]) {
				p = i
			}
		}
		if math.Abs(a[p][k]) < 1e-12 {
			return x, false
		}
		a[k], a[p], b[k], b[p] = a[p], a[k], b[p], b[k]
		for i := k + 1; i < 8; i++ {
			f := a[i][k] / a[k][k]
			for j := k; j < 8; j++ {
				a[i][j] -= f * a[k][j]
			}
			b[i] -= f * b[k]
		}
	}
	for k := 7; k >= 0; k-- {
		x[k] = b[k]
		for j := k + 1; j < 8; j++ {
			x[k] -= a[k][j] * x[j]
		}
		x[k] /= a[k][k]
	}
	return x, true
}
