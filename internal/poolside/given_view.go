package poolside

import (
	"context"
	"slices"
	"time"

	"underkick/internal/practice"
	"underkick/internal/record"
)

// PractisingView is what a swimmer practises, and practised before.
type PractisingView struct {
	Swimmer  record.Swimmer
	Name     string // as it is shown now
	Now      []GivenView
	Coming   []GivenView // not begun
	Past     []GivenView // ended or taken back
	Drills   []record.Drill
	LastRun  string // the newest measured run, "" = none
	Weeks    int    // proposed for a new one
	By       string // proposed for who gives a new one, "" = nobody gave any here
	Today    record.Date
	Cautions []string
}

// GivenView is something given, with where it stands today.
type GivenView struct {
	record.Given
	Week     int         // counted from 1, from Monday to Monday; 0 or less before it begins
	WeekDose record.Dose // in that week
	WeekSays string      // what is different in that week, "" = nothing
	DaysLeft int         // until the retest, below 0 past it
	Outcome  Outcome
	Versions []record.Given // oldest first
}

// Practising returns what a swimmer practises now, what comes and what was.
func (a *App) Practising(ctx context.Context, swimmerID string) (PractisingView, error) {
	w, err := a.store.Swimmer(ctx, swimmerID)
	if err != nil {
		return PractisingView{}, err
	}
	view := PractisingView{Swimmer: w, Name: a.ShownName(ctx, w), Weeks: practice.UsualWeeks, Today: record.Date(today()), Cautions: PracticeCautions()}
	if view.Drills, err = a.drills(ctx); err != nil {
		return view, err
	}
	if view.By, err = a.Giver(ctx); err != nil {
		return view, err
	}
	runs, err := a.store.Measured(ctx, swimmerID, "speed")
	if err != nil {
		return view, err
	}
	if n := len(runs); n > 0 {
		view.LastRun = runs[n-1].RunID
	}
	list, err := a.store.Given(ctx, swimmerID)
	if err != nil {
		return view, err
	}
	told := a.outcomes(w)
	for _, g := range list {
		v := newGivenView(g, view.Today)
		if v.Versions, err = a.store.GivenVersions(ctx, g.ID); err != nil {
			return view, err
		}
		if v.Outcome, err = told.of(ctx, g); err != nil {
			return view, err
		}
		switch {
		case g.Removed || g.Ended != "" && g.Ended <= view.Today:
			view.Past = append(view.Past, v)
		case g.From > view.Today:
			view.Coming = append(view.Coming, v)
		default:
			view.Now = append(view.Now, v)
		}
	}
	return view, nil
}

func newGivenView(g record.Given, on record.Date) GivenView {
	v := GivenView{Given: g, Week: practice.WeekOf(g.From, on), DaysLeft: daysBetween(on, g.RetestOn)}
	v.WeekDose, v.WeekSays = practice.OnDay(g, on)
	return v
}

// daysBetween counts days from one day to another; 0 where one is none.
func daysBetween(from, to record.Date) int {
	a, err1 := time.Parse(time.DateOnly, string(from))
	b, err2 := time.Parse(time.DateOnly, string(to))
	if err1 != nil || err2 != nil {
		return 0
	}
	return int(b.Sub(a).Hours() / 24)
}

// GivenNow returns what the swimmers of a squad practise today, by swimmer.
func (a *App) GivenNow(ctx context.Context, squadID string) (map[string][]record.Given, error) {
	all, err := a.store.GivenNow(ctx, squadID)
	if err != nil {
		return nil, err
	}
	for id, list := range all {
		all[id] = slices.DeleteFunc(list, func(g record.Given) bool { return !g.Practised(record.Date(today())) })
		if len(all[id]) == 0 {
			delete(all, id)
		}
	}
	return all, nil
}

// RetestDue is a swimmer's next retest.
type RetestDue struct {
	SwimmerID string
	Name      string // as it is shown now
	On        record.Date
	DaysLeft  int      // below 0 when it is past
	Drills    []string // titles of what is to be tested then
}

// earlyDays is how much before its day a retest counts as done, days.
const earlyDays = 7

// RetestsDue lists the next retest of every swimmer of a squad who practises
// something, the nearest first. A retest is done when a run of a visit on its day,
// or up to a week before, is measured; then the next of that swimmer is listed.
func (a *App) RetestsDue(ctx context.Context, squadID string) ([]RetestDue, error) {
	now, err := a.GivenNow(ctx, squadID)
	if err != nil || len(now) == 0 {
		return nil, err
	}
	swimmers, lines, err := a.season(ctx, squadID)
	if err != nil {
		return nil, err
	}
	day := record.Date(today())
	var due []RetestDue
	for i, w := range swimmers {
		if d, ok := nextRetest(now[w.ID], lines[i].MeasuredOn, day); ok {
			d.SwimmerID, d.Name = w.ID, a.ShownName(ctx, w)
			due = append(due, d)
		}
	}
	slices.SortStableFunc(due, func(a, b RetestDue) int { return a.DaysLeft - b.DaysLeft })
	return due, nil
}

// nextRetest is the nearest retest of what is given that the last measured visit
// has not done.
func nextRetest(given []record.Given, last, day record.Date) (RetestDue, bool) {
	var d RetestDue
	for _, g := range given {
		if last != "" && daysBetween(last, g.RetestOn) <= earlyDays {
			continue
		}
		switch {
		case d.On == "" || g.RetestOn < d.On:
			d = RetestDue{On: g.RetestOn, DaysLeft: daysBetween(day, g.RetestOn), Drills: []string{g.Drill.Title}}
		case g.RetestOn == d.On:
			d.Drills = append(d.Drills, g.Drill.Title)
		}
	}
	return d, d.On != ""
}
