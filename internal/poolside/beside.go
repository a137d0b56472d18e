package poolside

import (
	"context"
	"fmt"
	"sync"
)

// BesideView is how work that runs beside the pages stands.
type BesideView[T any] struct {
	State    string // "" none yet, "working", "done", "failed"
	Fraction float64
	Doing    string
	Problem  string // when failed
	Made     T      // when done
}

// beside runs one piece of work at a time that is no job, since jobs are kept in the
// database that it copies or rewrites. How it stands is lost with the program.
type beside[T any] struct {
	mu   sync.Mutex
	view BesideView[T]
	stop context.CancelFunc
	work sync.WaitGroup
}

// start begins do and returns at once; ErrBusy while another is under way. do gets a
// context that ends with end, not with the page that asked.
func (b *beside[T]) start(ctx context.Context, do func(ctx context.Context, tell func(fraction float64, doing string)) (T, error)) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.view.State == "working" {
		return fmt.Errorf("the same is under way: %w", ErrBusy)
	}
	b.view = BesideView[T]{State: "working", Doing: "beginning"}
	ctx, b.stop = context.WithCancel(context.WithoutCancel(ctx))
	b.work.Go(func() { b.finish(do(ctx, b.tell)) })
	return nil
}

func (b *beside[T]) tell(fraction float64, doing string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.view.Fraction, b.view.Doing = fraction, doing
}

func (b *beside[T]) finish(made T, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.stop()
	b.view.State, b.view.Made = "done", made
	if err != nil {
		b.view.State, b.view.Problem = "failed", err.Error()
	}
}

func (b *beside[T]) look() BesideView[T] {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.view
}

// end stops the work, if it can be stopped, and waits for it.
func (b *beside[T]) end() {
	b.mu.Lock()
	if b.stop != nil {
		b.stop()
	}
	b.mu.Unlock()
	b.work.Wait()
}
