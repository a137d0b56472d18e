package trace

import "math"

// own is what a landmark's movement has of its own beside the tuning common to all:
// factors, by axis, on the size of what is not the same in every kick and on the
// time over which the rest lasts, and one on the click error.
type own struct {
	size, time [2]float64
	noise      float64
}

// How far, in the logarithm, a landmark's own factors are expected to lie from 1. The
// upper body hardly moves across its way and yet speeds up and slows down along it as
// the feet do, so what is left over is not in proportion to the amplitude.
const (
	ownSizeSD  = 1.5
	ownTimeSD  = 1.0
	ownNoiseSD = 0.15
)

// fewestOwn is the least number of marks from which factors are learnt.
const fewestOwn = 8

// factors returns the track's own factors, 1 where none were learnt.
func (tr *track) factors() own {
	if tr.part == nil {
		return own{[2]float64{1, 1}, [2]float64{1, 1}, 1}
	}
	return *tr.part
}

// click noise factor of a track under a tuning.
func (tr *track) noise(u tuning) float64 { return u.noise * tr.factors().noise }

// learnOwn sets the factors of a track under which its marks are most likely, given
// the common tuning. The sizes are hedged like the common one.
func (tr *track) learnOwn(c *clock, u tuning) {
	if len(tr.spots) < fewestOwn {
		return
	}
	s := newStudent(tr, c)
	best := tr.factors()
	s.track.part = &best
	axis := func(a int) float64 {
		s.track.tune(s.chains, c, u)
		size, time := math.Log(best.size[a])/ownSizeSD, math.Log(best.time[a])/ownTimeSD
		return s.axisLik(a) - (size*size+time*time)/2
	}
	both := func() float64 {
		noise := math.Log(best.noise) / ownNoiseSD
		return axis(0) + axis(1) - noise*noise/2
	}
	for a := range 2 {
		score := func() float64 { return axis(a) }
		top := score()
		for _, step := range []float64{0.6, 0.3} {
			top = rise(&best.size[a], step, top, score)
			top = rise(&best.time[a], step, top, score)
		}
		hedgeOwn(&best.size[a], top, score)
	}
	rise(&best.noise, 0.1, both(), both)
	tr.part = &best
}

// rise moves a factor by steps of its logarithm for as long as the score rises above
// top, and returns the score reached.
func rise(knob *float64, step, top float64, score func() float64) float64 {
	for _, by := range []float64{math.Exp(step), math.Exp(-step)} {
		was := *knob
		for range 4 {
			before := *knob
			*knob *= by
			v := score()
			if v <= top {
				*knob = before
				break
			}
			top = v
		}
		if *knob != was {
			break
		}
	}
	return top
}

// hedgeOwn raises a size, whose score is top, to its mean square under the marks.
func hedgeOwn(knob *float64, top float64, score func() float64) {
	best := *knob
	sum, square := 1.0, 1.0
	for _, k := range []float64{-0.8, -0.4, 0.4, 0.8, 1.2} {
		factor := math.Exp(k)
		*knob = best * factor
		w := math.Exp(min(score()-top, 1))
		sum += w
		square += w * factor * factor
	}
	*knob = best * math.Sqrt(square/sum)
}
