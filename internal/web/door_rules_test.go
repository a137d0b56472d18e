package web

import (
	"bufio"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"underkick/internal/door"
)

// raw sends bytes as no browser would and returns the answer.
func raw(t *testing.T, address, text string) (*http.Response, string) {
	t.Helper()
	conn, err := (&net.Dialer{}).DialContext(t.Context(), "tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	if _, err := io.WriteString(conn, text); err != nil {
		t.Fatal(err)
	}
	resp, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil {
		t.Fatalf("%.80q: %v", text, err)
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(resp.Body)
	if err != nil {
		t.Fatal(err)
	}
	return resp, string(body)
}

// TestOnlyOurOwnHostNamesAreAnswered sends Host names byte by byte: those of this computer are
// answered, any other is not, however it is written. A name that resolves to 127.0.0.1 (DNS
// rebinding) is another name.
func TestOnlyOurOwnHostNamesAreAnswered(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	address := srv.Listener.Addr().String()
	_, port, _ := strings.Cut(address, ":")
	for host, want := range map[string]int{
		address: 200, "localhost:" + port: 200, "LocalHost:" + port: 200, "127.0.0.2:" + port: 200, "[::1]:" + port: 200, "[::ffff:127.0.0.1]:" + port: 200,
		"localhost.:" + port: 421, "127.0.0.1.:" + port: 421, "a.localhost:" + port: 421, "localhost.pool.example:" + port: 421, "127.0.0.1.pool.example:" + port: 421, "127-0-0-1.pool.example": 421,
		"pool.example:" + port: 421, "0.0.0.0:" + port: 421, "[::]:" + port: 421, "[fe80::1]:" + port: 421, "192.168.1.7:" + port: 421, "2130706433:" + port: 421, "0x7f.1:" + port: 421, "0177.0.0.1:" + port: 421,
		"127.0.0.1:80:80": 421, "127.0.0.1@pool.example": 400, "": 421,
	} {
		resp, body := raw(t, address, "GET / HTTP/1.1\r\nHost: "+host+"\r\nConnection: close\r\n\r\n")
		if resp.StatusCode != want || want != 200 && strings.Contains(body, "Okonjo") {
			t.Errorf("host %q is answered %d, want %d", host, resp.StatusCode, want)
		}
	}
	for _, text := range []string{
		"GET / HTTP/1.0\r\n\r\n",
		"GET http://pool.example/ HTTP/1.1\r\nHost: " + address + "\r\nConnection: close\r\n\r\n",
		"GET / HTTP/1.1\r\nHost: pool.example\r\nX-Forwarded-Host: " + address + "\r\nConnection: close\r\n\r\n",
	} {
		if resp, body := raw(t, address, text); resp.StatusCode != 421 || strings.Contains(body, "Okonjo") {
			t.Errorf("%q is answered %d", text, resp.StatusCode)
		}
	}
	if resp, _ := raw(t, address, "GET / HTTP/1.1\r\nHost: "+address+"\r\nHost: pool.example\r\nConnection: close\r\n\r\n"); resp.StatusCode != 400 {
		t.Errorf("two hosts are answered %d", resp.StatusCode)
	}
}

// TestNoWriteFromAnotherOrigin posts every kind of body that a page of another origin can
// cause, to every address that takes one.
func TestNoWriteFromAnotherOrigin(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	other := visitor(t, "127.0.0.1")
	from := map[string]map[string]string{
		"cross-site":              {"Sec-Fetch-Site": "cross-site", "Origin": "https://pool.example"},
		"same-site":               {"Sec-Fetch-Site": "same-site", "Origin": "http://127.0.0.1:1"},
		"no Sec-Fetch-Site":       {"Origin": "https://pool.example"},
		"null origin":             {"Origin": "null"},
		"null origin, cross-site": {"Origin": "null", "Sec-Fetch-Site": "cross-site"},
		"no origin, cross-site":   {"Sec-Fetch-Site": "cross-site"},
		"our host as a path":      {"Origin": "https://pool.example/" + srv.Listener.Addr().String()},
		"origin of another port":  {"Origin": "http://127.0.0.1:1"},
	}
	kinds := []string{"application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/plain", "application/json"}
	for _, pattern := range routes(t, "POST") {
		path := filled(pattern, "w1")
		for name, header := range from {
			for _, kind := range kinds {
				req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, srv.URL+path, strings.NewReader("hide=yes"))
				if err != nil {
					t.Fatal(err)
				}
				req.Header.Set("Content-Type", kind)
				for k, v := range header {
					req.Header.Set(k, v)
				}
				if resp, _ := ask(t, other, req); resp.StatusCode != http.StatusForbidden {
					t.Fatalf("%s of %s to %s is answered %d", kind, name, path, resp.StatusCode)
				}
			}
		}
	}
}

var (
	route  = regexp.MustCompile(`HandleFunc\("(GET|POST) ([^"]+)"`)
	inPath = regexp.MustCompile(`\{[^}]+\}`)
)

// routes lists the patterns of all handlers of a method, as the sources register them.
func routes(t testing.TB, method string) (patterns []string) {
	t.Helper()
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		for _, m := range route.FindAllStringSubmatch(string(text), -1) {
			if m[1] == method {
				patterns = append(patterns, m[2])
			}
		}
	}
	if len(patterns) < 30 {
		t.Fatalf("found %d handlers of %s", len(patterns), method)
	}
	return patterns
}

// filled puts a word in place of everything variable in a pattern.
func filled(pattern, word string) string {
	return strings.ReplaceAll(inPath.ReplaceAllLiteralString(pattern, word), "/"+word+"$", "/")
}

// TestTheContentPolicyStandsOnEveryAnswer asks every handler, and for what is refused.
func TestTheContentPolicyStandsOnEveryAnswer(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	_, page := get(t, srv.Client(), srv.URL+"/")
	asked := []string{"/nowhere", "//x", "/a/../b", srv.URL, linked.FindStringSubmatch(page)[1]}
	for _, p := range routes(t, "GET") {
		asked = append(asked, filled(p, "w1"), filled(p, "r1"), filled(p, "nobody"))
	}
	look := func(what string, h http.Header) {
		for key, want := range map[string]string{
			"Content-Security-Policy": contentPolicy, "X-Content-Type-Options": "nosniff", "Referrer-Policy": "same-origin",
			"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin",
		} {
			if h.Get(key) != want {
				t.Errorf("%s: %s is %q", what, key, h.Get(key))
			}
		}
		if cache := h.Get("Cache-Control"); cache != "no-store" && !strings.HasPrefix(cache, "private,") && !strings.Contains(what, " /static/") {
			t.Errorf("%s may be stored: %q", what, cache)
		}
	}
	for _, path := range asked {
		path = strings.TrimPrefix(path, srv.URL)
		for _, method := range []string{"GET", "HEAD", "OPTIONS", "PUT"} {
			req, err := http.NewRequestWithContext(t.Context(), method, srv.URL+path, nil)
			if err != nil {
				t.Fatal(err)
			}
			resp, _ := ask(t, srv.Client(), req)
			look(method+" "+path, resp.Header)
		}
	}
	for name, change := range map[string]func(*http.Request){
		"another host":   func(r *http.Request) { r.Host = "pool.example" },
		"another origin": func(r *http.Request) { r.Method, r.Header = "POST", http.Header{"Origin": {"null"}} },
	} {
		req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, srv.URL+"/", nil)
		if err != nil {
			t.Fatal(err)
		}
		change(req)
		resp, _ := ask(t, srv.Client(), req)
		look(name, resp.Header)
	}
	for _, never := range []string{"unsafe", "*", "data:", "blob:", "http"} {
		if strings.Contains(contentPolicy, never) {
			t.Errorf("the policy allows %s", never)
		}
	}
}

// TestASessionIsOurs: no browser brings its own session in, one that ended is none, and those
// of one run of the program are nothing to the next.
func TestASessionIsOurs(t *testing.T) {
	keys := door.NewKeys(time.Hour, time.Hour)
	srv := serve(t, newFixture(t), Options{Keys: keys})
	at, err := url.Parse(srv.URL)
	if err != nil {
		t.Fatal(err)
	}
	fixed := &http.Cookie{Name: "underkick_session_" + at.Port(), Value: "chosen-by-somebody-else", Path: "/"}
	c := visitor(t, "127.0.0.1")
	c.Jar.SetCookies(at, []*http.Cookie{fixed})
	if resp, _ := get(t, c, srv.URL+"/"); resp.StatusCode != 403 {
		t.Errorf("a session of the browser's own: %d", resp.StatusCode)
	}
	token := keys.Token()
	if resp, _ := get(t, c, srv.URL+"/?session="+token); resp.StatusCode != 303 || strings.Contains(resp.Header.Get("Set-Cookie"), fixed.Value) {
		t.Errorf("the token keeps the browser's own session: %s", resp.Header.Get("Set-Cookie"))
	}
	secret := c.Jar.Cookies(at)[0].Value
	if resp, _ := get(t, c, srv.URL+"/"); resp.StatusCode != 200 {
		t.Errorf("the session it opened: %d", resp.StatusCode)
	}
	posted, err := http.NewRequestWithContext(t.Context(), http.MethodPost, srv.URL+"/names?session="+keys.Token(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if resp, _ := ask(t, visitor(t, "127.0.0.1"), posted); resp.StatusCode != 403 {
		t.Errorf("a token in a write: %d", resp.StatusCode)
	}
	keys.End(secret)
	if resp, _ := get(t, c, srv.URL+"/"); resp.StatusCode != 403 {
		t.Errorf("a session that ended: %d", resp.StatusCode)
	}
	next := serve(t, newFixture(t), Options{Keys: door.NewKeys(time.Hour, time.Hour)})
	req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, next.URL+"/", nil)
	if err != nil {
		t.Fatal(err)
	}
	_, port, _ := net.SplitHostPort(next.Listener.Addr().String())
	req.AddCookie(&http.Cookie{Name: "underkick_session_" + port, Value: secret})
	if resp, _ := ask(t, visitor(t, "127.0.0.1"), req); resp.StatusCode != 403 {
		t.Errorf("a session of an earlier run of the program: %d", resp.StatusCode)
	}
	short := serve(t, newFixture(t), Options{Keys: expired()})
	if resp, _ := get(t, visitor(t, "127.0.0.1"), short.URL+"/"); resp.StatusCode != 403 {
		t.Errorf("without a session: %d", resp.StatusCode)
	}
}

func expired() *door.Keys { return door.NewKeys(time.Nanosecond, time.Hour) }
