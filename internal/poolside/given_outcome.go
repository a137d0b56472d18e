package poolside

import (
	"context"
	"fmt"

	"underkick/internal/limit"
	"underkick/internal/practice"
	"underkick/internal/record"
)

// Outcome is what the retest after a practice says of the measure it served. It
// tells that something changed over these weeks, not that the practice did it.
type Outcome struct {
	Verdict limit.Verdict // "" = not retested yet
	Measure string        // id; "" = not retested
	On      record.Date   // day of the retest
	Words   string        // one sentence; "" = not retested
}

// servedMeasure is the measure in which a quality is judged after practice.
var servedMeasure = map[record.Serves]string{
	record.ServesFacing: "facing", record.ServesSweep: "sweep", record.ServesBuild: "build",
	record.ServesTempo: "kick_frequency", record.ServesUpkick: "build_upkick", record.ServesStreamline: "speed",
}

// outcomes tells what retests say of what one swimmer was given. The swimmer's runs
// are read at first need.
type outcomes struct {
	app     *App
	swimmer record.Swimmer
	read    bool
	runs    []limit.Run
	days    []record.Date // of runs
	scatter limit.Scatters
}

func (a *App) outcomes(w record.Swimmer) *outcomes { return &outcomes{app: a, swimmer: w} }

func (o *outcomes) load(ctx context.Context) (err error) {
	if o.read {
		return nil
	}
	briefs, runs, err := o.app.measuredRuns(ctx, o.swimmer.ID)
	if err != nil {
		return err
	}
	o.runs = runs
	for _, b := range briefs {
		o.days = append(o.days, b.Visit.On)
	}
	o.scatter, err = o.app.scatter(ctx, o.swimmer.SquadID)
	o.read = err == nil
	return err
}

// of compares the visit of the run for which something was given with the first
// visit after it: from a week before the retest, or from its end, whichever comes
// first, but not before practice.LeastWeeks of it.
func (o *outcomes) of(ctx context.Context, g record.Given) (Outcome, error) {
	if g.RunID == "" || g.Removed {
		return Outcome{}, nil
	}
	if err := o.load(ctx); err != nil {
		return Outcome{}, err
	}
	then := -1
	for i, r := range o.runs {
		if r.ID == g.RunID {
			then = i
		}
	}
	if then < 0 {
		return Outcome{}, nil
	}
	var own []limit.Run
	now := "" // the retest's visit
	var on record.Date
	for i, r := range o.runs {
		switch {
		case o.days[i] <= o.days[then]:
			own = append(own, r)
		case now == "" && retests(g, o.days[i]) || now == r.Visit:
			now, on = r.Visit, o.days[i]
			own = append(own, r)
		}
	}
	if now == "" {
		return Outcome{}, nil
	}
	return judged(g, own, o.runs[then], on, o.scatter), nil
}

// retests reports whether a visit on a day can tell of what was given.
func retests(g record.Given, on record.Date) bool {
	if daysBetween(g.From, on) < 7*practice.LeastWeeks {
		return false
	}
	return daysBetween(on, g.RetestOn) <= earlyDays || g.Ended != "" && on >= g.Ended
}

// judged compares the last visit of own with the one of then.
func judged(g record.Given, own []limit.Run, then limit.Run, on record.Date, scatter limit.Scatters) Outcome {
	out := Outcome{Verdict: limit.Refused, Measure: servedMeasure[g.Drill.Serves], On: on}
	out.Words = fmt.Sprintf("Retested on %s, under conditions that cannot be compared with %s.", longDate(on), then.When)
	for _, s := range limit.Season(own, scatter, func(_, _ limit.Stop) string { return out.Measure }) {
		if s.Visit == then.Visit || s.SinceVisit != then.Visit || s.Visit != own[len(own)-1].Visit {
			continue
		}
		for _, c := range s.Changes {
			if c.Measure == out.Measure {
				out.Verdict = c.Verdict
				out.Words = outcomeWords(c, on)
			}
		}
	}
	return out
}

func outcomeWords(c limit.Change, on record.Date) string {
	name := limit.Name(c.Measure)
	switch c.Verdict {
	case limit.Refused:
		return fmt.Sprintf("Retested on %s: no verdict on %s. %s", longDate(on), name, c.Why[0])
	case limit.NoChange:
		return fmt.Sprintf("Retested on %s: no change shown in %s.", longDate(on), name)
	}
	return fmt.Sprintf("Retested on %s: %s is %s than on %s. That it changed does not say what changed it.", longDate(on), name, c.Verdict, c.When)
}

// lately is how long a practice without a retest keeps others before it, days.
const lately = 26 * 7

// givenBefore notes in a need what the swimmer was given before. The newest time
// that a drill was given decides.
func (a *App) givenBefore(ctx context.Context, need *practice.Need, w record.Swimmer) error {
	list, err := a.store.Given(ctx, w.ID)
	if err != nil {
		return err
	}
	told, day, seen := a.outcomes(w), record.Date(today()), map[string]bool{}
	for _, g := range list {
		if g.Removed || seen[g.DrillID] {
			continue
		}
		seen[g.DrillID] = true
		if g.Ended == "" || g.Ended > day {
			need.Now = append(need.Now, g.DrillID)
			continue
		}
		out, err := told.of(ctx, g)
		if err != nil {
			return err
		}
		switch {
		case out.Verdict == limit.Higher:
			need.Changed = append(need.Changed, g.DrillID)
		case out.Verdict == limit.NoChange || out.Verdict == limit.Lower:
			need.NoChange = append(need.NoChange, g.DrillID)
		case daysBetween(g.Ended, day) <= lately:
			need.WithGiven = append(need.WithGiven, g.DrillID)
		}
	}
	return nil
}
