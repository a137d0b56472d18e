package poolside

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/practice"
	"underkick/internal/record"
	"underkick/internal/report"
)

// plainApp is an App whose tests need no film.
func plainApp(t *testing.T) *App {
	t.Helper()
	app, err := Open(t.Context(), Options{DataDir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := app.Close(); err != nil {
			t.Error(err)
		}
	})
	return app
}

// born returns a swimmer of an age in a squad.
func born(t *testing.T, app *App, squad, name string, age int) string {
	t.Helper()
	w := record.Swimmer{SquadID: squad, Name: name, Level: record.Club, Pseudonym: "Fin " + name[:1]}
	if age > 0 {
		w.BirthYear = time.Now().Year() - age
	}
	id, _, err := app.AddSwimmer(t.Context(), w)
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func someSquad(t *testing.T, app *App) string {
	t.Helper()
	id, err := app.AddSquad(t.Context(), record.Squad{Name: "Quiet Lane"})
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func daysOn(n int) record.Date { return record.DateOf(time.Now().AddDate(0, 0, n)) }

func faultOf(err error, field string) string {
	var f record.Faults
	errors.As(err, &f)
	return f.For(field)
}

func TestGivePractiseChangeEnd(t *testing.T) {
	app, ctx := plainApp(t), t.Context()
	squad := someSquad(t, app)
	who := born(t, app, squad, "Wilma Reed", 12)

	list, err := app.Give(ctx, Giving{SwimmerID: who, Drills: []string{"finish-in-front", "hip-open-close"}, Why: "her feet stop early", Notes: "lane 2", By: "Ann"})
	if err != nil || len(list) != 2 {
		t.Fatal(list, err)
	}
	g := list[0]
	if g.From != record.Date(today()) || g.Weeks != practice.UsualWeeks || g.RetestOn != daysOn(7*practice.UsualWeeks) || g.Chosen != record.ByCoach || g.Dose != "5 x 5 kicks, full recovery at the surface between, 2 times a week" || g.GivenBy != "Ann" {
		t.Errorf("given %+v", g)
	}
	view, err := app.Practising(ctx, who)
	if err != nil || len(view.Now) != 2 || view.Now[1].Week != 1 || view.Now[1].DaysLeft != 35 || len(view.Past) != 0 || len(view.Cautions) < 4 {
		t.Fatalf("%+v, %v", view, err)
	}

	seven, three, six := 7, 3, 6
	if g, err = app.ChangeGiven(ctx, g.ID, GivenChange{Weeks: &seven, Repeats: &three}); err != nil || g.RetestOn != daysOn(49) || g.Amount.Repeats != 3 || g.Notes != "lane 2" {
		t.Errorf("extended %+v, %v", g, err)
	}
	for name, c := range map[string]GivenChange{"more than at twelve": {Repeats: &six}, "more kicks": {Each: &seven}, "more often": {PerWeek: &three}} {
		if _, err := app.ChangeGiven(ctx, g.ID, c); faultOf(err, "dose") == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	long := 13
	if _, err := app.ChangeGiven(ctx, g.ID, GivenChange{Weeks: &long}); !strings.Contains(faultOf(err, "weeks"), "end it, test, and give it again") {
		t.Errorf("13 weeks: %v", err)
	}
	if g, err = app.EndGiven(ctx, g.ID, "", "Bob"); err != nil || g.Ended != record.Date(today()) || g.By != "Bob" || g.GivenBy != "Ann" {
		t.Errorf("ended %+v, %v", g, err)
	}
	if view, err = app.Practising(ctx, who); err != nil || view.By != "Bob" {
		t.Errorf("the next is proposed as given by %q, %v", view.By, err)
	}
	if view, err = app.Practising(ctx, who); err != nil || len(view.Now) != 1 || len(view.Past) != 1 || len(view.Past[0].Versions) != 3 {
		t.Errorf("after the end: %d now, %d past, %v", len(view.Now), len(view.Past), err)
	}
	if g, err = app.GivenAgain(ctx, g.ID, 1, ""); err != nil || g.Ended != "" || g.Weeks != 5 || g.Seq != 4 {
		t.Errorf("back to the first: %+v, %v", g, err)
	}
	if g, err = app.RemoveGiven(ctx, g.ID, ""); err != nil || !g.Removed {
		t.Errorf("taken back: %+v, %v", g, err)
	}
	for _, err := range []error{errOf(app.EndGiven(ctx, "x", "", "")), errOf(app.GivenAgain(ctx, g.ID, 9, "")), errOf(app.Practising(ctx, "x"))} {
		if !errors.Is(err, ErrNotFound) {
			t.Errorf("nothing there: %v", err)
		}
	}
}

func errOf[T any](_ T, err error) error { return err }

// What a coach may set aside, and what not.
func TestGivingAgainstTheRules(t *testing.T) {
	app, ctx := plainApp(t), t.Context()
	squad := someSquad(t, app)
	who, unknown := born(t, app, squad, "Wilma Reed", 12), born(t, app, squad, "Ole Bay", 0)
	give := func(swimmer, why string, drills ...string) error {
		return errOf(app.Give(ctx, Giving{SwimmerID: swimmer, Drills: drills, Why: why, Options: PracticeOptions{Without: []string{"snorkel"}}}))
	}
	if err := give(who, "", "finish-in-front"); faultOf(err, "why") == "" {
		t.Errorf("no reason: %v", err)
	}
	if err := give(who, "", "soles-press"); !strings.Contains(faultOf(err, "why"), "needs equipment that is not there: snorkel") {
		t.Errorf("the rule is not said: %v", err)
	}
	if err := give(who, "she has one", "soles-press"); err != nil {
		t.Error(err)
	}
	if list, err := app.store.Given(ctx, who); err != nil || list[0].Why != "she has one. Against the rules: it needs equipment that is not there: snorkel." {
		t.Errorf("kept %+v, %v", list, err)
	}
	for name, err := range map[string]error{
		"too young":      give(who, "she is strong", "squat-jump"),
		"age not known":  give(unknown, "he is strong", "squat-jump"),
		"practised now":  give(who, "more of it", "soles-press"),
		"twice at once":  give(who, "more of it", "quiet-hands", "quiet-hands"),
		"no drill":       give(who, "why not", "gills"),
		"none":           give(who, "why not"),
		"with the first": give(who, "why not", "quiet-hands", "squat-jump"),
	} {
		if faultOf(err, "drills") == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	if list, err := app.store.Given(ctx, who); err != nil || len(list) != 1 {
		t.Errorf("a refusal kept something: %d, %v", len(list), err)
	}
	if err := give(who, "swim as far as you can", "quiet-hands"); faultOf(err, "why") == "" {
		t.Errorf("a contest in the reason: %v", err)
	}
	for field, in := range map[string]Giving{"weeks": {Weeks: 2}, "from": {From: "soon"}, "retest_on": {RetestOn: "2020-01-01"}} {
		in.SwimmerID, in.Drills, in.Why = who, []string{"quiet-hands"}, "to try"
		if _, err := app.Give(ctx, in); faultOf(err, field) == "" {
			t.Errorf("%s: %v", field, err)
		}
	}
}

func TestRetestsDue(t *testing.T) {
	app, ctx := plainApp(t), t.Context()
	squad := someSquad(t, app)
	a, b := born(t, app, squad, "Ada Quist", 15), born(t, app, squad, "Ben Moor", 15)
	born(t, app, squad, "Idle Hand", 15)
	for _, in := range []Giving{
		{SwimmerID: a, Drills: []string{"quiet-hands"}, From: daysOn(-40), Weeks: 5},
		{SwimmerID: a, Drills: []string{"wall-reach"}, From: daysOn(-7), Weeks: 5},
		{SwimmerID: b, Drills: []string{"quiet-hands", "wall-reach"}, From: daysOn(-14), Weeks: 3},
		{SwimmerID: b, Drills: []string{"point-late"}, From: daysOn(7)},
	} {
		in.Why = "to try"
		if _, err := app.Give(ctx, in); err != nil {
			t.Fatal(err)
		}
	}
	due, err := app.RetestsDue(ctx, squad)
	if err != nil || len(due) != 2 {
		t.Fatalf("%+v, %v", due, err)
	}
	if due[0].SwimmerID != a || due[0].DaysLeft != -5 || !slices.Equal(due[0].Drills, []string{"Quiet hands"}) {
		t.Errorf("first %+v", due[0])
	}
	if due[1].SwimmerID != b || due[1].DaysLeft != 7 || len(due[1].Drills) != 2 || due[1].Name != "Ben Moor" {
		t.Errorf("second %+v", due[1])
	}
	if err := app.SetPseudonyms(ctx, true); err != nil {
		t.Fatal(err)
	}
	if due, err = app.RetestsDue(ctx, squad); err != nil || due[0].Name != "Fin A" {
		t.Errorf("names hidden: %+v, %v", due, err)
	}
	// A measured visit near its day does a retest; then the next of the swimmer is listed.
	now, err := app.GivenNow(ctx, squad)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		last record.Date
		on   record.Date
	}{{"", daysOn(-5)}, {daysOn(-30), daysOn(-5)}, {daysOn(-13), daysOn(-5)}, {daysOn(-12), daysOn(28)}, {daysOn(0), daysOn(28)}, {daysOn(21), ""}} {
		d, ok := nextRetest(now[a], c.last, record.Date(today()))
		if d.On != c.on || ok != (c.on != "") {
			t.Errorf("measured on %q: next %+v, want %s", c.last, d, c.on)
		}
	}
}

func TestSessionGroupsByStation(t *testing.T) {
	app, ctx := plainApp(t), t.Context()
	squad := someSquad(t, app)
	ada, ben, idle := born(t, app, squad, "Ada Quist", 11), born(t, app, squad, "Ben Moor", 17), born(t, app, squad, "Cy Idle", 15)
	for _, in := range []Giving{
		{SwimmerID: ada, Drills: []string{"finish-in-front", "hip-open-close"}, Notes: "lane 2"},
		{SwimmerID: ben, Drills: []string{"finish-in-front", "soles-press"}},
		{SwimmerID: idle, Drills: []string{"quiet-hands"}, From: daysOn(10)},
	} {
		in.Why = "to try"
		if _, err := app.Give(ctx, in); err != nil {
			t.Fatal(err)
		}
	}
	view, err := app.Session(ctx, squad, "", nil)
	if err != nil {
		t.Fatal(err)
	}
	var words []string
	for _, s := range view.Stations {
		for _, r := range s.Rows {
			words = append(words, s.Drill.ID+": "+strings.Join(r.Names, " ")+" "+strings.Join(r.Notes, " "))
		}
	}
	want := []string{"hip-open-close: Ada Quist Ada Quist: lane 2", "finish-in-front: Ben Moor ", "finish-in-front: Ada Quist Ada Quist: lane 2", "soles-press: Ben Moor "}
	slices.Sort(words[1:3]) // two doses of one station, by who was given it first
	slices.Sort(want[1:3])
	if !slices.Equal(words, want) {
		t.Errorf("stations %q, want %q", words, want)
	}
	if !slices.Equal(view.Equipment, []practice.Kit{{Name: "mat", For: 1}, {Name: "snorkel", For: 1}}) || !slices.Equal(view.Idle, []string{"Cy Idle"}) || len(view.Cautions) < 4 {
		t.Errorf("equipment %v, idle %v", view.Equipment, view.Idle)
	}
	if view, err = app.Session(ctx, squad, daysOn(10), []string{idle}); err != nil || len(view.Stations) != 1 || view.Stations[0].Drill.ID != "quiet-hands" || len(view.Idle) != 0 {
		t.Errorf("later, one: %+v, %v", view.Stations, err)
	}
	if err := app.SetPseudonyms(ctx, true); err != nil {
		t.Fatal(err)
	}
	if view, err = app.Session(ctx, squad, "", nil); err != nil {
		t.Fatal(err)
	}
	if text, _ := json.Marshal(view); bytes.Contains(text, []byte("Quist")) && !bytes.Contains(text, []byte("Fin A")) {
		t.Errorf("names hidden: %s", text)
	}
	for _, s := range view.Stations {
		for _, r := range s.Rows {
			if slices.Contains(r.Names, "Ada Quist") {
				t.Error("a name is shown while names are hidden")
			}
		}
	}
	if _, err := app.Session(ctx, squad, "someday", nil); !errors.Is(err, ErrInput) {
		t.Errorf("a day that is none: %v", err)
	}
	if _, err := app.Session(ctx, squad, "", []string{"stranger"}); !errors.Is(err, ErrNotFound) {
		t.Errorf("a stranger: %v", err)
	}
}

// measuredVisit keeps a visit with one measured run whose facing has a value with a
// narrow band, under like conditions.
func measuredVisit(t *testing.T, app *App, squad, swimmer string, on record.Date, facing float64) string {
	t.Helper()
	ctx := t.Context()
	v, err := app.store.AddVisit(ctx, record.Visit{SquadID: squad, On: on})
	if err != nil {
		t.Fatal(err)
	}
	c, err := app.store.ImportClip(ctx, strings.NewReader("film "+swimmer+string(on)), "a.mp4", record.Clip{VisitID: v.ID, SwimmerID: swimmer, Facts: record.Facts{Frames: 200, MeanFPS: 60, WidthPx: 640, HeightPx: 360, DurationS: 3, Codec: "h264", Engine: "native"}})
	if err != nil {
		t.Fatal(err)
	}
	r, err := app.store.AddRun(ctx, record.Run{ClipID: c.ID, SwimmerID: swimmer, ToFrame: 199, Effort: record.Race, Start: record.PushOff, Position: record.Prone, MarkedBy: "Ann"})
	if err != nil {
		t.Fatal(err)
	}
	result := &kick.Result{Method: kick.Method, Verdicts: true, Counted: 6, Kicks: []kick.Kick{}}
	for _, id := range []string{"speed", "facing", "sweep", "build"} {
		value := facing
		result.Summary = append(result.Summary, kick.Measure{ID: id, Unit: "x", Value: value, SD: value / 1000, N: 6, Low: value * 0.999, High: value * 1.001})
	}
	var body bytes.Buffer
	if err := report.WriteJSON(&body, result); err != nil {
		t.Fatal(err)
	}
	if _, err := app.store.AddResult(ctx, record.Result{RunID: r.ID, Method: kick.Method, InputHash: "h" + r.ID, Word: "w", Sentence: "s", Body: body.Bytes()}); err != nil {
		t.Fatal(err)
	}
	return r.ID
}

// The retest decides whether a drill is proposed again: a change of half the value is
// beyond the borrowed smallest real change of 24.7 %, one of a hundredth is not.
func TestOutcomeDecidesWhatIsProposedAgain(t *testing.T) {
	for _, c := range []struct {
		name    string
		then    float64
		now     float64
		filmed  int // days before today of the retest; 0 = none
		verdict limit.Verdict
		list    func(n practice.Need) []string
	}{
		{"higher", 1, 1.5, 5, limit.Higher, func(n practice.Need) []string { return n.Changed }},
		{"no change", 1, 1.01, 5, limit.NoChange, func(n practice.Need) []string { return n.NoChange }},
		{"lower", 1, 0.5, 5, limit.Lower, func(n practice.Need) []string { return n.NoChange }},
		{"not retested", 1, 0, 0, "", func(n practice.Need) []string { return n.WithGiven }},
		{"too early", 1, 1.5, 30, "", func(n practice.Need) []string { return n.WithGiven }},
	} {
		t.Run(c.name, func(t *testing.T) {
			app, ctx := plainApp(t), t.Context()
			squad := someSquad(t, app)
			who := born(t, app, squad, "Ada Quist", 15)
			run := measuredVisit(t, app, squad, who, daysOn(-42), c.then)
			w, err := app.store.Swimmer(ctx, who)
			if err != nil {
				t.Fatal(err)
			}
			d, _ := app.OurDrill("point-late")
			g, err := app.store.AddGiven(ctx, record.Given{
				SwimmerID: who, RunID: run, DrillID: d.ID, Drill: d, Amount: d.Doses[0], From: daysOn(-40), Weeks: 5, RetestOn: daysOn(-5), Chosen: record.ByRule, Why: "serves facing", Ended: daysOn(-4),
			})
			if err != nil {
				t.Fatal(err)
			}
			if c.filmed > 0 {
				measuredVisit(t, app, squad, who, daysOn(-c.filmed), c.now)
			}
			out, err := app.outcomes(w).of(ctx, g)
			if err != nil || out.Verdict != c.verdict {
				t.Fatalf("outcome %+v, %v", out, err)
			}
			var need practice.Need
			if err := app.givenBefore(ctx, &need, w); err != nil || !slices.Equal(c.list(need), []string{"point-late"}) {
				t.Errorf("need %+v, %v", need, err)
			}
		})
	}
}

func TestOwnDrills(t *testing.T) {
	app, ctx := plainApp(t), t.Context()
	ours, err := app.OurDrill("kneel-and-lean")
	if err != nil {
		t.Fatal(err)
	}
	mine := record.OwnDrill{Drill: ours, CopyOf: ours.ID, By: "Ann"}
	mine.ID, mine.Title, mine.Caution = "", "Kneel, my way", ours.Caution+" Mat twice."
	kept, err := app.KeepDrill(ctx, mine)
	if err != nil || !strings.HasPrefix(kept.ID, record.OwnPrefix) {
		t.Fatal(kept, err)
	}
	for field, spoil := range map[string]func(o *record.OwnDrill){
		"min_age": func(o *record.OwnDrill) { o.MinAge = 8 }, "caution": func(o *record.OwnDrill) { o.Caution = "" }, "measures": func(o *record.OwnDrill) { o.Measures = []string{"splash"} },
		"how":     func(o *record.OwnDrill) { o.How = []string{"Hold your breath."} },
		"copy_of": func(o *record.OwnDrill) { o.CopyOf = "gills" },
	} {
		for _, id := range []string{"", kept.ID} {
			if field == "copy_of" && id != "" {
				continue // what it is made from is kept as it was
			}
			bad := mine
			bad.ID = id
			spoil(&bad)
			if _, err := app.KeepDrill(ctx, bad); faultOf(err, field) == "" {
				t.Errorf("%s of %q: %v", field, id, err)
			}
		}
	}
	squad := someSquad(t, app)
	who := born(t, app, squad, "Ada Quist", 15)
	if _, err := app.Give(ctx, Giving{SwimmerID: who, Drills: []string{kept.ID}, Why: "mine"}); err != nil {
		t.Fatal(err)
	}
	kept.Title = "Kneel, another way"
	if kept, err = app.KeepDrill(ctx, kept); err != nil || kept.Seq != 2 {
		t.Fatal(kept, err)
	}
	if list, err := app.store.Given(ctx, who); err != nil || list[0].Drill.Title != "Kneel, my way" {
		t.Errorf("what was given says %q, %v", list[0].Drill.Title, err)
	}
	view, err := app.PracticeLibrary(ctx, record.ServesFacing)
	if err != nil || view.Choices[0].Drill.ID != kept.ID {
		t.Errorf("own drills do not stand beside ours: %v", err)
	}
	if err := app.RetireDrill(ctx, kept.ID, true, "Ann"); err != nil {
		t.Fatal(err)
	}
	if view, err = app.PracticeLibrary(ctx, record.ServesFacing); err != nil || view.Choices[0].Drill.ID == kept.ID {
		t.Errorf("a retired drill is listed: %v", err)
	}
	if versions, err := app.DrillVersions(ctx, kept.ID); err != nil || len(versions) != 3 {
		t.Errorf("%d versions, %v", len(versions), err)
	}

	// The file written is the file read.
	var file bytes.Buffer
	if err := app.WriteDrills(ctx, &file); err != nil {
		t.Fatal(err)
	}
	other := plainApp(t)
	text := strings.ReplaceAll(file.String(), `"`+kept.ID+`"`, `""`)
	got, err := other.TakeDrills(ctx, strings.NewReader(text), "Bob")
	if err != nil || len(got) != 1 || got[0].Title != kept.Title || !got[0].Retired || got[0].CopyOf != ours.ID {
		t.Errorf("taken %+v, %v", got, err)
	}
	if got, err = app.TakeDrills(ctx, &file, ""); err != nil || got[0].ID != kept.ID || got[0].Seq != 4 {
		t.Errorf("taken again %+v, %v", got, err)
	}
	testDrillFiles(ctx, t, other, text)
}

func testDrillFiles(ctx context.Context, t *testing.T, app *App, good string) {
	t.Helper()
	before, err := app.OwnDrills(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"no JSON": "{", "another format": `{"format":"x","version":1,"drills":[]}`, "a later version": `{"format":"underkick drills","version":2,"drills":[]}`,
		"an unknown field":        strings.Replace(good, `"title"`, `"heading"`, 1),
		"an own drill of another": strings.Replace(good, `"id": ""`, `"id": "own-000000000000"`, 1),
		"a contest":               strings.Replace(good, "Hands carry you", "As long as you can", 1),
	} {
		if _, err := app.TakeDrills(ctx, strings.NewReader(text), ""); !errors.Is(err, ErrInput) {
			t.Errorf("%s: %v", name, err)
		}
	}
	after, err := app.OwnDrills(ctx)
	if err != nil || len(after.Own) != len(before.Own) {
		t.Errorf("refused files kept something: %v", err)
	}
}

// TestPracticeWeeks: what a swimmer does week by week, up to the retest.
func TestPracticeWeeks(t *testing.T) {
	app, ctx := plainApp(t), t.Context()
	squad := someSquad(t, app)
	who := born(t, app, squad, "Wilma Reed", 12)
	view, err := app.PracticeWeeks(ctx, who)
	if err != nil || len(view.Weeks) != 0 || len(view.Cautions) < 4 || view.Name != "Wilma Reed" {
		t.Fatalf("nothing given: %+v, %v", view, err)
	}
	from := practice.MondayOf(record.Date(today()))
	list, err := app.Give(ctx, Giving{SwimmerID: who, Drills: []string{"finish-in-front", "rock-on-the-mat"}, Why: "to try", From: from, Weeks: 4, By: " Ann  Lee "})
	if err != nil || list[0].By != "Ann Lee" {
		t.Fatal(list, err)
	}
	if view, err = app.PracticeWeeks(ctx, who); err != nil || len(view.Weeks) != 5 || view.RetestOn != list[0].RetestOn || len(view.Given) != 2 {
		t.Fatalf("%+v, %v", view, err)
	}
	for i, w := range view.Weeks {
		if len(w.Tasks) != 2 || w.Tasks[0].Week != i+1 || w.Tasks[0].Retest != (i == 4) || w.Tasks[0].Words == "" {
			t.Errorf("week %d: %+v", i+1, w)
		}
	}
	if first, third := view.Weeks[0].Tasks[0].Dose.Repeats, view.Weeks[2].Tasks[0].Dose.Repeats; first != 3 || third != 5 {
		t.Errorf("%d repeats in the first week, %d in the third, want 3 and 5", first, third)
	}
	session, err := app.Session(ctx, squad, from.AddDays(1), nil)
	if err != nil || len(session.Stations) != 2 || session.Stations[1].Rows[0].Dose != view.Weeks[0].Tasks[0].Dose.Session() || session.Stations[1].Rows[0].Words == "" {
		t.Errorf("the session is not of its week: %+v, %v", session.Stations, err)
	}
	if _, err := app.PracticeWeeks(ctx, "x"); !errors.Is(err, ErrNotFound) {
		t.Errorf("of nobody: %v", err)
	}
	if d, err := app.Drill(ctx, "finish-in-front"); err != nil || d.Title == "" {
		t.Errorf("%+v, %v", d, err)
	}
	for _, id := range []string{"gills", record.OwnPrefix + "none"} {
		if _, err := app.Drill(ctx, id); !errors.Is(err, ErrNotFound) {
			t.Errorf("%s: %v", id, err)
		}
	}
}
