package door

import (
	"sync"
	"time"
)

const (
	freeAttempts    = 5                // wrong ones of one address before the first wait
	freeAttemptsAll = 20               // the same for all addresses together
	firstWait       = 30 * time.Second // doubled with every further wrong one
	longestWait     = time.Hour
	forgetAfter     = 24 * time.Hour // without an attempt
	maxAddresses    = 1024           // remembered one by one
)

// Attempts limits attempts at the passphrase, for each address and for all
// together, because an address costs nothing on a local network. The zero value
// is ready; its methods may be called from several goroutines.
type Attempts struct {
	mu  sync.Mutex
	all tally
	of  map[string]tally
}

type tally struct {
	wrong int
	last  time.Time
	until time.Time // no attempt before
}

// Try asks to make an attempt from an address. It returns 0 when it may be made
// now, else how long to wait. An attempt that may be made counts as wrong until
// Passed is called, so that many sent at once are not free.
func (a *Attempts) Try(address string) time.Duration {
	now := time.Now()
	a.mu.Lock()
	defer a.mu.Unlock()
	one := a.of[address]
	if wait := max(one.until.Sub(now), a.all.until.Sub(now)); wait > 0 {
		return wait
	}
	one.count(now, freeAttempts)
	a.all.count(now, freeAttemptsAll)
	a.keep(address, one)
	return 0
}

// Passed says that the attempt made from an address was right.
func (a *Attempts) Passed(address string) {
	a.mu.Lock()
	defer a.mu.Unlock()
	delete(a.of, address)
	a.all.wrong = max(0, a.all.wrong-1)
	a.all.until = a.all.last.Add(waitAfter(a.all.wrong - freeAttemptsAll))
}

func (t *tally) count(now time.Time, free int) {
	if now.Sub(t.last) >= forgetAfter {
		t.wrong = 0
	}
	t.wrong++
	t.last = now
	t.until = now.Add(waitAfter(t.wrong - free))
}

// waitAfter is the wait after the n-th wrong attempt beyond the free ones; 0
// stands for the last free one.
func waitAfter(n int) time.Duration {
	if n < 0 {
		return 0
	}
	return min(firstWait<<min(n, 10), longestWait)
}

// keep remembers an address and forgets the one longest quiet when there are
// too many.
func (a *Attempts) keep(address string, t tally) {
	if a.of == nil {
		a.of = map[string]tally{}
	}
	if _, known := a.of[address]; !known && len(a.of) >= maxAddresses {
		oldest, last := "", time.Time{}
		for name, other := range a.of {
			if oldest == "" || other.last.Before(last) {
				oldest, last = name, other.last
			}
		}
		delete(a.of, oldest)
	}
	a.of[address] = t
}
