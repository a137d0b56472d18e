package poolside

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"underkick/internal/limit"
	"underkick/internal/record"
)

// A swimmer who only grew is faster in m/s and not in body heights; one who grew as much
// and swims better is faster in both. The squad's repeats are close, so that both are told
// apart.
func TestGrowthAloneIsNoChangeInBodyHeights(t *testing.T) {
	app := openApp(t)
	squad := newSquad(t, app)
	for i := range 12 { // 12 degrees of freedom, 6 mm/s from run to run
		swims(t, app, record.Swimmer{SquadID: squad, Name: fmt.Sprintf("Mate %c", 'A'+i)},
			swimSpec{on: "2026-01-10", speed: 1.4}, swimSpec{on: "2026-01-10", speed: 1.4 + 0.006*math.Sqrt2})
	}
	const then, now = 1.50, 1.60 // heights, m
	junior := func(name string, speed float64) record.Swimmer {
		w := swims(t, app, record.Swimmer{SquadID: squad, Name: name, BirthYear: 2014},
			swimSpec{on: "2026-02-01", speed: 1.2}, swimSpec{on: "2026-11-01", speed: speed})
		for on, h := range map[record.Date]float64{"2026-02-01": then, "2026-11-01": now} {
			if _, err := app.KeepGrowth(t.Context(), record.Growth{SwimmerID: w.ID, On: on, HeightM: h}); err != nil {
				t.Fatal(err)
			}
		}
		return w
	}
	for _, c := range []struct {
		name  string
		speed float64
		grown limit.Verdict
	}{
		{"Grown Only", 1.2 * now / then, limit.NoChange},
		{"Grown and Better", 1.2*now/then + 0.08, limit.Higher},
		{"Grown and the Same", 1.2, limit.Lower}, // in m/s no change: in body heights slower
	} {
		w := junior(c.name, c.speed)
		trends, err := app.Trends(t.Context(), w.ID)
		if err != nil {
			t.Fatal(err)
		}
		absolute := limit.Higher
		if c.speed == 1.2 {
			absolute = limit.NoChange
		}
		for _, id := range []string{"speed", "kick_length"} {
			all := slices.Concat(trends.Lead, trends.Rest)
			at := slices.IndexFunc(all, func(tr Trend) bool { return tr.ID == id })
			last := all[at].Stops[1]
			if last.Change == nil || last.Grown == nil || last.Change.Borrowed {
				t.Fatalf("%s: %s is not compared by the squad's own error: %+v", c.name, id, last)
			}
			if last.Change.Verdict != absolute || last.Grown.Verdict != c.grown {
				t.Errorf("%s, %s: %s, and in body heights %s; want %s and %s", c.name, id, last.Change.Says(), last.Grown.Says(), absolute, c.grown)
			}
			if want := last.Mean.Value / now; math.Abs(last.PerHeight-want) > 1e-12 || last.HeightM != now {
				t.Errorf("%s, %s: %g per height at %g m, want %g", c.name, id, last.PerHeight, last.HeightM, want)
			}
		}
		view, err := app.Retest(t.Context(), w.ID, RetestQuery{})
		if err != nil {
			t.Fatal(err)
		}
		speed := view.Rows[0]
		if speed.ID != "speed" || speed.Grown == nil || speed.Change.Verdict != absolute || speed.Grown.Verdict != c.grown {
			t.Errorf("%s, retest: %s, in body heights %+v", c.name, speed.Change.Says(), speed.Grown)
		}
	}
}
