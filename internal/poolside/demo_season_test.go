package poolside

import (
	"slices"
	"strings"
	"testing"

	"underkick/internal/limit"
	"underkick/internal/record"
)

// TestDemoSeason: the squad shows practice given and ended, the retest after it, a retest
// that is due and a consent about to end.
func TestDemoSeason(t *testing.T) {
	app, runs := demoRuns(t)
	ctx := t.Context()
	whole, err := app.store.RunWhole(ctx, runs[demoRun])
	if err != nil {
		t.Fatal(err)
	}
	coach, visit := whole.Run.MarkedBy, whole.Visit.On
	before := demoGiven(t, app, whole.Swimmer.ID, whole.Run.ID)
	if len(before) != 2 {
		t.Fatalf("%d drills given between the visits, want one in the water and one on dry land", len(before))
	}
	for _, g := range before {
		if g.Chosen != record.ByRule || g.Drill.Serves != record.ServesFacing || g.By != coach || g.Why == "" || g.Drill.Cue == "" || g.Amount.Repeats == 0 {
			t.Errorf("given %+v", g)
		}
		if g.From <= visit || g.Ended != "2026-10-24" || g.RetestOn != g.Ended {
			t.Errorf("%s from %s, retest %s, ended %s; the visits are of %s and 2026-10-24", g.DrillID, g.From, g.RetestOn, g.Ended, visit)
		}
	}
	v, err := app.Retest(ctx, whole.Swimmer.ID, RetestQuery{})
	if err != nil {
		t.Fatal(err)
	}
	facing, ok := v.Result.Of("facing")
	if len(v.Given) != 2 || !slices.Equal(v.Practised, []string{"facing"}) || !slices.Contains(v.Result.Primary, "facing") || !ok || facing.Verdict == limit.Refused || len(v.Next) == 0 || len(v.Cautions) == 0 {
		t.Errorf("the retest: given %d, practised %v, primary %v, facing %q, next %q", len(v.Given), v.Practised, v.Result.Primary, facing.Says(), v.Next)
	}
	if goals, err := app.Goals(ctx, whole.Swimmer.ID); err != nil || len(goals.Goals) != 1 || goals.Goals[0].Reach != limit.NotReached {
		t.Errorf("goals %+v, %v", goals.Goals, err)
	}
	squad, err := app.Squad(ctx)
	if err != nil {
		t.Fatal(err)
	}
	day, practising, ending := record.Date(today()), 0, 0
	for _, r := range squad.Squads[0].Rows {
		if len(r.Practising) > 0 {
			practising++
		}
		if r.Name == "Bram Oxley" && (r.RetestOn != "2026-11-23" || r.RetestDue != (day >= "2026-11-23")) {
			t.Errorf("%s: retest %s, due %v on %s", r.Name, r.RetestOn, r.RetestDue, day)
		}
		if r.ConsentDue {
			ending++
		}
	}
	if practising < 2 || ending != 1 {
		t.Errorf("%d practise, %d consents are about to end", practising, ending)
	}
	if text := runs["edda-november"]; len(demoGiven(t, app, swimmerOf(t, app, text), text)) != 2 {
		t.Error("the junior is in the middle of no practice")
	}
	sheet, err := app.Sheet(ctx, runs["edda-november"], "", func(SheetPicture) (string, error) { return "picture.jpg", nil })
	if err != nil || !strings.Contains(sheet.Sheet.Next, coach+" gave you this.") {
		t.Errorf("the sheet does not say who gave the practice: %q, %v", sheet.Sheet.Next, err)
	}
	again := demoLoader{app: app, demo: loadDemo(t), runs: runs}
	if err := again.season(ctx); err != nil {
		t.Fatal(err)
	}
	if n := len(demoGiven(t, app, whole.Swimmer.ID, whole.Run.ID)); n != 2 {
		t.Errorf("loaded again, %d drills stand there", n)
	}
}

func demoGiven(t *testing.T, app *App, swimmer, run string) []record.Given {
	t.Helper()
	all, err := app.store.Given(t.Context(), swimmer)
	if err != nil {
		t.Fatal(err)
	}
	return slices.DeleteFunc(all, func(g record.Given) bool { return g.RunID != run })
}

func swimmerOf(t *testing.T, app *App, run string) string {
	t.Helper()
	whole, err := app.store.RunWhole(t.Context(), run)
	if err != nil {
		t.Fatal(err)
	}
	return whole.Swimmer.ID
}

// TestDemoMonday: the same day always gives the same season.
func TestDemoMonday(t *testing.T) {
	for day, want := range map[record.Date]record.Date{
		"2026-11-08": "2026-11-09", "2026-11-25": "2026-11-09", "2026-11-30": "2026-11-16", "2026-12-06": "2026-11-16", "2027-06-16": "2027-05-31", "": "2026-11-09",
	} {
		if got := demoMonday(day); got != want {
			t.Errorf("on %q the practice begins on %s, want %s", day, got, want)
		}
	}
}
