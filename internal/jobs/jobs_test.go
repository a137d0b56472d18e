package jobs_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"underkick/internal/jobs"
	"underkick/internal/record"
	"underkick/internal/store"
)

func openStore(t *testing.T, dir string) *store.Store {
	t.Helper()
	s, err := store.Open(t.Context(), dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// begin starts a queue that is stopped before its store closes.
func begin(t *testing.T, q *jobs.Queue) {
	t.Helper()
	if err := q.Start(t.Context()); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { stop(t, q) })
}

func stop(t *testing.T, q *jobs.Queue) {
	t.Helper()
	ctx, end := context.WithTimeout(context.Background(), 10*time.Second)
	defer end()
	if err := q.Stop(ctx); err != nil {
		t.Error(err)
	}
}

func enqueue(t *testing.T, q *jobs.Queue, kind string, args any) record.Job {
	t.Helper()
	j, err := q.Enqueue(t.Context(), kind, "subject", args)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

func wait(t *testing.T, q *jobs.Queue, id string) record.Job {
	t.Helper()
	ctx, end := context.WithTimeout(t.Context(), 20*time.Second)
	defer end()
	j, err := q.Wait(ctx, id)
	if err != nil {
		t.Fatalf("wait for job: %v; it stands at %+v", err, j)
	}
	return j
}

// held is a handler that says when it begins and ends with its context.
func held(begun chan<- string) jobs.Handler {
	return func(ctx context.Context, task *jobs.Task) error {
		begun <- task.Job().ID
		<-ctx.Done()
		return ctx.Err()
	}
}

var quick = jobs.Options{Every: time.Millisecond}

func TestJobIsDoneWithItsArgumentsAndOutcome(t *testing.T) {
	q := jobs.New(openStore(t, t.TempDir()), quick)
	q.Handle("double", func(_ context.Context, task *jobs.Task) error {
		var n int
		if err := task.Args(&n); err != nil {
			return err
		}
		return task.Leave(map[string]int{"n": 2 * n})
	})
	early := enqueue(t, q, "double", 3) // before the start
	begin(t, q)
	for j, want := range map[string]string{early.ID: `{"n":6}`, enqueue(t, q, "double", 21).ID: `{"n":42}`} {
		got := wait(t, q, j)
		if got.State != record.Done || string(got.Outcome) != want || got.Fraction != 1 || got.Subject != "subject" || got.Attempts != 1 {
			t.Errorf("job %+v, want outcome %s", got, want)
		}
	}
}

func TestFailureAndPanicAreTold(t *testing.T) {
	q := jobs.New(openStore(t, t.TempDir()), quick)
	q.Handle("fail", func(context.Context, *jobs.Task) error { return errors.New("the clip is damaged; copy it again") })
	q.Handle("panic", func(context.Context, *jobs.Task) error { panic("index out of range") })
	q.Handle("args", func(_ context.Context, task *jobs.Task) error { return task.Args(new(int)) })
	begin(t, q)
	for kind, want := range map[string]string{"fail": "copy it again", "panic": "mistake in underkick", "args": "arguments"} {
		j := wait(t, q, enqueue(t, q, kind, "text").ID)
		if j.State != record.Failed || !strings.Contains(j.Problem, want) || j.Outcome != nil {
			t.Errorf("%s: %+v", kind, j)
		}
	}
}

func TestProgressIsWatched(t *testing.T) {
	q := jobs.New(openStore(t, t.TempDir()), quick)
	step := make(chan struct{})
	q.Handle("slow", func(ctx context.Context, task *jobs.Task) error {
		for i := range 4 {
			time.Sleep(2 * time.Millisecond) // longer than the least time between two writes
			task.Report(ctx, float64(i)/4, fmt.Sprintf("part %d of 4", i+1))
			<-step
		}
		return nil
	})
	begin(t, q)
	j := enqueue(t, q, "slow", nil)
	ctx, end := context.WithTimeout(t.Context(), 20*time.Second)
	defer end()
	var seen []string
	err := q.Watch(ctx, j.ID, func(j record.Job) bool {
		if j.Doing != "" && !j.State.Ended() {
			seen = append(seen, fmt.Sprintf("%.2f %s", j.Fraction, j.Doing))
			step <- struct{}{}
		}
		return true
	})
	want := "0.00 part 1 of 4,0.25 part 2 of 4,0.50 part 3 of 4,0.75 part 4 of 4"
	if got := strings.Join(seen, ","); err != nil || got != want {
		t.Errorf("saw %s, want %s (%v)", got, want, err)
	}
	// A watcher may leave early, and an unknown job is told at once.
	calls := 0
	if err := q.Watch(ctx, j.ID, func(record.Job) bool { calls++; return false }); err != nil || calls != 1 {
		t.Errorf("left after %d calls: %v", calls, err)
	}
	if err := q.Watch(ctx, "nothing", func(record.Job) bool { return true }); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("unknown job: %v", err)
	}
}

func TestCancel(t *testing.T) {
	q := jobs.New(openStore(t, t.TempDir()), quick)
	begun := make(chan string, 1)
	q.Handle("hold", held(begun))
	begin(t, q)
	running := enqueue(t, q, "hold", nil)
	waiting := enqueue(t, q, "hold", nil) // the only worker is busy
	if id := <-begun; id != running.ID {
		t.Fatalf("began %s, want the oldest, %s", id, running.ID)
	}
	for _, j := range []record.Job{waiting, running} {
		if err := q.Cancel(t.Context(), j.ID); err != nil {
			t.Fatal(err)
		}
		if got := wait(t, q, j.ID); got.State != record.Cancelled || got.Problem != "" {
			t.Errorf("cancelled job %+v", got)
		}
	}
	if err := q.Cancel(t.Context(), running.ID); err != nil {
		t.Errorf("cancelling what has ended: %v", err)
	}
	if err := q.Cancel(t.Context(), "nothing"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("cancelling nothing: %v", err)
	}
}

// A cancel may come at any instant of a job's life; it never runs on.
func TestCancelAtAnyInstant(t *testing.T) {
	q := jobs.New(openStore(t, t.TempDir()), jobs.Options{Workers: 2, Every: time.Millisecond})
	q.Handle("hold", func(ctx context.Context, _ *jobs.Task) error {
		<-ctx.Done()
		return ctx.Err()
	})
	begin(t, q)
	for i := range 60 {
		j := enqueue(t, q, "hold", nil)
		time.Sleep(time.Duration(i) * 20 * time.Microsecond)
		if err := q.Cancel(t.Context(), j.ID); err != nil {
			t.Fatal(err)
		}
		if got := wait(t, q, j.ID); got.State != record.Cancelled {
			t.Errorf("after %d: %+v", i, got)
		}
	}
}

func TestStopPutsBackAndTheNextStartBeginsAnew(t *testing.T) {
	dir := t.TempDir()
	s := openStore(t, dir)
	q := jobs.New(s, quick)
	begun := make(chan string, 1)
	q.Handle("hold", held(begun))
	begin(t, q)
	j := enqueue(t, q, "hold", nil)
	<-begun
	stop(t, q)
	if got, err := s.Job(t.Context(), j.ID); err != nil || got.State != record.Waiting || got.Attempts != 0 {
		t.Fatalf("put back: %+v %v", got, err)
	}
	next := jobs.New(s, quick)
	next.Handle("hold", func(context.Context, *jobs.Task) error { return nil })
	begin(t, next)
	if got := wait(t, next, j.ID); got.State != record.Done {
		t.Errorf("after the next start: %+v", got)
	}
}

// A process that was killed leaves its job running under its own boot.
func TestKilledProcessIsTakenUpThreeTimes(t *testing.T) {
	s := openStore(t, t.TempDir())
	first := jobs.New(s, quick)
	first.Handle("crash", func(context.Context, *jobs.Task) error { return nil })
	j := enqueue(t, first, "crash", nil)
	for i := range jobs.MaxAttempts {
		if _, err := s.ClaimJob(t.Context(), fmt.Sprint("killed ", i), []string{"crash"}); err != nil {
			t.Fatal(err)
		}
		q := jobs.New(s, quick) // has no handler for it: it only takes it up
		begin(t, q)
		want := record.Waiting
		if i == jobs.MaxAttempts-1 {
			want = record.Failed
		}
		if got, err := s.Job(t.Context(), j.ID); err != nil || got.State != want || got.Attempts != i+1 {
			t.Errorf("after %d kills: %+v %v", i+1, got, err)
		}
	}
}

func TestEnqueueTogetherWithOtherWrites(t *testing.T) {
	s := openStore(t, t.TempDir())
	q := jobs.New(s, quick)
	var ran atomic.Int32
	q.Handle("count", func(ctx context.Context, _ *jobs.Task) error {
		// What was written together is there when the job begins.
		if list, err := s.Squads(ctx); err != nil || len(list) != 1 {
			return fmt.Errorf("squads %v, %w", list, err)
		}
		ran.Add(1)
		return nil
	})
	begin(t, q)
	stop := errors.New("stop")
	var lost record.Job
	err := s.Together(t.Context(), func(ctx context.Context) error {
		var err error
		if lost, err = q.Enqueue(ctx, "count", "", nil); err != nil {
			return err
		}
		return stop
	})
	if !errors.Is(err, stop) {
		t.Fatal(err)
	}
	if _, err := q.Job(t.Context(), lost.ID); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("job of a step that was not kept: %v", err)
	}
	var j record.Job
	err = s.Together(t.Context(), func(ctx context.Context) error {
		var err error
		if j, err = q.Enqueue(ctx, "count", "", nil); err != nil {
			return err
		}
		_, err = s.AddSquad(ctx, record.Squad{Name: "Bay"})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if got := wait(t, q, j.ID); got.State != record.Done || ran.Load() != 1 {
		t.Errorf("job %+v, ran %d times", got, ran.Load())
	}
}

// Each job runs exactly once, and as many at once as there are workers.
func TestWorkersShareTheJobs(t *testing.T) {
	q := jobs.New(openStore(t, t.TempDir()), jobs.Options{Workers: 3, Every: time.Millisecond})
	var mu sync.Mutex
	ran := map[string]int{}
	var now, most atomic.Int32
	all := make(chan struct{}) // closed once all three are at work
	q.Handle("share", func(ctx context.Context, task *jobs.Task) error {
		n := now.Add(1)
		defer now.Add(-1)
		mu.Lock()
		ran[task.Job().ID]++
		if n > most.Load() {
			most.Store(n)
			if n == 3 {
				close(all)
			}
		}
		mu.Unlock()
		select {
		case <-all:
			return nil
		case <-ctx.Done():
			return ctx.Err()
		}
	})
	begin(t, q)
	var list []record.Job
	for range 30 {
		list = append(list, enqueue(t, q, "share", nil))
	}
	for _, j := range list {
		wait(t, q, j.ID)
	}
	mu.Lock()
	defer mu.Unlock()
	for _, j := range list {
		if ran[j.ID] != 1 {
			t.Errorf("job ran %d times", ran[j.ID])
		}
	}
	if m := most.Load(); m != 3 {
		t.Errorf("%d jobs at once, want 3", m)
	}
}

func TestMistakesOfTheCallerPanic(t *testing.T) {
	q := jobs.New(openStore(t, t.TempDir()), quick)
	nothing := func(context.Context, *jobs.Task) error { return nil }
	q.Handle("a", nothing)
	begin(t, q)
	for name, f := range map[string]func(){
		"second handler": func() { q.Handle("a", nothing) },
		"after start":    func() { q.Handle("b", nothing) },
		"unknown kind":   func() { _, _ = q.Enqueue(t.Context(), "c", "", nil) },
		"second start":   func() { _ = q.Start(t.Context()) },
	} {
		func() {
			defer func() {
				if p := fmt.Sprint(recover()); !strings.HasPrefix(p, "jobs: ") {
					t.Errorf("%s: %v", name, p)
				}
			}()
			f()
		}()
	}
}

// Long work gives way to other work that comes in, waits behind all of it and is done in
// the end; a cancelled one does not come back.
func TestPatientWorkGivesWay(t *testing.T) {
	q := jobs.New(openStore(t, t.TempDir()), quick)
	begun, free := make(chan string, 9), make(chan struct{})
	q.HandlePatient("long", func(ctx context.Context, task *jobs.Task) error {
		begun <- task.Job().ID
		select {
		case <-free:
			return nil
		case <-ctx.Done():
			return ctx.Err()
		}
	})
	q.Handle("short", func(_ context.Context, task *jobs.Task) error {
		begun <- task.Job().ID
		return nil
	})
	begin(t, q)
	long := enqueue(t, q, "long", nil)
	if id := <-begun; id != long.ID {
		t.Fatal("the long job did not begin")
	}
	second := enqueue(t, q, "long", nil)
	short := enqueue(t, q, "short", nil)
	if j := wait(t, q, short.ID); j.State != record.Done {
		t.Fatalf("short job %+v", j)
	}
	if id := <-begun; id != short.ID {
		t.Error("the short job did not go first")
	}
	if id := <-begun; id != long.ID {
		t.Error("the long job did not come next")
	}
	if err := q.Cancel(t.Context(), second.ID); err != nil {
		t.Fatal(err)
	}
	close(free)
	if j := wait(t, q, long.ID); j.State != record.Done || j.Attempts != 1 {
		t.Errorf("long job %+v", j)
	}
	if j := wait(t, q, second.ID); j.State != record.Cancelled {
		t.Errorf("cancelled job %+v", j)
	}
}

// Whatever instant other work and a cancel come at, a patient job ends as cancelled.
func TestPatientWorkCancelledAtAnyInstant(t *testing.T) {
	q := jobs.New(openStore(t, t.TempDir()), quick)
	q.HandlePatient("long", func(ctx context.Context, _ *jobs.Task) error {
		<-ctx.Done()
		return ctx.Err()
	})
	q.Handle("short", func(context.Context, *jobs.Task) error { return nil })
	begin(t, q)
	for i := range 60 {
		long := enqueue(t, q, "long", nil)
		time.Sleep(time.Duration(i%6) * 300 * time.Microsecond)
		short := enqueue(t, q, "short", nil)
		time.Sleep(time.Duration(i%7) * 300 * time.Microsecond)
		if err := q.Cancel(t.Context(), long.ID); err != nil {
			t.Fatal(err)
		}
		if j := wait(t, q, long.ID); j.State != record.Cancelled {
			t.Fatalf("job %+v", j)
		}
		wait(t, q, short.ID)
	}
}
