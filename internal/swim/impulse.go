package swim

import (
	"math"

	"underkick/internal/series"
)

// Impulse is the water's impulse on the swimmer along the travel line between two times.
type Impulse struct {
	Push perSegment // N s; a joint's flux is shared by convention
	Drag float64    // of the drag along the body at drag factor 1, N s, positive backwards
	Gain float64    // rise of the body's own momentum, N s
}

// Total returns the push of all segments, N s.
func (p Impulse) Total() float64 { return sum(p.Push) }

// Factor returns the drag factor kd that closes the budget of the impulse,
//
//	push - kd drag = gain
//
// which over whole kicks is the swimmer's personal factor. NaN if the drag is 0.
func (p Impulse) Factor() float64 {
	if p.Drag == 0 {
		return math.NaN()
	}
	return (p.Total() - p.Gain) / p.Drag
}

// Between returns the impulse from time t1 to t2 (s):
//
//	push = integral of (flux and drag across) dt - (carried momentum at t2 - at t1)
//
// by the trapezoid rule with linear interpolation at the ends. Times outside the film are
// held at its ends.
func (f *Filmed) Between(t1, t2 float64) Impulse {
	var p Impulse
	x := make([]float64, len(f.T))
	over := func(value func(i int) float64) float64 {
		for i := range x {
			x[i] = value(i)
		}
		run := series.Cumulative(f.T, x)
		return lookUp(f.T, run, t2) - lookUp(f.T, run, t1)
	}
	change := func(value func(i int) float64) float64 {
		for i := range x {
			x[i] = value(i)
		}
		return lookUp(f.T, x, t2) - lookUp(f.T, x, t1)
	}
	for g := range p.Push {
		p.Push[g] = over(func(i int) float64 { return f.push[i][g] }) - change(func(i int) float64 { return f.carried[i][g] })
	}
	p.Drag = over(func(i int) float64 { return f.drag[i] })
	p.Gain = f.mass * change(func(i int) float64 { return f.CentreV[i] })
	return p
}

// lookUp returns evenly spaced values at time t, linear between, held outside.
func lookUp(t, x []float64, at float64) float64 {
	n := len(t)
	p := (at - t[0]) / (t[n-1] - t[0]) * float64(n-1)
	p = math.Max(0, math.Min(float64(n-1), p))
	i := min(int(p), n-2)
	return x[i] + (p-float64(i))*(x[i+1]-x[i])
}
