package poolside

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"underkick/internal/practice"
	"underkick/internal/record"
)

// Giving is what a coach gives a swimmer to practise.
type Giving struct {
	SwimmerID string      // needed without RunID
	RunID     string      // for whose finding; "" = for none
	Drills    []string    // ids, ours or own
	From      record.Date // "" = today
	Weeks     int         // 0 = practice.UsualWeeks
	RetestOn  record.Date // "" = as practice.RetestOn proposes
	Why       string      // needed where a drill goes against the rules
	Notes     string
	By        string          // who gives it; kept, and proposed the next time
	Options   PracticeOptions // as the drills were proposed
}

// Give gives drills to a swimmer, all or none. A drill that the rules propose for
// the finding is kept with them as the reason; for any other the coach says why,
// and the rules it goes against are kept with it. Age stands: a drill for older
// swimmers is refused, as is one that is practised now. Errors about fields are
// record.Faults.
func (a *App) Give(ctx context.Context, in Giving) ([]record.Given, error) {
	swimmer, need, err := a.needFor(ctx, in)
	if err != nil {
		return nil, err
	}
	if len(in.Drills) == 0 {
		return nil, record.Faults{{Field: "drills", Text: "is empty; choose at least one drill"}}
	}
	if err := in.complete(); err != nil {
		return nil, err
	}
	library, err := a.drills(ctx)
	if err != nil {
		return nil, err
	}
	var kept []record.Given
	err = a.store.Together(ctx, func(ctx context.Context) error {
		kept = nil
		for _, id := range in.Drills {
			g, err := in.given(library, id, need)
			if err != nil {
				return err
			}
			g.SwimmerID = swimmer.ID
			if g, err = a.store.AddGiven(ctx, g); err != nil {
				return err
			}
			need.Now = append(need.Now, id)
			kept = append(kept, g)
		}
		return a.rememberGiver(ctx, in.By)
	})
	if err != nil {
		return nil, err
	}
	return kept, nil
}

// complete fills in first day, weeks and retest, and tidies the name.
func (in *Giving) complete() error {
	in.By = oneLine(in.By)
	if in.From == "" {
		in.From = record.Date(today())
	}
	if in.Weeks == 0 {
		in.Weeks = practice.UsualWeeks
	}
	if !in.From.Valid() {
		return record.Faults{{Field: "from", Text: fmt.Sprintf("is %q; write it as YYYY-MM-DD", string(in.From))}}
	}
	on, err := practice.RetestOn(in.From, in.Weeks)
	if err != nil {
		return record.Faults{{Field: "weeks", Text: "is too few or too many: " + err.Error()}}
	}
	if in.RetestOn == "" {
		in.RetestOn = on
	}
	return nil
}

// given is one drill as it will be kept.
func (in *Giving) given(library []record.Drill, id string, need practice.Need) (record.Given, error) {
	at := slices.IndexFunc(library, func(d record.Drill) bool { return d.ID == id })
	if at < 0 {
		return record.Given{}, record.Faults{{Field: "drills", Text: fmt.Sprintf("names %q, which is no drill of the library nor one of your own", id)}}
	}
	d := library[at]
	if in.RunID == "" && need.Serves == "" {
		need.Serves = d.Serves // no finding asks for anything
	}
	never, against := practice.Against(d, need)
	if never != "" {
		return record.Given{}, record.Faults{{Field: "drills", Text: fmt.Sprintf("cannot be given: %q %s", d.Title, never)}}
	}
	dose, _ := d.DoseFor(need.Age, need.Level)
	g := record.Given{
		RunID: in.RunID, DrillID: d.ID, Drill: d, Amount: dose, From: in.From, Weeks: in.Weeks, RetestOn: in.RetestOn,
		Chosen: record.ByCoach, Why: strings.TrimSpace(in.Why), Notes: strings.TrimSpace(in.Notes), By: in.By,
	}
	if chosen, _ := practice.Choose([]record.Drill{d}, need); in.RunID != "" && len(chosen) == 1 {
		g.Chosen = record.ByRule
		g.Why = strings.TrimSpace(chosen[0].Text() + " " + g.Why)
		return g, nil
	}
	if g.Why == "" {
		return g, record.Faults{{Field: "why", Text: strings.TrimSpace(fmt.Sprintf("is empty; say why %q is given%s", d.Title, againstWords(against)))}}
	}
	if len(against) > 0 {
		g.Why = strings.TrimRight(g.Why, ".") + ". Against the rules: it " + strings.Join(against, "; it ") + "."
	}
	return g, nil
}

func againstWords(against []string) string {
	if len(against) == 0 {
		return ""
	}
	return ". It goes against the rules: it " + strings.Join(against, "; it ")
}

// needFor is what the drills are held against: the finding of the run, or else age,
// level and what was given before.
func (a *App) needFor(ctx context.Context, in Giving) (record.Swimmer, practice.Need, error) {
	if in.RunID != "" {
		kick, need, err := a.needOfRun(ctx, in.RunID, in.Options)
		return kick.Swimmer, need, err
	}
	w, err := a.store.Swimmer(ctx, in.SwimmerID)
	if err != nil {
		return w, practice.Need{}, err
	}
	need := practice.Need{DryLand: in.Options.DryLand, Without: in.Options.Without, Level: w.Level, Age: ageIn(w, record.Date(today()))}
	return w, need, a.givenBefore(ctx, &need, w)
}

// GivenChange is a change of what is given; what is nil stays.
type GivenChange struct {
	Repeats, Each, PerWeek *int // Each counts kicks or seconds, as the drill does
	Weeks                  *int // the retest moves with it unless it is given
	RetestOn               *record.Date
	Notes                  *string
	By                     string
}

// ChangeGiven changes amount, weeks, retest or notes of what is given. The amount
// stays within what the drill gives at the swimmer's age.
func (a *App) ChangeGiven(ctx context.Context, id string, c GivenChange) (record.Given, error) {
	return a.alterGiven(ctx, id, c.By, func(g *record.Given, w record.Swimmer) error {
		set(&g.Amount.Repeats, c.Repeats)
		set(&g.Amount.PerWeek, c.PerWeek)
		if g.Amount.Seconds > 0 {
			set(&g.Amount.Seconds, c.Each)
		} else {
			set(&g.Amount.Kicks, c.Each)
		}
		set(&g.Notes, c.Notes)
		if c.Weeks != nil && *c.Weeks != g.Weeks {
			on, err := practice.RetestOn(g.From, *c.Weeks)
			if err != nil {
				return record.Faults{{Field: "weeks", Text: fmt.Sprintf("is %d; choose %d to %d weeks from the first day. For longer, end it, test, and give it again", *c.Weeks, practice.LeastWeeks, practice.MostWeeks)}}
			}
			g.Weeks, g.RetestOn = *c.Weeks, on
		}
		set(&g.RetestOn, c.RetestOn)
		return practice.CheckAmount(g.Drill, g.Amount, ageIn(w, record.Date(today())))
	})
}

func set[T any](to *T, from *T) {
	if from != nil {
		*to = *from
	}
}

// EndGiven ends what is given on a day, "" = today.
func (a *App) EndGiven(ctx context.Context, id string, on record.Date, by string) (record.Given, error) {
	if on == "" {
		on = record.Date(today())
	}
	return a.alterGiven(ctx, id, by, func(g *record.Given, _ record.Swimmer) error {
		g.Ended = on
		return nil
	})
}

// RemoveGiven takes back what was given by mistake.
func (a *App) RemoveGiven(ctx context.Context, id, by string) (record.Given, error) {
	return a.alterGiven(ctx, id, by, func(g *record.Given, _ record.Swimmer) error {
		g.Removed = true
		return nil
	})
}

// GivenAgain makes an earlier version of what is given stand again: an undo that
// reaches to the first. The version is added anew; none is lost.
func (a *App) GivenAgain(ctx context.Context, id string, seq int64, by string) (record.Given, error) {
	versions, err := a.store.GivenVersions(ctx, id)
	if err != nil {
		return record.Given{}, err
	}
	at := slices.IndexFunc(versions, func(g record.Given) bool { return g.Seq == seq })
	if at < 0 {
		return record.Given{}, ErrNotFound
	}
	return a.alterGiven(ctx, id, by, func(g *record.Given, _ record.Swimmer) error {
		*g = versions[at]
		return nil
	})
}

func (a *App) alterGiven(ctx context.Context, id, by string, alter func(g *record.Given, w record.Swimmer) error) (record.Given, error) {
	var now record.Given
	err := a.store.Together(ctx, func(ctx context.Context) error {
		g, err := a.store.OneGiven(ctx, id)
		if err != nil {
			return err
		}
		w, err := a.store.Swimmer(ctx, g.SwimmerID)
		if err != nil {
			return err
		}
		if err := alter(&g, w); err != nil {
			return err
		}
		g.By = oneLine(by)
		if now, err = a.store.ChangeGiven(ctx, g); err != nil {
			return err
		}
		return a.rememberGiver(ctx, g.By)
	})
	return now, err
}
