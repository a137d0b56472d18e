package web

import (
	"archive/zip"
	"bytes"
	"html"
	"io/fs"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"underkick/internal/poolside/poolsidetest"
)

var (
	linked   = regexp.MustCompile(`(?:href|src|action|data-[a-z-]+)="(/[^"#]*|\?[^"#]*)`)
	aPicture = regexp.MustCompile(`^/static/|/frame/|/preview/`)
)

// perKind is how many pages of one kind are looked at: those whose addresses differ in ids
// and in the values of a query alone.
const perKind = 2

// eachOne are the kinds of which every page is looked at.
var eachOne = regexp.MustCompile(`^/(swimmer|run|clip|lesson|plan)/ID$`)

var (
	ids    = regexp.MustCompile(`/[0-9a-z]{12}\b`)
	values = regexp.MustCompile(`=[^&]*`)
)

func kindOf(path string) string {
	return values.ReplaceAllString(ids.ReplaceAllString(path, "/ID"), "")
}

// crawl asks for pages and files of every kind that links lead to or scripts of pages ask for,
// beginning with start, and hands each to look: every swimmer, run, clip, lesson and plan
// itself, of other kinds a few. Frames of film and style sheets are left out.
func crawl(t *testing.T, base string, start []string, look func(path string, resp *http.Response, body string)) (pages int) {
	t.Helper()
	var queue []string
	seen, kinds := map[string]bool{}, map[string]int{}
	add := func(path string) {
		if kind := kindOf(path); !seen[path] && (kinds[kind] < perKind || eachOne.MatchString(kind)) {
			seen[path] = true
			kinds[kind]++
			queue = append(queue, path)
		}
	}
	for _, path := range start {
		add(path)
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
			if err != nil || to.Host != resp.Request.URL.Host || aPicture.MatchString(to.Path) {
				continue
			}
			add(to.RequestURI())
		}
		for _, to := range scripts[kindOf(path)] {
			add(strings.Replace(to, "/ID", ids.FindString(path), 1))
		}
	}
	return pages
}

// scripts are what scripts of pages ask for, by the page.
var scripts = map[string][]string{
	"/run/ID/mark":   {"/run/ID/marking.json", "/run/ID/guess.json", "/run/ID/worth.json", "/run/ID/steady.json", "/run/ID/marks.json", "/run/ID/remark-offer.json", "/run/ID/scale/grid.json", "/run/ID/lens/fit.json"},
	"/run/ID":        {"/run/ID/what-if.json", "/run/ID/measures.json", "/run/ID/measures.csv", "/run/ID/kicks.csv", "/run/ID/curves.csv", "/run/ID/stills.html", "/run/ID/sheet", "/run/ID/sheet.html", "/run/ID/clip-out", "/run/ID/practice"},
	"/run/ID/stills": {"/run/ID/still/set.svg", "/run/ID/still/set.png", "/run/ID/still/nothing.png"},
	"/swimmer/ID":    {"/swimmer/ID/retest.csv", "/swimmer/ID/retest.json", "/swimmer/ID/trends.csv", "/swimmer/ID/edit", "/swimmer/ID/erase", "/swimmer/ID/alike", "/swimmer/ID/walls/new", "/swimmer/ID/ladder/new"},
	"/lesson/ID":     {"/lesson/ID/lesson.html", "/lesson/ID/edit"},
	"/plan/ID":       {"/plan/ID/plan.json"},
	"/remark/ID":     {"/remark/ID/blind.json"},
}

// refusals are addresses and forms that are answered with an error page.
func refusals(n poolsidetest.Named) (gets []string, posts map[string]url.Values) {
	who := n.Swimmers[0]
	gets = []string{
		"/nowhere", "/swimmer/nobody", "/run/nobody", "/clip/nobody", "/lesson/nobody", "/plan/nobody", "/job/nobody", "/swimmer/new", "/?name=" + url.QueryEscape(who.Name), "/?name=Zo%C3%AB",
		"/compare?run=nobody", "/clip/" + n.Clips[0] + "/frame/999999.jpg", "/erasing", "/keep", "/walls/" + who.ID, "/practice/own/" + n.Drill, "/" + url.PathEscape(who.Name),
	}
	typed := url.Values{"name": {who.Name}, "typed": {who.Name + "x"}, "swimmer": {who.ID}, "title": {who.Name}, "on": {who.Name}, "notes": {who.Name}, "why": {who.Name}, "path": {who.Name}, "folder": {who.Name}}
	posts = map[string]url.Values{}
	for _, to := range []string{
		"/swimmer/new", "/swimmer/" + who.ID + "/edit", "/swimmer/" + who.ID + "/consent", "/swimmer/" + who.ID + "/growth", "/swimmer/" + who.ID + "/walls/new", "/swimmer/" + who.ID + "/practice",
		"/plan/" + n.Plan, "/lesson/new", "/lesson/" + n.Lesson + "/edit", "/given/" + n.Given + "/change", "/practice/own/" + n.Drill, "/run/" + n.Runs[0] + "/conditions", "/run/" + n.Runs[0] + "/marks-file",
		"/run/" + n.Runs[0] + "/clip-out", "/privacy/film-rule", "/clip/" + n.Clips[0] + "/erase-film", "/keep/backup", "/keep/forget", "/keep/export.zip", "/bring-in", "/clip/" + n.Clips[0] + "/put-right", "/clip/" + n.Clips[0] + "/put-right/run/" + n.Runs[0] + "/aside", "/job/" + n.Job + "/cancel", "/squad/nobody/session",
	} {
		posts[to] = typed
	}
	posts["/swimmer/"+who.ID+"/erase"] = url.Values{"name": {who.Name + "x"}}
	return gets, posts
}

// TestNoPageTellsANameWhileHidden crawls the served demo, in which names stand wherever a
// person can write one: with names shown they are found, with names hidden no page, file,
// answer to a script, refusal, header or line of the log holds one. Backup and export, which
// a person asks for with the real names, are the exceptions: TestExportKeepsNamesWhileHidden.
func TestNoPageTellsANameWhileHidden(t *testing.T) {
	app := demoApp(t)
	named := poolsidetest.NamesEverywhere(t, app)
	var log bytes.Buffer
	pages, err := New(Options{App: app, Log: slog.New(slog.NewTextHandler(&log, &slog.HandlerOptions{Level: slog.LevelInfo}))})
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(pages)
	t.Cleanup(srv.Close)

	_, body := get(t, srv.Client(), srv.URL+"/")
	if found := named.Told(body); len(found) < 2*len(named.Swimmers) {
		t.Fatalf("the first page shows %q while names are shown", found)
	}
	visitor := visitor(t, "127.0.0.1")
	if resp, body := post(t, visitor, srv.URL+"/names", url.Values{"hide": {"yes"}}); resp.StatusCode != http.StatusSeeOther {
		t.Fatalf("hiding names: %d, %s", resp.StatusCode, body)
	}
	visited := map[string]bool{}
	look := func(path string, resp *http.Response, body string) {
		visited[kindOf(strings.SplitN(path, "?", 2)[0])] = true
		for _, header := range []string{"Content-Disposition", "Location"} {
			if found := named.Told(resp.Header.Get(header)); len(found) > 0 {
				t.Errorf("%s of %s tells %q", header, path, found)
			}
		}
		if kind := resp.Header.Get("Content-Type"); strings.HasPrefix(kind, "image/jpeg") || strings.HasPrefix(kind, "image/png") {
			body = "" // whose bytes may spell anything
		}
		if found := named.Told(body); len(found) > 0 {
			t.Errorf("%s tells %q", path, found)
		}
		if strings.Contains(body, `<header class="top">`) && !strings.Contains(body, "Names are hidden") {
			t.Errorf("%s does not say that names are hidden", path)
		}
	}
	gets, posts := refusals(named)
	start := []string{"/", "/job/" + named.Job, "/compare?run=" + named.Runs[0] + "&run=" + named.Runs[len(named.Runs)-1], "/run/" + named.Runs[0] + "/stills"}
	n := crawl(t, srv.URL, append(start, gets...), look)
	for to, form := range posts {
		resp, body := post(t, visitor, srv.URL+to, form)
		if resp.StatusCode >= http.StatusInternalServerError {
			t.Errorf("POST %s is answered %d: %s", to, resp.StatusCode, body)
		}
		look("POST "+to, resp, body)
	}
	for _, must := range []string{
		"/", "/swimmer/ID", "/swimmer/ID/consent", "/swimmer/ID/walls", "/swimmer/ID/practice", "/swimmer/ID/retest", "/swimmer/ID/retest.json", "/run/ID", "/run/ID/mark", "/run/ID/marking.json", "/run/ID/marks.json",
		"/run/ID/measures.csv", "/run/ID/model", "/run/ID/stills", "/run/ID/stills.html", "/run/ID/sheet.html", "/run/ID/what-if.json", "/clip/ID", "/practice", "/practice/own", "/walls", "/plan/ID", "/bring-in", "/privacy",
		"/markers", "/keep", "/compare", "/lesson/ID", "/lesson/ID/edit", "/lesson/ID/lesson.html", "/job/ID",
	} {
		if !visited[must] {
			t.Errorf("the crawl never came to %s", must)
		}
	}
	t.Logf("%d pages of %d kinds", n, len(visited))
	if found := named.Told(log.String()); len(found) > 0 {
		t.Errorf("the log tells %q:\n%s", found, log.String())
	}
	if resp, body := get(t, srv.Client(), srv.URL+"/swimmer/"+named.Swimmers[0].ID+"/edit"); resp.StatusCode != http.StatusConflict || !strings.Contains(body, "Show the names first") {
		t.Errorf("changing facts while names are hidden: %d", resp.StatusCode)
	}
	exportKeepsNames(t, visitor, srv.URL, named)
	if resp, _ := post(t, visitor, srv.URL+"/names", url.Values{"hide": {"no"}}); resp.StatusCode != http.StatusSeeOther {
		t.Fatal("names cannot be shown again")
	}
	if _, body := get(t, srv.Client(), srv.URL+"/"); len(named.Told(body)) < 2*len(named.Swimmers) {
		t.Error("names stay hidden")
	}
}

// exportKeepsNames: an export is asked for with the real names, also while they are hidden.
func exportKeepsNames(t *testing.T, visitor *http.Client, base string, named poolsidetest.Named) {
	t.Helper()
	_, body := post(t, visitor, base+"/keep/export.zip", url.Values{"what": {"all"}})
	z, err := zip.NewReader(strings.NewReader(body), int64(len(body)))
	if err != nil {
		t.Fatalf("no export: %v, %.200s", err, body)
	}
	table, err := fs.ReadFile(z, "swimmers.csv")
	if err != nil || !strings.Contains(string(table), named.Swimmers[0].Name) {
		t.Errorf("an export while names are hidden: %v, %.200s", err, table)
	}
}
