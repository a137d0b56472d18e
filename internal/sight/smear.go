package sight

import (
	"cmp"
	"math"
	"slices"

	"underkick/internal/raster"
)

// Smear is how far the feet are drawn out in the pictures while the shutter is open.
type Smear struct {
	Px      float64 // at the fastest parts of the kick, px of the pictures looked at
	Shutter float64 // that way over the speed there, s: about how long the shutter is open
	Edges   int     // measured at the fastest parts
}

// Numbers of the smear.
const (
	smearFrames   = 12   // pictures looked at where the feet are fastest, and where slowest
	fastShare     = 0.25 // of the pictures, that count as fastest, and as slowest
	halfWindow    = 0.12 // half height of the window about the feet, body lengths
	halfColumns   = 0.06 // half its width
	clearPx       = 0.3  // body lengths that the feet must have gone on, for the pool behind them
	groundShots   = 3    // pictures that the pool behind them is taken from,
	groundChoices = 9    // of so many, spread over the run
	leastEdge     = 22.0 // grey levels of a figure whose edge is measured
	leastEdges    = 200
	rampShare     = 0.8 // of a straight ramp that lies between 10 and 90 %
)

// MeasureSmear measures the edges of a run's feet: how wide the ramp from pool to
// figure is, up and down, where the feet rise or sink fastest (w1), against where they
// turn (w0):
//
//	smear^2 = w1^2 - w0^2,  w = (10 to 90 % of the ramp) / 0.8
//
// A shutter that opens while an edge moves on by L draws it out to a straight ramp of
// length L. Where it is drawn out farther than the feet are thick, the ramps of both
// edges meet and less is seen: what is returned is a least value. picture returns a clip's picture, size times as large as those that the run
// was seen in; the error is picture's. ok is false where too few edges stand out from
// the pool, and for a run without feet.
func MeasureSmear(r Run, size float64, picture func(frame int) (*raster.Grey, error)) (s Smear, ok bool, err error) {
	m := smearing{run: r, size: size, body: r.LengthPx * size, picture: picture, known: map[int]*raster.Grey{}}
	fastest, slowest := m.extremes()
	fast, err := m.edges(fastest)
	if err != nil {
		return s, false, err
	}
	slow, err := m.edges(slowest)
	if err != nil || len(fast.ramps) < leastEdges || len(slow.ramps) < leastEdges {
		return s, false, err
	}
	w1, w0 := middle(fast.ramps), middle(slow.ramps)
	s.Px = math.Sqrt(max(w1*w1-w0*w0, 0))
	s.Edges = len(fast.ramps)
	s.Shutter = s.Px / (fast.speed * size)
	return s, true, nil
}

// SmearFrames lists the frames that MeasureSmear asks for, rising; nil where it will not
// measure.
func SmearFrames(r Run) []int {
	m := smearing{run: r}
	fast, slow := m.extremes()
	var out []int
	for _, i := range slices.Concat(fast, slow) {
		clear := m.clear(i)
		out = append(append(out, r.Feet[i].Frame), clear[len(clear)-groundShots:]...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// extremes are the feet that are looked at: the fastest and the slowest, nil where there
// are too few.
func (m *smearing) extremes() (fast, slow []int) {
	usable, feet := m.usable(), m.run.Feet
	if len(usable) < 2*smearFrames {
		return nil, nil
	}
	slices.SortStableFunc(usable, func(a, b int) int { return cmp.Compare(math.Abs(feet[b].Up), math.Abs(feet[a].Up)) })
	n := int(fastShare * float64(len(usable)))
	return spaced(usable[:n]), spaced(usable[len(usable)-n:])
}

// smearing is the measuring of one run.
type smearing struct {
	run     Run
	size    float64
	body    float64 // px of the pictures looked at
	picture func(frame int) (*raster.Grey, error)
	known   map[int]*raster.Grey
}

// usable are the feet that later pictures show the pool behind.
func (m *smearing) usable() []int {
	var out []int
	for i := range m.run.Feet {
		if len(m.clear(i)) >= groundShots {
			out = append(out, i)
		}
	}
	return out
}

// clear are those of a few pictures spread over the run in which the feet have left
// the place where foot i is; few, so that they can be kept.
func (m *smearing) clear(i int) (frames []int) {
	feet := m.run.Feet
	for k := range groundChoices {
		j := k * (len(feet) - 1) / (groundChoices - 1)
		if j > i && math.Abs(feet[j].X-feet[i].X) > clearPx*m.run.LengthPx {
			frames = append(frames, feet[j].Frame)
		}
	}
	return frames
}

// spaced takes smearFrames of a list, spread over the run.
func spaced(list []int) []int {
	list = slices.Clone(list)
	slices.Sort(list)
	if len(list) <= smearFrames {
		return list
	}
	out := make([]int, smearFrames)
	for k := range out {
		out[k] = list[k*(len(list)-1)/(smearFrames-1)]
	}
	return out
}

// edgeList are the edges of some pictures.
type edgeList struct {
	ramps []float64 // px
	speed float64   // mean of the feet's, px/s of the pictures of the run
}

func (m *smearing) edges(feet []int) (list edgeList, err error) {
	for _, i := range feet {
		f := m.run.Feet[i]
		g, err := m.picture(f.Frame)
		if err != nil {
			return list, err
		}
		ground, err := m.ground(i)
		if err != nil {
			return list, err
		}
		m.columns(g, ground, f, &list)
		list.speed += math.Abs(f.Up) / float64(len(feet))
	}
	return list, nil
}

// ground returns the last pictures in which the feet have left the place of foot i.
func (m *smearing) ground(i int) (out []*raster.Grey, err error) {
	clear := m.clear(i)
	for _, frame := range clear[len(clear)-groundShots:] {
		if m.known[frame] == nil {
			if m.known[frame], err = m.picture(frame); err != nil {
				return nil, err
			}
		}
		out = append(out, m.known[frame])
	}
	return out, nil
}

// columns measures the edges in the window about one foot.
func (m *smearing) columns(g *raster.Grey, ground []*raster.Grey, f Foot, list *edgeList) {
	cx, cy := f.X*m.size, f.Y*m.size
	top, bottom := max(int(cy-halfWindow*m.body), 1), min(int(cy+halfWindow*m.body), g.H-2)
	left, right := max(int(cx-halfColumns*m.body), 0), min(int(cx+halfColumns*m.body), g.W-1)
	if bottom-top < 12 {
		return
	}
	d := make([]float64, bottom-top+1)
	for x := left; x <= right; x++ {
		for y := top; y <= bottom; y++ {
			d[y-top] = math.Abs(above(g, x, y) - middleOf3(above(ground[0], x, y), above(ground[1], x, y), above(ground[2], x, y)))
		}
		measureColumn(d, list)
	}
}

// above is the mean of three pixels, one over the other, against noise.
func above(g *raster.Grey, x, y int) float64 {
	i := y*g.W + x
	return float64(g.Pix[i-g.W]+g.Pix[i]+g.Pix[i+g.W]) / 3
}

func middleOf3(a, b, c float64) float64 { return max(min(a, b), min(max(a, b), c)) }

// measureColumn adds both edges of the figure that a column shows.
func measureColumn(d []float64, list *edgeList) {
	peak := 0
	for i := range d {
		if d[i] > d[peak] {
			peak = i
		}
	}
	full := d[peak]
	if full < leastEdge {
		return
	}
	var ramp [2]float64
	for side, step := range [2]int{-1, 1} {
		high, ok1 := crossing(d, peak, step, 0.9*full)
		low, ok2 := crossing(d, peak, step, 0.1*full)
		if !ok1 || !ok2 {
			return
		}
		ramp[side] = math.Abs(low-high) / rampShare
	}
	list.ramps = append(list.ramps, ramp[0], ramp[1])
}

// crossing is where d first falls below a level on the way from peak.
func crossing(d []float64, peak, step int, level float64) (at float64, ok bool) {
	for i := peak + step; i >= 0 && i < len(d); i += step {
		if d[i] < level {
			before := d[i-step]
			return float64(i-step) + float64(step)*(before-level)/(before-d[i]), true
		}
	}
	return 0, false
}

// middle is the median; it sorts x.
func middle(x []float64) float64 {
	slices.Sort(x)
	return x[len(x)/2]
}
