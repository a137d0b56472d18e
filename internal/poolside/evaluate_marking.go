package poolside

import (
	"context"
	"errors"
	"fmt"
	"math"

	"underkick/internal/body"
	"underkick/internal/score"
	"underkick/internal/trace"
)

// beside are the marks that somebody made.
func (e *evaluator) beside() way {
	return way{name: "marks beside the clip", repeats: 1, marks: func(i int, _ uint64) []body.Mark {
		if e.clips[i].marks == nil {
			return nil
		}
		return e.clips[i].marks.Marks
	}}
}

// perKick is the simulated coach with so many frames for each kick seen.
func (e *evaluator) perKick(per float64) way {
	return e.coach(fmt.Sprintf("%g frames per kick", per), func(i int) int {
		span := e.exact[i].px.T[len(e.exact[i].px.T)-1] - e.exact[i].px.T[0]
		return int(math.Round(per * span / e.exact[i].period))
	})
}

// coach is the simulated coach with so many frames on clip i.
func (e *evaluator) coach(name string, frames func(i int) int) way {
	return way{name: name, repeats: e.req.Repeats, marks: func(i int, seed uint64) []body.Mark {
		k := e.clips[i]
		c := score.Coach{Frames: frames(i), NoisePx: e.req.NoisePx, Period: e.exact[i].period, Seed: seed}
		return c.Mark(k.px, k.first, k.last, k.widthPx, k.high)
	}}
}

// gathering collects the scores of several runs.
type gathering struct {
	traces        score.Traces
	measures      score.Measures
	runs          int
	frames, marks int
	worths        []worthPair
}

func (e *evaluator) marking(ctx context.Context, w way) (Marking, error) {
	out := Marking{Name: w.name}
	var total gathering
	for i, k := range e.clips {
		var own gathering
		c := ClipScore{Clip: k.name}
		any := false
		for r := range w.repeats {
			seed := e.req.Seed + uint64(r)*1000 + uint64(i)
			marks := w.marks(i, seed)
			if marks == nil {
				continue
			}
			any = true
			e.progress(fmt.Sprintf("%s, %s (%d of %d)", k.name, w.name, r+1, w.repeats))
			measured, err := e.measured(ctx, i, marks, seed, w.guess)
			if ctx.Err() != nil {
				return out, ctx.Err()
			}
			if err != nil {
				c.Problem = err.Error()
				continue
			}
			own.add(&e.exact[i], measured, marks)
			total.add(&e.exact[i], measured, marks)
			if e.req.Worth {
				p, err := e.worthOf(i, measured)
				if err != nil {
					return out, fmt.Errorf("the worth of facing in %s: %w", k.name, err)
				}
				own.worths, total.worths = append(own.worths, p), append(total.worths, p)
			}
		}
		if any {
			c.Scored = own.scored()
			out.Clips = append(out.Clips, c)
		}
	}
	out.Total = total.scored()
	return out, nil
}

// measured takes the marks through the chain that every clip goes through.
func (e *evaluator) measured(ctx context.Context, i int, marks []body.Mark, seed uint64, guess bool) (*Measured, error) {
	in, err := e.input(i, seed, guess)
	if err != nil {
		return nil, err
	}
	in.takeMarks(marks)
	return measure(ctx, in)
}

// input is clip i without marks, with the scale as a coach of this seed clicks it and
// with or without the guess.
func (e *evaluator) input(i int, seed uint64, guess bool) (chainInput, error) {
	k := e.clips[i]
	view, err := k.view(e.req.NoisePx, planeHand(seed))
	if err != nil {
		return chainInput{}, err
	}
	in := k.input(view)
	if guess {
		in.Guess, err = planeGuess(e.seen[i], in.Times, viewOr(view))
		if errors.Is(err, trace.ErrUnseen) {
			err = nil // the marks alone serve, as for a kept run
		}
	}
	return in, err
}

func (g *gathering) add(x *exactClip, m *Measured, marks []body.Mark) {
	g.runs++
	g.marks += len(marks)
	seen := map[int]bool{}
	for _, k := range marks {
		seen[k.Frame] = true
	}
	g.frames += len(seen)
	g.traces.Add(x.px, m.pictureMotion(), x.length)
	if toe := m.motion.Paths[body.Toe]; toe != nil && x.pool.Has(body.Toe) {
		g.traces.AddToeSpeed(x.pool.Paths[body.Toe], toe)
	}
	for _, got := range m.Result.Summary {
		g.measures.Add(x.truths[got.ID], got)
	}
}

func (g *gathering) scored() Scored {
	if g.runs == 0 {
		return Scored{}
	}
	s := Scored{
		Runs: g.runs, Frames: float64(g.frames) / float64(g.runs), Marks: float64(g.marks) / float64(g.runs),
		Landmarks: g.traces.Landmarks(), FootDeg: g.traces.FootAngle() * 180 / math.Pi, ToeSpeed: g.traces.ToeSpeed(),
		Measures: g.measures.List(), Worth: gatherWorth(g.worths),
	}
	s.BandsHeld, s.BandsOf = g.measures.Bands()
	return s
}
