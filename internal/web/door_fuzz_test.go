package web

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

// answer lets the handler answer a request, and looks at what holds for every answer.
func answer(t *testing.T, pages http.Handler, r *http.Request) {
	t.Helper()
	rec := httptest.NewRecorder()
	func() {
		defer func() {
			if p := recover(); p != nil {
				if err, ok := p.(error); !ok || !errors.Is(err, http.ErrAbortHandler) {
					t.Errorf("%s %q panics: %v", r.Method, r.URL, p)
				}
			}
		}()
		pages.ServeHTTP(rec, r)
	}()
	if rec.Code >= 500 && rec.Code != http.StatusServiceUnavailable {
		t.Errorf("%s %q is answered %d: %s", r.Method, r.URL, rec.Code, rec.Body)
	}
	if rec.Header().Get("Content-Security-Policy") != contentPolicy || strings.Contains(rec.Body.String(), "root:canary") {
		t.Errorf("%s %q: %v", r.Method, r.URL, rec.Header())
	}
}

// FuzzPaths asks for any path and query, as bytes of a request line.
func FuzzPaths(f *testing.F) {
	app, swimmer, _ := smallApp(f)
	pages, err := New(Options{App: app})
	if err != nil {
		f.Fatal(err)
	}
	for _, p := range routes(f, "GET") {
		f.Add(filled(p, swimmer), "")
	}
	for _, name := range evilNames {
		f.Add("/clip/"+name+"/frame/"+name, "run="+name)
	}
	f.Add("/", "name=%ff&sort=speed&level=x&due=%00&limiter=&limiter=y")
	f.Add("/run/x/stills", "kick=-1&part=up&swims=left&soften=1&show=body")
	f.Add("/run/x/what-if.json", "facing=NaN&sweep=1e999&build=-0&tempo=0x1p-2")
	f.Add("/compare", "run=a&run=b&run=c&run=d&run=e&phase=1e9")
	f.Add("/filming", "distance=-1&fps=Inf&height=1,7")
	f.Fuzz(func(t *testing.T, path, query string) {
		u, err := url.ParseRequestURI("/" + strings.TrimPrefix(path, "/"))
		if err != nil {
			return
		}
		r := httptest.NewRequest(http.MethodGet, "http://127.0.0.1/", nil).WithContext(t.Context())
		u.Scheme, u.Host, u.RawQuery = "", "", query
		r.URL, r.RequestURI = u, ""
		answer(t, pages, r)
	})
}

// FuzzForms sends any body of any kind to every address that takes one.
func FuzzForms(f *testing.F) {
	app, swimmer, _ := smallApp(f)
	pages, err := New(Options{App: app})
	if err != nil {
		f.Fatal(err)
	}
	patterns := routes(f, "POST")
	form, kind := formBody(3, "film")
	kinds := []string{"application/x-www-form-urlencoded", "application/json", kind, "text/plain; charset=utf-7", ""}
	for i := range patterns {
		f.Add(uint(i), uint(0), "name=Ada&on=2026-05-03&height_m=1,7&hide=yes&typed=x&seq=1&act=undo&retest=&weeks=-1&months=1e9")
		f.Add(uint(i), uint(1), `{"t":0,"marks":[{"landmark":"toe","x":1e308,"y":null}],"seq":-1}`)
		f.Add(uint(i), uint(2), form)
		f.Add(uint(i), uint(0), "%")
	}
	f.Add(uint(0), uint(0), "a=%zz&;;&=&%00=%00")
	f.Add(uint(3), uint(2), "--x\r\nContent-Disposition: form-data; name=\"clip\"; filename=\"\"\r\n\r\n--x--")
	f.Fuzz(func(t *testing.T, which, kind uint, body string) {
		path := filled(patterns[which%uint(len(patterns))], swimmer)
		if strings.HasSuffix(path, "/erase") || strings.HasPrefix(path, "/keep/") {
			return // work beside the request, on files: TestKeep and the kill tests
		}
		r := httptest.NewRequest(http.MethodPost, "http://127.0.0.1"+path, strings.NewReader(body)).WithContext(t.Context())
		if k := kinds[kind%uint(len(kinds))]; k != "" {
			r.Header.Set("Content-Type", k)
		}
		answer(t, pages, r)
	})
}
