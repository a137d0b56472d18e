package web

import (
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
)

func TestForeignHostsAreRefused(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	for host, want := range map[string]int{
		"127.0.0.1": 200, "127.0.0.1:8123": 200, "localhost:80": 200, "LOCALHOST": 200, "[::1]:99": 200,
		"pool.example": 421, "127.0.0.1.pool.example": 421, "192.168.1.7": 421, "0.0.0.0": 421, "": 200, // Go's client fills an empty one in
	} {
		req := scenario{path: "/"}.request(t, srv.URL)
		req.Host = host
		resp, body := ask(t, srv.Client(), req)
		if resp.StatusCode != want {
			t.Errorf("host %q answered %d, want %d", host, resp.StatusCode, want)
		}
		if want != 200 && strings.Contains(body, "Okonjo") {
			t.Errorf("host %q saw names", host)
		}
	}
}

// TestWritesFromOtherSitesAreRefused sends what a browser sends when a page of
// another site posts a form here, with a second client of its own.
func TestWritesFromOtherSitesAreRefused(t *testing.T) {
	f := newFixture(t)
	srv := serve(t, f, Options{})
	other := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	for name, c := range map[string]struct {
		header map[string]string
		want   int
	}{
		"same page":            {map[string]string{"Sec-Fetch-Site": "same-origin", "Origin": srv.URL}, 303},
		"no browser":           {nil, 303},
		"other site":           {map[string]string{"Sec-Fetch-Site": "cross-site", "Origin": "https://pool.example"}, 403},
		"other port":           {map[string]string{"Sec-Fetch-Site": "same-site", "Origin": "http://127.0.0.1:1"}, 403},
		"old browser, foreign": {map[string]string{"Origin": "https://pool.example"}, 403},
	} {
		f.job.State = "running"
		req := scenario{method: "POST", path: "/job/j1/cancel", form: map[string][]string{}}.request(t, srv.URL)
		for k, v := range c.header {
			req.Header.Set(k, v)
		}
		resp, _ := ask(t, other, req)
		if resp.StatusCode != c.want {
			t.Errorf("%s: answered %d, want %d", name, resp.StatusCode, c.want)
		}
		if refused := f.job.State == "running"; refused != (c.want == 403) {
			t.Errorf("%s: job is %s", name, f.job.State)
		}
	}
}

func TestPolicyHeadersStandOnEveryAnswer(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	for _, path := range []string{"/", "/run/r1", "/run/r1/mark", "/nowhere", "/run/r1/measures.json", "/clip/c1/frame/0.jpg"} {
		resp, _ := ask(t, srv.Client(), scenario{path: path}.request(t, srv.URL))
		csp := resp.Header.Get("Content-Security-Policy")
		for _, must := range []string{"default-src 'none'", "script-src 'self'", "style-src 'self'", "frame-ancestors 'none'", "form-action 'self'"} {
			if !strings.Contains(csp, must) {
				t.Errorf("%s: policy lacks %s", path, must)
			}
		}
		if strings.Contains(csp, "unsafe") || strings.Contains(csp, "http") || resp.Header.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s: headers %v", path, resp.Header)
		}
	}
	resp, _ := ask(t, srv.Client(), scenario{path: "/swimmer/w1"}.request(t, srv.URL))
	if resp.Header.Get("Cache-Control") != "no-store" {
		t.Error("pages with names must not be stored by the browser")
	}
}

// TestPagesKeepToThePolicy looks for what the policy would block and for any
// address outside this server.
func TestPagesKeepToThePolicy(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	blocked := regexp.MustCompile(`(?i)<style|\sstyle="|\son[a-z]+="|<script(?:>| [^>]*>[^<])|javascript:`)
	outside := regexp.MustCompile(`(?:href|src|action|srcset)="(?:[a-z]+:)?//`)
	for _, path := range []string{"/", "/swimmer/w1", "/swimmer/new", "/swimmer/w1/edit", "/bring-in", "/job/j1", "/run/r1", "/run/r1/mark", "/measures", "/about", "/nowhere"} {
		_, page := ask(t, srv.Client(), scenario{path: path}.request(t, srv.URL))
		if found := blocked.FindString(page); found != "" {
			t.Errorf("%s holds %q, which the policy blocks", path, found)
		}
		if found := outside.FindString(page); found != "" {
			t.Errorf("%s points outside: %q", path, found)
		}
		if n := strings.Count(page, "<h1>"); n != 1 {
			t.Errorf("%s has %d headlines", path, n)
		}
		for _, m := range regexp.MustCompile(`<label for="([^"]+)"`).FindAllStringSubmatch(page, -1) {
			if !strings.Contains(page, `id="`+m[1]+`"`) {
				t.Errorf("%s: label for %s, which is not there", path, m[1])
			}
		}
	}
}

func TestScriptsAndStylesNameNoOutsideAddress(t *testing.T) {
	files, err := filepath.Glob("static/*/*")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d static files, %v", len(files), err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		rest := strings.ReplaceAll(string(text), "http://www.w3.org/2000/svg", "")
		if strings.Contains(rest, "http:") || strings.Contains(rest, "https:") || strings.Contains(rest, "@import") {
			t.Errorf("%s names an outside address", file)
		}
		if strings.HasSuffix(file, ".js") && !strings.HasPrefix(string(text), "// @ts-check\n") {
			t.Errorf("%s does not start with // @ts-check", file)
		}
	}
}

func TestStaticFilesAreKeptForGoodUnderTheirHash(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	_, page := ask(t, srv.Client(), scenario{path: "/"}.request(t, srv.URL))
	m := regexp.MustCompile(`href="(/static/[0-9a-f]{12}/css/page\.css)"`).FindStringSubmatch(page)
	if m == nil {
		t.Fatal("no style sheet named")
	}
	resp, css := ask(t, srv.Client(), scenario{path: m[1]}.request(t, srv.URL))
	if resp.StatusCode != 200 || !strings.Contains(resp.Header.Get("Cache-Control"), "immutable") || !strings.Contains(css, "font-size") {
		t.Errorf("style sheet answered %d, %q", resp.StatusCode, resp.Header.Get("Cache-Control"))
	}
	for path, kind := range map[string]string{"/js/mark.js": "text/javascript", "/icon.svg": "image/svg+xml"} {
		resp, _ := ask(t, srv.Client(), scenario{path: m[1][:20] + path}.request(t, srv.URL))
		if resp.StatusCode != 200 || !strings.HasPrefix(resp.Header.Get("Content-Type"), kind) {
			t.Errorf("%s answered %d as %s", path, resp.StatusCode, resp.Header.Get("Content-Type"))
		}
	}
	for _, path := range []string{"/static/000000000000/css/page.css", m[1][:20] + "/", m[1][:20] + "/../server.go", m[1] + ".gone"} {
		resp, _ := ask(t, srv.Client(), scenario{path: path}.request(t, srv.URL))
		if resp.StatusCode == 200 || strings.Contains(resp.Header.Get("Cache-Control"), "immutable") {
			t.Errorf("%s answered %d, %q", path, resp.StatusCode, resp.Header.Get("Cache-Control"))
		}
	}
}

func TestTreeHashFollowsNamesAndContents(t *testing.T) {
	hash := func(files fstest.MapFS) string {
		h, err := treeHash(files)
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	file := func(s string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(s)} }
	a := hash(fstest.MapFS{"a.css": file("x"), "b.css": file("y")})
	if a != hash(fstest.MapFS{"b.css": file("y"), "a.css": file("x")}) {
		t.Error("the order of files changes the hash")
	}
	if a == hash(fstest.MapFS{"a.css": file("x"), "b.css": file("z")}) || a == hash(fstest.MapFS{"a.css": file("x"), "c.css": file("y")}) {
		t.Error("another content or name gives the same hash")
	}
}
