package poolside

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"underkick/internal/guess"
	"underkick/internal/record"
	"underkick/internal/store"
)

// EraseSwimmer takes everything of a swimmer out of the data folder: records,
// films nobody else needs, stills, guesses, and what deleted records leave in the
// files, among it every copy of the database made before an upgrade. It cannot be
// taken back. It returns the backups that were made from this folder: what they
// hold of the swimmer is not touched.
func (a *App) EraseSwimmer(ctx context.Context, id string) ([]NotedBackup, error) {
	if err := a.stopWorkOn(ctx, id); err != nil {
		return nil, err
	}
	if err := a.store.EraseSwimmer(ctx, id, store.EraseOptions{}); err != nil {
		return nil, err
	}
	if err := a.finishErasing(context.WithoutCancel(ctx)); err != nil {
		return nil, err
	}
	return a.Backups(ctx)
}

// ErrBusy: work on it is under way.
var ErrBusy = errors.New("work on it is under way")

// stopPatience is how long work may take to end after it was told to.
const stopPatience = 30 * time.Second

// stopWorkOn ends all background work on what was filmed of a swimmer and waits until it
// has ended, since it could write pictures and guesses anew.
func (a *App) stopWorkOn(ctx context.Context, swimmerID string) error {
	filmed, err := a.store.Filmed(ctx, swimmerID)
	if err != nil {
		return err
	}
	names := map[string]string{} // of the clip, by what a job is about
	for _, v := range filmed {
		for _, c := range v.Clips {
			names[c.Clip.ID] = c.Clip.Name
			for _, r := range c.Runs {
				names[r.Run.ID] = c.Clip.Name
			}
		}
	}
	open, err := a.store.OpenJobs(ctx)
	if err != nil {
		return err
	}
	patient, done := context.WithTimeout(ctx, stopPatience)
	defer done()
	for _, j := range open {
		name, of := names[j.Subject]
		if !of {
			continue
		}
		if err := a.jobs.Cancel(ctx, j.ID); err != nil {
			return err
		}
		if _, err := a.jobs.Wait(patient, j.ID); errors.Is(err, context.DeadlineExceeded) {
			return fmt.Errorf("the work on clip %s does not end; close the program and erase then: %w", name, ErrBusy)
		} else if err != nil {
			return err
		}
	}
	return nil
}

// finishErasing clears the caches and the files after an erasure, also one that
// a killed process began.
func (a *App) finishErasing(ctx context.Context) error {
	e, err := a.store.ErasingNow(ctx)
	if err != nil || e == nil {
		return err
	}
	var errs []error
	for _, hash := range e.Hashes {
		errs = append(errs, a.cache.Forget(hash), os.RemoveAll(guess.Dir(a.store.CacheDir(), hash)))
	}
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("clear the caches after erasing: %w", err)
	}
	return a.store.Scrub(ctx)
}

// FindSwimmer returns the swimmer of an id, or the only one of a name. No one and
// several are refused with ErrInput.
func (a *App) FindSwimmer(ctx context.Context, who string) (record.Swimmer, error) {
	all, err := a.AllSwimmers(ctx)
	if err != nil {
		return record.Swimmer{}, err
	}
	var found []record.Swimmer
	for _, w := range all {
		if w.ID == who {
			return w, nil
		}
		if w.Name == who {
			found = append(found, w)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return record.Swimmer{}, inputf("there is no swimmer %q; write the whole name or the id", who)
	}
	return record.Swimmer{}, inputf("%d swimmers are called %q; give the id, as the address of the swimmer's page has it", len(found), who)
}

// AllSwimmers returns the swimmers of all squads.
func (a *App) AllSwimmers(ctx context.Context) ([]record.Swimmer, error) {
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return nil, err
	}
	var all []record.Swimmer
	for _, q := range squads {
		list, err := a.store.Swimmers(ctx, q.ID)
		if err != nil {
			return nil, err
		}
		all = append(all, list...)
	}
	return all, nil
}

// FindSquad returns the squad of an id, or the only one of a name. No one and several
// are refused with ErrInput.
func (a *App) FindSquad(ctx context.Context, which string) (record.Squad, error) {
	all, err := a.store.Squads(ctx)
	if err != nil {
		return record.Squad{}, err
	}
	var found []record.Squad
	for _, q := range all {
		if q.ID == which {
			return q, nil
		}
		if q.Name == which {
			found = append(found, q)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return record.Squad{}, inputf("there is no squad %q; write the whole name or the id", which)
	}
	return record.Squad{}, inputf("%d squads are called %q; give the id", len(found), which)
}
