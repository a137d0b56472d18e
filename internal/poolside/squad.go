package poolside

import (
	"context"
	"fmt"
	"slices"

	"underkick/internal/kick"
	"underkick/internal/record"
	"underkick/internal/store"
)

// AddSquad keeps a new squad and returns its id.
func (a *App) AddSquad(ctx context.Context, q record.Squad) (string, error) {
	kept, err := a.store.AddSquad(ctx, q)
	return kept.ID, err
}

// UpdateSquad changes a squad's name and notes.
func (a *App) UpdateSquad(ctx context.Context, q record.Squad) error {
	return a.store.UpdateSquad(ctx, q)
}

// AddSwimmer keeps a new swimmer. alike lists swimmers of the squad whose name
// could be taken for this one: allowed, but worth a look.
func (a *App) AddSwimmer(ctx context.Context, w record.Swimmer) (id string, alike []string, err error) {
	kept, err := a.store.AddSwimmer(ctx, w)
	if err != nil {
		return "", nil, err
	}
	alike, err = a.alike(ctx, kept)
	return kept.ID, alike, err
}

// UpdateSwimmer changes a swimmer, and has the runs measured again that stand on what
// changed; alike is as in AddSwimmer.
func (a *App) UpdateSwimmer(ctx context.Context, w record.Swimmer) (alike []string, err error) {
	_, err = a.grow(ctx, w.ID, func(ctx context.Context) error { return a.store.UpdateSwimmer(ctx, w) })
	if err != nil {
		return nil, err
	}
	if _, err := a.renewals(ctx); err != nil { // sex, birth year and level are noted by the store
		return nil, err
	}
	return a.alike(ctx, w)
}

func (a *App) alike(ctx context.Context, w record.Swimmer) ([]string, error) {
	others, err := a.store.AlikeSwimmers(ctx, w.SquadID, w.Name, w.ID)
	if err != nil {
		return nil, err
	}
	var names []string
	for _, o := range others {
		names = append(names, o.Name)
	}
	return names, nil
}

// Squad returns every squad with its swimmers.
func (a *App) Squad(ctx context.Context) (SquadView, error) {
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return SquadView{}, err
	}
	consents, err := a.store.ConsentsOfAll(ctx)
	if err != nil {
		return SquadView{}, err
	}
	var view SquadView
	renewals, err := a.renewals(ctx)
	if err != nil {
		return SquadView{}, err
	}
	renewing := renewingBySwimmer(renewals)
	for _, q := range squads {
		rows, err := a.swimmerRows(ctx, q.ID, consents)
		if err != nil {
			return SquadView{}, fmt.Errorf("list squad %s: %w", q.ID, err)
		}
		for i := range rows {
			rows[i].Renewing = renewing[rows[i].ID]
		}
		view.Squads = append(view.Squads, SquadSection{ID: q.ID, Name: q.Name, Rows: rows})
	}
	return view, nil
}

// keptMeasure returns a measure of a kept result, nil if it has none.
func keptMeasure(values []record.Value, id string) *kick.Measure {
	for _, v := range values {
		if v.Measure == id {
			m := kick.Measure{ID: id, Unit: v.Unit, Value: v.Value, SD: v.SD, N: v.N, Low: v.Low, High: v.High}.Bounded()
			return &m
		}
	}
	return nil
}

// Swimmer returns a swimmer with everything filmed, newest visit first.
func (a *App) Swimmer(ctx context.Context, id string) (SwimmerView, error) {
	w, err := a.store.Swimmer(ctx, id)
	if err != nil {
		return SwimmerView{}, err
	}
	q, err := a.store.Squad(ctx, w.SquadID)
	if err != nil {
		return SwimmerView{}, err
	}
	view := SwimmerView{Swimmer: w, Squad: q}
	renewals, err := a.renewals(ctx)
	if err != nil {
		return SwimmerView{}, err
	}
	view.Renewing = renewingBySwimmer(renewals)[id]
	filmed, err := a.store.Filmed(ctx, id)
	if err != nil {
		return SwimmerView{}, err
	}
	for _, v := range filmed {
		visit := VisitView{Visit: v.Visit}
		for _, c := range v.Clips {
			row, err := a.clipRow(ctx, c)
			if err != nil {
				return SwimmerView{}, err
			}
			for i := range row.Runs {
				row.Runs[i].Renewing = renewalWords(renewals[row.Runs[i].Run.ID])
			}
			visit.Clips = append(visit.Clips, row)
		}
		view.Visits = append(view.Visits, visit)
	}
	view.Sentence, view.LastRun = lastSentence(view.Visits)
	return view, a.standsNow(ctx, &view)
}

// lastMeasured is the day of the newest visit with a measured run, "" = none.
func lastMeasured(visits []VisitView) record.Date {
	for _, v := range visits {
		for _, c := range v.Clips {
			for _, r := range c.Runs {
				if r.Sentence != "" && r.Run.Aside == "" {
					return v.Visit.On
				}
			}
		}
	}
	return ""
}

// standsNow fills in what is practised and what consents allow today.
func (a *App) standsNow(ctx context.Context, view *SwimmerView) error {
	w, day := view.Swimmer, record.Date(today())
	given, err := a.store.Given(ctx, w.ID)
	if err != nil {
		return err
	}
	for _, g := range given {
		if !g.Practised(day) {
			continue
		}
		view.Now = append(view.Now, g)
	}
	if due, ok := nextRetest(view.Now, lastMeasured(view.Visits), day); ok {
		view.RetestOn, view.Due = string(due.On), due.On <= day
	}
	consents, err := a.store.Consents(ctx, w.ID)
	if err != nil {
		return err
	}
	state := stateOf(w.BirthYear, consents, day)
	view.Consent, view.Lacking = state.Words(), !state.Allowed[record.ForFilming]
	return nil
}

// lastSentence returns the finding of the last measured run, as the squad list
// does: the newest visit's last clip and its last run.
func lastSentence(visits []VisitView) (sentence, runID string) {
	for _, v := range visits {
		for _, c := range slices.Backward(v.Clips) {
			for _, r := range slices.Backward(c.Runs) {
				if r.Sentence != "" && r.Run.Aside == "" {
					return r.Sentence, r.Run.ID
				}
			}
		}
	}
	return "", ""
}

func (a *App) clipRow(ctx context.Context, c store.FilmedClip) (ClipRow, error) {
	row := ClipRow{Clip: c.Clip}
	job, err := a.openJobOn(ctx, c.Clip.ID)
	if err != nil {
		return row, err
	}
	row.Job = job
	for _, r := range c.Runs {
		row.Runs = append(row.Runs, runRow(r))
	}
	return row, nil
}

func runRow(r store.FilmedRun) RunRow {
	row := RunRow{Run: r.Run, Marks: r.Marks}
	switch {
	case r.Measured != nil:
		row.Sentence, row.Speed = r.Measured.Sentence, keptMeasure(r.Measured.Values, "speed")
	case r.Marks == 0:
		row.Problem = "Nothing is marked yet."
	}
	return row
}
