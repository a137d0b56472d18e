package web

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"underkick/internal/door"
	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/store"
)

// formBody writes a form of many fields and, at the end, a clip.
func formBody(fields int, film string) (body, kind string) {
	var b strings.Builder
	for i := range fields {
		fmt.Fprintf(&b, "--x\r\nContent-Disposition: form-data; name=\"f%d\"\r\n\r\nv\r\n", i)
	}
	fmt.Fprintf(&b, "--x\r\nContent-Disposition: form-data; name=\"swimmer\"\r\n\r\nw1\r\n--x\r\nContent-Disposition: form-data; name=\"on\"\r\n\r\n2026-05-03\r\n--x\r\nContent-Disposition: form-data; name=\"pool\"\r\n\r\nOld Baths\r\n--x\r\nContent-Disposition: form-data; name=\"clip\"; filename=\"a.mp4\"\r\n\r\n%s\r\n--x--\r\n", film)
	return b.String(), "multipart/form-data; boundary=x"
}

func postBody(t *testing.T, c *http.Client, address, body, kind string) (*http.Response, string) {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address, io.NopCloser(strings.NewReader(body))) // without a length
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", kind)
	return ask(t, c, req)
}

// TestWhatIsSentIsBounded sends too much of everything: bytes, fields, a form that is none.
func TestWhatIsSentIsBounded(t *testing.T) {
	f := newFixture(t)
	srv := serve(t, f, Options{MaxClipBytes: 1 << 20})
	c := visitor(t, "127.0.0.1")
	body, kind := formBody(mostFields-4, "film")
	if resp, text := postBody(t, c, srv.URL+"/bring-in", body, kind); resp.StatusCode != 303 || string(f.taken) != "film" {
		t.Errorf("a form with as many fields as are read: %d %s", resp.StatusCode, text)
	}
	f.taken = nil
	body, kind = formBody(100_000, "film")
	if resp, _ := postBody(t, c, srv.URL+"/bring-in", body, kind); resp.StatusCode/100 != 4 || f.taken != nil {
		t.Errorf("a form of 100 000 fields: %d", resp.StatusCode)
	}
	body, kind = formBody(0, strings.Repeat("film", 1<<20))
	if resp, text := postBody(t, c, srv.URL+"/bring-in", body, kind); resp.StatusCode != 413 || f.taken != nil || !strings.Contains(text, "At most") {
		t.Errorf("a clip of 4 MB where 1 MB is taken: %d", resp.StatusCode)
	}
	for what, sent := range map[string][2]string{
		"a form that is cut off": {body[:200], kind},
		"no form":                {"film", "video/mp4"},
		"no boundary":            {"film", "multipart/form-data"},
		"nothing":                {"", kind},
	} {
		if resp, _ := postBody(t, c, srv.URL+"/bring-in", sent[0], sent[1]); resp.StatusCode/100 != 4 || f.taken != nil {
			t.Errorf("%s: %d", what, resp.StatusCode)
		}
	}
	body, kind = formBody(0, "film")
	full, err := New(Options{App: fullDisk{f}})
	if err != nil {
		t.Fatal(err)
	}
	srv = httptest.NewServer(full)
	t.Cleanup(srv.Close)
	if resp, text := postBody(t, c, srv.URL+"/bring-in", body, kind); resp.StatusCode != http.StatusInsufficientStorage || !strings.Contains(text, "disk is full") {
		t.Errorf("a full disk: %d %s", resp.StatusCode, text)
	}
}

// fullDisk has no room for a clip.
type fullDisk struct{ *fixture }

func (fullDisk) BringIn(context.Context, poolside.BringIn) (poolside.BroughtIn, error) {
	return poolside.BroughtIn{}, fmt.Errorf("keep the clip: %w", store.ErrFull)
}

// TestNoFormIsHeldWithoutBound sends 2 MB to every address that takes a form.
func TestNoFormIsHeldWithoutBound(t *testing.T) {
	app, swimmer, _ := smallApp(t)
	pages, err := New(Options{App: app})
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(pages)
	t.Cleanup(srv.Close)
	c := visitor(t, "127.0.0.1")
	large := url.Values{"notes": {strings.Repeat("n", 2<<20)}}.Encode()
	for _, p := range routes(t, "POST") {
		if p == "/bring-in" || strings.HasSuffix(p, "/marks-file") {
			continue
		}
		for _, kind := range []string{"application/x-www-form-urlencoded", "application/json", "text/plain"} {
			if resp, _ := postBody(t, c, srv.URL+filled(p, swimmer), large, kind); resp.StatusCode >= 500 {
				t.Errorf("2 MB of %s to %s: %d", kind, p, resp.StatusCode)
			}
		}
	}
}

// slowly opens a connection, sends the head of an upload and no more, and returns what is
// answered within patience.
func slowly(t *testing.T, address, head string, patience time.Duration) (status int, took time.Duration) {
	t.Helper()
	conn, err := (&net.Dialer{}).DialContext(t.Context(), "tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	began := time.Now()
	if _, err := io.WriteString(conn, head); err != nil {
		t.Fatal(err)
	}
	if err := conn.SetReadDeadline(began.Add(patience)); err != nil {
		t.Fatal(err)
	}
	resp, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil {
		if e, ok := errors.AsType[net.Error](err); ok && e.Timeout() {
			t.Fatalf("still waiting after %v", patience)
		}
		return 0, time.Since(began)
	}
	resp.Body.Close()
	return resp.StatusCode, time.Since(began)
}

// TestASenderWhoStopsIsNotWaitedFor sends half a form and nothing more.
func TestASenderWhoStopsIsNotWaitedFor(t *testing.T) {
	f := newFixture(t)
	srv := serve(t, f, Options{BodyPatience: 100 * time.Millisecond})
	address := srv.Listener.Addr().String()
	head := "POST /bring-in HTTP/1.1\r\nHost: " + address + "\r\nContent-Type: multipart/form-data; boundary=x\r\nContent-Length: 5000\r\n\r\n"
	body, _ := formBody(0, strings.Repeat("film", 600))
	for what, sent := range map[string]string{"half a field": "--x\r\nContent-Dis", "half a clip": body[:len(body)-1000]} {
		status, took := slowly(t, address, head+sent, 20*time.Second)
		if status != http.StatusRequestTimeout && status != http.StatusBadRequest {
			t.Errorf("%s: answered %d after %v", what, status, took)
		}
	}
	if f.taken != nil {
		t.Errorf("kept %q", f.taken)
	}
	_, base := serveLAN(t, Options{})
	at := strings.TrimPrefix(base, "http://")
	if status, took := slowly(t, at, "GET / HTTP/1.1\r\nHost: "+at+"\r\nX-Slow: ", 20*time.Second); status != 408 && status != 0 { // its ReadHeaderTimeout is a second
		t.Errorf("half a head: answered %d after %v", status, took)
	}
}

// TestALongUploadIsNoSlowOne: many pieces with pauses shorter than the patience arrive.
func TestALongUploadIsNoSlowOne(t *testing.T) {
	f := newFixture(t)
	srv := serve(t, f, Options{BodyPatience: 2 * time.Second})
	body, kind := formBody(0, "film in pieces")
	r, w := io.Pipe()
	go func() {
		for i := 0; i < len(body); i += 40 {
			if _, err := io.WriteString(w, body[i:min(i+40, len(body))]); err != nil {
				break
			}
			time.Sleep(10 * time.Millisecond)
		}
		w.Close()
	}()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, srv.URL+"/bring-in", r)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", kind)
	if resp, text := ask(t, visitor(t, "127.0.0.1"), req); resp.StatusCode != 303 || string(f.taken) != "film in pieces" {
		t.Errorf("answered %d, kept %q: %s", resp.StatusCode, f.taken, text)
	}
}

// TestThePhonePagesAnswerTheLocalNetworkAlone asks from addresses that a router would bring
// in from outside.
func TestThePhonePagesAnswerTheLocalNetworkAlone(t *testing.T) {
	pass, err := door.NewPassphrase(rightWords)
	if err != nil {
		t.Fatal(err)
	}
	lan := &door.LAN{Hosts: []string{"192.168.1.7:4470"}, Keys: door.NewKeys(time.Hour, time.Hour), Passphrase: pass}
	pages, err := New(Options{App: newFixture(t), LAN: lan})
	if err != nil {
		t.Fatal(err)
	}
	for from, want := range map[string]int{
		"192.168.1.20:5000": 200, "10.0.0.3:5000": 200, "169.254.7.7:5000": 200, "127.0.0.2:5000": 200, "[::ffff:192.168.1.20]:5000": 200,
		"203.0.113.9:5000": 403, "8.8.8.8:53": 403, "[2001:db8::1]:5000": 403, "": 403,
	} {
		r := httptest.NewRequest(http.MethodGet, "http://192.168.1.7:4470/enter", nil)
		r.RemoteAddr = from
		r.Header.Set("X-Forwarded-For", "192.168.1.20")
		rec := httptest.NewRecorder()
		if pages.ServeHTTP(rec, r); rec.Code != want {
			t.Errorf("from %q: %d, want %d", from, rec.Code, want)
		}
	}
}

// TestForgedAddressesAreNoNewGuesser: what a header says about where a request came from does
// not give more guesses.
func TestForgedAddressesAreNoNewGuesser(t *testing.T) {
	if testing.Short() {
		t.Skip("hashes slowly by intent")
	}
	_, base := serveLAN(t, Options{})
	c := visitor(t, "127.0.0.1")
	waits := 0
	for i := range 7 {
		req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, base+"/enter", strings.NewReader("passphrase=wrong"))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		req.Header.Set("X-Forwarded-For", fmt.Sprintf("192.168.1.%d", i))
		req.Header.Set("Forwarded", fmt.Sprintf("for=192.168.1.%d", i))
		if resp, _ := ask(t, c, req); resp.StatusCode == http.StatusTooManyRequests {
			waits++
		}
	}
	if waits != 2 {
		t.Errorf("%d of seven guesses had to wait, want 2", waits)
	}
}

// TestThePhoneReachesNothingElse asks every address of the computer's pages over the phone's
// door, with a session.
func TestThePhoneReachesNothingElse(t *testing.T) {
	cases, base := serveLAN(t, Options{})
	phone := visitor(t, "127.0.0.1")
	if resp, _ := post(t, phone, base+"/enter", url.Values{"passphrase": {rightWords}}); resp.StatusCode != 303 {
		t.Fatalf("entering: %d", resp.StatusCode)
	}
	own := map[string]bool{"GET /{$}": true, "GET /bring-in": true, "POST /bring-in": true, "GET /finding/{id}": true, "GET /enter": true, "POST /enter": true, "POST /leave": true}
	for _, method := range []string{"GET", "POST"} {
		for _, p := range routes(t, method) {
			if own[method+" "+p] {
				continue
			}
			req, err := http.NewRequestWithContext(t.Context(), method, base+filled(p, "w1"), nil)
			if err != nil {
				t.Fatal(err)
			}
			if resp, body := ask(t, phone, req); resp.StatusCode != http.StatusNotFound && resp.StatusCode != http.StatusMethodNotAllowed || strings.Contains(body, "Mira") || resp.Header.Get("Content-Security-Policy") != contentPolicy || resp.Header.Get("Cache-Control") != "no-store" {
				t.Errorf("%s %s is answered %d over the network", method, p, resp.StatusCode)
			}
		}
	}
	cases.withheld = map[record.Purpose]bool{record.ForSquad: true}
	if resp, body := get(t, phone, base+"/finding/w1"); resp.StatusCode != http.StatusForbidden || strings.Contains(body, "m/s") {
		t.Errorf("a finding without consent: %d", resp.StatusCode)
	}
}
