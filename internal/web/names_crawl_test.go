package web

import (
	"html"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

var (
	linked    = regexp.MustCompile(`(?:href|src|action)="([^"#]*)`)
	scripted  = regexp.MustCompile(`^/run/[^/]+/mark$`)
	aPicture  = regexp.MustCompile(`\.(jpg|png|wav|mp4|css|js|svg)$`)
	leadsAway = regexp.MustCompile(`/(pdf|print)$`)
)

// perKind is how many pages of one kind are looked at: those whose addresses differ in ids
// and in the values of a query alone.
const perKind = 2

var (
	ids    = regexp.MustCompile(`/[0-9a-z]{12}\b`)
	values = regexp.MustCompile(`=[^&]*`)
)

func kindOf(path string) string {
	return values.ReplaceAllString(ids.ReplaceAllString(path, "/ID"), "")
}

// crawl asks for pages of every kind that links lead to, beginning with the first page, and
// hands each to look. Pictures and style sheets are left out; what a script of a page asks
// for is not.
func crawl(t *testing.T, base string, look func(path string, resp *http.Response, body string)) (pages int) {
	t.Helper()
	queue, seen, kinds := []string{"/"}, map[string]bool{"/": true}, map[string]int{}
	add := func(path string) {
		if kind := kindOf(path); !seen[path] && kinds[kind] < perKind {
			seen[path] = true
			kinds[kind]++
			queue = append(queue, path)
		}
	}
	for len(queue) > 0 {
		path := queue[0]
		queue = queue[1:]
		resp, body := get(t, http.DefaultClient, base+path)
		if resp.StatusCode >= http.StatusInternalServerError {
			t.Errorf("%s is answered %d", path, resp.StatusCode)
		}
		look(path, resp, body)
		pages++
		if !strings.HasPrefix(resp.Header.Get("Content-Type"), "text/html") {
			continue
		}
		for _, m := range linked.FindAllStringSubmatch(body, -1) {
			to, err := resp.Request.URL.Parse(html.UnescapeString(m[1]))
			if err != nil || to.Host != resp.Request.URL.Host || aPicture.MatchString(to.Path) || leadsAway.MatchString(to.Path) {
				continue
			}
			add(to.RequestURI())
		}
		if scripted.MatchString(path) {
			run := strings.TrimSuffix(path, "/mark")
			for _, file := range []string{"/marking.json", "/guess.json", "/worth.json", "/steady.json", "/marks.json"} {
				add(run + file)
			}
		}
	}
	return pages
}

// namesIn returns the words of real names that a text holds as words; Marsh alone is a pool
// of the demo too and is looked for only with its first name.
func namesIn(text string, names []string) []string {
	var found []string
	for _, name := range names {
		for _, word := range append(strings.Fields(strings.TrimSuffix(name, " Marsh")), name) {
			if regexp.MustCompile(`(?i)(^|[^\pL])` + regexp.QuoteMeta(word) + `($|[^\pL])`).MatchString(text) {
				found = append(found, word)
			}
		}
	}
	return found
}

// TestNoPageTellsANameWhileHidden crawls the served demo: with names shown they are found,
// with names hidden no page, file or header holds one.
func TestNoPageTellsANameWhileHidden(t *testing.T) {
	app := demoApp(t)
	swimmers, err := app.AllSwimmers(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, w := range swimmers {
		names = append(names, w.Name)
		writeNameEverywhere(t, app, w.ID)
	}
	pages, err := New(Options{App: app})
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(pages)
	t.Cleanup(srv.Close)

	_, body := get(t, srv.Client(), srv.URL+"/")
	if found := namesIn(body, names); len(found) != 3*len(names)-1 {
		t.Fatalf("the first page shows %q while names are shown", found)
	}
	if resp, body := post(t, visitor(t, "127.0.0.1"), srv.URL+"/names", url.Values{"hide": {"yes"}}); resp.StatusCode != http.StatusSeeOther {
		t.Fatalf("hiding names: %d, %s", resp.StatusCode, body)
	}
	visited := map[string]bool{}
	n := crawl(t, srv.URL, func(path string, resp *http.Response, body string) {
		visited[kindOf(strings.SplitN(path, "?", 2)[0])] = true
		headers := resp.Header.Get("Content-Disposition") + " " + resp.Header.Get("Location")
		if found := namesIn(path+" "+headers+" "+body, names); len(found) > 0 {
			t.Errorf("%s tells %q", path, found)
		}
		if strings.Contains(body, `<header class="top">`) && !strings.Contains(body, "Names are hidden") {
			t.Errorf("%s does not say that names are hidden", path)
		}
	})
	for _, must := range []string{"/", "/swimmer/ID", "/swimmer/ID/consent", "/swimmer/ID/walls", "/run/ID", "/run/ID/mark", "/run/ID/marking.json", "/run/ID/marks.json", "/run/ID/measures.csv", "/run/ID/model", "/clip/ID", "/practice", "/walls", "/bring-in", "/privacy", "/markers"} {
		if !visited[must] {
			t.Errorf("the crawl never came to %s", must)
		}
	}
	t.Logf("%d pages of %d kinds", n, len(visited))
	if resp, body := get(t, srv.Client(), srv.URL+"/swimmer/"+swimmers[0].ID+"/edit"); resp.StatusCode != http.StatusConflict || !strings.Contains(body, "Show the names first") {
		t.Errorf("changing facts while names are hidden: %d", resp.StatusCode)
	}
	if resp, _ := post(t, visitor(t, "127.0.0.1"), srv.URL+"/names", url.Values{"hide": {"no"}}); resp.StatusCode != http.StatusSeeOther {
		t.Fatal("names cannot be shown again")
	}
	if _, body := get(t, srv.Client(), srv.URL+"/"); len(namesIn(body, names)) != 3*len(names)-1 {
		t.Error("names stay hidden")
	}
}

// writeNameEverywhere writes a swimmer's name into what people write: the notes on the
// swimmer, the equipment and the notes of every run, a consent.
func writeNameEverywhere(t *testing.T, app *poolside.App, swimmerID string) {
	t.Helper()
	ctx := t.Context()
	view, err := app.Swimmer(ctx, swimmerID)
	if err != nil {
		t.Fatal(err)
	}
	w := view.Swimmer
	w.Notes = w.Name + " swims butterfly."
	if _, err := app.UpdateSwimmer(ctx, w); err != nil {
		t.Fatal(err)
	}
	parent := record.Consent{SwimmerID: w.ID, GivenBy: "Ada " + w.Name, As: record.ByParent, For: record.Purposes(), Notes: "for " + w.Name}
	if _, err := app.AddConsent(ctx, parent); err != nil {
		t.Fatal(err)
	}
	for _, v := range view.Visits {
		for _, c := range v.Clips {
			for _, r := range c.Runs {
				run := r.Run
				run.Notes = "for " + w.Name
				run.Equipment = "fins of " + strings.Fields(w.Name)[0]
				if err := app.UpdateRun(ctx, run); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}
