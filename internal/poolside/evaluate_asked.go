package poolside

import (
	"fmt"
	"math/rand/v2"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/score"
	"underkick/internal/trace"
)

// mostAsked is after how many frames a coach who is asked for more gives up.
const mostAsked = 60

// asked is a simulated coach who marks what the marking page asks for, frame after
// frame, until it says that the marks are good enough for a level: 1 is speed, tempo
// and sweep, 2 is build and facing as well.
func (e *evaluator) asked(level int) way {
	name := fmt.Sprintf("asked frames until enough, level %d", level)
	return way{name: name, repeats: e.req.Repeats, marks: func(i int, seed uint64) []body.Mark {
		k := e.clips[i]
		view, err := k.view(e.req.NoisePx, planeHand(seed))
		if err != nil {
			return nil // the same view is refused with its reason when it is measured
		}
		in := k.input(view)
		hand := score.NewHand(e.req.NoisePx, seed)
		for range mostAsked {
			ask := nextAsk(in, level)
			if ask == nil {
				break
			}
			in.Marks = append(in.Marks, hand.Click(k.px, k.first+ask.Frame, ask.Landmarks, k.widthPx, k.high)...)
		}
		return in.Marks
	}}
}

// planeHand is the hand that clicks the points of the scale.
func planeHand(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 0x706c616e65)) }

// nextAsk is what the marking page asks for next, nil once the level is reached.
func nextAsk(in chainInput, level int) *trace.Ask {
	tr, err := fillFrames(in)
	switch {
	case err != nil:
		tr = traced{view: camera.FromScale(1)} // too few marks for a fit yet
		if in.View != nil {
			tr.view = *in.View
		}
	case tr.fit == nil:
		return nil // every frame is marked
	}
	marks, err := toPlane(in.Marks, tr.view)
	if err != nil {
		return nil
	}
	advice := trace.Advise(in.Times, marks, tr.fit, trace.AdviseOptions{})
	if advice.Level >= level {
		return nil
	}
	return advice.Ask
}
