package steady

import (
	"math"
	"slices"

	"underkick/internal/raster"
)

// left is the share of a key's patches that are in view where the camera stands so.
func (s *Steadier) left(k *key, now Transform, g *raster.Grey) float64 {
	m := now.After(k.background.Inverse())
	n := 0
	for i := range k.patches {
		x, y := m.At(k.patches[i].fine.X, k.patches[i].fine.Y)
		if g.Inside(x, y, patchRadius+1) {
			n++
		}
	}
	return float64(n) / float64(max(len(k.patches), 1))
}

// coarse corrects the expected map by the median shift of some patches in a small
// picture, which reaches farther.
func (s *Steadier) coarse(k *key, pyramid []*raster.Grey, expected Transform) Transform {
	if len(pyramid) <= levels {
		return expected
	}
	small := expected.Resized(1.0 / coarseness)
	var dx, dy []float64
	for i := range k.patches {
		p := k.patches[i].coarse
		if p == nil {
			continue
		}
		if f, ok := p.Find(pyramid[levels], small.At, patchRadius); ok && f.Alike > alike {
			x, y := small.At(p.X, p.Y)
			dx, dy = append(dx, coarseness*(f.X-x)), append(dy, coarseness*(f.Y-y))
		}
	}
	if len(dx) < fewestCoarse {
		return expected
	}
	return Transform{1, 0, median(dx), 0, 1, median(dy), 0, 0, 1}.After(expected)
}

func median(x []float64) float64 {
	slices.Sort(x)
	return x[len(x)/2]
}

// findAll looks for all patches of a key.
func (s *Steadier) findAll(k *key, g *raster.Grey, expected Transform) []pair {
	found := make([]pair, len(k.patches))
	ok := make([]bool, len(k.patches))
	each(len(k.patches), func(i int) {
		p := &k.patches[i].fine
		f, good := p.Find(g, expected.At, reach)
		if ok[i] = good && f.Alike > alike; ok[i] {
			found[i] = pair{p.X, p.Y, f.X, f.Y}
		}
	})
	var pairs []pair
	for i, p := range found {
		if ok[i] {
			pairs = append(pairs, p)
		}
	}
	return pairs
}

// random fits the map from every second pair and from the others and returns the
// standard error of the whole: half the rms distance of the two at four points.
// Where the plane's points were found they hold shift, zoom and turn, and only what
// is left of the difference counts.
func (s *Steadier) random(pairs []pair, m Transform, k *key, held bool) float64 {
	var part [2][]pair
	n := 0
	for i := range pairs {
		if miss(&m, &pairs[i]) < 2*near {
			part[n%2] = append(part[n%2], pairs[i])
			n++
		}
	}
	if n < fewest {
		return near
	}
	a, b := refine(part[0], m, s.centre, s.size), refine(part[1], m, s.centre, s.size)
	if held {
		b = s.heldTo(a, b, k)
	}
	sum := 0.0
	for _, d := range [][2]float64{{-0.5, -0.25}, {0.5, -0.25}, {-0.5, 0.25}, {0.5, 0.25}} {
		x, y := s.centre[0]+d[0]*s.size, s.centre[1]+d[1]*s.size
		u, v := a.At(x, y)
		sum += math.Pow(miss(&b, &pair{x, y, u, v}), 2)
	}
	return math.Sqrt(sum/4) / 2
}

// heldTo moves map b so that it agrees with a at two of the plane's points.
func (s *Steadier) heldTo(a, b Transform, k *key) Transform {
	var ends [2]pair
	for i, p := range s.opt.Plane[:2] {
		x, y := k.background.At(p[0], p[1])
		ends[i].x, ends[i].y = b.At(x, y)
		ends[i].u, ends[i].v = a.At(x, y)
	}
	if m, ok := similarity(ends[0], ends[1]); ok {
		return m.After(b)
	}
	return b
}
