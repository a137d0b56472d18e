package worth

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"sync"

	"underkick/internal/body"
	"underkick/internal/spread"
	"underkick/internal/swim"
)

// ErrRefused is wrapped where a run is too poor for an answer; the text says why.
var ErrRefused = errors.New("no estimate")

// Asker answers what-ifs of one run: what does not depend on the question is done once.
// It is safe for concurrent use.
type Asker struct {
	e     *estimator
	drawn []drawnSwim // of the error draws, filled at need
	seed  uint64
}

// drawnSwim is the run's swim under one draw of the errors; base is nil where there is no
// steady swim.
type drawnSwim struct {
	once  sync.Once
	model *swim.Model
	base  *swim.Orbit
}

// askDraws is how many error draws stand behind the band of an answer.
const askDraws = 200

// NewAsker prepares a run. The error wraps ErrRefused where the run is too poor for any
// number. It panics unless the subject's height and mass are known.
func NewAsker(r Run, s body.Subject, seed uint64) (*Asker, error) {
	e := &estimator{Input: Input{Run: r, Subject: s}, result: &Result{}}
	if !e.refused(e.poorRuns()) {
		if err := e.central(); err != nil {
			return nil, fmt.Errorf("prepare what-ifs: %w", err)
		}
	}
	if e.result.Refused {
		return nil, fmt.Errorf("%w: %s", ErrRefused, e.result.Reason)
	}
	return &Asker{e: e, drawn: make([]drawnSwim, askDraws), seed: seed}, nil
}

// Answer is what the model expects of changes made together.
type Answer struct {
	SpeedChange Band    // m/s; the band is NaN where it was not asked for
	EqualEffort float64 // m/s at unchanged power, by slowing the tempo
	PowerChange float64 // as a fraction
	Swim        *swim.Orbit
	Dropped     int // error draws without a steady swim
}

// Swim returns the measured kick's swim.
func (a *Asker) Swim() *swim.Orbit { return a.e.base }

// Measured returns the measured speed, m/s.
func (a *Asker) Measured() float64 { return a.e.result.Speed }

// Ask returns the central answer to changes made together; none is the kick as it is. The
// error says what cannot be asked of this kick.
func (a *Asker) Ask(changes []Change) (Answer, error) {
	if err := check(changes); err != nil {
		return Answer{}, err
	}
	got, err := askTogether(a.e.model, a.e.base, changes, centralSteps)
	if err != nil {
		return Answer{}, err
	}
	out := Answer{SpeedChange: point(got.speed), Swim: got.after}
	out.EqualEffort, out.PowerChange = effort(a.e.base, got.after)
	return out, nil
}

// Band returns the answer with its band. The draws' swims of the kick as it is are kept
// for the next question, also when ctx ends this one.
func (a *Asker) Band(ctx context.Context, changes []Change) (Answer, error) {
	out, err := a.Ask(changes)
	if err != nil {
		return out, err
	}
	rows, err := spread.Draws(ctx, len(a.drawn), a.seed, func(i int, rng *rand.Rand) []float64 {
		d := &a.drawn[i]
		d.once.Do(func() { d.model, d.base = a.e.drawSwim(rng) })
		if d.base == nil {
			return []float64{math.NaN()}
		}
		got, err := askTogether(d.model, d.base, changes, drawSteps)
		if err != nil {
			return []float64{math.NaN()}
		}
		return []float64{got.speed}
	})
	if err != nil {
		return out, err
	}
	out.Dropped = dropped(rows)
	a.e.widen(&out.SpeedChange, rows, 0)
	return out, a.openDown(&out, changes)
}

// openDown lowers the band of more pointing to what there would be without it: the
// published gain was not significant.
func (a *Asker) openDown(out *Answer, changes []Change) error {
	var others []Change
	pointed := false
	for _, c := range changes {
		if c.Name == "foot" && c.Amount > 0 {
			pointed = true
			continue
		}
		others = append(others, c)
	}
	if !pointed {
		return nil
	}
	without, err := a.Ask(others)
	if err == nil {
		out.SpeedChange.Low = math.Min(out.SpeedChange.Low, without.SpeedChange.Value)
	}
	return err
}

// drawSwim returns the run's swim under one draw of all errors, nil without a steady swim.
func (e *estimator) drawSwim(rng *rand.Rand) (*swim.Model, *swim.Orbit) {
	own, _, err := e.see(rng, true)
	if err != nil {
		return nil, nil
	}
	c := drawCoefficients(rng)
	m := swim.NewModel(e.Subject, swim.ModelOptions{Lengths: own.lengths, Rib: own.rib, Coef: &c})
	base, err := calibrated(m, own.kick, own.speed, drawSteps)
	if err != nil {
		return nil, nil
	}
	return m, base
}

// Factors returns the personal factor of every error draw, NaN where there is no steady
// swim. The error wraps ctx.Err().
func (a *Asker) Factors(ctx context.Context) ([]float64, error) {
	rows, err := spread.Draws(ctx, len(a.drawn), a.seed, func(i int, rng *rand.Rand) []float64 {
		d := &a.drawn[i]
		d.once.Do(func() { d.model, d.base = a.e.drawSwim(rng) })
		if d.base == nil {
			return []float64{math.NaN()}
		}
		return []float64{d.base.DragFactor}
	})
	var list []float64
	for _, r := range rows {
		list = append(list, r[0])
	}
	return list, err
}
