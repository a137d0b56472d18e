package poolside

import (
	"context"
	"sync"
	"time"
)

// ahead measures a run in the background once nobody has marked it for a moment, so that
// its kick page does not wait for error draws. A further mark stops it.
type ahead struct {
	mu     sync.Mutex
	stop   map[string]context.CancelFunc // by run id
	closed bool
	work   sync.WaitGroup
}

// aheadRest is how long marks rest before a run is measured.
const aheadRest = time.Second

// soon does work for a run after a rest, unless asked again or stopped before.
func (a *ahead) soon(runID string, work func(ctx context.Context)) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.closed {
		return
	}
	if a.stop == nil {
		a.stop = map[string]context.CancelFunc{}
	}
	if stop := a.stop[runID]; stop != nil {
		stop()
	}
	ctx, stop := context.WithCancel(context.Background())
	a.stop[runID] = stop
	a.work.Go(func() {
		defer stop()
		select {
		case <-ctx.Done():
		case <-time.After(aheadRest):
			work(ctx)
		}
	})
}

// end stops all and waits.
func (a *ahead) end() {
	a.mu.Lock()
	a.closed = true
	for _, stop := range a.stop {
		stop()
	}
	a.mu.Unlock()
	a.work.Wait()
}

// measureAhead measures a run whose marks were just changed and prepares it for what-ifs.
// What keeps it from being measured is told when its page is opened.
func (a *App) measureAhead(runID string) {
	a.ahead.soon(runID, func(ctx context.Context) {
		rc, err := a.store.RunWhole(ctx, runID)
		if err != nil {
			return
		}
		own, hash, err := a.measureKept(ctx, rc)
		if err == nil && ctx.Err() == nil {
			_, err = a.prepareMeasured(rc, own, hash)
		}
		if err != nil && ctx.Err() == nil {
			a.log.Debug("not measured ahead", "run", runID, "err", err)
		}
	})
}
