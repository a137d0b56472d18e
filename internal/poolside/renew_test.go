package poolside

import (
	"bytes"
	"database/sql"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"underkick/internal/kick"
	"underkick/internal/record"
	"underkick/internal/report"
)

// finish waits until the background work has ended.
func finish(t *testing.T, app *App) {
	t.Helper()
	if err := app.FinishWork(t.Context()); err != nil {
		t.Fatal(err)
	}
}

// alter changes a closed folder's database to what an older program would have left.
func alter(t *testing.T, dir string, queries ...string) {
	t.Helper()
	db, err := sql.Open("sqlite", filepath.Join(dir, "underkick.db"))
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range queries {
		if _, err := db.ExecContext(t.Context(), q); err != nil {
			t.Fatalf("%s: %v", q, err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}

// reopen closes an app and opens its folder again.
func reopen(t *testing.T, dir string) *App {
	t.Helper()
	app, err := Open(t.Context(), Options{DataDir: dir, NoGuess: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = app.Close() }) // a second close says so
	app.film = openEngine(t)
	return app
}

// Changing what a kept result stands on measures the run again, keeps the older result,
// and says so until it is done; another method does the same at the next start.
func TestAChangedSwimmerIsMeasuredAgain(t *testing.T) {
	skipShort(t)
	ctx, dir := t.Context(), t.TempDir()
	app := reopen(t, dir)
	c := clipNamed(t, "mira-october")
	runID, _ := bringIn(t, app, c)
	marks, err := c.Marks()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.ImportMarks(ctx, runID, "A. Coach", bytes.NewReader(marks), nil); err != nil {
		t.Fatal(err)
	}
	before, err := app.Kick(ctx, runID, 0)
	if err != nil || before.Problem != "" {
		t.Fatalf("%q, %v", before.Problem, err)
	}
	finish(t, app)
	results := func() []record.Result {
		t.Helper()
		list, err := app.store.Results(ctx, runID)
		if err != nil {
			t.Fatal(err)
		}
		return list
	}
	if n, err := app.store.Renewals(ctx); err != nil || len(n) != 0 {
		t.Fatalf("measured, and to be renewed: %v, %v", n, err)
	}

	w := before.Swimmer
	for _, step := range []struct {
		what   string
		change func(w *record.Swimmer)
		input  bool // what is measured stands on it, not only what is said of it
	}{
		{"the same facts", func(*record.Swimmer) {}, false},
		{"notes", func(w *record.Swimmer) { w.Notes = "kicks from the hips" }, false},
		{"sex", func(w *record.Swimmer) { w.Sex = otherSex(w.Sex) }, true},
		{"mass", func(w *record.Swimmer) { w.MassKg, w.MassOn = 71, "2026-10-24" }, true},
		{"height", func(w *record.Swimmer) { w.HeightM, w.HeightOn = 1.81, "2026-10-24" }, true},
	} {
		had := results()
		step.change(&w)
		if _, err := app.UpdateSwimmer(ctx, w); err != nil {
			t.Fatal(err)
		}
		finish(t, app)
		now := results()
		if !step.input {
			if len(now) != len(had) {
				t.Errorf("%s: %d results, had %d", step.what, len(now), len(had))
			}
			continue
		}
		if len(now) <= len(had) || !slices.EqualFunc(now[len(now)-len(had):], had, func(a, b record.Result) bool { return a.ID == b.ID && bytes.Equal(a.Body, b.Body) }) {
			t.Fatalf("%s: %d results, had %d, or an older one changed", step.what, len(now), len(had))
		}
		if now[0].InputHash == had[0].InputHash {
			t.Errorf("%s: the same input hash", step.what)
		}
		if list, err := app.store.Renewals(ctx); err != nil || len(list) != 0 {
			t.Errorf("%s: still to be renewed: %+v, %v", step.what, list, err)
		}
	}
	saysWhileItIsRenewed(t, app, w, runID)
	newMethod(t, app, dir, runID)
}

func otherSex(s record.Sex) record.Sex {
	if s == record.Male {
		return record.Female
	}
	return record.Male
}

// saysWhileItIsRenewed: every page that shows results says that one is being renewed, and
// begins the work by itself.
func saysWhileItIsRenewed(t *testing.T, app *App, w record.Swimmer, runID string) {
	t.Helper()
	ctx := t.Context()
	w.BirthYear = 2009
	if err := app.store.UpdateSwimmer(ctx, w); err != nil { // past the use case, as any other change
		t.Fatal(err)
	}
	page, err := app.Swimmer(ctx, w.ID)
	if err != nil || page.Renewing.Working != 1 || page.Visits[0].Clips[0].Runs[0].Renewing != "being renewed" || page.Visits[0].Clips[0].Runs[0].Sentence == "" {
		t.Errorf("swimmer: %+v, %v", page.Renewing, err)
	}
	finish(t, app)
	if page, err = app.Swimmer(ctx, w.ID); err != nil || page.Renewing.Words() != "" || page.Visits[0].Clips[0].Runs[0].Renewing != "" {
		t.Errorf("swimmer, after: %+v, %v", page.Renewing, err)
	}
	if err := app.store.RenewRuns(ctx, runID); err != nil {
		t.Fatal(err)
	}
	squad, err := app.Squad(ctx)
	if err != nil || squad.Squads[0].Rows[0].Renewing.Working != 1 {
		t.Errorf("squad: %v", err)
	}
	if view, err := app.Trends(ctx, w.ID); err != nil || !strings.Contains(view.Renewing.Words(), "1 result is being renewed") {
		t.Logf("trends came after the renewal: %v, %v", view.Renewing, err)
	}
	finish(t, app)
}

// newMethod: results of another method, and lines made otherwise, are made again at the
// next start, before a page is asked for.
func newMethod(t *testing.T, app *App, dir, runID string) {
	t.Helper()
	had, err := app.store.Results(t.Context(), runID)
	if err != nil {
		t.Fatal(err)
	}
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
	alter(t, dir, `UPDATE result SET method = 'kick/0'`, `UPDATE season_line SET method = 'season/0'`)
	app = reopen(t, dir)
	finish(t, app)
	now, err := app.store.Results(t.Context(), runID)
	if err != nil || len(now) != len(had)+1 || now[0].Method != kick.Method || now[1].Method != "kick/0" {
		t.Errorf("%d results, had %d; the newest by %s; %v", len(now), len(had), now[0].Method, err)
	}
	linesStand(t, app)
}

func linesStand(t *testing.T, app *App) {
	t.Helper()
	squads, err := app.store.Squads(t.Context())
	if err != nil || len(squads) == 0 {
		t.Fatalf("%d squads, %v", len(squads), err)
	}
	for _, q := range squads {
		if ids, stands, err := app.store.SeasonStands(t.Context(), q.ID, seasonMethod); err != nil || len(ids) == 0 || slices.Contains(stands, false) {
			t.Errorf("lines of %s: %v, %v", q.Name, stands, err)
		}
	}
}

// A folder of before there were lines has them before its first page is asked for, and the
// page is right.
func TestAnUpgradedFolderHasItsLines(t *testing.T) {
	for _, version := range []string{"0001", "0009", "0010", "0011"} {
		t.Run(version, func(t *testing.T) {
			dir := t.TempDir()
			text, err := os.ReadFile(filepath.Join("..", "store", "testdata", "schema-"+version+".sql"))
			if err != nil {
				t.Fatal(err)
			}
			var body bytes.Buffer
			if err := report.WriteJSON(&body, measuredAs(1.25)); err != nil {
				t.Fatal(err)
			}
			alter(t, dir, string(text),
				`UPDATE result SET method = '`+kick.Method+`', body = '`+body.String()+`'`)
			if version > "0009" {
				alter(t, dir, `UPDATE result_brief SET body = '`+body.String()+`'`)
			}
			app := reopen(t, dir)
			finish(t, app)
			linesStand(t, app)
			view, err := app.Squad(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			if r := view.Squads[0].Rows[0]; r.Name != "Mira Holm" || r.Measured != 1 || r.Speed == nil || r.Speed.Value != 1.25 || r.LastVisit != "2026-03-09" {
				t.Errorf("row %+v", r)
			}
		})
	}
}

// What cannot be measured again does not hold up the others, is told, and is not tried
// without end.
func TestWhatCannotBeRenewedIsTold(t *testing.T) {
	app := openApp(t)
	w := swims(t, app, record.Swimmer{SquadID: newSquad(t, app), Name: "Ada Quist"}, swimSpec{on: "2026-03-01", speed: 1.2}) // its film is a text
	w.Sex = record.Female
	if _, err := app.UpdateSwimmer(t.Context(), w); err != nil {
		t.Fatal(err)
	}
	finish(t, app)
	page, err := app.Swimmer(t.Context(), w.ID)
	if err != nil || page.Renewing != (Renewing{Stuck: 1}) || !strings.Contains(page.Renewing.Words(), "cannot be measured again now") ||
		!strings.HasPrefix(page.Visits[0].Clips[0].Runs[0].Renewing, "older than a change") {
		t.Errorf("%+v, %v", page.Renewing, err)
	}
	if open, err := app.store.OpenJobs(t.Context()); err != nil || len(open) != 0 {
		t.Errorf("tried again at once: %v, %v", open, err)
	}
}

// When somebody's marking error becomes another one, what that person marked is renewed.
func TestAnotherMarkingErrorRenews(t *testing.T) {
	app := openApp(t)
	squad := newSquad(t, app)
	swims(t, app, record.Swimmer{SquadID: squad, Name: "Ada Quist"}, swimSpec{on: "2026-03-01", speed: 1.2}, swimSpec{on: "2026-03-01", speed: 1.3})
	look := func() int {
		t.Helper()
		app.noticed.looked = false
		if err := app.noticeMarkers(t.Context()); err != nil {
			t.Fatal(err)
		}
		list, err := app.store.Renewals(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return len(list)
	}
	if n := look(); n != 0 {
		t.Errorf("%d to be renewed, though nobody's error changed", n)
	}
	for _, c := range []struct {
		by   string
		want int
	}{{"Somebody", 0}, {"Coach", 2}} { // the fixture's runs are marked by Coach
		if err := app.store.SetSetting(t.Context(), markersSetting, `{"`+c.by+`":[0.004,0.002]}`); err != nil {
			t.Fatal(err)
		}
		if n := look(); n != c.want {
			t.Errorf("%s: %d to be renewed, want %d", c.by, n, c.want)
		}
	}
}
