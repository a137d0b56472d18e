package door

import (
	"crypto/rand"
	"crypto/sha256"
	"sync"
	"time"
)

// maxSessions is how many sessions one door holds; the one longest unused ends
// when another begins.
const maxSessions = 32

// Keys hands out one-time tokens and keeps the sessions they open. Its methods
// may be called from several goroutines.
type Keys struct {
	idle, total time.Duration

	mu       sync.Mutex
	token    [sha256.Size]byte
	waiting  bool // token was handed out and not used
	sessions map[[sha256.Size]byte]session
}

type session struct{ began, used time.Time }

// NewKeys returns keys whose sessions end after idle without a request, and
// after total in any case.
func NewKeys(idle, total time.Duration) *Keys {
	return &Keys{idle: idle, total: total, sessions: map[[sha256.Size]byte]session{}}
}

// Token returns a new one-time token of 128 random bits or more. One handed out
// before and not used is void from then on.
func (k *Keys) Token() string {
	text := rand.Text()
	k.mu.Lock()
	defer k.mu.Unlock()
	k.token, k.waiting = sha256.Sum256([]byte(text)), true
	return text
}

// Redeem uses up the one-time token and returns a new session, or false when
// token is not the one handed out last or was used before.
func (k *Keys) Redeem(token string) (string, bool) {
	k.mu.Lock()
	fits := k.waiting && k.token == sha256.Sum256([]byte(token))
	if fits {
		k.waiting = false
	}
	k.mu.Unlock()
	if !fits {
		return "", false
	}
	return k.Begin(), true
}

// Begin opens a session and returns its secret.
func (k *Keys) Begin() string {
	secret, now := rand.Text(), time.Now()
	k.mu.Lock()
	defer k.mu.Unlock()
	k.sweep(now)
	k.sessions[sha256.Sum256([]byte(secret))] = session{began: now, used: now}
	return secret
}

// sweep drops sessions that are over, and the one longest unused when there
// are too many.
func (k *Keys) sweep(now time.Time) {
	var oldest [sha256.Size]byte
	var used time.Time
	for id, s := range k.sessions {
		if k.over(s, now) {
			delete(k.sessions, id)
		} else if used.IsZero() || s.used.Before(used) {
			oldest, used = id, s.used
		}
	}
	if len(k.sessions) >= maxSessions {
		delete(k.sessions, oldest)
	}
}

func (k *Keys) over(s session, now time.Time) bool {
	return now.Sub(s.used) >= k.idle || now.Sub(s.began) >= k.total
}

// Alive reports whether secret belongs to a session that has not ended, and
// notes that it was used.
func (k *Keys) Alive(secret string) bool {
	id, now := sha256.Sum256([]byte(secret)), time.Now()
	k.mu.Lock()
	defer k.mu.Unlock()
	s, ok := k.sessions[id]
	if !ok {
		return false
	}
	if k.over(s, now) {
		delete(k.sessions, id)
		return false
	}
	s.used = now
	k.sessions[id] = s
	return true
}

// End ends a session; ending one that is not there does nothing.
func (k *Keys) End(secret string) {
	k.mu.Lock()
	defer k.mu.Unlock()
	delete(k.sessions, sha256.Sum256([]byte(secret)))
}
