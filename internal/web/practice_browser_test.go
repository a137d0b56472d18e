package web

import (
	"fmt"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
)

// practiceApp serves a squad without film and returns the ids of its swimmers.
func practiceApp(t *testing.T, swimmers int) (app *poolside.App, srv *httptest.Server, squad string, ids []string) {
	t.Helper()
	ctx := t.Context()
	app, err := poolside.Open(ctx, poolside.Options{DataDir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := app.Close(); err != nil {
			t.Error(err)
		}
	})
	if squad, err = app.AddSquad(ctx, record.Squad{Name: "Quiet Lane"}); err != nil {
		t.Fatal(err)
	}
	for i := range swimmers {
		id, _, err := app.AddSwimmer(ctx, record.Swimmer{SquadID: squad, Name: fmt.Sprintf("Ada Quist %d", i+1), Level: record.Club, BirthYear: time.Now().Year() - 12 - i%6})
		if err != nil {
			t.Fatal(err)
		}
		ids = append(ids, id)
	}
	pages, err := New(Options{App: app})
	if err != nil {
		t.Fatal(err)
	}
	srv = httptest.NewServer(pages)
	t.Cleanup(srv.Close)
	return app, srv, squad, ids
}

// TestPracticeInABrowser gives a drill of the coach's own making, sees it on the
// swimmer's page and the session sheet, ends it and takes the end back.
func TestPracticeInABrowser(t *testing.T) {
	_, srv, squad, ids := practiceApp(t, 2)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 1400))
	text := func(selector string) string {
		return value[string](t, b, fmt.Sprintf("document.querySelector(%q)?.innerText ?? ''", selector))
	}

	b.open(t, "/practice/own/new?from=quiet-hands")
	b.do(t, chromedp.SetValue("#title", "Quieter hands"), chromedp.SetValue("#how", "Swim it as far as you can."), chromedp.Click("form.plain button.go"))
	b.wait(t, `document.querySelector("#wrong-how")`)
	if got := text("#wrong-how"); !strings.Contains(got, "without breathing") {
		t.Errorf("an airless aim is answered by %q", got)
	}
	b.do(t, chromedp.SetValue("#how", "Five kicks.\nFloat level."), chromedp.Click("form.plain button.go"))
	b.wait(t, `location.pathname === "/practice/own" && document.querySelector("article")`)

	page := "/swimmer/" + ids[0] + "/practice"
	b.open(t, page)
	b.do(t, chromedp.Evaluate[chromedp.Void](`(() => { const s = document.querySelector("#other"); s.value = [...s.options].find((o) => o.text.startsWith("Quieter hands")).value; })()`), chromedp.SetValue("#by", "R. Alder"), chromedp.Click("#give button.go"))
	b.wait(t, `document.querySelector("#wrong-why")`)
	b.do(t, chromedp.SetValue("#why", "her hands swing"), chromedp.SetValue("#notes", "lane 2"), chromedp.Click("#give button.go"))
	b.wait(t, `document.querySelector("article .facts")`)
	if got := text("article"); !strings.Contains(got, "Quieter hands") || !strings.Contains(got, "35 days left") || !strings.Contains(got, "lane 2") || !strings.Contains(got, "her hands swing") || !strings.Contains(got, "Given by R. Alder.") {
		t.Errorf("given: %s", got)
	}
	if got := value[string](t, b, `document.querySelector("#by").value`); got != "R. Alder" {
		t.Errorf("the next is proposed as given by %q", got)
	}
	b.shot(t, "practising")

	b.open(t, "/squad/"+squad+"/session")
	if got := text("main"); !strings.Contains(got, "1. Quieter hands") || !strings.Contains(got, "Ada Quist 1: lane 2") || !strings.Contains(got, "Nothing given: Ada Quist 2") || !strings.Contains(got, "small float (1)") {
		t.Errorf("session: %s", got)
	}
	b.shot(t, "session")

	b.open(t, page)
	b.do(t, chromedp.Click("article details summary"), chromedp.Click(`article form[action$="/end"] button`))
	b.wait(t, `document.querySelector("#past")`)
	if got := text("main"); !strings.Contains(got, "Nothing is practised now.") || !strings.Contains(got, "Quieter hands") {
		t.Errorf("ended: %s", got)
	}
	b.do(t, chromedp.Click(".rows details summary"), chromedp.Click(`.rows form[action$="/again"] button`))
	b.wait(t, `document.querySelector("article .facts") && !document.querySelector("#past")`)

	b.do(t, chromedp.EmulateViewport(390, 844))
	for _, path := range []string{page, page + "/weeks", "/practice", "/practice/drill/quiet-hands", "/practice/own", "/practice/own/new", "/squad/" + squad + "/session", "/squad/" + squad + "/retests"} {
		b.open(t, path)
		if over := value[int](t, b, "document.documentElement.scrollWidth - innerWidth"); over > 0 {
			t.Errorf("%s is %d px too wide for a phone", path, over)
		}
	}
	b.check(t, "422") // the two refusals above
}

// TestCautionsStandOnEverySheet prints every page of practice and reads every sheet:
// text that can be taken out, with all cautions on each, however many there are.
func TestCautionsStandOnEverySheet(t *testing.T) {
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("no pdftotext on this machine; poppler-utils has it")
	}
	app, srv, squad, ids := practiceApp(t, 12)
	drills := practice.Library()
	for i, id := range ids {
		var some []string
		for k := range 4 {
			some = append(some, drills[(i*2+k*9)%len(drills)].ID)
		}
		for _, d := range some { // one for older swimmers is refused, the others stay
			if _, err := app.Give(t.Context(), poolside.Giving{SwimmerID: id, Drills: []string{d}, Why: "to fill the sheet", Notes: "lane 3"}); err != nil && !strings.Contains(err.Error(), "is for swimmers from") {
				t.Fatal(err)
			}
		}
	}
	own := record.OwnDrill{Drill: drills[5], CopyOf: drills[5].ID}
	own.ID = ""
	kept, err := app.KeepDrill(t.Context(), own)
	if err != nil {
		t.Fatal(err)
	}
	b := newBrowser(t, srv.URL)
	for _, c := range []struct {
		path  string
		least int // sheets
		must  string
	}{
		{"/practice", 5, "Finish in front"},
		{"/practice?serves=tempo", 1, "Tempo ladder"},
		{"/swimmer/" + ids[0] + "/practice", 1, "Retest on"},
		{"/swimmer/" + ids[0] + "/practice/weeks", 1, "week by week"},
		{"/swimmer/" + ids[11] + "/practice/weeks", 1, "week by week"},
		{"/practice/drill/kneel-and-lean", 1, "Not with knee pain"},
		{"/squad/" + squad + "/session", 2, "Who goes where"},
		{"/squad/" + squad + "/session?swimmers=", 1, "Nobody of these"},
		{"/squad/" + squad + "/retests", 1, "Ada Quist 1"},
		{"/practice/own", 1, own.Title},
		{"/practice/own/new", 1, "A drill of your own"},
		{"/practice/own/" + kept.ID, 1, own.Title},
	} {
		sheetsCarryCautions(t, printed(t, b, reader, c.path), c.path, c.least, c.must)
	}
	// The choice for a finding is printed from the fixture, which needs no film.
	f := serve(t, newFixture(t), Options{})
	b.base = f.URL
	sheetsCarryCautions(t, printed(t, b, reader, "/run/r1/practice"), "/run/r1/practice", 2, "Point late")
}

// printed returns the text of every sheet of a page's print-out.
func printed(t *testing.T, b *browser, reader, path string) []string {
	t.Helper()
	b.open(t, path)
	pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF())
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "sheet.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := exec.CommandContext(t.Context(), reader, "-enc", "UTF-8", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
}

func sheetsCarryCautions(t *testing.T, sheets []string, path string, least int, must string) {
	t.Helper()
	if len(sheets) < least || !strings.Contains(strings.Join(sheets, "\n"), must) {
		t.Errorf("%s: %d sheets, want %d at least and %q", path, len(sheets), least, must)
	}
	for i, sheet := range sheets {
		words := strings.Join(strings.Fields(sheet), " ")
		for _, caution := range poolside.PracticeCautions() {
			if !strings.Contains(words, caution) {
				t.Errorf("%s: sheet %d of %d lacks %q", path, i+1, len(sheets), caution)
			}
		}
	}
}

// TestWeeksFitOneSheet: four drills over the longest time there is stand on one sheet.
func TestWeeksFitOneSheet(t *testing.T) {
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("no pdftotext on this machine; poppler-utils has it")
	}
	app, srv, _, ids := practiceApp(t, 6)
	adult := ids[5] // 17
	for i, drills := range [][]string{{"fins-slow"}, {"tops-then-soles"}, {"against-the-cord", "hip-open-close"}} {
		from := record.Date(time.Now().Format(time.DateOnly)).AddDays(7 * (i - 1))
		if _, err := app.Give(t.Context(), poolside.Giving{SwimmerID: adult, Drills: drills, Why: "to fill the sheet", Weeks: practice.MostWeeks, From: from, Notes: "lane 3", By: "R. Alder"}); err != nil {
			t.Fatal(err)
		}
	}
	b := newBrowser(t, srv.URL)
	path := "/swimmer/" + adult + "/practice/weeks"
	sheets := printed(t, b, reader, path)
	sheetsCarryCautions(t, sheets, path, 1, "Given by R. Alder")
	words := strings.Join(sheets, " ")
	if len(sheets) != 1 || strings.Count(words, "film again") != 4 || strings.Count(words, "this week") != 1 {
		t.Errorf("%d sheets, want one with four retests:\n%s", len(sheets), words)
	}
}

// TestPracticeFromAFinding gives what the rules propose for a measured run, changes it and
// ends it, as a coach would on the pages.
func TestPracticeFromAFinding(t *testing.T) {
	srv, _ := demoPages(t)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 1400))
	text := func(selector string) string {
		return value[string](t, b, fmt.Sprintf("document.querySelector(%q)?.innerText ?? ''", selector))
	}
	b.open(t, "/")
	b.do(t, chromedp.Evaluate[chromedp.Void](`(() => { location.href = [...document.querySelectorAll("main a")].find((a) => a.innerText.trim() === "Mira Tallow").href; })()`))
	b.wait(t, `document.querySelector("h1")?.innerText === "Mira Tallow"`)
	b.do(t, chromedp.Evaluate[chromedp.Void](`(() => { location.href = document.querySelector('a[href^="/run/"]').getAttribute("href").split("/mark")[0] + "/practice"; })()`))
	b.wait(t, `document.querySelector('input[name="drill"]')`)
	if got := text("main"); !strings.Contains(got, "Before any kicking under water.") || !strings.Contains(got, "so the line through the water is practised.") {
		t.Errorf("proposed: %s", got)
	}
	title := text("article h2")
	b.do(t, chromedp.Click(`input[name="drill"]`), chromedp.SetValue("#by", "R. Alder"), chromedp.SetValue("#weeks", "6"), chromedp.Click("#give button.go"))
	b.wait(t, `location.pathname.endsWith("/practice") && document.querySelector("article .facts") && document.querySelector("#now")`)
	if got := text("article"); !strings.Contains(got, "42 days left") || !strings.Contains(got, "Given by R. Alder.") || !strings.Contains(got, "This week") || !strings.HasPrefix(title, strings.Split(text("article h3"), "\n")[0][:8]) {
		t.Errorf("given %q: %s", title, got)
	}
	b.do(t, chromedp.Click("article details summary"), chromedp.SetValue(`article input[name="repeats"]`, "99"), chromedp.Click(`article form[action$="/change"] button`))
	b.wait(t, `document.querySelector("article .wrong")`)
	if got := text("article .wrong"); !strings.Contains(got, "more than this drill gives") {
		t.Errorf("99 repeats are answered by %q", got)
	}
	b.do(t, chromedp.SetValue(`article input[name="repeats"]`, "2"), chromedp.SetValue(`article input[name="weeks"]`, "4"), chromedp.SetValue(`article input[name="by"]`, "B. Lane"), chromedp.Click(`article form[action$="/change"] button`))
	b.wait(t, `document.querySelector("article")?.innerText.includes("28 days left")`)
	if got := text("article"); !strings.Contains(got, "2 x ") || !strings.Contains(got, "Given by R. Alder.") {
		t.Errorf("changed: %s", got)
	}
	b.open(t, value[string](t, b, `document.querySelector('a[href$="/practice/weeks"]').getAttribute("href")`))
	if got := text("main"); strings.Count(got, "film again") != 1 || !strings.Contains(got, "this week") || !strings.Contains(got, "Before any kicking under water.") {
		t.Errorf("week by week: %s", got)
	}
	b.shot(t, "weeks")
	b.open(t, value[string](t, b, `document.querySelector('.actions a').getAttribute("href")`))
	b.do(t, chromedp.Click("article details summary"), chromedp.Click(`article form[action$="/end"] button`))
	b.wait(t, `document.querySelector("#past")`)
	if got := text("main"); !strings.Contains(got, "Nothing is practised now.") || !strings.Contains(got, "by B. Lane") && !strings.Contains(value[string](t, b, "document.body.textContent"), "by B. Lane") {
		t.Errorf("ended: %s", got)
	}
	b.check(t, "422") // the refusal above
}
