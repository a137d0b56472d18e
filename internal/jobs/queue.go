package jobs

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"slices"
	"sync"
	"time"

	"underkick/internal/record"
	"underkick/internal/store"
)

// MaxAttempts is how often a job is begun when the process dies each time.
const MaxAttempts = 3

// Handler does the jobs of one kind. It must end soon after ctx does. Its
// error is shown to the user as the job's problem.
type Handler func(ctx context.Context, t *Task) error

// Options are the choices of New; the zero value is the default.
type Options struct {
	// Workers is how many jobs run at once; 0 = 1.
	Workers int
	// Every is the least time between two writes of one job's progress, and
	// between two looks of Watch; 0 = 200 ms.
	Every time.Duration
	// Log receives the end of each job; nil = nothing.
	Log *slog.Logger
}

// Queue does the jobs of a store. It is safe for concurrent use.
type Queue struct {
	store *store.Store
	opt   Options
	log   *slog.Logger
	boot  string        // this start of the program
	wake  chan struct{} // one token per waiting worker at most

	mu       sync.Mutex // never held while the store is asked: a writer may be waiting for it
	handlers map[string]Handler
	patient  map[string]bool         // kinds that give way to the others
	running  map[string]underway     // by job id
	doomed   map[string]bool         // cancelled between claim and begin
	pressed  bool                    // a job came in that patient ones give way to
	stop     context.CancelCauseFunc // nil until Start
	workers  sync.WaitGroup
}

// underway is a job that a worker is at.
type underway struct {
	end     context.CancelCauseFunc
	patient bool
}

// errCancelled is the cause of a context that a person ended, errStopping of
// one that ended with the program, errGivesWay of one whose job waits for others.
var (
	errCancelled = errors.New("cancelled")
	errStopping  = errors.New("the program is ending")
	errGivesWay  = errors.New("other work goes first")
)

// New returns a queue on a store. Name the handlers, then Start it.
func New(s *store.Store, opt Options) *Queue {
	if opt.Workers <= 0 {
		opt.Workers = 1
	}
	if opt.Every <= 0 {
		opt.Every = 200 * time.Millisecond
	}
	if opt.Log == nil {
		opt.Log = slog.New(slog.DiscardHandler)
	}
	return &Queue{
		store: s, opt: opt, log: opt.Log, boot: rand.Text(),
		wake:     make(chan struct{}, opt.Workers),
		handlers: map[string]Handler{}, patient: map[string]bool{},
		running: map[string]underway{}, doomed: map[string]bool{},
	}
}

// Handle makes h do the jobs of a kind. It panics if the kind has a handler or
// the queue has started: both are mistakes of the caller.
func (q *Queue) Handle(kind string, h Handler) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.handlers[kind] != nil || q.stop != nil {
		panic("jobs: Handle(" + kind + ") twice or after Start")
	}
	q.handlers[kind] = h
}

// HandlePatient is Handle for long work that goes on where it was when it is
// begun again: its jobs wait until no others do, and a running one is put back to
// wait when a job of another kind comes in and every worker is busy.
func (q *Queue) HandlePatient(kind string, h Handler) {
	q.Handle(kind, h)
	q.patient[kind] = true
}

// Start takes up the jobs that a killed process left and begins to work. The
// values of ctx reach the handlers; its end stops the queue like Stop, without
// waiting. It panics when called twice.
func (q *Queue) Start(ctx context.Context) error {
	again, failed, err := q.store.RecoverJobs(ctx, q.boot, MaxAttempts,
		fmt.Sprintf("The program was ended %d times in the middle of this, so it is not tried again. Start it anew if the cause is gone.", MaxAttempts))
	if err != nil {
		return err
	}
	if again+failed > 0 {
		q.log.Info("jobs that were cut off", "again", again, "given_up", failed)
	}
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.stop != nil {
		panic("jobs: Start called twice")
	}
	var first, patient []string
	for k := range q.handlers {
		if q.patient[k] {
			patient = append(patient, k)
		} else {
			first = append(first, k)
		}
	}
	slices.Sort(first)
	slices.Sort(patient)
	ctx, q.stop = context.WithCancelCause(ctx)
	for range q.opt.Workers {
		q.workers.Go(func() { q.work(ctx, first, patient) })
	}
	return nil
}

// Stop ends the running handlers through their context, puts their jobs back
// to wait for the next start, and returns when all have ended or ctx has.
func (q *Queue) Stop(ctx context.Context) error {
	q.mu.Lock()
	stop := q.stop
	q.mu.Unlock()
	if stop == nil {
		return nil
	}
	stop(errStopping)
	ended := make(chan struct{})
	go func() {
		q.workers.Wait()
		close(ended)
	}()
	select {
	case <-ended:
		return nil
	case <-ctx.Done():
		return fmt.Errorf("stop background work: %w", ctx.Err())
	}
}

// Enqueue keeps a job of a kind on a subject (the public id of what it works
// on; may be empty) with args as JSON. Inside the store's Together it is kept
// and begun only if the rest is.
func (q *Queue) Enqueue(ctx context.Context, kind, subject string, args any) (record.Job, error) {
	q.mu.Lock()
	known := q.handlers[kind] != nil
	q.mu.Unlock()
	if !known {
		panic("jobs: Enqueue of kind " + kind + ", which has no handler")
	}
	text, err := json.Marshal(args)
	if err != nil {
		return record.Job{}, fmt.Errorf("add job: %w", err)
	}
	j, err := q.store.AddJob(ctx, record.Job{Kind: kind, Subject: subject, Args: text})
	if err == nil {
		q.store.AfterCommit(ctx, func() { q.nudge(kind) })
	}
	return j, err
}

// nudge wakes a worker for a job of a kind, and makes a patient job give way to it
// when all work. When the channel is full, enough workers are about to look.
func (q *Queue) nudge(kind string) {
	select {
	case q.wake <- struct{}{}:
	default:
	}
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.patient[kind] {
		return
	}
	q.pressed = true
	if len(q.running) < q.opt.Workers {
		return
	}
	for _, job := range q.running {
		if job.patient {
			job.end(errGivesWay)
			return
		}
	}
}

// Cancel ends a job: a waiting one at once, a running one through its
// handler's context. A job that has ended stays as it is.
func (q *Queue) Cancel(ctx context.Context, id string) error {
	if did, err := q.store.CancelWaiting(ctx, id); did || err != nil {
		return err
	}
	q.mu.Lock()
	end := q.running[id].end
	q.doomed[id] = true // outlasts its giving way
	q.mu.Unlock()
	if end != nil {
		end(errCancelled)
		return nil
	}
	j, err := q.store.Job(ctx, id)
	if err == nil && j.State == record.Waiting { // put back meanwhile
		_, err = q.store.CancelWaiting(ctx, id)
	}
	if err != nil || j.State != record.Running {
		q.mu.Lock()
		delete(q.doomed, id)
		q.mu.Unlock()
	}
	return err
}
