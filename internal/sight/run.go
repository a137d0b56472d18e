package sight

import (
	"math"
	"slices"

	"underkick/internal/camera/steady"
	"underkick/internal/series"
)

// Run is a stretch of film in which somebody crosses the picture.
type Run struct {
	First, Last int     // frames of the clip, both included, with the whole swimmer in the picture
	Right       bool    // swims to the right of the picture
	LengthPx    float64 // of the figure, median
	Kicks       int     // whole kicks seen, from one highest place of the feet to the next; 0 = none seen
	Frequency   float64 // kicks per second, Hz; NaN where no steady rhythm is seen
	Feet        []Foot  // of its pictures in order of time; nil without a rhythm
}

// Foot is where the rear end of a swimmer is in one picture.
type Foot struct {
	Frame int     // of the clip
	X, Y  float64 // middle of the rear fifth, px of the pictures handed in
	Up    float64 // how fast it rises against the body, px/s
}

// Report is what was seen in a clip.
type Report struct {
	Runs   []Run     // in order of time; those with more kicks are no better than others
	Frames []int     // numbers of the pictures looked at
	Ribbon []float64 // share of each picture that is figure
	Moved  bool      // the camera moved and was followed
}

// Numbers of the runs.
const (
	mostRuns    = 24
	pathsTried  = 60   // of which some are no runs
	leastRun    = 0.8  // s
	bridge      = 0.3  // s without the swimmer that do not end a run
	leastTravel = 0.4  // body lengths
	leastLong   = 0.12 // of the picture's width, of a swimmer
	edgePx      = 2.0  // that the swimmer stays from the picture's sides
	slowest     = 0.7  // Hz, kicks looked for
	fastest     = 4.5
)

// Report looks at all pictures. It is empty for fewer than ten pictures.
func (w *Watch) Report() Report {
	r := Report{Frames: w.frames}
	if len(w.pictures) < 10 {
		return r
	}
	maps, moved := w.maps()
	r.Moved = moved
	s := newSeer(w, maps)
	seen := make([][]figure, len(w.pictures))
	size := float64(w.w * w.h)
	for i := range seen {
		seen[i] = s.see(i)
		mass := 0
		for _, f := range seen[i] {
			mass += f.mass
		}
		r.Ribbon = append(r.Ribbon, float64(mass)/size)
	}
	for range pathsTried {
		p, ok := w.findPath(seen)
		if !ok || len(r.Runs) == mostRuns {
			break
		}
		first, last := p.found[0], p.found[len(p.found)-1]
		if run, ok := w.run(p, seen, maps); ok {
			r.Runs = append(r.Runs, run)
		}
		for i := first; i <= last; i++ {
			seen[i] = nil
		}
	}
	slices.SortFunc(r.Runs, func(a, b Run) int { return a.First - b.First })
	return r
}

// bounds are the pictures of a path with the whole swimmer in view.
type bounds struct {
	first, last int
	left, right float64 // reach of the body to both sides of the path's place, small px
}

func (w *Watch) bounds(p path, maps []steady.Transform) bounds {
	var before, after []float64
	for k, i := range p.found {
		x, _ := maps[i].At(p.at(w.times[i]))
		before, after = append(before, x-p.figures[k].left), append(after, p.figures[k].right-x)
	}
	b := bounds{first: -1, left: reach(before), right: reach(after)}
	for _, i := range p.found {
		x, _ := maps[i].At(p.at(w.times[i]))
		if x-b.left < edgePx || x+b.right > float64(w.w)-edgePx {
			continue
		}
		if b.first < 0 {
			b.first = i
		}
		b.last = i
	}
	return b
}

// keep leaves a path the figures within the bounds, as far as they are enough, and
// lays it through them.
func (w *Watch) keep(p *path, b bounds) {
	q := *p
	q.found, q.figures = nil, nil
	for k, i := range p.found {
		if b.first >= 0 && i >= b.first && i <= b.last {
			q.found, q.figures = append(q.found, i), append(q.figures, p.figures[k])
		}
	}
	if len(q.found) >= leastFound {
		w.lay(&q)
		p.x, p.y, p.vx, p.vy = q.x, q.y, q.vx, q.vy
	}
}

// run describes a path; ok is false where the figure does not travel or the whole
// swimmer is not in the picture for long enough.
func (w *Watch) run(p path, seen [][]figure, maps []steady.Transform) (r Run, ok bool) {
	b := w.bounds(p, maps)
	for range 2 { // a body half out of the picture bends the path
		w.keep(&p, b)
		b = w.bounds(p, maps)
	}
	if b.first < 0 || b.left+b.right < leastLong*float64(w.w) {
		return r, false
	}
	lasts := w.times[b.last] - w.times[b.first]
	if lasts < leastRun || math.Abs(p.vx)*lasts < leastTravel*(b.left+b.right) {
		return r, false
	}
	r = Run{First: w.frames[b.first], Last: w.frames[b.last], Right: p.vx > 0, LengthPx: (b.left + b.right) * w.scale}
	times := w.times[b.first : b.last+1]
	y := w.rear(p, b, seen, maps)
	var smooth []float64
	if r.Kicks, r.Frequency, smooth = w.kicks(y, times); smooth != nil {
		r.Feet = w.feet(p, b, maps, smooth)
	}
	return r, true
}

// feet follows the rear end by its smoothed height above the path.
func (w *Watch) feet(p path, b bounds, maps []steady.Transform, height []float64) []Foot {
	dt := (w.times[b.last] - w.times[b.first]) / float64(b.last-b.first)
	rise := series.Derivative(height, dt)
	long := b.left + b.right
	var out []Foot
	for i := b.first; i <= b.last; i++ {
		x, y := maps[i].At(p.at(w.times[i]))
		x -= b.left - rearShare*long/2
		if p.vx < 0 {
			x += long - rearShare*long
		}
		k := i - b.first
		out = append(out, Foot{Frame: w.frames[i], X: x * w.scale, Y: (y - height[k]) * w.scale, Up: rise[k] * w.scale})
	}
	return out
}

// reach is the value that a fifth of x exceeds; it sorts x.
func reach(x []float64) float64 {
	slices.Sort(x)
	return x[4*len(x)/5]
}

// rearShare is the part of the body, from the feet, whose height is followed, and
// offBody how far above or below the path it is looked for, in body lengths.
const (
	rearShare = 0.2
	offBody   = 0.25
)

// rear returns the height of the rear end above the path, px, at each picture of the
// run; NaN where nothing is seen there.
func (w *Watch) rear(p path, b bounds, seen [][]figure, maps []steady.Transform) []float64 {
	var y []float64
	for i := b.first; i <= b.last; i++ {
		cx, cy := maps[i].At(p.at(w.times[i]))
		long := b.left + b.right
		from, to := cx-b.left, cx-b.left+rearShare*long
		if p.vx < 0 {
			from, to = cx+b.right-rearShare*long, cx+b.right
		}
		n, sum := 0, 0.0
		for _, f := range seen[i] {
			if math.Abs(f.y-cy) > offBody*long {
				continue
			}
			for x := max(int(from), 0); x <= min(int(to), w.w-1); x++ {
				n, sum = n+f.columns[x].n, sum+f.columns[x].sum
			}
		}
		if n < 3 {
			y = append(y, math.NaN())
			continue
		}
		y = append(y, cy-sum/float64(n))
	}
	return y
}

// kicks counts the whole kicks by the height of the rear end and returns it smoothed,
// nil where no rhythm is seen.
func (w *Watch) kicks(y []float64, times []float64) (n int, frequency float64, smooth []float64) {
	rate := float64(len(times)-1) / (times[len(times)-1] - times[0])
	frequency, ok := series.DominantFrequency(y, rate, slowest, fastest)
	if !ok {
		return 0, math.NaN(), nil
	}
	last := 0.0
	for i, v := range y {
		if math.IsNaN(v) {
			y[i] = last
		}
		last = y[i]
	}
	smooth = series.LowPass(y, rate, min(2.2*frequency, rate/4))
	tops, before := 0, math.Inf(-1)
	for _, e := range series.Maxima(times, smooth) {
		if e.T-before > 0.6/frequency {
			tops, before = tops+1, e.T
		}
	}
	return max(tops-1, 0), frequency, smooth
}
