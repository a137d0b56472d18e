package cli

import (
	"bytes"
	"context"
	"io"
	"log/slog"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"underkick/internal/door"
	"underkick/internal/poolside"
	"underkick/internal/web"
)

const testWords = "otter lamp gravel nine"

// heard is what a command prints, readable while it runs.
type heard struct {
	mu  sync.Mutex
	buf bytes.Buffer
}

func (h *heard) Write(p []byte) (int, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.buf.Write(p)
}

func (h *heard) String() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.buf.String()
}

// await waits for the n-th match of a pattern and returns its first group.
func (h *heard) await(t *testing.T, pattern string, n int) string {
	t.Helper()
	re := regexp.MustCompile(pattern)
	for range 600 {
		if m := re.FindAllStringSubmatch(h.String(), -1); len(m) >= n {
			return m[n-1][1]
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("no %s in\n%s", pattern, h.String())
	return ""
}

func realPages(app *poolside.App, log *slog.Logger, keys *door.Keys, lan *door.LAN) (http.Handler, error) {
	return web.New(web.Options{App: app, Log: log, Keys: keys, LAN: lan})
}

// running starts underkick with the real pages and returns what it prints and
// its keyboard.
func running(t *testing.T, args ...string) (out *heard, keyboard io.Writer) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	in, keys := io.Pipe()
	out = &heard{}
	done := make(chan int, 1)
	go func() { done <- Run(ctx, args, in, out, out, realPages) }()
	t.Cleanup(func() {
		cancel()
		keys.Close()
		if code := <-done; code != 0 {
			t.Errorf("%v: exit %d\n%s", args, code, out)
		}
	})
	return out, keys
}

func browser(t *testing.T) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	c := &http.Client{Jar: jar, Transport: &http.Transport{}}
	t.Cleanup(c.CloseIdleConnections)
	return c
}

// read returns the status and text of an answer.
func read(t *testing.T, resp *http.Response, err error) (int, string) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	text, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return resp.StatusCode, string(text)
}

func open(t *testing.T, c *http.Client, address string) (int, string) {
	t.Helper()
	resp, err := c.Get(address) //nolint:noctx // ends with the test's server
	return read(t, resp, err)
}

func TestServeOpensOnceAndAgainOnEnter(t *testing.T) {
	out, keyboard := running(t, "serve", "--data", t.TempDir(), "--port", "0")
	address := out.await(t, `open (http://127\.0\.0\.1:\d+/\?session=\w+)`, 1)
	base, _, _ := strings.Cut(address, "/?")
	coach, other := browser(t), browser(t)
	if code, _ := open(t, coach, base); code != 403 {
		t.Errorf("without the token: %d", code)
	}
	if code, page := open(t, coach, address); code != 200 || !strings.Contains(page, "No squad yet") {
		t.Errorf("with the token: %d", code)
	}
	if code, _ := open(t, other, address); code != 403 {
		t.Errorf("the token a second time: %d", code)
	}
	if _, err := io.WriteString(keyboard, "\n"); err != nil {
		t.Fatal(err)
	}
	second := out.await(t, `open (http://127\.0\.0\.1:\d+/\?session=\w+)`, 2)
	if code, _ := open(t, other, second); code != 200 || second == address {
		t.Errorf("after Enter: %d at %s", code, second)
	}
	if code, _ := open(t, coach, base); code != 200 {
		t.Errorf("the first session after that: %d", code)
	}
}

func TestServeListensOnLoopbackAlone(t *testing.T) {
	out, _ := running(t, "serve", "--data", t.TempDir(), "--port", "0")
	port := out.await(t, `http://127\.0\.0\.1:(\d+)/`, 1)
	all, err := net.InterfaceAddrs()
	if err != nil {
		t.Fatal(err)
	}
	tried := []string{"127.0.0.2"}
	for _, a := range all {
		if ip := a.(*net.IPNet).IP; !ip.IsLoopback() && ip.To4() != nil {
			tried = append(tried, ip.String())
		}
	}
	for _, ip := range tried {
		conn, err := (&net.Dialer{Timeout: 2 * time.Second}).DialContext(t.Context(), "tcp", net.JoinHostPort(ip, port))
		if err == nil {
			conn.Close()
			t.Errorf("%s answers too", ip)
		}
	}
}

func TestLANNeedsAPassphrase(t *testing.T) {
	dir := t.TempDir()
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"serve", "--data", dir, "--port", "0", "--lan"}, 2, "underkick passphrase"},
		{[]string{"serve", "--data", dir, "--port", "0", "--lan", "--set-passphrase"}, 3, "needs 12"},
		{[]string{"serve", "--data", dir, "--port", "0", "--lan-address", "127.0.0.2"}, 2, "needs --lan"},
		{[]string{"passphrase", "--data", dir, "otter lamp gravel nine"}, 2, "standard input"},
		{[]string{"passphrase", "--data", dir}, 3, "needs 12"},
	} {
		if code, _, errOut := underkick(t, c.args...); code != c.code || !strings.Contains(errOut, c.says) {
			t.Errorf("%v: exit %d, want %d and %q in\n%s", c.args, code, c.code, c.says, errOut)
		}
	}
	var out, errOut bytes.Buffer
	if code := Run(t.Context(), []string{"passphrase", "--data", dir}, strings.NewReader(testWords+"\r\n"), &out, &errOut, noPages); code != 0 {
		t.Fatalf("exit %d\n%s", code, errOut.String())
	}
	if pass, err := door.LoadPassphrase(dir); err != nil || !pass.Matches(testWords) {
		t.Errorf("the passphrase kept is another: %v", err)
	}
	for _, address := range []string{"8.8.8.8", "0.0.0.0", "::1", "pool"} {
		if code, _, errOut := underkick(t, "serve", "--data", dir, "--port", "0", "--lan", "--lan-address", address); code != 2 {
			t.Errorf("%s: exit %d\n%s", address, code, errOut)
		}
	}
}

// TestPhoneAtThePoolside goes the whole way with two clients: the coach at the
// computer adds a swimmer, the phone brings in a clip over another address.
func TestPhoneAtThePoolside(t *testing.T) {
	if l, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.2:0"); err != nil {
		t.Skipf("this system has no second loopback address: %v", err)
	} else {
		l.Close()
	}
	dir := t.TempDir()
	out, keyboard := running(t, "serve", "--data", dir, "--port", "0", "--lan", "--lan-address", "127.0.0.2", "--set-passphrase")
	if _, err := io.WriteString(keyboard, testWords+"\n"); err != nil {
		t.Fatal(err)
	}
	lan := out.await(t, `phone pages: open (http://127\.0\.0\.2:\d+)/`, 1)
	printed := out.String()
	if said, open := strings.Index(printed, "Anyone on that network who listens can read"), strings.Index(printed, "open http"); said < 0 || said > open {
		t.Errorf("does not say first what it exposes:\n%s", printed)
	}
	coach, phone := browser(t), browser(t)
	here := out.await(t, `open (http://127\.0\.0\.1:\d+/\?session=\w+)`, 1)
	open(t, coach, here)
	base, _, _ := strings.Cut(here, "/?")
	resp, err := coach.PostForm(base+"/swimmer/new", url.Values{"squad_name": {"Harbour Juniors"}, "name": {"Mira Okonjo"}, "pseudonym": {"Otter"}})
	if code, page := read(t, resp, err); code != 200 || !strings.Contains(page, "Okonjo") {
		t.Fatalf("adding a swimmer: %d\n%s", code, page)
	}
	id, _, _ := strings.Cut(strings.TrimPrefix(resp.Request.URL.Path, "/swimmer/"), "/")
	resp, err = coach.PostForm(base+"/swimmer/"+id+"/consent", url.Values{
		"given_by": {"R. Okonjo"}, "as": {"parent or guardian"}, "on": {time.Now().Format(time.DateOnly)}, "for": {"filming", "squad"},
	})
	if code, page := read(t, resp, err); code != 200 {
		t.Fatalf("recording the consent: %d\n%s", code, page)
	}
	if code, page := open(t, phone, lan); code != 200 || strings.Contains(page, "Otter") {
		t.Errorf("the phone before the passphrase: %d", code)
	}
	resp, err = phone.PostForm(lan+"/enter", url.Values{"passphrase": {testWords}})
	code, page := read(t, resp, err)
	if code != 200 || !strings.Contains(page, "Otter") || strings.Contains(page, "Okonjo") {
		t.Fatalf("the phone's list: %d\n%s", code, page)
	}
	if !strings.Contains(page, "/finding/"+id) {
		t.Fatalf("no finding to open in the phone's list\n%s", page)
	}
	clip, _, _, _ := demoFiles(t, "joren-october-2")
	if code, page := sendClip(t, phone, lan, id, clip); code != 200 || !strings.Contains(page, "The clip is on the computer") {
		t.Errorf("sending a clip: %d\n%s", code, page)
	}
	if _, page := open(t, coach, base+"/swimmer/"+id); !strings.Contains(page, filepath.Base(clip)) {
		t.Errorf("the computer does not show the clip\n%s", page)
	}
	if kept, err := filepath.Glob(filepath.Join(dir, "clips", "*")); err != nil || len(kept) == 0 {
		t.Errorf("no clip in the data folder, %v", err)
	}
	if code, _ := open(t, phone, lan+"/swimmer/"+id); code != 404 {
		t.Errorf("the phone reaches the swimmer's page: %d", code)
	}
}

func sendClip(t *testing.T, c *http.Client, base, swimmer, clip string) (int, string) {
	t.Helper()
	film, err := os.ReadFile(clip)
	if err != nil {
		t.Fatal(err)
	}
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for _, f := range [][2]string{{"swimmer", swimmer}, {"on", "2026-05-03"}, {"pool", "Harbour Baths"}} {
		if err := form.WriteField(f[0], f[1]); err != nil {
			t.Fatal(err)
		}
	}
	part, err := form.CreateFormFile("clip", filepath.Base(clip))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := part.Write(film); err != nil {
		t.Fatal(err)
	}
	if err := form.Close(); err != nil {
		t.Fatal(err)
	}
	resp, err := c.Post(base+"/bring-in", form.FormDataContentType(), &body) //nolint:noctx // ends with the test's server
	return read(t, resp, err)
}
