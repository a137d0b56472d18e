package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"
)

// answered sends bytes and returns the status that comes back, 0 when the connection is closed
// without one.
func answered(t *testing.T, address, text string) int {
	t.Helper()
	conn, err := (&net.Dialer{}).DialContext(t.Context(), "tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if err := conn.SetDeadline(time.Now().Add(20 * time.Second)); err != nil {
		t.Fatal(err)
	}
	go io.WriteString(conn, text) //nolint:errcheck // the server may close half-way
	resp, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err, ok := err.(net.Error); ok && err.Timeout() {
		t.Fatal("still waiting after 20 s")
	}
	if err != nil {
		return 0
	}
	resp.Body.Close()
	return resp.StatusCode
}

// TestSlowHeadsAreNotWaitedFor: a client that sends its head slowly, or one that does not end,
// is not served.
func TestSlowHeadsAreNotWaitedFor(t *testing.T) {
	s := pageServer(t.Context(), http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { fmt.Fprint(w, "page") }), slog.New(slog.DiscardHandler))
	if s.ReadHeaderTimeout <= 0 || s.ReadHeaderTimeout > 10*time.Second || s.IdleTimeout <= 0 || s.IdleTimeout > 2*time.Minute {
		t.Errorf("waits %v for a head and %v between requests", s.ReadHeaderTimeout, s.IdleTimeout)
	}
	s.ReadHeaderTimeout, s.IdleTimeout = 100*time.Millisecond, 100*time.Millisecond
	l, err := listen(here, 0)
	if err != nil {
		t.Fatal(err)
	}
	go s.Serve(l) //nolint:errcheck // ends with the test
	t.Cleanup(func() { s.Close() })
	at := l.Addr().String()
	head := "GET / HTTP/1.1\r\nHost: " + at + "\r\n"
	if code := answered(t, at, head+"Connection: close\r\n\r\n"); code != 200 {
		t.Errorf("a whole head is answered %d", code)
	}
	for what, text := range map[string]string{"half a head": head + "X-Slow: ", "nothing": ""} {
		if code := answered(t, at, text); code == 200 {
			t.Errorf("%s is answered %d", what, code)
		}
	}
	for what, text := range map[string]string{
		"one line of a megabyte":   head + "X-Long: " + strings.Repeat("x", 1<<20) + "\r\n\r\n",
		"a hundred thousand lines": head + strings.Repeat("X-Many: x\r\n", 100_000) + "\r\n",
		"an address of a megabyte": "GET /" + strings.Repeat("x", 1<<20) + " HTTP/1.1\r\nHost: " + at + "\r\n\r\n",
	} {
		if code := answered(t, at, text); code != http.StatusRequestHeaderFieldsTooLarge && code != 0 {
			t.Errorf("%s is answered %d", what, code)
		}
	}
}

// TestStrangersHoldFewConnections: beyond the number that is held, the next waits, and comes
// in when one ends; closing ends the waiting.
func TestStrangersHoldFewConnections(t *testing.T) {
	l, err := listen(here, 0)
	if err != nil {
		t.Fatal(err)
	}
	few := holdFew(l, 2)
	came := make(chan net.Conn)
	ended := make(chan error, 1)
	go func() {
		for {
			c, err := few.Accept()
			if err != nil {
				ended <- err
				return
			}
			came <- c
		}
	}()
	for range 4 {
		c, err := (&net.Dialer{}).DialContext(t.Context(), "tcp", l.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
	}
	first, _ := <-came, <-came
	select {
	case <-came:
		t.Fatal("a third connection is held")
	case <-time.After(100 * time.Millisecond):
	}
	for range 2 { // ending one twice makes room once
		_ = first.Close()
	}
	<-came
	select {
	case <-came:
		t.Fatal("a fourth connection is held")
	case <-time.After(100 * time.Millisecond):
	}
	if err := few.Close(); err != nil {
		t.Fatal(err)
	}
	if err := <-ended; !errors.Is(err, net.ErrClosed) {
		t.Errorf("waiting ends with %v", err)
	}
}
