package poolside

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"underkick/internal/limit"
	"underkick/internal/record"
)

// TestGoalsOverASeason sets goals before and after visits: the band of the newest visit
// decides, what was filmed before the goal was set is said to be, and every change can be
// taken back.
func TestGoalsOverASeason(t *testing.T) {
	ctx, app := t.Context(), openApp(t)
	squad := newSquad(t, app)
	old, today := record.Date(today()).AddDays(-90), record.Date(today())
	ada := swims(t, app, record.Swimmer{SquadID: squad, Name: "Ada Quist"}, swimSpec{on: old, speed: 1.3}, swimSpec{on: today, speed: 1.5})
	zoe := swims(t, app, record.Swimmer{SquadID: squad, Name: "Zoë Lind"}, swimSpec{on: old, speed: 1.6})
	set := func(w record.Swimmer, measure string, sense record.Sense, target float64) record.Goal {
		t.Helper()
		g, err := app.SetGoal(ctx, record.Goal{SwimmerID: w.ID, Measure: measure, Sense: sense, Target: target, On: today.AddDays(30)})
		if err != nil {
			t.Fatal(err)
		}
		return g
	}
	stands := func(w record.Swimmer) map[string]GoalView {
		t.Helper()
		view, err := app.Goals(ctx, w.ID)
		if err != nil {
			t.Fatal(err)
		}
		byMeasure := map[string]GoalView{}
		for _, g := range view.Goals {
			byMeasure[g.Measure] = g
		}
		return byMeasure
	}
	// Bands of the made-up runs are 2 % of the value either way: 1.47 to 1.53 m/s.
	speed := set(ada, "speed", record.AtLeast, 1.45)
	set(ada, "kick_frequency", record.AtMost, 1.9) // 1.96 to 2.04 Hz
	set(ada, "build", record.AtLeast, 1.2)         // 1.176 to 1.224
	set(ada, "knee_range", record.AtLeast, 60)     // not measured
	set(zoe, "speed", record.AtLeast, 1.5)
	got := stands(ada)
	for measure, want := range map[string]limit.Reach{"speed": limit.Reached, "kick_frequency": limit.NotReached, "build": limit.Undecided, "knee_range": limit.Unmeasured} {
		if got[measure].Reach != want {
			t.Errorf("%s: %q, want %q: %v", measure, got[measure].Reach, want, got[measure].Words())
		}
	}
	if !got["speed"].Since || strings.Contains(strings.Join(got["speed"].Words(), " "), "Not filmed") {
		t.Errorf("filmed on the day: %v", got["speed"].Words())
	}
	if g := stands(zoe)["speed"]; g.Since || !strings.Contains(strings.Join(g.Words(), " "), "Not filmed since it was set.") {
		t.Errorf("filmed before: %v", g.Words())
	}

	second := record.Goal{SwimmerID: ada.ID, Measure: "speed", Sense: record.AtLeast, Target: 1.6, On: today.AddDays(30)}
	var f record.Faults
	if _, err := app.SetGoal(ctx, second); !errors.As(err, &f) || f.For("measure") == "" {
		t.Errorf("a second goal of speed: %v", err)
	}
	second.On = today.AddDays(-1)
	if _, err := app.SetGoal(ctx, second); !errors.As(err, &f) || f.For("on") == "" {
		t.Errorf("a goal for yesterday: %v", err)
	}

	speed.Target = 1.7
	if _, err := app.SetGoal(ctx, speed); err != nil {
		t.Fatal(err)
	}
	if _, err := app.CloseGoal(ctx, speed.ID, "Ann"); err != nil {
		t.Fatal(err)
	}
	if _, still := stands(ada)["speed"]; still {
		t.Error("a closed goal stands")
	}
	if _, err := app.GoalAgain(ctx, speed.ID, 1, "Ann"); err != nil {
		t.Fatal(err)
	}
	back := stands(ada)["speed"]
	if back.Target != 1.45 || back.Seq != 4 || len(back.Versions) != 4 || back.By != "Ann" {
		t.Errorf("brought back: %+v", back.Goal)
	}
	if _, err := app.GoalAgain(ctx, speed.ID, 9, ""); !errors.Is(err, ErrNotFound) {
		t.Errorf("back to a version that never was: %v", err)
	}

	view, err := app.SquadList(ctx, SquadQuery{Due: DueGoal})
	if err != nil || len(names(view)) != 0 {
		t.Errorf("goals past: %v, %v", names(view), err)
	}
	past := today.AddDays(-3)
	if _, err := app.store.ChangeGoal(ctx, record.Goal{ID: speed.ID, Sense: record.AtLeast, Target: 1.45, On: past}); err != nil {
		t.Fatal(err)
	}
	view, err = app.SquadList(ctx, SquadQuery{Due: DueGoal})
	if err != nil || !slices.Equal(names(view), []string{"Ada Quist"}) || view.Squads[0].Rows[0].GoalOn != string(past) {
		t.Errorf("goals past: %v, %v", names(view), err)
	}
	trends, err := app.Trends(ctx, ada.ID)
	if err != nil || trends.Lead[0].Goal == nil || trends.Lead[0].Goal.ID != speed.ID || len(trends.Goals) != 4 {
		t.Errorf("trends: %+v, %v", trends.Lead[0].Goal, err)
	}
}
