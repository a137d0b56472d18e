package trace

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/series"
)

// sweep says how the toe's amplitude follows from its places at the frames of a
// field: the mean over the kicks of the furthest place to one side less that of the
// furthest to the other, across the toe's way.
type sweep struct {
	x, y []float64 // weights of the toe's coordinates at the frames
	size float64   // the amplitude, unit of the marks
}

// newSweep returns nil where no whole kick of the toe is traced. The direction across
// is that in which the toe moves most about its straight way.
func newSweep(d *field, toe *body.Path) *sweep {
	if toe == nil {
		return nil
	}
	var t, phase, x, y []float64
	var at []int
	for i, f := range d.frames {
		if !math.IsNaN(toe.X[f]) {
			t, phase, at = append(t, d.at[i]), append(phase, d.phase[i]), append(at, i)
			x, y = append(x, toe.X[f]), append(y, toe.Y[f])
		}
	}
	if len(t) < 4 {
		return nil
	}
	nx, ny := acrossWay(t, x, y)
	line := make([]float64, len(t))
	for i := range line {
		line[i] = nx*x[i] + ny*y[i]
	}
	s := &sweep{x: make([]float64, len(d.at)), y: make([]float64, len(d.at))}
	peak := extreme(line, 0, len(line), 1)
	tops := extremes(line, phase, phase[peak]-0.5, 1)
	bottoms := extremes(line, phase, phase[peak], -1)
	if len(tops) == 0 || len(bottoms) == 0 {
		return nil
	}
	add := func(some []int, sign float64) {
		w := sign / float64(len(some))
		for _, i := range some {
			s.size += w * line[i]
			s.x[at[i]] += w * nx
			s.y[at[i]] += w * ny
		}
	}
	add(tops, 1)
	add(bottoms, -1)
	if !(s.size > 0) {
		return nil
	}
	return s
}

// acrossWay takes the straight path out of x and y and returns the unit vector along
// which what is left varies most.
func acrossWay(t, x, y []float64) (nx, ny float64) {
	a, b := series.Line(t, x, nil), series.Line(t, y, nil)
	xx, xy, yy := 0.0, 0.0, 0.0
	for i, at := range t {
		x[i] -= a.At(at)
		y[i] -= b.At(at)
		xx, xy, yy = xx+x[i]*x[i], xy+x[i]*y[i], yy+y[i]*y[i]
	}
	angle := math.Atan2(2*xy, xx-yy) / 2 // of the larger principal axis
	sin, cos := math.Sincos(angle)
	return cos, sin
}

// extremes returns the index of the furthest value in each whole kick from a phase on.
func extremes(line, phase []float64, start, sign float64) []int {
	last := phase[len(phase)-1]
	start -= math.Floor(start - phase[0])
	var out []int
	for from := 0; start+1 <= last; start++ {
		for from < len(phase) && phase[from] < start {
			from++
		}
		to := from
		for to < len(phase) && phase[to] < start+1 {
			to++
		}
		if to > from {
			out = append(out, extreme(line, from, to, sign))
		}
	}
	return out
}

func extreme(line []float64, from, to int, sign float64) int {
	best := from
	for i := from; i < to; i++ {
		if sign*line[i] > sign*line[best] {
			best = i
		}
	}
	return best
}

// weights returns the amplitude's weights on the coordinates that a thread was fitted
// in.
func (s *sweep) weights(d *field, b *base) [2][]float64 {
	if b == nil {
		return [2][]float64{s.x, s.y}
	}
	out := [2][]float64{make([]float64, len(s.x)), make([]float64, len(s.x))}
	for i, f := range d.frames {
		if s.x[i] != 0 || s.y[i] != 0 { // only where the path is known
			out[0][i] = s.x[i]*b.ex[f] + s.y[i]*b.ey[f]
			out[1][i] = s.y[i]*b.ex[f] - s.x[i]*b.ey[f]
		}
	}
	return out
}

// take adds what a covariance of n instants says about the amplitude: its variance,
// and by how much a mark with the given variance would lower it.
func (o *open) take(c, w []float64, click, stretch float64) {
	n := len(w)
	if o.sweepGain == nil {
		o.sweepGain = make([]float64, n)
	}
	for i := range n {
		row := c[i*n : i*n+n]
		with := 0.0
		for j, v := range w {
			if v != 0 {
				with += row[j] * v
			}
		}
		o.sweep += stretch * w[i] * with
		o.sweepGain[i] += stretch * with * with / (row[i] + click)
	}
}
