package door

import (
	"encoding/hex"
	"errors"
	"net/netip"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"
)

// TestSlowHashIsPBKDF2 holds the hash against the vectors of RFC 7914
// (Percival and Josefsson 2016), section 11, first 32 of their 64 bytes.
func TestSlowHashIsPBKDF2(t *testing.T) {
	for _, c := range []struct {
		text, salt string
		rounds     int
		want       string
	}{
		{"passwd", "salt", 1, "55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc"},
		{"Password", "NaCl", 80000, "4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56"},
	} {
		got, err := slowHash(c.text, []byte(c.salt), c.rounds)
		if err != nil || hex.EncodeToString(got) != c.want {
			t.Errorf("%s: %x, %v, want %s", c.text, got, err, c.want)
		}
	}
}

func TestPassphraseIsKeptAsASlowHash(t *testing.T) {
	const words = "otter lamp gravel nine"
	dir := filepath.Join(t.TempDir(), "data")
	if _, err := LoadPassphrase(dir); !errors.Is(err, ErrNoPassphrase) {
		t.Fatalf("an empty folder: %v", err)
	}
	p, err := NewPassphrase(words)
	if err != nil {
		t.Fatal(err)
	}
	again, err := NewPassphrase(words)
	if err != nil || string(again.Hash) == string(p.Hash) || string(again.Salt) == string(p.Salt) {
		t.Errorf("two hashes of one passphrase are the same, %v", err)
	}
	if err := p.Keep(dir); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, passphraseFile)
	text, err := os.ReadFile(file)
	if err != nil || strings.Contains(string(text), "otter") {
		t.Errorf("kept as %s, %v", text, err)
	}
	if info, err := os.Stat(file); err != nil || runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v, %v", info, err)
	}
	kept, err := LoadPassphrase(dir)
	if err != nil || kept.Rounds < 600_000 || !kept.Matches(words) || kept.Matches(words+" ") || kept.Matches("") {
		t.Errorf("kept %+v, %v", kept, err)
	}
	if (Passphrase{}).Matches("") {
		t.Error("no passphrase lets in")
	}
	if left, err := filepath.Glob(filepath.Join(dir, "*.part")); err != nil || len(left) > 0 {
		t.Errorf("left over: %v, %v", left, err)
	}
}

func TestWeakPassphrasesAreRefused(t *testing.T) {
	for _, text := range []string{"", "short", "elevenchars", "aaaaaaaaaaaaaaaa", "abababababab", strings.Repeat("long words ", 100), "bytes \xff\xfe not text"} {
		if _, err := NewPassphrase(text); !errors.Is(err, ErrWeak) {
			t.Errorf("%.20q: %v", text, err)
		}
	}
}

func TestDamagedPassphraseFilesAreNotTrusted(t *testing.T) {
	for _, text := range []string{"", "{}", `{"method":"PBKDF2-HMAC-SHA-256","rounds":1,"salt":"AAAAAAAAAAAAAAAAAAAAAA==","hash":"AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA="}`} {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, passphraseFile), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := LoadPassphrase(dir); err == nil || !strings.Contains(err.Error(), "again") {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestTokensOpenOnce(t *testing.T) {
	k := NewKeys(time.Hour, time.Hour)
	if _, ok := k.Redeem(""); ok {
		t.Error("an empty token opens before any was handed out")
	}
	void := k.Token()
	token := k.Token()
	if _, ok := k.Redeem(void); ok {
		t.Error("a token opens after another was handed out")
	}
	var wg sync.WaitGroup
	opened := make(chan string, 50)
	for range 50 {
		wg.Go(func() {
			if s, ok := k.Redeem(token); ok {
				opened <- s
			}
		})
	}
	wg.Wait()
	close(opened)
	if len(opened) != 1 {
		t.Fatalf("one token opened %d sessions", len(opened))
	}
	s := <-opened
	if !k.Alive(s) || k.Alive(token) || k.Alive("") {
		t.Error("the session is not the one that opens")
	}
	k.End(s)
	if k.Alive(s) {
		t.Error("an ended session opens")
	}
}

func TestSessionsEnd(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := NewKeys(30*time.Minute, 4*time.Hour)
		quiet, busy := k.Begin(), k.Begin()
		for range 11 {
			time.Sleep(20 * time.Minute)
			if !k.Alive(busy) {
				t.Fatal("a session in use ended early")
			}
		}
		if k.Alive(quiet) {
			t.Error("an unused session lives")
		}
		time.Sleep(20 * time.Minute)
		if k.Alive(busy) {
			t.Error("a session outlives its total")
		}
	})
}

func TestSessionsAreBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		k := NewKeys(time.Hour, time.Hour)
		first := k.Begin()
		for range maxSessions {
			time.Sleep(time.Second)
			k.Begin()
		}
		if len(k.sessions) > maxSessions || k.Alive(first) {
			t.Errorf("%d sessions, the oldest lives: %v", len(k.sessions), k.Alive(first))
		}
	})
}

func TestWaitsGrowForOneAddress(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var a Attempts
		for i := range freeAttempts {
			if wait := a.Try("10.0.0.9"); wait != 0 {
				t.Fatalf("attempt %d waits %v", i+1, wait)
			}
		}
		for _, want := range []time.Duration{30, 60, 120, 240, 480, 960, 1920, 3600, 3600} {
			want *= time.Second
			if wait := a.Try("10.0.0.9"); wait != want {
				t.Fatalf("waits %v, want %v", wait, want)
			}
			time.Sleep(want - time.Second)
			if wait := a.Try("10.0.0.9"); wait != time.Second {
				t.Fatalf("asking early changed the wait to %v", wait)
			}
			if wait := a.Try("10.0.0.7"); wait != 0 {
				t.Fatalf("another address waits %v", wait)
			}
			a.Passed("10.0.0.7")
			time.Sleep(time.Second)
			if wait := a.Try("10.0.0.9"); wait != 0 {
				t.Fatalf("after %v it still waits %v", want, wait)
			}
		}
		time.Sleep(forgetAfter)
		for i := range freeAttempts {
			if wait := a.Try("10.0.0.9"); wait != 0 {
				t.Fatalf("a day later attempt %d waits %v", i+1, wait)
			}
		}
	})
}

func TestAllAddressesTogetherWait(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var a Attempts
		made := 0
		for i := range 5000 { // a new address for every attempt, one a second
			if a.Try(netip.AddrFrom4([4]byte{10, 0, byte(i >> 8), byte(i)}).String()) == 0 {
				made++
			}
			time.Sleep(time.Second)
		}
		if made > freeAttemptsAll+8 || made < freeAttemptsAll {
			t.Errorf("%d attempts in 5000 s", made)
		}
		if len(a.of) > maxAddresses {
			t.Errorf("%d addresses remembered", len(a.of))
		}
	})
}

func TestRightPassphraseClearsTheCount(t *testing.T) {
	var a Attempts
	for i := range 100 {
		if wait := a.Try("10.0.0.9"); wait != 0 {
			t.Fatalf("right attempt %d waits %v", i+1, wait)
		}
		a.Passed("10.0.0.9")
	}
}

func TestAttemptsSentAtOnceAreNotFree(t *testing.T) {
	var a Attempts
	var wg sync.WaitGroup
	free := make(chan bool, 200)
	for range 200 {
		wg.Go(func() {
			if a.Try("10.0.0.9") == 0 {
				free <- true
			}
		})
	}
	wg.Wait()
	if len(free) != freeAttempts {
		t.Errorf("%d of 200 at once were tried, want %d", len(free), freeAttempts)
	}
}

func TestAddressesOfPrivateNetworksAlone(t *testing.T) {
	for text, may := range map[string]bool{
		"192.168.1.7": true, "10.3.0.1": true, "172.20.0.4": true, "169.254.3.3": true, "127.0.0.2": true,
		"8.8.8.8": false, "172.32.0.1": false, "192.0.2.2": false, "0.0.0.0": false, "fe80::1": false, "::ffff:192.168.1.7": true,
	} {
		if err := CheckLANAddress(netip.MustParseAddr(text)); (err == nil) != may {
			t.Errorf("%s: %v", text, err)
		}
	}
}
