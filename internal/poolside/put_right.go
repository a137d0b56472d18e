package poolside

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"underkick/internal/record"
	"underkick/internal/store"
)

// PutRightView is what can be put right about where a clip belongs.
type PutRightView struct {
	Clip   record.Clip
	Visit  record.Visit
	Of     int          // clips of the visit
	Runs   []RightRun   // in the order in which they were swum
	Squads []RightSquad // swimmers to choose from
	Owner  record.Swimmer
}

// RightRun is a run with whose it is.
type RightRun struct {
	record.Run
	Swimmer string // as shown
}

// RightSquad is a squad with its swimmers, by name as shown.
type RightSquad struct {
	record.Squad
	Swimmers []record.Swimmer
}

// PutRight returns a clip with what can be put right.
func (a *App) PutRight(ctx context.Context, clipID string) (PutRightView, error) {
	whole, err := a.store.ClipWhole(ctx, clipID)
	if err != nil {
		return PutRightView{}, fmt.Errorf("look at clip %s: %w", clipID, err)
	}
	view := PutRightView{Clip: whole.Clip, Visit: whole.Visit, Owner: whole.Swimmer}
	clips, err := a.store.ClipsOfVisit(ctx, view.Visit.ID)
	if err != nil {
		return view, err
	}
	view.Of = len(clips)
	runs, err := a.store.RunsOfClip(ctx, clipID)
	if err != nil {
		return view, err
	}
	for _, r := range runs {
		w, err := a.store.Swimmer(ctx, r.SwimmerID)
		if err != nil {
			return view, err
		}
		view.Runs = append(view.Runs, RightRun{r, w.Name})
	}
	view.Squads, err = a.squadsToChoose(ctx)
	return view, err
}

func (a *App) squadsToChoose(ctx context.Context) ([]RightSquad, error) {
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return nil, err
	}
	list := make([]RightSquad, len(squads))
	for i, q := range squads {
		list[i].Squad = q
		if list[i].Swimmers, err = a.store.Swimmers(ctx, q.ID); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// MoveClip gives a clip to the swimmer, day and pool to whom and to which it belongs, with
// its runs of the former swimmer. What was measured is measured again where another height or
// mass counts; earlier results are kept. A visit that has no clips and no notes afterwards
// goes. Moving it back undoes it.
func (a *App) MoveClip(ctx context.Context, clipID, swimmerID string, on record.Date, pool string) error {
	err := a.store.Together(ctx, func(ctx context.Context) error { return a.moveClip(ctx, clipID, swimmerID, on, pool) })
	if err != nil {
		return err
	}
	return a.renewSoon(ctx)
}

func (a *App) moveClip(ctx context.Context, clipID, swimmerID string, on record.Date, pool string) error {
	clip, err := a.store.Clip(ctx, clipID)
	if err != nil {
		return fmt.Errorf("move clip: %w", err)
	}
	w, err := a.store.Swimmer(ctx, swimmerID)
	if errors.Is(err, ErrNotFound) {
		return record.Faults{{Field: "swimmer", Text: "is not there; choose one of the list"}}
	}
	if err != nil {
		return err
	}
	was, err := a.store.Visit(ctx, clip.VisitID)
	if err != nil {
		return err
	}
	to := was
	if pool = strings.TrimSpace(pool); was.SquadID != w.SquadID || was.On != on || !strings.EqualFold(was.Pool, pool) {
		to = record.Visit{SquadID: w.SquadID, On: on, Pool: pool}
		if err := to.Validate(); err != nil {
			return err
		}
		if to, err = a.visitOf(ctx, to); err != nil {
			return err
		}
	}
	if err := a.store.MoveClip(ctx, clipID, w.ID, to.ID); err != nil {
		return inUse(err)
	}
	return a.leaveVisit(ctx, was)
}

// inUse makes what stands in the way the coach's to see.
func inUse(err error) error {
	if errors.Is(err, store.ErrInUse) {
		return record.Faults{{Field: "swimmer", Text: "has this film at that visit already; erase one of the two"}}
	}
	return err
}

// leaveVisit takes a visit away that has neither clips nor notes any more.
func (a *App) leaveVisit(ctx context.Context, v record.Visit) error {
	if v.Notes != "" {
		return nil
	}
	if clips, err := a.store.ClipsOfVisit(ctx, v.ID); err != nil || len(clips) > 0 {
		return err
	}
	return a.store.DeleteVisit(ctx, v.ID)
}

// MoveRun gives a run to the swimmer who swam it; the clip stays where it is. The run is
// measured again, earlier results are kept.
func (a *App) MoveRun(ctx context.Context, runID, swimmerID string) error {
	run, err := a.store.Run(ctx, runID)
	if err != nil {
		return fmt.Errorf("move run: %w", err)
	}
	if run.SwimmerID == swimmerID {
		return nil
	}
	if err := a.store.MoveRun(ctx, runID, swimmerID); errors.Is(err, ErrNotFound) {
		return record.Faults{{Field: "swimmer", Text: "is not there; choose one of the list"}}
	} else if err != nil {
		return err
	}
	return a.renewSoon(ctx)
}

// SetAside sets a run aside for a reason, or, with "", lets it count again: it is kept whole,
// and left out of lists, trends and verdicts.
func (a *App) SetAside(ctx context.Context, runID, why string) error {
	return a.store.SetAside(ctx, runID, strings.TrimSpace(why))
}

// UpdateVisit changes day, pool and notes of a visit, for all its clips. Where the squad has a
// visit of that day and pool already, the clips go to that one and the notes are added to its.
func (a *App) UpdateVisit(ctx context.Context, v record.Visit) error {
	err := a.store.Together(ctx, func(ctx context.Context) error {
		was, err := a.store.Visit(ctx, v.ID)
		if err != nil {
			return fmt.Errorf("change visit: %w", err)
		}
		v.SquadID, v.Pool = was.SquadID, strings.TrimSpace(v.Pool)
		v = asWritten(ctx, v, was)
		if err := v.Validate(); err != nil {
			return err
		}
		clips, err := a.store.ClipsOfVisit(ctx, v.ID)
		if err != nil {
			return err
		}
		visits, err := a.store.Visits(ctx, v.SquadID)
		if err != nil {
			return err
		}
		at := slices.IndexFunc(visits, func(o record.Visit) bool {
			return o.ID != v.ID && o.On == v.On && strings.EqualFold(o.Pool, v.Pool)
		})
		if at < 0 {
			return a.store.UpdateVisit(ctx, v)
		}
		return a.joinVisit(ctx, v, visits[at], clips)
	})
	if err != nil {
		return err
	}
	return a.renewSoon(ctx)
}

// joinVisit moves the clips and notes of a visit to another one of the same day and pool.
func (a *App) joinVisit(ctx context.Context, from, to record.Visit, clips []record.Clip) error {
	for _, c := range clips {
		if err := a.store.MoveClip(ctx, c.ID, c.SwimmerID, to.ID); err != nil {
			return inUse(err)
		}
	}
	if from.Notes != "" && !strings.Contains(to.Notes, from.Notes) {
		to.Notes = strings.TrimSpace(to.Notes + "\n" + from.Notes)
		if err := a.store.UpdateVisit(ctx, to); err != nil {
			return err
		}
	}
	return a.store.DeleteVisit(ctx, from.ID)
}

// Squads returns all squads by name.
func (a *App) Squads(ctx context.Context) ([]record.Squad, error) { return a.store.Squads(ctx) }

// SquadFacts returns a squad's name and notes.
func (a *App) SquadFacts(ctx context.Context, id string) (record.Squad, error) {
	return a.store.Squad(ctx, id)
}
