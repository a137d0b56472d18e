package jobs

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"runtime/debug"
	"sync"
	"time"

	"underkick/internal/record"
	"underkick/internal/store"
)

// work does jobs until ctx ends, those of the first kinds before the patient ones.
func (q *Queue) work(ctx context.Context, first, patient []string) {
	for {
		j, err := q.claim(ctx, first, patient)
		switch {
		case err == nil:
			q.do(ctx, j)
			continue
		case ctx.Err() != nil:
			return
		case !errors.Is(err, store.ErrNothing):
			q.log.Error("claim job", "err", err)
		}
		// Every job is added by this process, so nothing is missed by waiting
		// for a nudge; after an error it is tried again by and by.
		var retry <-chan time.Time
		if !errors.Is(err, store.ErrNothing) {
			retry = time.After(10 * time.Second)
		}
		select {
		case <-ctx.Done():
			return
		case <-q.wake:
		case <-retry:
		}
	}
}

func (q *Queue) claim(ctx context.Context, first, patient []string) (record.Job, error) {
	q.mu.Lock()
	q.pressed = false
	q.mu.Unlock()
	j, err := q.store.ClaimJob(ctx, q.boot, first)
	if errors.Is(err, store.ErrNothing) && len(patient) > 0 {
		return q.store.ClaimJob(ctx, q.boot, patient)
	}
	return j, err
}

// do runs the handler of a job and keeps how it ended.
func (q *Queue) do(ctx context.Context, j record.Job) {
	began := time.Now()
	ctx, end := context.WithCancelCause(ctx)
	defer end(nil)
	q.mu.Lock()
	job := underway{end, q.patient[j.Kind]}
	q.running[j.ID] = job
	if q.doomed[j.ID] {
		end(errCancelled)
	}
	if job.patient && q.pressed { // another came in between claim and begin
		end(errGivesWay)
	}
	h := q.handlers[j.Kind]
	q.mu.Unlock()
	t := &Task{queue: q, job: j}
	err := context.Cause(ctx)
	if err == nil {
		err = safely(ctx, h, t)
	}
	q.mu.Lock()
	doomed := q.doomed[j.ID]
	delete(q.running, j.ID)
	delete(q.doomed, j.ID)
	q.mu.Unlock()

	// The end is kept even if the program is ending.
	keep := context.WithoutCancel(ctx)
	cause := context.Cause(ctx)
	var kept error
	state := record.Done
	switch {
	case err == nil:
		kept = q.store.EndJob(keep, j.ID, state, t.left(), "")
	case doomed || errors.Is(cause, errCancelled):
		state = record.Cancelled
		kept = q.store.EndJob(keep, j.ID, state, nil, "")
	case cause != nil:
		state = record.Waiting
		kept = q.store.YieldJob(keep, j.ID)
	default:
		state = record.Failed
		kept = q.store.EndJob(keep, j.ID, state, nil, err.Error())
	}
	q.log.Info("job ended", "job", j.ID, "kind", j.Kind, "state", state, "took_ms", time.Since(began).Milliseconds(), "err", err)
	if kept != nil {
		// The next start finds it running under this boot and begins it anew.
		q.log.Error("keep the end of a job", "job", j.ID, "err", kept)
	}
}

// safely runs h and turns a panic into an error, so that one bad clip does not
// end the program.
func safely(ctx context.Context, h Handler, t *Task) (err error) {
	defer func() {
		if p := recover(); p != nil {
			t.queue.log.Error("panic in a job", "job", t.job.ID, "kind", t.job.Kind, "panic", p, "stack", string(debug.Stack()))
			err = fmt.Errorf("this failed because of a mistake in underkick (%v); your clips and marks are untouched", p)
		}
	}()
	return h(ctx, t)
}

// Task is a running job as its handler sees it.
type Task struct {
	queue *Queue
	job   record.Job

	mu      sync.Mutex
	wrote   time.Time
	outcome json.RawMessage
}

// Job returns the job as it was when it began.
func (t *Task) Job() record.Job { return t.job }

// Args reads the job's arguments into v.
func (t *Task) Args(v any) error {
	if err := json.Unmarshal(t.job.Args, v); err != nil {
		return fmt.Errorf("read the arguments of job %s: %w", t.job.ID, err)
	}
	return nil
}

// Report says how much is done, 0 to 1, and what is being done. It may be
// called as often as one likes, from any goroutine; most calls cost nothing.
func (t *Task) Report(ctx context.Context, fraction float64, doing string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	now := time.Now()
	if now.Sub(t.wrote) < t.queue.opt.Every {
		return
	}
	t.wrote = now
	if err := t.queue.store.ProgressJob(ctx, t.job.ID, fraction, doing); err != nil && ctx.Err() == nil {
		// Progress is a comfort; the work goes on without.
		t.queue.log.Warn("keep progress", "job", t.job.ID, "err", err)
	}
}

// Leave sets what the job leaves behind if the handler then ends well, as JSON.
func (t *Task) Leave(v any) error {
	text, err := json.Marshal(v)
	if err != nil {
		return fmt.Errorf("keep the outcome of job %s: %w", t.job.ID, err)
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.outcome = text
	return nil
}

func (t *Task) left() json.RawMessage {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.outcome
}
