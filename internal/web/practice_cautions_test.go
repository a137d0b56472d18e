package web

import (
	"html"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
)

// doseOnPage is how much to practise.
var doseOnPage = regexp.MustCompile(`\d+ x \d+ (?:kicks?|s)\b|\d+ times a week|once a week`)

// TestCautionsStandWhereverADoseDoes goes through every page that links lead to: one that
// says how much to practise carries every caution, in the open and not in what can be folded
// away.
func TestCautionsStandWhereverADoseDoes(t *testing.T) {
	app, srv, squad, ids := practiceApp(t, 3)
	give := func(swimmer string, drills ...string) {
		t.Helper()
		if _, err := app.Give(t.Context(), poolside.Giving{SwimmerID: swimmer, Drills: drills, Why: "to fill the pages", By: "R. Alder"}); err != nil {
			t.Fatal(err)
		}
	}
	give(ids[0], "quiet-hands", "rock-on-the-mat")
	give(ids[1], "upright-quick")
	d := practice.Library()[5]
	own := record.OwnDrill{Drill: d, CopyOf: d.ID}
	own.ID = ""
	if _, err := app.KeepDrill(t.Context(), own); err != nil {
		t.Fatal(err)
	}
	pages := map[string]string{}
	crawl(t, srv.URL, []string{"/", "/swimmer/" + ids[0] + "/practice", "/swimmer/" + ids[0] + "/practice/weeks"}, func(path string, resp *http.Response, body string) {
		if strings.HasPrefix(resp.Header.Get("Content-Type"), "text/html") && resp.StatusCode == http.StatusOK {
			pages[path] = html.UnescapeString(body)
		}
	})
	for _, must := range []string{"/practice", "/practice/own", "/swimmer/" + ids[0], "/swimmer/" + ids[0] + "/practice", "/swimmer/" + ids[0] + "/practice/weeks", "/squad/" + squad + "/session", "/practice/drill/quiet-hands"} {
		if !doseOnPage.MatchString(pages[must]) {
			t.Errorf("%s was not found, or says no dose", must)
		}
	}
	found := 0
	for path, page := range pages {
		if !doseOnPage.MatchString(page) && !strings.HasPrefix(path, "/practice") {
			continue
		}
		found++
		open := foldedAway.ReplaceAllString(page, "")
		for _, caution := range poolside.PracticeCautions() {
			if !strings.Contains(open, caution) {
				t.Errorf("%s lacks %q", path, caution)
			}
		}
	}
	if library := len(practice.Library()); found < library+8 {
		t.Errorf("%d pages of practice found, want each of %d drills and more", found, library)
	}
}

// foldedAway is what a page keeps folded.
var foldedAway = regexp.MustCompile(`(?s)<details.*?</details>`)
