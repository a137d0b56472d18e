package poolside

import (
	"context"
	"sync/atomic"
	"testing"
	"testing/synctest"
)

// Work comes once after the last call has rested, a call during work stops it, and
// nothing is left running at the end.
func TestAhead(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var a ahead
		var did atomic.Int32
		for range 3 {
			a.soon("run", func(context.Context) { did.Add(1) })
		}
		a.soon("other", func(context.Context) { did.Add(10) })
		a.work.Wait()
		if n := did.Load(); n != 11 {
			t.Errorf("did %d, want one work for each run", n)
		}
		begun, stopped := make(chan bool), make(chan bool, 1)
		a.soon("run", func(ctx context.Context) {
			close(begun)
			<-ctx.Done()
			stopped <- true
		})
		<-begun
		a.soon("run", func(context.Context) { did.Add(100) })
		<-stopped
		a.end()
		a.soon("run", func(context.Context) { did.Add(100) })
		a.work.Wait()
		if n := did.Load(); n != 11 {
			t.Errorf("did %d after the end", n)
		}
	})
}

// Two who want one measurement at once wait for one.
func TestMeasuredOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var c measuredCache
		var made atomic.Int32
		hold := make(chan bool)
		want := &Measured{}
		get := func() {
			got, err := c.once(t.Context(), "key", func() (*Measured, error) {
				made.Add(1)
				<-hold
				return want, nil
			})
			if err != nil || got != want {
				t.Errorf("got %p, want %p (%v)", got, want, err)
			}
		}
		for range 3 {
			go get()
		}
		synctest.Wait()
		gone, leave := context.WithCancel(t.Context())
		leave()
		if _, err := c.once(gone, "key", nil); err == nil {
			t.Error("waited on although nobody waits any more")
		}
		close(hold)
		synctest.Wait()
		if made.Load() != 1 {
			t.Errorf("measured %d times", made.Load())
		}
	})
}
