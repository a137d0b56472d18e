package guess

import (
	"slices"

	"underkick/internal/body"
	"underkick/internal/trace"
)

// Seen returns what the network saw, and the two points it was started with, as the
// fit of landmark traces takes it: px with y down, at the times (s) of the frames
// From to To-1. What was seen beyond the picture is made up and left out.
func (g *Guess) Seen(times []float64) trace.Seen {
	if len(times) != g.To-g.From {
		panic("guess: Seen needs the times of the frames From to To-1")
	}
	var s trace.Seen
	var lengths []float64
	for i := range g.sights {
		v := &g.sights[i]
		lengths = append(lengths, v.length())
		for p := range places {
			if at := v.merged(place(p)); g.inside(at) {
				s.Points = append(s.Points, body.Mark{Frame: v.Frame, Time: times[v.Frame-g.From], Landmark: standIn[p], X: at.x, Y: at.y})
			}
		}
	}
	slices.Sort(lengths)
	s.Length = lengths[len(lengths)/2]
	for i := range s.Points {
		s.Points[i].SD = seenSD * s.Length
	}
	s.Habits = Habits()
	for l, p := range map[body.Landmark]xy{body.Fingertip: g.start.fingertip(), body.Toe: g.start.toe()} {
		s.Pointed = append(s.Pointed, body.Mark{
			Frame: g.start.Frame, Time: times[g.start.Frame-g.From], Landmark: l, X: p.x, Y: p.y, SD: startSD * s.Length,
		})
	}
	slices.SortFunc(s.Pointed, func(a, b body.Mark) int { return int(a.Landmark) - int(b.Landmark) })
	return s
}

// Habits returns how the network's points tend to lie off the landmarks.
func Habits() (all [body.NumLandmarks]*trace.Habit) {
	for l, src := range sources {
		all[l] = &trace.Habit{
			From: standIn[src.from], To: standIn[src.to], Along: src.along,
			Steady: src.spread.steady, Kick: src.spread.kick, Drift: src.spread.drift,
		}
	}
	return all
}
