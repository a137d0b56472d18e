package film

import (
	"sync"
	"time"
)

// frameLog gathers what a decoding process says about its pictures, for a
// reader that pairs them with the pictures from the other pipe.
type frameLog struct {
	mu     sync.Mutex
	grew   sync.Cond
	shown  []shown
	clock  Ratio
	damage []int            // for each telling line the number of pictures shown before it
	keep   func(shown) bool // which pictures the reader gets; nil = all
	passed int              // pictures of the process so far
	ended  bool
}

func newFrameLog(keep func(shown) bool) *frameLog {
	l := &frameLog{keep: keep}
	l.grew.L = &l.mu
	return l
}

// read takes one line of the log.
func (l *frameLog) read(line string) {
	f, ok := parseShown(line)
	clock, isClock := parseClock(line)
	damage := tellsDamage(line)
	if !ok && !isClock && !damage {
		return
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if damage { // perhaps on the same line as a picture
		l.damage = append(l.damage, l.passed)
	}
	switch {
	case isClock:
		l.clock = clock
	case ok:
		l.passed++
		if l.keep == nil || l.keep(f) {
			l.shown = append(l.shown, f)
			l.grew.Broadcast()
		}
	}
}

// end tells that no more lines will come.
func (l *frameLog) end() {
	l.mu.Lock()
	l.ended = true
	l.grew.Broadcast()
	l.mu.Unlock()
}

// wait returns the k-th kept picture, waiting for it; false when the log ended
// without it, or when grace (0 = for ever) went by.
func (l *frameLog) wait(k int, grace time.Duration) (shown, bool) {
	late := false
	if grace > 0 {
		timer := time.AfterFunc(grace, func() {
			l.mu.Lock()
			late = true
			l.grew.Broadcast()
			l.mu.Unlock()
		})
		defer timer.Stop()
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	for k >= len(l.shown) && !l.ended && !late {
		l.grew.Wait()
	}
	if k >= len(l.shown) {
		return shown{}, false
	}
	return l.shown[k], true
}

// all returns everything gathered; it is for after the end.
func (l *frameLog) all() (pictures []shown, clock Ratio, damage []int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.shown, l.clock, l.damage
}
