package trace

import (
	"cmp"
	"math"
	"slices"

	"underkick/internal/body"
)

// Frames to fall back on, and how far they lie from each other, kicks.
const (
	otherFrames = 6
	otherApart  = 0.15
)

// offer is what marking a frame would bring.
type offer struct {
	landmarks []body.Landmark
	drop      float64
	worth     float64 // drop per click
}

// offer takes the landmarks of a frame in the order of their gain for as long as the
// gain per click grows; all of them for who marks whole frames.
func (a *adviser) offer(has, i int, gain func(l body.Landmark, i int) float64) offer {
	type part struct {
		l body.Landmark
		v float64
	}
	var parts []part
	for _, th := range a.f.threads {
		if v := gain(th.landmark, i); v > 0 && has&(1<<th.landmark) == 0 && a.seen(th.landmark, i) {
			parts = append(parts, part{th.landmark, v})
		}
	}
	slices.SortStableFunc(parts, func(a, b part) int { return cmp.Compare(b.v, a.v) })
	var o offer
	for k, p := range parts {
		if worth := (o.drop + p.v) / float64(k+1+frameCost); worth > o.worth || a.whole {
			o.worth = worth
			o.drop += p.v
			o.landmarks = append(o.landmarks, p.l)
			continue
		}
		break
	}
	return o
}

// seen tells whether a landmark is on the picture at an instant, as far as is known.
func (a *adviser) seen(l body.Landmark, i int) bool {
	if a.inView == nil {
		return true
	}
	p, f := a.motion.Paths[l], a.frames[i]
	return math.IsNaN(p.X[f]) || a.inView(a.at[i], p.X[f], p.Y[f])
}

// pick returns the index of the offer worth most, -1 when none is worth anything.
func pick(found []offer) int {
	best := -1
	for i, o := range found {
		if o.worth > 0 && (best < 0 || o.worth > found[best].worth) {
			best = i
		}
	}
	return best
}
