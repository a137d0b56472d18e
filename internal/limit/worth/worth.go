package worth

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"underkick/internal/body"
	"underkick/internal/swim"
)

// Input is everything an estimate stands on.
type Input struct {
	Run     Run
	Against []Run // reference runs of the same swimmer, pooled; nil = fixed steps
	// SameMarking says that all runs were marked alike: they then share their marking
	// offsets, which count in the bands and not in the naming rule.
	SameMarking bool
	Subject     body.Subject // Height and Mass known (body.Subject.CompleteFrom)
	Changes     []Change     // what-ifs, each of which Check lets pass

	Draws    int    // of the errors; 0 = 200, negative = none
	Seed     uint64 // the same seed gives the same bands
	Progress func(done, total int)
}

const defaultDraws = 200

// Steps per kick. In the draws the time step's error (up to 0.5 % in kicks whose feet
// slide back) is small against the errors drawn.
const (
	centralSteps = 48
	drawSteps    = 32
)

// Estimate returns what each part of the run's kick is worth. Poor input is a Result
// with Refused set and no number. Progress, if not nil, is told of every draw done, from
// one goroutine at a time.
//
// Errors: a change that does not exist, out of range or without a steady swim, and
// ctx.Err() (wrapped) when stopped. It panics unless the subject's height and mass are
// known.
func Estimate(ctx context.Context, in Input) (*Result, error) {
	for _, c := range in.Changes {
		if err := c.Check(); err != nil {
			return nil, fmt.Errorf("estimate worth: %w", err)
		}
	}
	e := &estimator{Input: in, result: &Result{Limiter: "none", Reference: "step", Against: math.NaN()}}
	if len(in.Against) > 0 {
		e.result.Reference = "run"
	}
	if e.refused(e.poorRuns()) {
		return e.result, nil
	}
	if err := e.central(); err != nil {
		return nil, fmt.Errorf("estimate worth: %w", err)
	}
	if e.result.Refused {
		return e.result, nil
	}
	if err := e.bands(ctx); err != nil {
		return nil, fmt.Errorf("estimate worth: %w", err)
	}
	e.conclude()
	return e.result, nil
}

// estimator is one estimate under way.
type estimator struct {
	Input
	result  *Result
	own     *filmed
	against []*filmed
	model   *swim.Model
	base    *swim.Orbit  // the kick as measured, at the measured speed
	shares  *attribution // nil without a reference run
	asked   []Change     // the steps, where there is no reference run, and then Changes
}

// refused fills the result if there are reasons against an estimate.
func (e *estimator) refused(why []string) bool {
	if len(why) == 0 {
		return false
	}
	*e.result = Result{Limiter: "none", Refused: true, Reference: e.result.Reference, Reason: strings.Join(why, " "), Speed: math.NaN(), Against: math.NaN(), Unexplained: unknown()}
	return true
}

// poorRuns says what is against the runs themselves.
func (e *estimator) poorRuns() []string {
	why := refuse(e.Run, "the run", fewestKicks)
	kicks := 0
	for _, r := range e.Against {
		why = append(why, refuse(r, "the reference run", 1)...)
		kicks += r.Result.Counted
	}
	if len(e.Against) > 0 && kicks < fewestReference {
		why = append(why, fmt.Sprintf("The reference has %s; at least %d are needed, so that one good kick is not taken for a habit.", count(kicks), fewestReference))
	}
	return why
}

// central swims the kicks as measured.
func (e *estimator) central() error {
	e.own = newFilmed(e.Run)
	for _, r := range e.Against {
		e.against = append(e.against, newFilmed(r))
	}
	e.oneTrunk()
	own, ref, err := e.see(nil, false)
	if err != nil {
		return err
	}
	e.result.Speed = own.speed
	e.model = swim.NewModel(e.Subject, swim.ModelOptions{Lengths: own.lengths, Rib: own.rib})
	e.base, err = calibrated(e.model, own.kick, own.speed, centralSteps)
	if err != nil {
		e.refused([]string{noSwim})
		return nil //nolint:nilerr // a kick that does not swim is a refusal, not a failure
	}
	if e.refused(outOfTrim(e.base)) {
		return nil
	}
	e.result.Swim = e.base
	if len(e.against) > 0 {
		e.result.Against = ref.speed
		if e.shares, err = attribute(e.model, own.kick, ref.kick, own.speed, centralSteps); err != nil {
			e.refused([]string{noSwim})
			return nil //nolint:nilerr // as above
		}
	} else {
		for _, s := range steps {
			e.asked = append(e.asked, s.change)
		}
	}
	e.asked = append(e.asked, e.Changes...)
	if err := e.fill(); err != nil {
		return err
	}
	return e.fillTogether()
}

// oneTrunk lets the trunk bend at the rib in all runs or in none.
func (e *estimator) oneTrunk() {
	bends := e.own.showsRib()
	for _, f := range e.against {
		bends = bends && f.showsRib()
	}
	if bends {
		return
	}
	e.own.stiffen()
	for _, f := range e.against {
		f.stiffen()
	}
}

const noSwim = "The model finds no steady swim for this kick. Check the marks and the scale."

// fill writes the central numbers.
func (e *estimator) fill() error {
	var lines []ChangeLine
	for _, c := range e.asked {
		a, err := c.ask(e.model, e.base, centralSteps)
		if err != nil {
			return err
		}
		kind, _ := c.kind() // checked
		l := ChangeLine{Change: c, Unit: kind.Unit, Words: kind.Words, Evidence: kind.Evidence, SpeedChange: point(a.speed)}
		l.EqualEffort, l.PowerChange = effort(e.base, a.after)
		lines = append(lines, l)
	}
	e.result.Changes = lines
	e.result.Unexplained = unknown()
	for p := range Part(numParts) {
		l := PartLine{Quality: p, SpeedChange: unknown(), Shapley: unknown(), EqualEffort: math.NaN(), PowerChange: math.NaN(), Evidence: evidenceOf[p]}
		if e.shares != nil {
			l.SpeedChange, l.Shapley = point(e.shares.alone[p]), point(e.shares.phi[p])
			l.EqualEffort, l.PowerChange = e.shares.equal[p], e.shares.power[p]
		}
		e.result.Parts = append(e.result.Parts, l)
	}
	if e.shares != nil {
		e.result.Unexplained = point(e.result.Against - e.result.Speed - e.shares.total)
	}
	return nil
}

// fillTogether answers all changes made together. Changes of which one is asked twice are
// alternatives and are not.
func (e *estimator) fillTogether() error {
	if len(e.Changes) < 2 || check(e.Changes) != nil {
		return nil
	}
	a, err := askTogether(e.model, e.base, e.Changes, centralSteps)
	if err != nil {
		return err
	}
	t := &TogetherLine{Words: Together(e.Changes), SpeedChange: point(a.speed)}
	t.EqualEffort, t.PowerChange = effort(e.base, a.after)
	e.result.Together = t
	return nil
}

var evidenceOf = [numParts]string{
	Facing: evidenceFoot, Sweep: evidenceSweep, Build: modelOnly, Tempo: evidenceTempo, Rest: modelOnly,
}

// conclude names the limiter and writes the flags.
func (e *estimator) conclude() {
	r := e.result
	r.Flags = flags(&e.Input, e.base)
	if e.stalls() {
		r.Flags = append(r.Flags, Flag{"stall", "The foot is close to stalling in the model: a little more drag would cost this kick much speed, so small changes have large answers."})
	}
	var off float64
	if r.Push, off = pushes(e.model, e.own, e.base.DragFactor); off > pushOff {
		r.Flags = append(r.Flags, Flag{"push", "The push that the model sees in the downkick and the change of the filmed body's speed differ by more than 35 %: marks, scale or filter may be off."})
	}
	if share := float64(r.Dropped) / math.Max(1, float64(r.Draws)); share > fewDrops {
		r.Flags = append(r.Flags, Flag{"dropped-draws", fmt.Sprintf("%.0f %% of the error draws found no steady swim; the bands rest on the others.", 100*share)})
	}
	if e.shares != nil {
		if r.Unexplained.Value < -math.Max(2*r.Unexplained.SD, 0.05*r.Speed) {
			r.Flags = append(r.Flags, Flag{"too-much-explained", "The parts add up to well more than the measured difference: an ankle or toe is probably marked differently in the two runs."})
		}
		r.name()
		return
	}
	tried := r.Changes[:len(steps)]
	r.Changes = r.Changes[len(steps):]
	for i, l := range tried {
		part := &r.Parts[steps[i].part]
		if part.Step != "" {
			// A second step of the same quality stands among the what-ifs.
			if !slices.Contains(e.Changes, l.Change) {
				r.Changes = append(r.Changes, l)
			}
			continue
		}
		part.Step = l.Change.String()
		part.SpeedChange, part.EqualEffort, part.PowerChange = l.SpeedChange, l.EqualEffort, l.PowerChange
	}
	r.nameStep(tried)
}

// stalls reports whether the kick is at the edge where the foot slides back and its push
// breaks down: drag 5 % up, which costs other kicks 2.5 % of speed, costs it thrice that, or
// the swim at the solved factor is not the one it was solved from.
func (e *estimator) stalls() bool {
	if math.Abs(e.base.Speed/e.result.Speed-1) > 0.01 {
		return true
	}
	o, err := e.model.Swim(e.base.Kick, swim.Options{Steps: centralSteps, DragFactor: 1.05 * e.base.DragFactor, Warm: e.base})
	return err != nil || o.Speed < 0.925*e.base.Speed
}

func unknown() Band { return Band{math.NaN(), math.NaN(), math.NaN(), math.NaN()} }

func point(v float64) Band { return Band{v, math.NaN(), math.NaN(), math.NaN()} }
