package poolside

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/score"
	"underkick/internal/trace"
)

// mostAsked is after how many frames a coach who is asked for more gives up.
const mostAsked = 60

// beyondLevels is never reached: asking goes on.
const beyondLevels = 3

// asked is a simulated coach who marks what the marking page asks for, frame after
// frame, until it says that the marks are good enough for a level: 1 is speed, tempo
// and sweep, 2 is build and facing as well.
func (e *evaluator) asked(level int, guess bool) way {
	name := fmt.Sprintf("asked frames until enough, level %d", level)
	return way{name: name, repeats: e.req.Repeats, guess: guess, marks: func(i int, seed uint64) []body.Mark {
		return e.follow(i, seed, guess, mostAsked, func(in chainInput) (*trace.Ask, []body.Landmark) {
			ask := nextAsk(in, level)
			if ask == nil {
				return nil, nil
			}
			return ask, ask.Landmarks
		})
	}}
}

// follow marks frame after frame what next says, until it says nothing or most
// frames are marked.
func (e *evaluator) follow(i int, seed uint64, guess bool, most int, next func(chainInput) (*trace.Ask, []body.Landmark)) []body.Mark {
	k := e.clips[i]
	in, err := e.input(i, seed, guess)
	if err != nil {
		return nil // the same is refused with its reason when it is measured
	}
	hand := score.NewHand(e.req.NoisePx, seed)
	in.Marks = []body.Mark{}
	for range most {
		ask, landmarks := next(in)
		if ask == nil {
			break
		}
		frame := k.first + ask.Frame
		for _, m := range hand.Click(k.px, frame, landmarks, k.widthPx, k.high) {
			if !slices.ContainsFunc(in.Marks, func(o body.Mark) bool { return o.Frame == frame && o.Landmark == m.Landmark }) {
				in.Marks = append(in.Marks, m)
			}
		}
	}
	return in.Marks
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
