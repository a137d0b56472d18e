package poolside

import (
	"context"
	"slices"

	"underkick/internal/practice"
	"underkick/internal/record"
)

// WeeksView is what a swimmer practises, week by week up to the retest.
type WeeksView struct {
	Swimmer  record.Swimmer
	Name     string // as it is shown now
	Today    record.Date
	Weeks    []practice.Week // none where nothing is practised
	Given    []record.Given  // what stands in them, oldest first
	RetestOn record.Date     // the next that is not past, else the last; "" = none
	Cautions []string
}

// PracticeWeeks lays out what a swimmer practises now and what begins later, week by
// week, with how the dose grows.
func (a *App) PracticeWeeks(ctx context.Context, swimmerID string) (WeeksView, error) {
	w, err := a.store.Swimmer(ctx, swimmerID)
	if err != nil {
		return WeeksView{}, err
	}
	view := WeeksView{Swimmer: w, Name: a.ShownName(ctx, w), Today: record.Date(today()), Cautions: PracticeCautions()}
	list, err := a.store.Given(ctx, swimmerID)
	if err != nil {
		return view, err
	}
	slices.Reverse(list) // the store has the newest first
	view.Weeks = practice.Weeks(list, view.Today)
	for _, g := range list {
		if slices.ContainsFunc(view.Weeks, func(w practice.Week) bool {
			return slices.ContainsFunc(w.Tasks, func(t practice.Task) bool { return t.Given.ID == g.ID })
		}) {
			view.Given = append(view.Given, g)
			view.retest(g.RetestOn)
		}
	}
	return view, nil
}

func (v *WeeksView) retest(on record.Date) {
	ahead, was := on >= v.Today, v.RetestOn >= v.Today
	switch {
	case v.RetestOn == "", ahead && (!was || on < v.RetestOn), !ahead && !was && on > v.RetestOn:
		v.RetestOn = on
	}
}
