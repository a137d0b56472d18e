package poolside

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/record"
	"underkick/internal/report"
)

// swimSpec is one measured run of a made-up swimmer.
type swimSpec struct {
	on     record.Date
	speed  float64
	effort record.Effort
	word   string
}

// measuredAs is a result with a few measures of a given speed.
func measuredAs(speed float64) *kick.Result {
	r := &kick.Result{Method: kick.Method, Steady: true, Verdicts: true, Counted: 6}
	for id, v := range map[string]float64{"speed": speed, "kick_frequency": 2, "facing": 0.2, "sweep": 0.5, "build": 1.2, "kick_length": speed / 2} {
		d, _ := report.Definition(id)
		r.Summary = append(r.Summary, kick.Measure{ID: id, Unit: d.Unit, Value: v, SD: 0.02 * v, N: 6, Low: 0.98 * v, High: 1.02 * v})
	}
	return r
}

// swims adds a swimmer with measured runs; the visits are made as they come.
func swims(t *testing.T, app *App, w record.Swimmer, runs ...swimSpec) record.Swimmer {
	t.Helper()
	ctx := t.Context()
	w, err := app.store.AddSwimmer(ctx, w)
	if err != nil {
		t.Fatal(err)
	}
	for i, spec := range runs {
		visits, err := app.store.Visits(ctx, w.SquadID)
		if err != nil {
			t.Fatal(err)
		}
		at := slices.IndexFunc(visits, func(v record.Visit) bool { return v.On == spec.on })
		if at < 0 {
			v, err := app.store.AddVisit(ctx, record.Visit{SquadID: w.SquadID, On: spec.on})
			if err != nil {
				t.Fatal(err)
			}
			visits, at = append(visits, v), len(visits)
		}
		clip, err := app.store.ImportClip(ctx, strings.NewReader(fmt.Sprint(w.ID, i)), "c.mp4", record.Clip{VisitID: visits[at].ID, SwimmerID: w.ID})
		if err != nil {
			t.Fatal(err)
		}
		effort := spec.effort
		if effort == "" {
			effort = record.Max
		}
		run, err := app.store.AddRun(ctx, record.Run{
			ClipID: clip.ID, SwimmerID: w.ID, ToFrame: 99, Effort: effort, Start: record.PushOff, Position: record.Prone, MarkedBy: "Coach",
		})
		if err != nil {
			t.Fatal(err)
		}
		keepMeasured(t, app, run.ID, spec)
	}
	return w
}

func keepMeasured(t *testing.T, app *App, runID string, spec swimSpec) {
	t.Helper()
	r := measuredAs(spec.speed)
	var body bytes.Buffer
	if err := report.WriteJSON(&body, r); err != nil {
		t.Fatal(err)
	}
	kept := record.Result{RunID: runID, Method: r.Method, InputHash: fmt.Sprint(spec.speed), Word: spec.word, Sentence: "A sentence.", Body: body.Bytes()}
	for _, m := range r.Summary {
		kept.Values = append(kept.Values, record.Value{Measure: m.ID, Unit: m.Unit, Value: m.Value, SD: m.SD, Low: m.Low, High: m.High, N: m.N})
	}
	if _, err := app.store.AddResult(t.Context(), kept); err != nil {
		t.Fatal(err)
	}
}

func newSquad(t *testing.T, app *App) string {
	t.Helper()
	id, err := app.AddSquad(t.Context(), record.Squad{Name: "Quiet Lane"})
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func names(v SquadView) (list []string) {
	for _, s := range v.Squads {
		for _, r := range s.Rows {
			list = append(list, r.Name)
		}
	}
	return list
}

func TestSquadListFindsAndSorts(t *testing.T) {
	app := openApp(t)
	squad := newSquad(t, app)
	recent := record.Date(today()).AddDays(-10)
	old := record.Date(today()).AddDays(-90)
	ada := swims(t, app, record.Swimmer{SquadID: squad, Name: "Ada Quist", Level: record.Club, BirthYear: 2012}, swimSpec{on: old, speed: 1.2, word: "facing"}, swimSpec{on: recent, speed: 1.3, word: "build"})
	zoe := swims(t, app, record.Swimmer{SquadID: squad, Name: "Zoë Lind", Level: record.National, BirthYear: 2000}, swimSpec{on: old, speed: 1.6, word: "none stands out"})
	swims(t, app, record.Swimmer{SquadID: squad, Name: "Wim Adams", Level: record.Club})
	consent := record.Consent{SwimmerID: ada.ID, GivenBy: "A. Quist", As: record.ByParent, On: old, Until: record.Date(today()).AddDays(20), For: []record.Purpose{record.ForFilming}}
	if _, err := app.AddConsent(t.Context(), consent); err != nil {
		t.Fatal(err)
	}
	consent = record.Consent{SwimmerID: zoe.ID, GivenBy: "Zoë Lind", As: record.BySwimmer, On: old, For: []record.Purpose{record.ForFilming}}
	if _, err := app.AddConsent(t.Context(), consent); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		q    SquadQuery
		want []string
	}{
		"all":               {SquadQuery{}, []string{"Ada Quist", "Wim Adams", "Zoë Lind"}},
		"begins a word":     {SquadQuery{Name: "ada"}, []string{"Ada Quist", "Wim Adams"}},
		"accents aside":     {SquadQuery{Name: "zoe LI"}, []string{"Zoë Lind"}},
		"inside a word":     {SquadQuery{Name: "uist"}, nil},
		"limiter":           {SquadQuery{Limiter: "build"}, []string{"Ada Quist"}},
		"an older finding":  {SquadQuery{Limiter: "facing"}, nil},
		"no limiter":        {SquadQuery{Limiter: "none"}, []string{"Wim Adams", "Zoë Lind"}},
		"level":             {SquadQuery{Level: record.Club}, []string{"Ada Quist", "Wim Adams"}},
		"both":              {SquadQuery{Level: record.Club, Limiter: "none"}, []string{"Wim Adams"}},
		"not filmed lately": {SquadQuery{Due: DueVisit}, []string{"Zoë Lind"}},
		"never filmed":      {SquadQuery{Due: DueNever}, []string{"Wim Adams"}},
		"consent":           {SquadQuery{Due: DueConsent}, []string{"Ada Quist", "Wim Adams"}},
		"nothing practised": {SquadQuery{Due: DueRetest}, nil},
		"another squad":     {SquadQuery{Squad: "nothing"}, nil},
		"fastest first":     {SquadQuery{Sort: "speed"}, []string{"Zoë Lind", "Ada Quist", "Wim Adams"}},
		"longest ago first": {SquadQuery{Sort: "visit"}, []string{"Zoë Lind", "Ada Quist", "Wim Adams"}},
		"limiter in order":  {SquadQuery{Sort: "limiter"}, []string{"Ada Quist", "Wim Adams", "Zoë Lind"}},
		"ending soonest":    {SquadQuery{Sort: "consent"}, []string{"Ada Quist", "Wim Adams", "Zoë Lind"}},
	} {
		view, err := app.SquadList(t.Context(), c.q)
		if got := names(view); err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, %v; want %v", name, got, err, c.want)
		}
	}
	for _, q := range []SquadQuery{{Limiter: "speed"}, {Due: "never ever"}, {Sort: "age"}, {Level: "olympic"}} {
		if _, err := app.SquadList(t.Context(), q); !errors.Is(err, ErrInput) {
			t.Errorf("%+v: %v", q, err)
		}
	}
	view, err := app.SquadList(t.Context(), SquadQuery{Name: "ada q"})
	if err != nil {
		t.Fatal(err)
	}
	s := view.Squads[0]
	r := s.Rows[0]
	if s.Of != 3 || r.Limiter != "build" || r.Finding != "build" || r.Measured != 2 || len(r.Trend) != 2 || r.LastVisit != string(recent) {
		t.Errorf("row %+v of %d", r, s.Of)
	}
	if math.Abs(r.Speed.Value-1.3) > 1e-12 || math.Abs(r.Speed.Low-0.98*1.3) > 1e-12 || math.Abs(r.Tempo.Value-2) > 1e-12 {
		t.Errorf("speed %+v, tempo %+v", r.Speed, r.Tempo)
	}
	if r.ConsentEnd == "" || !r.ConsentDue {
		t.Errorf("consent %q, due %v", r.Consent, r.ConsentDue)
	}
	findsWhileNamesAreHidden(t, app)
}

// While names are hidden they are not found by, and their order does not tell them.
func findsWhileNamesAreHidden(t *testing.T, app *App) {
	t.Helper()
	if err := app.SetPseudonyms(t.Context(), true); err != nil {
		t.Fatal(err)
	}
	ctx, _, err := app.Hiding(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	view, err := app.SquadList(ctx, SquadQuery{Name: "ada"})
	if err != nil || len(names(view)) > 0 {
		t.Errorf("found by a hidden name: %v, %v", names(view), err)
	}
	view, err = app.SquadList(ctx, SquadQuery{})
	if got := names(view); err != nil || len(got) != 3 || !slices.IsSorted(got) || !strings.HasPrefix(got[0], "Swimmer ") {
		t.Errorf("%v, %v", got, err)
	}
}

// What lists say follows what they stand on.
func TestSeasonLineFollows(t *testing.T) {
	app := openApp(t)
	squad := newSquad(t, app)
	w := swims(t, app, record.Swimmer{SquadID: squad, Name: "Ada Quist", BirthYear: 2000}, swimSpec{on: "2026-03-01", speed: 1.2}, swimSpec{on: "2026-04-01", speed: 1.3})
	row := func() SwimmerRow {
		t.Helper()
		view, err := app.Squad(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return view.Squads[0].Rows[0]
	}
	if r := row(); len(r.Trend) != 2 || r.Speed.Value != 1.3 {
		t.Fatalf("%+v", r)
	}
	if lines, err := app.store.SeasonLines(t.Context(), squad, seasonMethod); err != nil || lines[0].Line == nil {
		t.Fatalf("the line is not kept: %v", err)
	}
	briefs, err := app.store.Briefs(t.Context(), w.ID)
	if err != nil {
		t.Fatal(err)
	}
	last := briefs[1].Run
	keepMeasured(t, app, last.ID, swimSpec{speed: 1.35})
	if r := row(); r.Speed.Value != 1.35 {
		t.Errorf("measured again: %v", r.Speed.Value)
	}
	last.Effort = record.Easy
	if err := app.UpdateRun(t.Context(), last); err != nil {
		t.Fatal(err)
	}
	if r := row(); len(r.Trend) != 1 {
		t.Errorf("runs of unlike effort are in one line: %+v", r.Trend)
	}
	if err := app.store.DeleteRun(t.Context(), last.ID); err != nil {
		t.Fatal(err)
	}
	if r := row(); len(r.Trend) != 1 || r.Speed.Value != 1.2 || r.Measured != 1 {
		t.Errorf("after deleting: %+v", r)
	}
}

// The squad's typical error from its lines is the pooled one of all its repeats.
func TestScatterOfTheSquad(t *testing.T) {
	app := openApp(t)
	squad := newSquad(t, app)
	var squares float64
	for i := range 6 {
		a, b := 1.3+0.01*float64(i), 1.36-0.02*float64(i)
		swims(t, app, record.Swimmer{SquadID: squad, Name: fmt.Sprintf("Swimmer %c", 'A'+i)},
			swimSpec{on: "2026-03-01", speed: a}, swimSpec{on: "2026-03-01", speed: b}, swimSpec{on: "2026-04-01", speed: 2})
		squares += (a - b) * (a - b) / 2
	}
	s, err := app.scatter(t.Context(), squad)
	if got := s["speed"]; err != nil || got.DF != 6 || math.Abs(got.Squares-squares) > 1e-12 {
		t.Errorf("%+v, %v; want 6 degrees of freedom and %g", got, err, squares)
	}
}

func TestRetestOfTwoVisits(t *testing.T) {
	app := openApp(t)
	squad := newSquad(t, app)
	w := swims(t, app, record.Swimmer{SquadID: squad, Name: "Ada Quist", BirthYear: 2013},
		swimSpec{on: "2026-02-01", speed: 1.1, effort: record.Easy}, swimSpec{on: "2026-03-01", speed: 1.2}, swimSpec{on: "2026-04-01", speed: 1.1, effort: record.Easy},
		swimSpec{on: "2026-05-01", speed: 1.30}, swimSpec{on: "2026-05-01", speed: 1.32})
	for _, g := range []record.Growth{{SwimmerID: w.ID, On: "2026-03-01", HeightM: 1.50}, {SwimmerID: w.ID, On: "2026-05-01", HeightM: 1.56}} {
		if err := app.store.KeepGrowth(t.Context(), g); err != nil {
			t.Fatal(err)
		}
	}
	v, err := app.Retest(t.Context(), w.ID, RetestQuery{})
	if err != nil {
		t.Fatal(err)
	}
	if v.Test != "2026-03-01" || v.Retest != "2026-05-01" || len(v.Result.Test) != 1 || len(v.Result.Retest) != 2 || len(v.Days) != 4 {
		t.Fatalf("%s against %s, %d and %d runs", v.Test, v.Retest, len(v.Result.Test), len(v.Result.Retest))
	}
	speed := v.Rows[0]
	if speed.ID != "speed" || !speed.Primary || speed.Change.Verdict != limit.NoChange || !speed.Change.Borrowed || math.Abs(speed.Change.Now-1.31) > 1e-12 {
		t.Errorf("%+v", speed.Change)
	}
	if g := speed.Grown; g == nil || math.Abs(g.Now-1.31/1.56) > 1e-12 || math.Abs(g.Then-1.2/1.5) > 1e-12 {
		t.Errorf("in body heights: %+v", speed.Grown)
	}
	if slices.ContainsFunc(v.Rows, func(r RetestRow) bool { return r.ID == "build" && r.Grown != nil }) {
		t.Error("a plain ratio is divided by height")
	}
	writesTheRetest(t, v)

	easy, err := app.Retest(t.Context(), w.ID, RetestQuery{Test: "2026-02-01"})
	if err != nil || easy.Retest != "2026-04-01" || len(easy.Result.Changes) == 0 {
		t.Errorf("against the first: %s, %v", easy.Retest, err)
	}
	unlike, err := app.Retest(t.Context(), w.ID, RetestQuery{Test: "2026-04-01", Retest: "2026-05-01"})
	if err != nil || len(unlike.Result.Changes) > 0 || !strings.Contains(strings.Join(unlike.Result.Refused, ""), "effort differs") ||
		!strings.Contains(strings.Join(unlike.Next, ""), "Film again with the effort of the test: easy.") {
		t.Errorf("unlike: refused %q, next %q, %v", unlike.Result.Refused, unlike.Next, err)
	}
	for _, q := range []RetestQuery{{Test: "2026-01-01"}, {Test: "2026-05-01", Retest: "2026-03-01"}, {Test: "2026-05-01"}, {Test: "2026-03-01", Retest: "2026-03-01"}} {
		if _, err := app.Retest(t.Context(), w.ID, q); !errors.Is(err, ErrInput) {
			t.Errorf("%+v: %v", q, err)
		}
	}
	if _, err := app.Retest(t.Context(), "nobody", RetestQuery{}); !errors.Is(err, ErrNotFound) {
		t.Error(err)
	}
	alone := swims(t, app, record.Swimmer{SquadID: squad, Name: "Zoe Lind"}, swimSpec{on: "2026-03-01", speed: 1.2})
	if v, err := app.Retest(t.Context(), alone.ID, RetestQuery{}); err != nil || !strings.Contains(v.Problem, "1 March 2026") {
		t.Errorf("one visit: %q, %v", v.Problem, err)
	}
}

func writesTheRetest(t *testing.T, v RetestView) {
	t.Helper()
	var text bytes.Buffer
	if err := v.WriteCSV(&text); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&text).ReadAll()
	if err != nil || len(rows) != 1+len(v.Rows) || rows[1][0] != "speed" || rows[1][14] != "no change shown" || rows[1][18] != "published" {
		t.Errorf("%d rows, %v: %v", len(rows), err, rows[1])
	}
	body, err := json.Marshal(v.Document())
	if err != nil {
		t.Fatal(err)
	}
	var d RetestDocument
	if err := json.Unmarshal(body, &d); err != nil || len(d.Measures) != len(v.Rows) || d.Measures[0].Verdict != "no change shown" || d.Promised != nil {
		t.Errorf("%v: %s", err, body)
	}
}

// What was practised in between is primary, and is named with what it served.
func TestRetestAfterPractice(t *testing.T) {
	app := openApp(t)
	squad := newSquad(t, app)
	w := swims(t, app, record.Swimmer{SquadID: squad, Name: "Ada Quist", BirthYear: 2000}, swimSpec{on: "2026-03-01", speed: 1.2, word: "build"}, swimSpec{on: "2026-05-01", speed: 1.3, word: "build"})
	give := func(from, ended record.Date, serves record.Serves) record.Given {
		drill := drillThat(t, app, serves)
		g := record.Given{
			SwimmerID: w.ID, DrillID: drill.ID, Drill: drill, Amount: drill.Doses[len(drill.Doses)-1], Dose: "some", From: from, Weeks: 5,
			RetestOn: from.AddDays(35), Chosen: record.ByRule, Why: "serves " + string(serves), Ended: ended,
		}
		g, err := app.store.AddGiven(t.Context(), g)
		if err != nil {
			t.Fatal(err)
		}
		return g
	}
	give("2026-01-01", "2026-02-01", record.ServesTempo) // before the test
	give("2026-03-05", "", record.ServesBuild)
	v, err := app.Retest(t.Context(), w.ID, RetestQuery{})
	if err != nil {
		t.Fatal(err)
	}
	if len(v.Given) != 1 || !slices.Equal(v.Practised, []string{"build"}) || !slices.Equal(v.Result.Primary, []string{"speed", "build"}) || len(v.Cautions) == 0 {
		t.Errorf("given %d, practised %v, primary %v, %d cautions", len(v.Given), v.Practised, v.Result.Primary, len(v.Cautions))
	}
	if v.Limiters != [2]string{"build", "build"} || !strings.HasPrefix(v.Next[0], "Build: no change shown.") {
		t.Errorf("limiters %v, next %q", v.Limiters, v.Next)
	}
	give("2026-03-20", "", record.ServesFacing)
	if v, err = app.Retest(t.Context(), w.ID, RetestQuery{}); err != nil || !slices.Equal(v.Result.Primary, []string{"speed"}) {
		t.Errorf("two qualities: primary %v, %v", v.Result.Primary, err)
	}
	view, err := app.SquadList(t.Context(), SquadQuery{Due: DueRetest})
	if err != nil || len(names(view)) != 0 {
		t.Fatalf("both retests were filmed in May: %v, %v", names(view), err)
	}
	give("2026-05-02", "", record.ServesSweep)
	view, err = app.SquadList(t.Context(), SquadQuery{Due: DueRetest})
	if err != nil || len(names(view)) != 1 {
		t.Fatalf("retest due since June: %v, %v", names(view), err)
	}
	if r := view.Squads[0].Rows[0]; r.RetestOn != "2026-06-06" || len(r.Practising) != 3 {
		t.Errorf("%+v", r)
	}
	page, err := app.Swimmer(t.Context(), w.ID)
	if err != nil || len(page.Now) != 3 || page.RetestOn != "2026-06-06" || !page.Due || !page.Lacking {
		t.Errorf("%d practised, retest %s, due %v, consent %q, %v", len(page.Now), page.RetestOn, page.Due, page.Consent, err)
	}
}

func drillThat(t *testing.T, app *App, serves record.Serves) record.Drill {
	t.Helper()
	drills, err := app.drills(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(drills, func(d record.Drill) bool { return d.Serves == serves })
	if i < 0 {
		t.Fatalf("no drill serves %s", serves)
	}
	return drills[i]
}

func TestTrendsFollowLikeRuns(t *testing.T) {
	app := openApp(t)
	squad := newSquad(t, app)
	w := swims(t, app, record.Swimmer{SquadID: squad, Name: "Ada Quist", BirthYear: 2013, HeightM: 1.5, HeightOn: "2026-01-01"},
		swimSpec{on: "2026-02-01", speed: 1.2}, swimSpec{on: "2026-03-01", speed: 1.1, effort: record.Easy}, swimSpec{on: "2026-04-01", speed: 1.3})
	v, err := app.Trends(t.Context(), w.ID)
	if err != nil || len(v.Lead) != len(leadMeasures) || len(v.Rest) != 1 || !v.Retest || v.Stops != 3 {
		t.Fatalf("%d lead, %d others, %d stops, %v", len(v.Lead), len(v.Rest), v.Stops, err)
	}
	speed := v.Lead[0]
	if speed.ID != "speed" || len(speed.Stops) != 3 {
		t.Fatalf("%s with %d stops", speed.ID, len(speed.Stops))
	}
	first, easy, last := speed.Stops[0], speed.Stops[1], speed.Stops[2]
	if first.Change != nil || len(first.Why) == 0 || easy.Change != nil || easy.Series != 1 || first.Series != 0 || last.Series != 0 {
		t.Errorf("series %d %d %d", first.Series, easy.Series, last.Series)
	}
	if last.Change == nil || last.Change.When != "1 February 2026" || math.Abs(last.Change.Difference-0.1) > 1e-12 {
		t.Errorf("last: %+v", last.Change)
	}
	if math.Abs(last.PerHeight-1.3/1.5) > 1e-12 || last.Grown == nil || last.Grown.Verdict != limit.NoChange {
		t.Errorf("per height %g: %+v", last.PerHeight, last.Grown)
	}
	var text bytes.Buffer
	if err := v.WriteCSV(&text); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&text).ReadAll()
	if want := 1 + 6*3; err != nil || len(rows) != want {
		t.Errorf("%d rows, want %d, %v", len(rows), want, err)
	}
}
