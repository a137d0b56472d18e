package sight

import (
	"math"
	"slices"

	"underkick/internal/camera/steady"
)

// ground is how much the pool itself changes within lag pictures, place by place: the
// light that wanders, waves, noise. It lies on a canvas that holds all that the
// camera saw, in the coordinates of the first picture.
type ground struct {
	x, y, w, h int // left and top end of the canvas, its size, px
	flicker    []uint8
	known      []bool
}

// Numbers of the ground.
const (
	groundPictures = 41 // pairs of pictures that the median is taken of
	mostCanvas     = 4  // picture widths that the canvas may have
	leastSeenTimes = 5  // pairs that must show a place
)

// newGround takes the median over time of the changes at every place that was seen
// often enough.
func newGround(w *Watch, maps []steady.Transform, lag int) *ground {
	g := canvas(w, maps)
	n := len(w.pictures) - lag
	count := min(groundPictures, n)
	size := g.w * g.h
	g.flicker, g.known = make([]uint8, size), make([]bool, size)
	values := make([]uint8, 0, count)
	for y := range g.h {
		for x := range g.w {
			values = values[:0]
			px, py := float64(g.x+x)+0.5, float64(g.y+y)+0.5
			for k := range count {
				i := k * (n - 1) / max(count-1, 1)
				a, seenA := w.at(i, maps, px, py)
				b, seenB := w.at(i+lag, maps, px, py)
				if seenA && seenB {
					values = append(values, max(a, b)-min(a, b))
				}
			}
			if len(values) < min(leastSeenTimes, count) {
				continue
			}
			slices.Sort(values)
			i := y*g.w + x
			g.known[i], g.flicker[i] = true, values[len(values)/2]
		}
	}
	return g
}

// at returns what picture i shows at a place of the first one.
func (w *Watch) at(i int, maps []steady.Transform, x, y float64) (v uint8, seen bool) {
	u, r := maps[i].At(x, y)
	c, l := int(math.Floor(u)), int(math.Floor(r))
	if c < 0 || l < 0 || c >= w.w || l >= w.h {
		return 0, false
	}
	return w.pictures[i][l*w.w+c], true
}

// canvas is the smallest one that holds every picture.
func canvas(w *Watch, maps []steady.Transform) *ground {
	x0, y0, x1, y1 := 0.0, 0.0, float64(w.w), float64(w.h)
	for _, m := range maps {
		back := m.Inverse()
		for _, c := range [][2]float64{{0, 0}, {float64(w.w), 0}, {0, float64(w.h)}, {float64(w.w), float64(w.h)}} {
			x, y := back.At(c[0], c[1])
			x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
		}
	}
	wide, high := float64(mostCanvas*w.w), float64(mostCanvas*w.h)
	x0, y0 = max(x0, -wide), max(y0, -high)
	g := &ground{x: int(math.Floor(x0)), y: int(math.Floor(y0))}
	g.w, g.h = int(min(x1-x0, wide))+1, int(min(y1-y0, high))+1
	return g
}
