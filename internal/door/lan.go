package door

import (
	"fmt"
	"net/netip"
	"sync"
	"time"
)

// LAN is the door to the local network: the addresses it answers to, and what
// it asks there.
type LAN struct {
	Hosts      []string // "ADDRESS:PORT" as a browser names them; no other is answered
	Keys       *Keys
	Passphrase Passphrase

	attempts Attempts
	hashing  sync.Mutex // one slow hash at a time, so that attempts cannot take the whole machine
}

// Enter tries text as the passphrase from an address. It returns a new session
// when it is right; "" when it is not; and a wait above 0 when it was not tried
// because too many were wrong before.
func (l *LAN) Enter(address, text string) (session string, wait time.Duration) {
	if wait := l.attempts.Try(address); wait > 0 {
		return "", wait
	}
	l.hashing.Lock()
	right := l.Passphrase.Matches(text)
	l.hashing.Unlock()
	if !right {
		return "", 0
	}
	l.attempts.Passed(address)
	return l.Keys.Begin(), 0
}

// CheckLANAddress says why the door to the local network must not listen on an
// address; nil when it may.
func CheckLANAddress(a netip.Addr) error {
	a = a.Unmap()
	switch {
	case !a.Is4():
		return fmt.Errorf("%s is no IPv4 address; the phone pages listen on those alone", a)
	case a.IsPrivate(), a.IsLinkLocalUnicast(), a.IsLoopback():
		return nil
	}
	return fmt.Errorf("%s is not an address of a private network (10.x, 172.16-31.x, 192.168.x, 169.254.x): the pages could be reached from outside", a)
}
