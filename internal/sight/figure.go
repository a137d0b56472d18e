package sight

import (
	"math"
	"slices"

	"underkick/internal/camera/steady"
)

// figure is a connected thing in a picture that was not there a moment before and is
// not there a moment later.
type figure struct {
	mass        int      // px
	x, y        float64  // middle, px of the picture
	left, right float64  // where all but a fiftieth of it lies
	gx, gy      float64  // the middle in the first picture's coordinates
	columns     []column // from column 0 of the picture
}

// column is what a figure has in one column of the picture.
type column struct {
	n   int     // px
	sum float64 // of their y
}

// Numbers of the figure.
const (
	overFlicker = 3.5    // times the ground's usual change, and
	overLevels  = 6      // grey levels that a difference must have
	alongPx     = 12     // parts this near to each other along x and
	acrossPx    = 4      // along y are one figure
	lagTime     = 0.15   // s to the pictures before and after that are compared
	endShare    = 0.16   // of the extent, that counts as an end
	fewFigures  = 4      // largest ones of a picture that are kept
	leastMass   = 0.0015 // of the picture, of a figure
)

// seer finds figures; it keeps its memory between pictures.
type seer struct {
	w      *Watch
	maps   []steady.Transform
	lag    int // pictures
	ground *ground
	mask   []bool
	wide   []bool
	label  []bool
	queue  []int32
	part   []int32
}

func newSeer(w *Watch, maps []steady.Transform) *seer {
	n := w.w * w.h
	rate := float64(len(w.times)-1) / (w.times[len(w.times)-1] - w.times[0])
	lag := min(max(int(math.Round(lagTime*rate)), 1), (len(w.pictures)-1)/2)
	return &seer{w: w, maps: maps, lag: lag, ground: newGround(w, maps, lag), mask: make([]bool, n), wide: make([]bool, n), label: make([]bool, n)}
}

// see returns the largest figures of picture i.
func (s *seer) see(i int) []figure {
	s.differ(i)
	s.widen()
	return s.parts(s.maps[i].Inverse())
}

// differ marks what differs both from before and from after, single specks left out.
func (s *seer) differ(n int) {
	pix, back, g := s.w.pictures[n], s.maps[n].Inverse(), s.ground
	before, after := max(n-s.lag, 0), min(n+s.lag, len(s.w.pictures)-1)
	raw := s.wide // not yet in use
	for y := range s.w.h {
		for x := range s.w.w {
			i := y*s.w.w + x
			raw[i] = false
			u, v := back.At(float64(x)+0.5, float64(y)+0.5)
			c, r := int(math.Floor(u))-g.x, int(math.Floor(v))-g.y
			if c < 0 || r < 0 || c >= g.w || r >= g.h || !g.known[r*g.w+c] {
				continue
			}
			need := max(overLevels, overFlicker*float64(g.flicker[r*g.w+c]))
			raw[i] = s.change(pix[i], before, n, u, v) > need && s.change(pix[i], after, n, u, v) > need
		}
	}
	for y := range s.w.h {
		for x := range s.w.w {
			i := y*s.w.w + x
			s.mask[i] = false
			if x == 0 || y == 0 || x == s.w.w-1 || y == s.w.h-1 {
				continue
			}
			n := 0
			for _, j := range [9]int{i - s.w.w - 1, i - s.w.w, i - s.w.w + 1, i - 1, i, i + 1, i + s.w.w - 1, i + s.w.w, i + s.w.w + 1} {
				if raw[j] {
					n++
				}
			}
			s.mask[i] = n >= 5
		}
	}
}

// change is how far picture other differs from value now at a place of the ground; at
// the ends of the clip, where there is no other, and out of its view it does not
// stand against.
func (s *seer) change(now uint8, other, n int, x, y float64) float64 {
	if other == n {
		return math.Inf(1)
	}
	v, seen := s.w.at(other, s.maps, x, y)
	if !seen {
		return math.Inf(1)
	}
	return math.Abs(float64(now) - float64(v))
}

// widen fills wide with everything within reach of the mask, along x then y.
func (s *seer) widen() {
	w, h := s.w.w, s.w.h
	across := s.label
	for y := range h {
		near := alongPx + 1
		row := y * w
		for x := range w {
			if near++; s.mask[row+x] {
				near = 0
			}
			across[row+x] = near <= alongPx
		}
		near = alongPx + 1
		for x := w - 1; x >= 0; x-- {
			if near++; s.mask[row+x] {
				near = 0
			}
			across[row+x] = across[row+x] || near <= alongPx
		}
	}
	for x := range w {
		near := acrossPx + 1
		for y := range h {
			if near++; across[y*w+x] {
				near = 0
			}
			s.wide[y*w+x] = near <= acrossPx
		}
		near = acrossPx + 1
		for y := h - 1; y >= 0; y-- {
			if near++; across[y*w+x] {
				near = 0
			}
			s.wide[y*w+x] = s.wide[y*w+x] || near <= acrossPx
		}
	}
}

// parts returns the largest connected parts of wide, by the masked pixels in them.
func (s *seer) parts(back steady.Transform) []figure {
	clear(s.label)
	least := int(leastMass * float64(len(s.mask)))
	var all []figure
	for i := range s.wide {
		if !s.wide[i] || s.label[i] {
			continue
		}
		if s.flood(int32(i)); len(s.part) >= least {
			all = append(all, s.measure(back))
		}
	}
	slices.SortFunc(all, func(a, b figure) int { return b.mass - a.mass })
	return all[:min(len(all), fewFigures)]
}

// flood fills part with the masked pixels connected to pixel i.
func (s *seer) flood(i int32) {
	w := int32(s.w.w)
	s.part = s.part[:0]
	s.queue = append(s.queue[:0], i)
	s.label[i] = true
	for len(s.queue) > 0 {
		at := s.queue[len(s.queue)-1]
		s.queue = s.queue[:len(s.queue)-1]
		if s.mask[at] {
			s.part = append(s.part, at)
		}
		x := at % w
		for _, next := range [4]int32{at - w, at + w, at - 1, at + 1} {
			if next < 0 || int(next) >= len(s.wide) || next == at-1 && x == 0 || next == at+1 && x == w-1 {
				continue
			}
			if s.wide[next] && !s.label[next] {
				s.label[next] = true
				s.queue = append(s.queue, next)
			}
		}
	}
}

// measure returns middle and extent of part and what it has in each column.
func (s *seer) measure(back steady.Transform) figure {
	f := figure{mass: len(s.part), columns: make([]column, s.w.w)}
	for _, at := range s.part {
		x, y := int(at)%s.w.w, float64(int(at)/s.w.w)+0.5
		f.columns[x].n++
		f.columns[x].sum += y
		f.x, f.y = f.x+float64(x)+0.5, f.y+y
	}
	n := float64(f.mass)
	f.x, f.y = f.x/n, f.y/n
	f.left, f.right = extent(f.columns, f.mass)
	f.gx, f.gy = back.At(f.x, f.y)
	return f
}

// extent returns the columns between which all but a hundredth on either side lies.
func extent(columns []column, mass int) (left, right float64) {
	few := mass / 100
	n := 0
	for x, c := range columns {
		if n += c.n; n > few {
			left = float64(x)
			break
		}
	}
	n = 0
	for x := len(columns) - 1; x >= 0; x-- {
		if n += columns[x].n; n > few {
			right = float64(x + 1)
			break
		}
	}
	return left, right
}
