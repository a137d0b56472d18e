package poolside

import (
	"context"
	"errors"
	"fmt"

	"underkick/internal/guess"
	"underkick/internal/jobs"
	"underkick/internal/record"
)

// startJobs names the handlers and starts the background work.
func (a *App) startJobs(ctx context.Context) (*jobs.Queue, error) {
	q := jobs.New(a.store.Store, jobs.Options{Workers: 1, Log: a.log}) // film uses every core by itself
	q.Handle(jobReadFilm, a.readFilm)
	q.Handle(jobFindRuns, a.findRuns)
	q.Handle(jobWorth, a.estimateWorth)
	q.Handle(jobSteady, a.steadyKept)
	q.Handle(jobClipOut, a.clipOut)
	q.HandlePatient(jobRenew, a.renew)
	if !a.opt.NoGuess && guess.Supported() { // what was begun waits for a start with it
		q.HandlePatient(jobGuess, a.guessRun) // minutes, and it goes on where it was: a new clip does not wait for it
	}
	if err := q.Start(ctx); err != nil {
		return nil, fmt.Errorf("start the background work: %w", err)
	}
	return q, nil
}

// Job returns how a piece of background work stands.
func (a *App) Job(ctx context.Context, id string) (JobView, error) {
	j, err := a.jobs.Job(ctx, id)
	if err != nil {
		return JobView{}, err
	}
	view := jobView(j)
	if j.State == record.Done {
		runs, err := a.store.RunsOfClip(ctx, j.Subject)
		if err != nil && !errors.Is(err, ErrNotFound) {
			return JobView{}, err
		}
		if len(runs) > 0 {
			view.RunID = runs[0].ID
		}
	}
	return view, nil
}

func jobView(j record.Job) JobView {
	if j.State == record.Waiting {
		j.Doing = "waiting for its turn"
	}
	return JobView{ID: j.ID, Doing: j.Doing, Fraction: j.Fraction, State: string(j.State), Problem: j.Problem, ClipID: j.Subject}
}

// CancelJob ends a piece of background work; what it had finished stays.
func (a *App) CancelJob(ctx context.Context, id string) error { return a.jobs.Cancel(ctx, id) }

// openJobOn returns the newest work on a clip unless it ended well, nil if
// there is nothing to tell.
func (a *App) openJobOn(ctx context.Context, clipID string) (*JobView, error) {
	list, err := a.store.JobsOn(ctx, clipID)
	if err != nil || len(list) == 0 || list[0].State == record.Done {
		return nil, err
	}
	view := jobView(list[0])
	return &view, nil
}

// fetchPictures takes a clip's pictures in the background when its film was never
// read here, so that stepping through it is quick: each can also be had singly.
func (a *App) fetchPictures(ctx context.Context, clipID string) error {
	list, err := a.store.JobsOn(ctx, clipID)
	if err != nil || len(list) > 0 {
		return err
	}
	_, err = a.startReading(ctx, clipID)
	return err
}

// ReadAgain reads a clip's film again after the work on it failed or was cancelled.
func (a *App) ReadAgain(ctx context.Context, clipID string) (jobID string, err error) {
	if _, err := a.store.Clip(ctx, clipID); err != nil {
		return "", err
	}
	return a.startReading(ctx, clipID)
}
