package sight

import (
	"math"
	"math/rand/v2"
	"sort"
)

// path is a straight way over the ground at an even speed, with the figures on it.
type path struct {
	x, y, vx, vy float64 // place at time 0, px of the first small picture, and speed, px/s
	found        []int   // pictures with a figure on it, rising
	figures      []figure
}

func (p *path) at(t float64) (x, y float64) { return p.x + p.vx*t, p.y + p.vy*t }

// Numbers of the paths.
const (
	pathTries  = 600
	pairTime   = 6.0  // s between the two pictures that a path is laid through
	offAlong   = 0.10 // of the picture's width that a figure's middle may be off along x
	offAcross  = 0.05 // and along y: parts of the body come and go
	mostClimb  = 0.35 // of a path, height over way
	leastFound = 10   // pictures
)

// findPath returns the straight path with the most figure on it, by sampling pairs
// of figures, cut to its longest stretch without a gap. Speeds up to two picture
// widths a second are followed.
func (w *Watch) findPath(seen [][]figure) (best path, ok bool) {
	var where []int
	for i := range seen {
		if len(seen[i]) > 0 {
			where = append(where, i)
		}
	}
	if len(where) < leastFound {
		return best, false
	}
	rng := rand.New(rand.NewPCG(2, 3))
	most := 0.0
	for range pathTries {
		k := rng.IntN(len(where))
		i := where[k]
		j := where[w.soon(where, k, rng)]
		a, b := seen[i][rng.IntN(len(seen[i]))], seen[j][rng.IntN(len(seen[j]))]
		dt := w.times[j] - w.times[i]
		if math.Abs(dt) < leastRun/2 {
			continue
		}
		p := path{vx: (b.gx - a.gx) / dt, vy: (b.gy - a.gy) / dt}
		if math.Abs(p.vx) > 2*float64(w.w) || math.Abs(p.vy) > mostClimb*math.Abs(p.vx) {
			continue
		}
		p.x, p.y = a.gx-p.vx*w.times[i], a.gy-p.vy*w.times[i]
		if mass := w.gather(&p, seen); mass > most {
			best, most = p, mass
		}
	}
	if len(best.found) < leastFound {
		return best, false
	}
	w.straighten(&best, seen)
	return best, len(best.found) >= leastFound
}

// soon draws another picture of a list within pairTime of the one at k: a pair from two
// runs is no path, and a long clip has many of those.
func (w *Watch) soon(where []int, k int, rng *rand.Rand) int {
	t := w.times[where[k]]
	from := sort.Search(len(where), func(i int) bool { return w.times[where[i]] >= t-pairTime })
	to := sort.Search(len(where), func(i int) bool { return w.times[where[i]] > t+pairTime })
	return from + rng.IntN(to-from)
}

// gather puts the figures near the path on it, the longest stretch without a gap,
// and returns their mass.
func (w *Watch) gather(p *path, seen [][]figure) float64 {
	p.found, p.figures = p.found[:0], p.figures[:0]
	start, bestFrom, bestTo := 0, 0, 0
	mass, most := 0.0, 0.0
	for i := range seen {
		x, y := p.at(w.times[i])
		f, ok := nearestFigure(seen[i], x, y, offAlong*float64(w.w), offAcross*float64(w.w))
		if !ok {
			continue
		}
		if n := len(p.found); n > 0 && w.times[i]-w.times[p.found[n-1]] > bridge {
			start, mass = n, 0
		}
		p.found, p.figures = append(p.found, i), append(p.figures, f)
		if mass += float64(f.mass); mass > most {
			most, bestFrom, bestTo = mass, start, len(p.found)
		}
	}
	p.found, p.figures = p.found[bestFrom:bestTo], p.figures[bestFrom:bestTo]
	return most
}

// nearestFigure is the heaviest figure whose middle is near enough to a place.
func nearestFigure(all []figure, x, y, along, across float64) (figure, bool) {
	for _, f := range all {
		if math.Abs(f.gx-x) <= along && math.Abs(f.gy-y) <= across {
			return f, true
		}
	}
	return figure{}, false
}

// straighten fits the path to its figures and gathers anew, a few times.
func (w *Watch) straighten(p *path, seen [][]figure) {
	for range 3 {
		w.lay(p)
		w.gather(p, seen)
	}
}

// lay fits the path to its figures by least squares.
func (w *Watch) lay(p *path) {
	var n, t, tt, x, tx, y, ty float64
	for k, i := range p.found {
		at, f := w.times[i], &p.figures[k]
		n, t, tt = n+1, t+at, tt+at*at
		x, tx, y, ty = x+f.gx, tx+at*f.gx, y+f.gy, ty+at*f.gy
	}
	if det := n*tt - t*t; det > 0 {
		p.vx, p.vy = (n*tx-t*x)/det, (n*ty-t*y)/det
		p.x, p.y = (x-p.vx*t)/n, (y-p.vy*t)/n
	}
}
