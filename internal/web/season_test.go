package web

import (
	"encoding/csv"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"underkick/internal/poolside"
)

func init() { scenarios = append(scenarios, seasonScenarios...) }

var seasonScenarios = []scenario{
	{name: "squad narrowed", path: "/?name=Mira&limiter=facing&sort=speed", status: 200, must: []string{`value="Mira"`, "<option selected>facing</option>", `<option value="speed" selected>`, "1 swimmer of 2.", "Show all"}, mustNot: []string{"Mira Okonja<"}},
	{name: "squad asked for nonsense", path: "/?due=yesterday", status: 400, must: []string{"choose another", "Mira Okonjo"}},
	{name: "retest without visits", path: "/swimmer/w1/retest", status: 200, must: []string{"A retest needs two visits", "Bring in a clip"}, mustNot: []string{"Verdict", "NaN"}},
	{name: "retest of an unknown day", path: "/swimmer/w1/retest?test=2020-01-01", status: 400, must: []string{"no measured run is of that day"}},
	{name: "retest of nobody", path: "/swimmer/nobody/retest", status: 404},
	{name: "trends of nobody", path: "/swimmer/nobody/trends.csv", status: 404},
}

func serveSeason(t *testing.T, size seasonSize) *httptest.Server {
	t.Helper()
	h, err := New(Options{App: season(t, size)})
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(h)
	t.Cleanup(srv.Close)
	return srv
}

// The pages of a generated squad of 12 swimmers, 6 runs each on 3 visits: enough
// repeats for the squad's own error.
var smallSeason = seasonSize{swimmers: 12, clips: 6, visits: 3}

const seasonSwimmer = "/swimmer/swimmer00003"

func TestSeasonPages(t *testing.T) {
	srv := serveSeason(t, smallSeason)
	for path, c := range map[string]struct {
		status        int
		must, mustNot []string
	}{
		"/":                                 {200, []string{"Generated", `class="band"`, "Hz", "no consent to filming", "swimmers fits"}, nil},
		"/?limiter=sweep&sort=speed":        {200, []string{"3 swimmers of 12.", "Joren"}, []string{"Edda"}},
		"/?name=mi":                         {200, []string{"2 swimmers of 12.", "Mira"}, nil},
		"/?name=nobody":                     {200, []string{"0 swimmers of 12.", "None of its 12 swimmers fits."}, nil},
		"/?due=consent":                     {200, []string{"12 swimmers of 12."}, nil},
		"/?level=wizard":                    {400, []string{"choose one of beginner, club"}, nil},
		seasonSwimmer:                       {200, []string{"From visit to visit", "whisker", "smallest real change", "4 October 2025", "Every other measure", "retest", "trends.csv"}, []string{`id="trend-knee_range"`}},
		seasonSwimmer + "?trend=knee_range": {200, []string{`id="trend-knee_range"`, `href="?trend=knee_range#trend-knee_range"`}, nil},
		seasonSwimmer + "/retest":           {200, []string{"20 September 2025 against 4 October 2025.", "Verdict", "What to do next", "the squad&#39;s own", "primary", "exploratory", "Conditions side by side", "retest.csv?test=2025-09-20"}, []string{"borrowed"}},
		seasonSwimmer + "/retest?test=2025-09-06&retest=2025-10-04": {200, []string{"6 September 2025 against 4 October 2025."}, nil},
		seasonSwimmer + "/retest?test=2025-10-04&retest=2025-09-06": {400, []string{"must come before the retest"}, nil},
	} {
		resp, page := ask(t, srv.Client(), getRequest(t, srv.URL+path))
		main := page
		if resp.StatusCode != c.status {
			t.Errorf("%s: status %d: %.300s", path, resp.StatusCode, page)
			continue
		}
		for _, want := range c.must {
			if want == "swimmers fits" { // the words of an empty list, which this page must not have
				if strings.Contains(main, want) {
					t.Errorf("%s holds %q", path, want)
				}
				continue
			}
			if !strings.Contains(main, want) {
				t.Errorf("%s lacks %q", path, want)
			}
		}
		for _, not := range append(c.mustNot, "NaN", "%!", "<no value>", "Inf") {
			if strings.Contains(main, not) {
				t.Errorf("%s holds %q", path, not)
			}
		}
	}
}

func getRequest(t *testing.T, address string) *http.Request {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, address, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestSeasonFiles(t *testing.T) {
	srv := serveSeason(t, smallSeason)
	resp, text := ask(t, srv.Client(), getRequest(t, srv.URL+seasonSwimmer+"/retest.csv?test=2025-09-06"))
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) < 50 || rows[1][0] != "speed" || rows[1][2] != "2025-09-06" || !strings.Contains(resp.Header.Get("Content-Disposition"), "retest-swimmer00003-2025-09-06") {
		t.Errorf("%d rows, %v, %s", len(rows), err, resp.Header.Get("Content-Disposition"))
	}
	_, text = ask(t, srv.Client(), getRequest(t, srv.URL+seasonSwimmer+"/retest.json"))
	var d poolside.RetestDocument
	if err := json.Unmarshal([]byte(text), &d); err != nil || d.Test != "2025-09-20" || len(d.Measures) != len(rows)-1 || d.Measures[0].DF != 36 {
		t.Errorf("%v: %.200s", err, text)
	}
	_, text = ask(t, srv.Client(), getRequest(t, srv.URL+seasonSwimmer+"/trends.csv"))
	if all, err := csv.NewReader(strings.NewReader(text)).ReadAll(); err != nil || (len(all)-1)%3 != 0 || len(all) != 1+3*(len(rows)-1) {
		t.Errorf("%d rows of trends for %d measures, %v", len(all), len(rows)-1, err)
	}
}

// TestSeasonInABrowser finds swimmers by keys alone and holds two visits against each
// other; the pages fit a phone and paper.
func TestSeasonInABrowser(t *testing.T) {
	srv := serveSeason(t, smallSeason)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 900))
	b.open(t, "/")
	rows := func() int { return value[int](t, b, `document.querySelectorAll("table.squad tbody tr").length`) }
	if n := rows(); n != 12 {
		t.Fatalf("%d swimmers", n)
	}
	b.shot(t, "squad")
	b.do(t, chromedp.Focus("#find-name"), chromedp.KeyEvent("jor"+kb.Enter))
	b.wait(t, `location.search.includes("name=jor") && document.querySelector("[role=status]")`)
	if n := rows(); n != 2 {
		t.Errorf("%d swimmers named Joren", n)
	}
	b.do(t, chromedp.Focus("#find-limiter"), chromedp.KeyEvent("s"), chromedp.KeyEvent(kb.Tab+kb.Tab+kb.Tab+kb.Tab+kb.Enter))
	b.wait(t, `location.search.includes("limiter=sweep")`)
	if words := value[string](t, b, `document.querySelector("[role=status]").innerText`); words != "1 swimmer of 12." {
		t.Errorf("by keys: %q", words)
	}
	b.open(t, seasonSwimmer)
	b.do(t, chromedp.Click(`a[href$="/retest"]`))
	b.wait(t, `document.querySelector("#retest")`)
	b.shot(t, "retest")
	b.do(t, chromedp.SetValue("#test", "2025-09-06"), chromedp.Click("form.filter button"))
	b.wait(t, `location.search.includes("test=2025-09-06") && document.querySelector("h1 + p").innerText.startsWith("6 September 2025 against")`)
	if !value[bool](t, b, `!document.querySelector("[data-print]").hidden`) {
		t.Error("the retest offers no print")
	}
	fitsPhoneAndPaper(t, b)
	b.check(t)
}

func fitsPhoneAndPaper(t *testing.T, b *browser) {
	t.Helper()
	b.do(t, chromedp.EmulateViewport(390, 844))
	for _, path := range []string{"/", "/?name=jor", seasonSwimmer, seasonSwimmer + "?trend=knee_range", seasonSwimmer + "/retest"} {
		b.open(t, path)
		b.do(t, chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("details").forEach(d => { d.open = true; })`))
		if w := value[int](t, b, "document.documentElement.scrollWidth"); w > 390 {
			t.Errorf("%s is %d px wide on a phone of 390", path, w)
		}
	}
	b.shot(t, "retest-phone")
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}); err != nil {
		t.Fatal(err)
	}
	shown := `(s => [...document.querySelectorAll(s)].some(e => e.getClientRects().length > 0))`
	for selector, want := range map[string]bool{"form": false, "nav": false, "[data-print]": false, ".verdict": true, "#next": true, ".verdicts": true, "#conditions": true} {
		if got := value[bool](t, b, shown+`("`+selector+`")`); got != want {
			t.Errorf("on paper %s is shown: %v", selector, got)
		}
	}
}
