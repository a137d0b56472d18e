package poolside

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"underkick/internal/guess"
	"underkick/internal/record"
	"underkick/internal/store"
)

// EraseRequest says who is erased and how.
type EraseRequest struct {
	SwimmerID  string
	KeepCopies bool // leave the copies of the database made before upgrades that hold the swimmer
	Progress   func(fraction float64, doing string)
}

// Erased says what is left after a swimmer was erased, for the coach to deal with.
type Erased struct {
	Backups []NotedBackup        // made from this data folder; they may hold the swimmer
	Copies  []store.DatabaseCopy // in the data folder's folder backups, that hold the swimmer
	Shared  []SharedClip         // films that still show the swimmer
}

// SharedClip is a clip that stays because others swim in it too.
type SharedClip struct {
	ClipID string // of one who keeps it
	Name   string // of the clip, as it is called afterwards
	With   []string
}

// EraseSwimmer takes everything of a swimmer out of the data folder: records, films
// nobody else needs, stills, guesses and made clips, and what deleted records leave in
// the files. It cannot be taken back. Once the records are gone it goes on to the end
// whatever happens to ctx; what a killed process leaves, the next start finishes.
func (a *App) EraseSwimmer(ctx context.Context, req EraseRequest) (Erased, error) {
	tell := func(fraction float64, doing string) {
		if req.Progress != nil {
			req.Progress(fraction, doing)
		}
	}
	var out Erased
	view, err := a.WhatGoes(ctx, req.SwimmerID)
	if err != nil {
		return out, err
	}
	tell(0, "ending work on the films")
	if err := a.stopWorkOn(ctx, req.SwimmerID); err != nil {
		return out, err
	}
	tell(0.1, "deleting records and films")
	if err := a.store.EraseSwimmer(ctx, req.SwimmerID, store.EraseOptions{KeepCopies: req.KeepCopies}); err != nil {
		return out, err
	}
	ctx = context.WithoutCancel(ctx)
	tell(0.4, "clearing pictures and guesses")
	if err := a.forgetErased(ctx); err != nil {
		return out, err
	}
	tell(0.6, "writing the database anew")
	if err := a.finishErasing(ctx); err != nil {
		return out, err
	}
	out.Shared, out.Backups = view.Shared, view.Backups
	for _, c := range view.Copies {
		if c.Holds && req.KeepCopies {
			out.Copies = append(out.Copies, c)
		}
	}
	tell(1, "done")
	return out, nil
}

// ErrBusy: work on it is under way.
var ErrBusy = errors.New("work on it is under way")

// stopPatience is how long work may take to end after it was told to.
const stopPatience = 30 * time.Second

// stopWorkOn ends all background work on what was filmed of a swimmer, and work on everything
// (which is begun again when it is needed), and waits until it has ended, since it could write
// pictures, guesses and ids anew.
func (a *App) stopWorkOn(ctx context.Context, swimmerID string) error {
	open, err := a.store.JobsNaming(ctx, swimmerID)
	if err != nil {
		return err
	}
	all, err := a.store.OpenJobs(ctx)
	if err != nil {
		return err
	}
	for _, j := range all {
		if j.Subject == "" && !slices.ContainsFunc(open, func(o record.Job) bool { return o.ID == j.ID }) {
			open = append(open, j)
		}
	}
	patient, done := context.WithTimeout(ctx, stopPatience)
	defer done()
	for _, j := range open {
		if err := a.jobs.Cancel(ctx, j.ID); err != nil {
			return err
		}
		if _, err := a.jobs.Wait(patient, j.ID); errors.Is(err, context.DeadlineExceeded) {
			return fmt.Errorf("the work on the swimmer's films (%s) does not end; close the program and erase then: %w", j.Kind, ErrBusy)
		} else if err != nil {
			return err
		}
	}
	return nil
}

// finishErasing clears the caches and the files after an erasure, also one that
// a killed process began. What is kept of the markers is made anew: it names those whose
// marks are gone.
func (a *App) finishErasing(ctx context.Context) error {
	e, err := a.store.ErasingNow(ctx)
	if err != nil || e == nil {
		return err
	}
	if err := a.forgetErased(ctx); err != nil {
		return err
	}
	if err := a.noticeMarkers(ctx); err != nil {
		return err
	}
	return a.store.Scrub(ctx)
}

// forgetErased clears the caches of what is being erased.
func (a *App) forgetErased(ctx context.Context) error {
	e, err := a.store.ErasingNow(ctx)
	if err != nil || e == nil {
		return err
	}
	var errs []error
	for _, hash := range e.Hashes {
		errs = append(errs, a.cache.Forget(hash), os.RemoveAll(guess.Dir(a.store.CacheDir(), hash)))
	}
	errs = append(errs, removeNamed(a.store.CacheDir(), slices.Concat(e.Hashes, e.IDs)))
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("clear the caches after erasing: %w", err)
	}
	return nil
}

// removeNamed removes all files and folders below dir whose name holds one of the words:
// whatever is kept there of a film or run is named by it.
func removeNamed(dir string, words []string) error {
	var errs []error
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || path == dir {
			return err
		}
		for _, w := range words {
			if w == "" || !strings.Contains(d.Name(), w) {
				continue
			}
			errs = append(errs, os.RemoveAll(path))
			if d.IsDir() {
				return filepath.SkipDir
			}
			break
		}
		return nil
	})
	if errors.Is(err, fs.ErrNotExist) {
		err = nil // nothing was ever kept
	}
	return errors.Join(append(errs, err)...)
}
