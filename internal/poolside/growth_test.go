package poolside

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"underkick/internal/record"
	"underkick/internal/store"
)

// TestANewHeightMeasuresAgain measures a run from body height, so that its speed follows
// the height, then erases its film.
func TestANewHeightMeasuresAgain(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	c := clipNamed(t, "mira-october")
	runID, _ := bringIn(t, app, c) // of 24 October 2026, by a swimmer of 1.72 m on a day not noted
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
	w := before.Swimmer
	if words := BodyWords(w); !strings.Contains(words, "1.72\u00a0m (day not noted)") {
		t.Errorf("measured with %q", words)
	}

	if n, err := app.KeepGrowth(ctx, record.Growth{SwimmerID: w.ID, On: "2026-10-20", HeightM: 1.80}); err != nil || n != 1 {
		t.Fatalf("%d runs are measured again, %v", n, err)
	}
	open, err := app.store.OpenJobs(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range open {
		if _, err := app.jobs.Wait(ctx, j.ID); err != nil {
			t.Fatal(err)
		}
	}
	results, err := app.store.Results(ctx, runID)
	if err != nil || len(results) < 2 { // with its worth the same measurement is kept again
		t.Fatalf("%d results, %v", len(results), err)
	}
	speed := func(r record.Result) float64 { return keptMeasure(r.Values, "speed").Value }
	if ratio := speed(results[0]) / speed(results[len(results)-1]); ratio < 1.04 || ratio > 1.05 { // 1.80 / 1.72 = 1.0465
		t.Errorf("the speed went up by %.4f", ratio)
	}
	after, err := app.Kick(ctx, runID, 0)
	if err != nil || !strings.Contains(BodyWords(after.Swimmer), "1.80\u00a0m of 20 October 2026") {
		t.Errorf("measured with %q, %v", BodyWords(after.Swimmer), err)
	}
	if n, err := app.KeepGrowth(ctx, record.Growth{SwimmerID: w.ID, On: "2020-10-20", HeightM: 1.50}); err != nil || n != 0 {
		t.Errorf("a height far from the visit: %d runs, %v", n, err)
	}
	if m, on, err := app.HeightOn(ctx, w.ID, "2021-01-01"); err != nil || m != 1.5 || on != "2020-10-20" {
		t.Errorf("height then: %g of %s, %v", m, on, err)
	}
	erasesTheFilm(t, app, after)
}

// erasesTheFilm: film and pictures go, what was measured stays and is told.
func erasesTheFilm(t *testing.T, app *App, run KickView) {
	ctx := t.Context()
	if _, err := app.Picture(ctx, run.Clip.ID, 3); err != nil {
		t.Fatal(err)
	}
	if err := app.EraseFilm(ctx, run.Clip.ID); err != nil {
		t.Fatal(err)
	}
	err := filepath.WalkDir(app.DataDir(), func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() && (strings.HasSuffix(path, ".mp4") || strings.HasSuffix(path, ".jpg") || strings.Contains(path, run.Clip.Hash)) {
			t.Errorf("left of the film: %s", path)
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
	view, err := app.Kick(ctx, run.Run.ID, 0)
	if err != nil || !strings.Contains(view.Problem, "was erased on") || !strings.Contains(view.Problem, run.Finding.Sentence) {
		t.Errorf("the kick page says %q, %v", view.Problem, err)
	}
	if _, err := app.Picture(ctx, run.Clip.ID, 3); !errors.Is(err, ErrInput) {
		t.Errorf("a picture of it: %v", err)
	}
	if err := app.EraseFilm(ctx, run.Clip.ID); !errors.Is(err, ErrInput) {
		t.Errorf("erased twice: %v", err)
	}
	swimmer, err := app.Swimmer(ctx, run.Swimmer.ID)
	if err != nil || swimmer.Sentence == "" {
		t.Errorf("the finding is gone: %+v, %v", swimmer, err)
	}
}

func TestWhatIsDue(t *testing.T) {
	film := func(on record.Date) store.FilmKept {
		return store.FilmKept{Clip: record.Clip{ID: string(on)}, On: on}
	}
	films := []store.FilmKept{film("2025-01-31"), film("2026-03-01")}
	parent := record.Consent{As: record.ByParent, On: "2024-01-01", For: []record.Purpose{record.ForFilming}}
	ended := parent
	ended.Until = "2026-05-31"
	withdrawn := parent
	withdrawn.Withdrawn = "2026-04-10"
	mistake := parent
	mistake.Withdrawn = mistake.On
	own := record.Consent{As: record.BySwimmer, On: "2024-01-01", For: []record.Purpose{record.ForFilming}}
	squadOnly := record.Consent{As: record.ByParent, On: "2024-01-01", Until: "2024-12-31", For: []record.Purpose{record.ForSquad}}
	for name, c := range map[string]struct {
		months   int
		born     int
		consents []record.Consent
		on       record.Date
		ended    record.Date
		since    []record.Date
	}{
		"no rule, no consent":             {0, 2011, nil, "2026-11-25", "", nil},
		"a month's rule, the day before":  {1, 2011, []record.Consent{parent}, "2025-02-27", "", nil},
		"a month's rule, the day":         {1, 2011, []record.Consent{parent}, "2025-02-28", "", []record.Date{"2025-02-28"}},
		"both due by the rule":            {6, 2011, []record.Consent{parent}, "2026-11-25", "", []record.Date{"2025-07-31", "2026-09-01"}},
		"consent counts":                  {0, 2011, []record.Consent{parent}, "2026-11-25", "", nil},
		"consent ended":                   {0, 2011, []record.Consent{ended}, "2026-11-25", "2026-06-01", []record.Date{"2026-06-01", "2026-06-01"}},
		"on its last day":                 {0, 2011, []record.Consent{ended}, "2026-05-31", "", nil},
		"withdrawn, rule earlier for one": {6, 2011, []record.Consent{withdrawn}, "2026-05-01", "2026-04-10", []record.Date{"2025-07-31", "2026-04-10"}},
		"withdrawn, another stands":       {0, 2011, []record.Consent{withdrawn, parent}, "2026-11-25", "", nil},
		"the later end of two":            {0, 2011, []record.Consent{withdrawn, ended}, "2026-11-25", "2026-06-01", []record.Date{"2026-06-01", "2026-06-01"}},
		"withdrawn on its first day":      {0, 2011, []record.Consent{mistake}, "2026-11-25", "2024-01-01", []record.Date{"2024-01-01", "2024-01-01"}},
		"of age, the parent's ran out":    {0, 2006, []record.Consent{parent}, "2026-11-25", "2025-01-01", []record.Date{"2025-01-01", "2025-01-01"}},
		"of age, own consent since":       {0, 2006, []record.Consent{parent, {As: record.BySwimmer, On: "2025-02-01", For: parent.For}}, "2026-11-25", "", nil},
		"a minor's own never counted":     {0, 2011, []record.Consent{own}, "2026-11-25", "", nil},
		"never for filming":               {0, 2011, []record.Consent{squadOnly}, "2026-11-25", "", nil},
		"one that begins only later":      {0, 2011, []record.Consent{{As: record.ByParent, On: "2027-01-01", For: parent.For}}, "2026-11-25", "", nil},
	} {
		due := dueOf(record.Squad{FilmMonths: c.months}, record.Swimmer{BirthYear: c.born}, films, c.consents, c.on)
		var since []record.Date
		for _, f := range due.Films {
			since = append(since, f.Since)
			if f.Why == "" {
				t.Errorf("%s: due without a reason", name)
			}
		}
		if due.Ended != c.ended || len(since) != len(c.since) {
			t.Errorf("%s: ended %q, films due since %v", name, due.Ended, since)
			continue
		}
		for i := range since {
			if since[i] != c.since[i] {
				t.Errorf("%s: films due since %v, want %v", name, since, c.since)
			}
		}
	}
}

// Nothing is erased by itself: what is due is only named.
func TestDueOnlyNames(t *testing.T) {
	ctx, app := t.Context(), openApp(t)
	id := minor(t, app)
	w, err := app.store.Swimmer(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	visit, err := app.store.AddVisit(ctx, record.Visit{SquadID: w.SquadID, On: record.DateOf(time.Now()).AddMonths(-13), Pool: "Old Baths"})
	if err != nil {
		t.Fatal(err)
	}
	clip, err := app.store.ImportClip(ctx, strings.NewReader("film"), "a.mp4", record.Clip{VisitID: visit.ID, SwimmerID: id})
	if err != nil {
		t.Fatal(err)
	}
	due := func() []DueSwimmer {
		t.Helper()
		view, err := app.Due(ctx)
		if err != nil {
			t.Fatal(err)
		}
		return view.Swimmers
	}
	if list := due(); len(list) != 0 {
		t.Errorf("due without a rule: %+v", list)
	}
	if err := app.SetFilmRule(ctx, w.SquadID, 12); err != nil {
		t.Fatal(err)
	}
	list := due()
	if len(list) != 1 || len(list[0].Films) != 1 || list[0].Films[0].Clip.ID != clip.ID || list[0].Films[0].Why != "the squad keeps film 12 months" {
		t.Fatalf("due by the rule: %+v", list)
	}
	if _, err := os.Stat(app.store.ClipPath(clip)); err != nil {
		t.Errorf("erased by itself: %v", err)
	}
	if err := app.EraseFilm(ctx, clip.ID); err != nil {
		t.Fatal(err)
	}
	if list := due(); len(list) != 0 {
		t.Errorf("due after it was erased: %+v", list)
	}
	var faults record.Faults
	if err := app.SetFilmRule(ctx, w.SquadID, -1); !errors.As(err, &faults) {
		t.Errorf("a rule of -1 months: %v", err)
	}
}
