package swim

import (
	"underkick/internal/body"
	"underkick/internal/series"
)

// Curves are the forces along the travel line over one kick of a steady swim, as
// multiples of the mean drag along the body: model estimates without a unit. The mean of
// all pushes together is 1.
type Curves struct {
	Phase []float64                   // cycles from the kick's phase 0, evenly spaced
	Push  [body.NumSegments][]float64 // of each segment; how a joint's flux is shared is a convention
	Total []float64
	Drag  []float64 // along the body, positive backwards; its mean is 1
}

// Curves returns the forces at every step of the swim.
func (o *Orbit) Curves() Curves {
	n := len(o.trail)
	c := Curves{Phase: make([]float64, n), Total: make([]float64, n), Drag: make([]float64, n)}
	var carried [body.NumSegments][]float64
	for g := range c.Push {
		c.Push[g], carried[g] = make([]float64, n), make([]float64, n)
	}
	mean := 0.0
	for i := range n {
		in := o.instant(i)
		c.Phase[i] = float64(i) / float64(n)
		c.Drag[i] = in.drag
		mean += in.drag / float64(n)
		for g := range c.Push {
			c.Push[g][i], carried[g][i] = in.push[g], in.carried[g]
		}
	}
	for g := range c.Push {
		momentum := series.Harmonics(carried[g], (n-1)/2)
		for i, p := range c.Phase {
			_, rate := valueAndRate(momentum, p, 1/o.Period())
			c.Push[g][i] = (c.Push[g][i] - rate) / mean
			c.Total[i] += c.Push[g][i]
		}
	}
	for i := range c.Drag {
		c.Drag[i] /= mean
	}
	return c
}
