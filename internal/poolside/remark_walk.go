package poolside

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/store"
)

// phasesOf measures a run from the marks given and returns where in a kick each of
// its frames lies, NaN outside whole kicks.
func (a *App) phasesOf(ctx context.Context, rc store.Whole, marks []body.Mark) (phase func(frame int) float64, err error) {
	in, err := a.chainInput(ctx, rc)
	if err != nil {
		return nil, err
	}
	in.Marks, in.Marker = nil, markerError{} // the same measurement at every click, found in memory
	in.takeMarks(marks)
	m, _, err := a.measureRun(ctx, rc, in)
	if err != nil {
		return nil, err
	}
	kicks := m.Result.Kicks
	return func(frame int) float64 {
		i := frame - in.Frames[0]
		if i < 0 || i >= len(in.Times) {
			return math.NaN()
		}
		return phaseAt(kicks, in.Times[i])
	}, nil
}

// phaseAt is where in a kick a moment lies: 0 at the highest toe, a half at the lowest,
// towards 1 at the next highest; NaN outside whole kicks.
func phaseAt(kicks []kick.Kick, t float64) float64 {
	for _, k := range kicks {
		switch {
		case k.Number == 0 || t < k.Start || t >= k.End:
		case t < k.Bottom:
			return 0.5 * (t - k.Start) / (k.Bottom - k.Start)
		default:
			return 0.5 + 0.5*(t-k.Bottom)/(k.End-k.Bottom)
		}
	}
	return math.NaN()
}

// walk lists a run's frames by phase; those outside whole kicks come last.
func walk(rc store.Whole, side int, s pairSide, phase func(frame int) float64) []BlindPlace {
	at := func(f int) float64 {
		if p := phase(f); !math.IsNaN(p) {
			return p
		}
		return 2
	}
	frames := slices.Clone(s.frames)
	slices.SortStableFunc(frames, func(x, y int) int { return cmp.Compare(at(x), at(y)) })
	var out []BlindPlace
	for _, f := range frames {
		p := BlindPlace{Frame: f, Side: side, Words: fmt.Sprintf("%s, %s, frame %d", longDate(rc.Visit.On), rc.Clip.Name, f)}
		for _, l := range pairLandmarks {
			if slices.Contains(s.wanted[f], l) {
				p.Landmarks = append(p.Landmarks, l.String())
			}
		}
		p.of(rc.Clip)
		out = append(out, p)
	}
	return out
}

// inTurn takes from two walks in turn; the longer one goes on alone in between, so
// that both end together.
func inTurn(walks [2][]BlindPlace) []BlindPlace {
	var out []BlindPlace
	n, m := len(walks[0]), len(walks[1])
	i, j := 0, 0
	for i < n || j < m {
		if j == m || (i < n && (2*i+1)*m <= (2*j+1)*n) {
			out, i = append(out, walks[0][i]), i+1
		} else {
			out, j = append(out, walks[1][j]), j+1
		}
	}
	return out
}

// fill lists the marks made in the pair and counts the places still to be marked.
func (s *BlindState) fill(places []BlindPlace, sides [2]pairSide) {
	for i, p := range places {
		missing := len(p.Landmarks)
		for _, m := range sides[p.Side].made {
			if m.Mark.Frame == p.Frame {
				s.Marks = append(s.Marks, BlindMark{Place: i, Landmark: m.Mark.Landmark.String(), XPx: m.Mark.X, YPx: m.Mark.Y})
				missing--
			}
		}
		if missing > 0 {
			s.Left++
		}
	}
}
