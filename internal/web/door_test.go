package web

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"log/slog"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"underkick/internal/door"
	"underkick/internal/poolside"
)

const rightWords = "otter lamp gravel nine"

// visitor is a second client: a browser with its own cookies, from its own
// address, that does not follow redirects.
func visitor(t *testing.T, from string) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	dialer := net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(from)}}
	transport := &http.Transport{DialContext: dialer.DialContext}
	t.Cleanup(transport.CloseIdleConnections)
	return &http.Client{Jar: jar, Transport: transport, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

// get asks for a page and returns its status and text.
func get(t *testing.T, c *http.Client, address string) (*http.Response, string) {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, address, nil)
	if err != nil {
		t.Fatal(err)
	}
	return ask(t, c, req)
}

// post sends a form.
func post(t *testing.T, c *http.Client, address string, form url.Values) (*http.Response, string) {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address, strings.NewReader(form.Encode()))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return ask(t, c, req)
}

func TestEveryPageNeedsASession(t *testing.T) {
	keys := door.NewKeys(time.Hour, time.Hour)
	f := newFixture(t)
	srv := serve(t, f, Options{Keys: keys})
	owner, stranger := visitor(t, "127.0.0.1"), visitor(t, "127.0.0.1")
	token := keys.Token()
	for _, path := range []string{"/", "/?session=guess", "/swimmer/w1", "/run/r1/measures.json", "/clip/c1/frame/0.jpg", "/nowhere"} {
		if resp, body := get(t, stranger, srv.URL+path); resp.StatusCode != 403 || strings.Contains(body, "Okonjo") {
			t.Errorf("%s without a session: %d", path, resp.StatusCode)
		}
	}
	f.job.State = "running"
	if resp, _ := post(t, stranger, srv.URL+"/job/j1/cancel", nil); resp.StatusCode != 403 || f.job.State != "running" {
		t.Errorf("a write without a session: %d, job %s", resp.StatusCode, f.job.State)
	}
	resp, _ := get(t, owner, srv.URL+"//elsewhere.example/?session="+token)
	if resp.StatusCode != 303 || resp.Header.Get("Location") != "/" {
		t.Fatalf("the token answered %d to %q", resp.StatusCode, resp.Header.Get("Location"))
	}
	cookie := resp.Header.Get("Set-Cookie")
	for _, must := range []string{"HttpOnly", "SameSite=Strict", "Path=/", "underkick_session_" + resp.Request.URL.Port() + "="} {
		if !strings.Contains(cookie, must) {
			t.Errorf("cookie lacks %s: %s", must, cookie)
		}
	}
	if strings.Contains(cookie, token) || strings.Contains(cookie, "Expires") || strings.Contains(cookie, "Max-Age") {
		t.Errorf("cookie is %s", cookie)
	}
	if resp, body := get(t, owner, srv.URL+"/"); resp.StatusCode != 200 || !strings.Contains(body, "Okonjo") {
		t.Errorf("the owner is answered %d", resp.StatusCode)
	}
	if resp, body := get(t, stranger, srv.URL+"/?session="+token); resp.StatusCode != 403 || !strings.Contains(body, "press Enter") {
		t.Errorf("the token opened twice: %d", resp.StatusCode)
	}
	if resp, _ := get(t, owner, srv.URL+"/?session="+token); resp.StatusCode != 303 {
		t.Errorf("the owner's second visit by the address: %d", resp.StatusCode)
	}
}

// TestRawPathsStayInside sends paths as no browser would, byte by byte.
func TestRawPathsStayInside(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	address := srv.Listener.Addr().String()
	_, page := get(t, srv.Client(), srv.URL+"/")
	static, _, _ := strings.Cut(page[strings.Index(page, "/static/"):], "/css")
	for _, path := range []string{
		static + "/../../../../etc/passwd", static + "/..%2f..%2f..%2fetc/passwd", static + "/css/%2e%2e/%2e%2e/server.go", static + `/..\..\server.go`, static + "//etc/passwd",
		"/../../etc/passwd", "//etc/passwd", "/clip/..%2f..%2f..%2fetc/frame/passwd", "/clip/..%2fc1/frame/0.jpg", "/clip/c1/frame/..%2f0.jpg", "/clip/c1/frame/-1.jpg", "/clip/c1/frame/0.jpg%00", "/swimmer/..%2fw1",
	} {
		conn, err := (&net.Dialer{}).DialContext(t.Context(), "tcp", address)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(conn, "GET %s HTTP/1.1\r\nHost: %s\r\nConnection: close\r\n\r\n", path, address)
		resp, err := http.ReadResponse(bufio.NewReader(conn), nil)
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		body, err := io.ReadAll(resp.Body)
		if err != nil || resp.StatusCode == 200 || strings.Contains(string(body), "root:") || strings.Contains(string(body), "package web") {
			t.Errorf("%s answered %d, %v", path, resp.StatusCode, err)
		}
		conn.Close()
	}
}

// lanCases is a squad of three: two with a pseudonym, one without.
type lanCases struct {
	*fixture
	fileName string
}

func (l *lanCases) Squad(ctx context.Context) (poolside.SquadView, error) {
	view, err := l.fixture.Squad(ctx)
	view.Squads[0].Rows[0].Pseudonym = "Otter"
	return view, err
}

func (l *lanCases) BringIn(ctx context.Context, in poolside.BringIn) (poolside.BroughtIn, error) {
	l.fileName = in.FileName
	return l.fixture.BringIn(ctx, in)
}

// serveLAN starts the phone pages on an address of their own.
func serveLAN(t *testing.T, opt Options) (*lanCases, string) {
	t.Helper()
	pass, err := door.NewPassphrase(rightWords)
	if err != nil {
		t.Fatal(err)
	}
	l, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	cases := &lanCases{fixture: newFixture(t)}
	opt.App, opt.Log = cases, slog.New(slog.NewTextHandler(t.Output(), nil))
	opt.LAN = &door.LAN{Hosts: []string{l.Addr().String()}, Keys: door.NewKeys(time.Hour, time.Hour), Passphrase: pass}
	h, err := New(opt)
	if err != nil {
		t.Fatal(err)
	}
	srv := &httptest.Server{Listener: l, Config: &http.Server{Handler: h, ReadHeaderTimeout: time.Second}}
	srv.Start()
	t.Cleanup(srv.Close)
	return cases, srv.URL
}

func TestPhonePagesNeedThePassphrase(t *testing.T) {
	cases, base := serveLAN(t, Options{})
	phone := visitor(t, "127.0.0.1")
	for _, path := range []string{"/", "/bring-in", "/finding/w1", "/swimmer/w1", "/run/r1", "/clip/c1/frame/0.jpg"} {
		if resp, body := get(t, phone, base+path); resp.StatusCode != 303 || resp.Header.Get("Location") != "/enter" || strings.Contains(body, "Otter") {
			t.Errorf("%s before the passphrase: %d", path, resp.StatusCode)
		}
	}
	if resp := send(t, phone, base, "w1", "a.mp4", strings.NewReader("film")); resp.StatusCode != 403 || cases.taken != nil {
		t.Errorf("a clip before the passphrase: %d", resp.StatusCode)
	}
	if _, body := get(t, phone, base+"/enter"); !strings.Contains(body, "Anyone who listens on this network can read") {
		t.Error("the page does not say that the network reads along")
	}
	if resp, _ := post(t, phone, base+"/enter", url.Values{"passphrase": {"otter lamp gravel ten"}}); resp.StatusCode != 403 || resp.Header.Get("Set-Cookie") != "" {
		t.Errorf("a wrong passphrase: %d", resp.StatusCode)
	}
	resp, _ := post(t, phone, base+"/enter", url.Values{"passphrase": {rightWords}})
	if cookie := resp.Header.Get("Set-Cookie"); resp.StatusCode != 303 || !strings.Contains(cookie, "HttpOnly; SameSite=Strict") {
		t.Fatalf("the right passphrase: %d, %s", resp.StatusCode, cookie)
	}
	resp, body := get(t, phone, base+"/")
	if resp.StatusCode != 200 || !strings.Contains(body, "Otter") || strings.Contains(body, "Mira") || !strings.Contains(body, "1 swimmer has") {
		t.Errorf("the list: %d\n%s", resp.StatusCode, body)
	}
	resp, body = get(t, phone, base+"/finding/w1")
	if resp.StatusCode != 200 || !strings.Contains(body, "m/s") || strings.Contains(body, "Mira") || strings.Contains(body, "2009") {
		t.Errorf("the finding: %d\n%s", resp.StatusCode, body)
	}
	for _, path := range []string{"/finding/w2", "/swimmer/w1", "/swimmer/new", "/run/r1", "/run/r1/marks.json", "/run/r1/measures.csv", "/clip/c1/frame/0.jpg", "/job/j1", "/about", "/walls", "/markers"} {
		if resp, _ := get(t, phone, base+path); resp.StatusCode != 404 {
			t.Errorf("%s is answered %d over the network", path, resp.StatusCode)
		}
	}
	if resp, _ := post(t, phone, base+"/leave", nil); resp.StatusCode != 303 {
		t.Errorf("leaving: %d", resp.StatusCode)
	}
	if resp, _ := get(t, phone, base+"/"); resp.StatusCode != 303 {
		t.Errorf("after leaving: %d", resp.StatusCode)
	}
}

// send uploads a clip as a phone's browser does, without a length.
func send(t *testing.T, c *http.Client, base, swimmer, name string, film io.Reader) *http.Response {
	t.Helper()
	r, w := io.Pipe()
	form := multipart.NewWriter(w)
	go func() {
		var err error
		for k, v := range map[string]string{"swimmer": swimmer, "on": "2026-05-03", "pool": "Harbour Baths"} {
			if err == nil {
				err = form.WriteField(k, v)
			}
		}
		if part, e := form.CreateFormFile("clip", name); e == nil && err == nil {
			_, err = io.Copy(part, film)
		}
		if err == nil {
			err = form.Close()
		}
		w.CloseWithError(err)
	}()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, base+"/bring-in", r)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", form.FormDataContentType())
	resp, _ := ask(t, c, req)
	return resp
}

func TestPhoneBringsInAClip(t *testing.T) {
	cases, base := serveLAN(t, Options{MaxClipBytes: 1 << 20})
	phone := visitor(t, "127.0.0.1")
	if resp, _ := post(t, phone, base+"/enter", url.Values{"passphrase": {rightWords}}); resp.StatusCode != 303 {
		t.Fatalf("entering: %d", resp.StatusCode)
	}
	if resp := send(t, phone, base, "w2", "a.mp4", strings.NewReader("film")); resp.StatusCode != 422 || cases.taken != nil {
		t.Errorf("for a swimmer without a pseudonym: %d", resp.StatusCode)
	}
	if resp := send(t, phone, base, "w1", "a.mp4", strings.NewReader("not a film")); resp.StatusCode != 422 {
		t.Errorf("what is no film: %d", resp.StatusCode)
	}
	resp := send(t, phone, base, "w1", "../../etc/passwd", strings.NewReader("film"))
	if resp.StatusCode != 303 || resp.Header.Get("Location") != "/?took" || string(cases.taken) != "film" || cases.fileName != "passwd" {
		t.Errorf("a clip: %d to %s, kept %q as %q", resp.StatusCode, resp.Header.Get("Location"), cases.taken, cases.fileName)
	}
	cases.taken = nil
	if resp := send(t, phone, base, "w1", "b.mp4", io.LimitReader(zeros{}, 8<<20)); resp.StatusCode != 413 || cases.taken != nil {
		t.Errorf("8 MB where 1 MB is taken: %d", resp.StatusCode)
	}
	if resp, _ := post(t, phone, base+"/enter", url.Values{"passphrase": {strings.Repeat("x", 1<<20)}}); resp.StatusCode != 413 {
		t.Errorf("a passphrase of 1 MB: %d", resp.StatusCode)
	}
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { clear(p); return len(p), nil }

func TestPhonePagesRefuseOtherHostsAndSites(t *testing.T) {
	_, base := serveLAN(t, Options{})
	for _, host := range []string{"localhost", "127.0.0.1", "pool.example", "192.168.1.7:80"} {
		req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, base+"/enter", nil)
		if err != nil {
			t.Fatal(err)
		}
		req.Host = host
		if resp, _ := ask(t, visitor(t, "127.0.0.1"), req); resp.StatusCode != 421 {
			t.Errorf("host %s: %d", host, resp.StatusCode)
		}
	}
	req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, base+"/enter", strings.NewReader("passphrase=x"))
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Origin", "http://pool.example")
	if resp, _ := ask(t, visitor(t, "127.0.0.1"), req); resp.StatusCode != 403 || !strings.Contains(resp.Header.Get("Content-Security-Policy"), "default-src 'none'") {
		t.Errorf("a form of another site: %d", resp.StatusCode)
	}
}

// TestGuessingWaits guesses from one address until it must wait, and enters from
// another.
func TestGuessingWaits(t *testing.T) {
	if testing.Short() {
		t.Skip("hashes slowly by intent")
	}
	_, base := serveLAN(t, Options{})
	guesser := visitor(t, "127.0.0.1")
	codes := map[int]int{}
	for i := range 7 {
		resp, _ := post(t, guesser, base+"/enter", url.Values{"passphrase": {fmt.Sprintf("guess number %d", i)}})
		codes[resp.StatusCode]++
		if resp.StatusCode == 429 && resp.Header.Get("Retry-After") == "" {
			t.Error("does not say how long to wait")
		}
	}
	if codes[403] != 5 || codes[429] != 2 {
		t.Errorf("seven guesses are answered %v", codes)
	}
	if resp, body := post(t, guesser, base+"/enter", url.Values{"passphrase": {rightWords}}); resp.StatusCode != 429 || !strings.Contains(body, "wait") {
		t.Errorf("the right one while waiting: %d", resp.StatusCode)
	}
	other := visitor(t, "127.0.0.3")
	resp, err := other.PostForm(base+"/enter", url.Values{"passphrase": {rightWords}})
	if err != nil {
		t.Skipf("this system has no second address: %v", err)
	}
	resp.Body.Close()
	if resp.StatusCode != 303 {
		t.Errorf("from another address: %d", resp.StatusCode)
	}
}
