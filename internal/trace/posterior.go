package trace

import (
	"math"
	"slices"

	"underkick/internal/body"
)

// Instants at which the choice of the next frame is weighed: about gridDensity a
// kick and no more than mostGrid in all, besides the marked frames. On a run with
// more than mostWeighed marks of a landmark only the stretch around its worst
// instant is weighed.
const (
	gridDensity = 24
	mostGrid    = 120
	mostWeighed = 120
)

// field is the grid of frames on which what the marks leave open is weighed, with
// the phase of the kick.
type field struct {
	f      *Traces
	from   float64 // stretch of the run that is weighed, s
	to     float64
	whole  bool      // it is all of it
	frames []int     // indexes into f.times, rising
	at     []float64 // their times, s
	share  []float64 // share of the run that each stands for; they add up to 1
	phase  []float64 // of the kick at the instants
}

// newField lays the grid out over all frames of the fit, or a stretch of them;
// frames that carry a mark are always on it.
func newField(f *Traces) *field {
	d := &field{f: f}
	d.from, d.to, d.whole = f.stretch()
	first, _ := slices.BinarySearch(f.times, d.from)
	last, _ := slices.BinarySearch(f.times, d.to)
	last = min(last, len(f.times)-1)
	kicks := (d.to - d.from) / f.clock.period
	stride := max(1, int(math.Ceil(float64(last-first+1)/min(mostGrid, gridDensity*max(kicks, 1)))))
	for i := first; i < last; i += stride {
		d.frames = append(d.frames, i)
	}
	d.frames = append(d.frames, last)
	for _, tr := range f.tracks {
		for _, s := range tr.spots {
			if i, ok := slices.BinarySearch(f.times, s.t); ok && i >= first && i <= last {
				d.frames = append(d.frames, i)
			}
		}
	}
	slices.Sort(d.frames)
	d.frames = slices.Compact(d.frames)
	for _, i := range d.frames {
		d.at = append(d.at, f.times[i])
	}
	d.share = shares(d.at)
	for _, t := range d.at {
		phase, _ := f.clock.at(t)
		d.phase = append(d.phase, phase)
	}
	return d
}

// stretch returns the part of the run that is weighed: all of it, or as much around
// the worst instant of the landmark that moves most as holds mostWeighed of its marks.
func (f *Traces) stretch() (from, to float64, whole bool) {
	from, to = f.times[0], f.times[len(f.times)-1]
	most := 0
	for k, tr := range f.tracks {
		if tr.reach() > f.tracks[most].reach() {
			most = k
		}
	}
	spots := f.tracks[most].spots
	if len(spots) <= mostWeighed {
		return from, to, true
	}
	axis := &f.threads[most].axes[1]
	worst := 0
	for i, sd := range axis.sd {
		if sd > axis.sd[worst] {
			worst = i
		}
	}
	at, _ := slices.BinarySearch(f.tracks[most].own(), axis.t[worst])
	low := min(max(at-mostWeighed/2, 0), len(spots)-mostWeighed)
	if low > 0 {
		from = spots[low].t
	}
	if low+mostWeighed < len(spots) {
		to = spots[low+mostWeighed-1].t
	}
	return from, to, false
}

// shares returns the trapezoid rule's weight of each instant, as a share of all.
func shares(at []float64) []float64 {
	out := make([]float64, len(at))
	if len(at) == 1 {
		out[0] = 1
		return out
	}
	whole := at[len(at)-1] - at[0]
	for i := 1; i < len(at); i++ {
		half := (at[i] - at[i-1]) / 2 / whole
		out[i-1] += half
		out[i] += half
	}
	return out
}

// wandering adds to c the covariance of the random part of an axis: Matern 3/2 times
// the cosine of the phase between, and Matern 5/2 (Rasmussen and Williams, Gaussian
// Processes for Machine Learning, eq. 4.17).
func (d *field) wandering(c []float64, w wander) {
	n := len(d.at)
	slow, rest := w.slowSD*w.slowSD, w.restSD*w.restSD
	for i := range n {
		for j := range i + 1 {
			lag := d.at[i] - d.at[j]
			a, b := math.Sqrt(3)*lag/w.slowTime, math.Sqrt(5)*lag/w.restTime
			v := slow*(1+a)*math.Exp(-a)*math.Cos(2*math.Pi*(d.phase[i]-d.phase[j])) + rest*(1+b+b*b/3)*math.Exp(-b)
			c[i*n+j] += v
			if i != j {
				c[j*n+i] += v
			}
		}
	}
}

// loosePrior is the prior standard error of a landmark's place and speed, which the
// fit leaves free, in standard errors of a mark. It is wider than any picture.
const loosePrior = 1e4

// open is what the marks leave open of one landmark: mean square standard error per
// axis over the run, and by how much one more mark on each frame of the grid would
// lower it. Units of the marks, squared.
type open struct {
	meanSquare float64
	at         []float64 // variance per axis at the frames of the grid
	gain       []float64
	click      float64   // variance of a mark
	share      []float64 // of the run that each instant stands for

	sweep     float64   // variance of the toe's amplitude; only of the toe
	sweepGain []float64 // by how much one more mark would lower it
}

// weigh returns what the marks leave open of the landmark of thread k. The posterior
// covariance is that of the fit: the prior of its Gaussian process, conditioned on
// the marks one after another. Instants on which seen says no (nil = yes always)
// count for nothing. s is the toe's amplitude, nil when it is not asked for.
func (d *field) weigh(k int, seen func(i int) bool, s *sweep) open {
	n := len(d.at)
	tr, th := d.f.tracks[k], d.f.threads[k]
	out := open{at: make([]float64, n), gain: make([]float64, n), click: th.report.MarkSD * th.report.MarkSD}
	out.share = d.counting(func(i int) bool { return th.known(d.frames[i]) && (seen == nil || seen(i)) })
	stretch := th.stretch * th.stretch
	var weights [2][]float64
	if s != nil && th.landmark == body.Toe {
		weights = s.weights(d, th.base)
	}
	lay := tr.layout(&d.f.clock, d.at, th.report.Harmonics, false)
	for axis := range 2 {
		c := d.prior(tr, lay, axis)
		for _, s := range tr.spots {
			if i, ok := slices.BinarySearch(d.at, s.t); ok {
				noise := tr.noise(d.f.tuned(tr)) * s.sd
				condition(c, n, i, noise*noise*s.loose)
			}
		}
		if weights[axis] != nil {
			out.take(c, weights[axis], out.click, stretch)
		}
		for i := range n {
			row := c[i*n : i*n+n]
			drop := 0.0
			for j, v := range row {
				drop += out.share[j] * v * v
			}
			out.at[i] += stretch * row[i] / 2
			out.meanSquare += out.share[i] * stretch * row[i] / 2
			out.gain[i] += stretch * drop / (row[i] + out.click) / 2
		}
	}
	if !d.whole {
		out.meanSquare = th.meanSquare(d.f.times[0], d.f.times[len(d.f.times)-1])
	}
	return out
}

// counting returns the share of the run that each instant stands for, of those seen.
func (d *field) counting(seen func(i int) bool) []float64 {
	out := slices.Clone(d.share)
	sum := 0.0
	for i := range out {
		if !seen(i) {
			out[i] = 0
		}
		sum += out[i]
	}
	if sum == 0 {
		return d.share // out of the picture throughout, as far as is known
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}

// meanSquare returns the mean square standard error per axis over a run. Frames
// beyond the trace count with the variance of the whole movement.
func (th *thread) meanSquare(from, to float64) float64 {
	t := th.axes[0].t
	sum := 0.0
	for i := 1; i < len(t); i++ {
		a, b := th.sd(i-1, 0), th.sd(i, 0)
		sum += (t[i] - t[i-1]) * (a*a + b*b) / 2
	}
	beyond := max(0, t[0]-from) + max(0, to-t[len(t)-1])
	swing := 0.0
	for axis := range th.axes {
		for _, p := range th.axes[axis].prior[travelCols:] {
			swing += p / 2
		}
	}
	return (sum + beyond*swing) / (t[len(t)-1] - t[0] + beyond)
}

// prior returns the covariance of a coordinate over the grid before any mark.
func (d *field) prior(tr *track, lay *layout, axis int) []float64 {
	n, cols := len(d.at), lay.cols
	u := d.f.tuned(tr)
	variance := tr.priors(axis, d.f.clock.period, (cols-travelCols)/2)
	if tr.base != nil {
		variance = tr.base.priors(u, tr.factors().size[axis])
	} else {
		free := loosePrior * tr.spots[0].sd
		variance[0], variance[1] = free*free, free*free
	}
	c := make([]float64, n*n)
	scaled := make([]float64, cols)
	for i := range n {
		for k, v := range lay.basis[i*cols : (i+1)*cols] {
			scaled[k] = v * variance[k]
		}
		for j := range i + 1 {
			sum := 0.0
			for k, v := range lay.basis[j*cols : (j+1)*cols] {
				sum += scaled[k] * v
			}
			c[i*n+j], c[j*n+i] = sum, sum
		}
	}
	d.wandering(c, tr.wander(axis, &d.f.clock, u))
	return c
}

// condition takes a mark at instant i, whose error has the given variance, into the
// covariance c of n instants.
func condition(c []float64, n, i int, noise float64) {
	column := slices.Clone(c[i*n : i*n+n])
	total := column[i] + noise
	for a, v := range column {
		v /= total
		row := c[a*n : a*n+n]
		for b, u := range column {
			row[b] -= v * u
		}
	}
}
