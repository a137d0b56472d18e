package score

import (
	"math"
	"math/rand/v2"
	"slices"

	"underkick/internal/body"
)

// CoachLandmarks are the points the simulated coach marks on a full frame, as far
// as the truth has them.
var CoachLandmarks = []body.Landmark{
	body.Fingertip, body.Shoulder, body.Hip, body.Knee, body.Ankle, body.Heel, body.Toe,
}

// Coach is a simulated coach with a steady hand. No steady offset from the true
// point is simulated: that is what a real hand has besides.
type Coach struct {
	Frames  int     // how many frames to mark
	NoisePx float64 // standard error of a click per axis, px
	Period  float64 // of a kick, s, as the coach sees it on the film
	Seed    uint64
}

// Mark returns the marks on Frames frames of the run first..last (indexes into
// truth.T, both included). The run is cut into as many equal parts; in each the
// frame is marked whose phase of the kick is farthest from all phases marked so
// far, so that the phases are staggered from kick to kick. A mark whose click
// falls outside a picture of w by h px is not made. Frame is first-based: an index
// into truth.T.
func (c Coach) Mark(truth body.Motion, first, last int, w, h float64) []body.Mark {
	hand := NewHand(c.NoisePx, c.Seed)
	var marks []body.Mark
	for _, f := range c.choose(truth.T, first, last) {
		marks = append(marks, hand.Click(truth, f, CoachLandmarks, w, h)...)
	}
	return marks
}

// Hand clicks near the true points, the same way for the same seed.
type Hand struct {
	noisePx float64
	rng     *rand.Rand
}

// NewHand returns a hand with the given click noise per axis.
func NewHand(noisePx float64, seed uint64) *Hand {
	return &Hand{noisePx, rand.New(rand.NewPCG(seed, 0x636f616368))}
}

// Click marks landmarks on frame f, an index into truth.T, as far as the truth has
// them. A mark whose click falls outside a picture of w by h px is not made.
func (d *Hand) Click(truth body.Motion, f int, landmarks []body.Landmark, w, h float64) []body.Mark {
	var marks []body.Mark
	for _, l := range landmarks {
		p := truth.Paths[l]
		if p == nil {
			continue
		}
		x, y := p.X[f]+d.noisePx*d.rng.NormFloat64(), p.Y[f]+d.noisePx*d.rng.NormFloat64()
		if x >= 0 && y >= 0 && x <= w && y <= h {
			marks = append(marks, body.Mark{Frame: f, Time: truth.T[f], Landmark: l, X: x, Y: y})
		}
	}
	return marks
}

// choose returns the frames to mark, rising.
func (c Coach) choose(t []float64, first, last int) []int {
	n := min(c.Frames, last-first+1)
	var frames []int
	var phases []float64
	for k := range n {
		from := first + k*(last-first+1)/n
		to := first + (k+1)*(last-first+1)/n
		best, far := from, -1.0
		for f := from; f < to; f++ {
			p := t[f] / c.Period
			if d := nearest(p, phases); d > far {
				best, far = f, d
			}
		}
		frames, phases = append(frames, best), append(phases, t[best]/c.Period)
	}
	slices.Sort(frames)
	return frames
}

// nearest is the distance of phase p from the nearest of phases around the cycle.
func nearest(p float64, phases []float64) float64 {
	d := math.Inf(1)
	for _, q := range phases {
		d = min(d, math.Abs(math.Remainder(p-q, 1)))
	}
	return d
}
