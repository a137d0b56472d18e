package poolside

import (
	"context"
	"errors"
	"fmt"
	"os"

	"underkick/internal/guess"
	"underkick/internal/record"
)

// EraseSwimmer takes everything of a swimmer out of the data folder: records,
// films nobody else needs, stills, guesses, and what deleted records leave in the
// files, among it every copy of the database made before an upgrade. It cannot be
// taken back. It returns the backups that were made from this folder: what they
// hold of the swimmer is not touched.
func (a *App) EraseSwimmer(ctx context.Context, id string) ([]NotedBackup, error) {
	filmed, err := a.store.Filmed(ctx, id)
	if err != nil {
		return nil, err
	}
	for _, v := range filmed {
		for _, c := range v.Clips {
			job, err := a.openJobOn(ctx, c.Clip.ID)
			if err != nil {
				return nil, err
			}
			if job != nil {
				return nil, fmt.Errorf("the clip %s is just being read; stop that or wait for it, then erase: %w", c.Clip.Name, ErrBusy)
			}
		}
	}
	if err := a.store.EraseSwimmer(ctx, id); err != nil {
		return nil, err
	}
	if err := a.finishErasing(context.WithoutCancel(ctx)); err != nil {
		return nil, err
	}
	return a.Backups(ctx)
}

// ErrBusy: work on it is under way.
var ErrBusy = errors.New("work on it is under way")

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
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return record.Swimmer{}, err
	}
	var found []record.Swimmer
	for _, q := range squads {
		list, err := a.store.Swimmers(ctx, q.ID)
		if err != nil {
			return record.Swimmer{}, err
		}
		for _, w := range list {
			if w.ID == who {
				return w, nil
			}
			if w.Name == who {
				found = append(found, w)
			}
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
