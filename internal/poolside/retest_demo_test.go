package poolside

import (
	"math"
	"testing"

	"underkick/internal/demo"
	"underkick/internal/limit"
)

// The demo's swimmer who comes back in October is faster in truth, and two of his runs
// are all the repeats there are: the borrowed error must say 'no change shown', and
// the band of the difference must hold the true one. With a squad whose runs scatter
// by 2 %, the same films name the change.
func TestRetestOfTheDemo(t *testing.T) {
	app, runs := demoRuns(t)
	truth := map[string]float64{}
	for _, c := range loadDemo(t).Clips {
		d, err := c.Truth()
		if err != nil {
			t.Fatal(err)
		}
		truth[c.Name] = trueSpeed(t, d)
	}
	difference := (truth["joren-october-1"]+truth["joren-october-2"])/2 - truth["joren-august"]
	rc, err := app.store.RunWhole(t.Context(), runs["joren-august"])
	if err != nil {
		t.Fatal(err)
	}
	v, err := app.Retest(t.Context(), rc.Swimmer.ID, RetestQuery{})
	if err != nil {
		t.Fatal(err)
	}
	speed, ok := v.Result.Of("speed")
	if !ok || len(v.Result.Test) != 1 || len(v.Result.Retest) != 2 {
		t.Fatalf("%s against %s: refused %v", v.Test, v.Retest, v.Result.Refused)
	}
	low, high := speed.Band()
	t.Logf("true difference %.3f m/s; measured %.3f, band %.3f to %.3f, smallest real change %.3f", difference, speed.Difference, low, high, speed.Smallest)
	if difference < 0.05 {
		t.Fatalf("the demo holds no change to speak of: %.3f m/s", difference)
	}
	if !speed.Borrowed || speed.Verdict != limit.NoChange || difference < low || difference > high {
		t.Errorf("borrowed %v: %q; band %.3f to %.3f, true %.3f", speed.Borrowed, speed.Verdict, low, high, difference)
	}
	if v.Error.DF != 1 || !v.Error.Borrowed {
		t.Errorf("the demo's repeats: %+v", v.Error)
	}
	s, err := app.swum(t.Context(), rc.Swimmer.ID)
	if err != nil {
		t.Fatal(err)
	}
	te := 0.02 * speed.Now
	own := limit.Scatters{"speed": {Squares: 20 * te * te, DF: 20}}
	named, _ := limit.CompareVisits(s.on(v.Test), s.on(v.Retest), own, nil).Of("speed")
	low, high = named.Band()
	if named.Borrowed || named.Verdict != limit.Higher || difference < low || difference > high {
		t.Errorf("with the squad's own error: %q, band %.3f to %.3f, true %.3f", named.Verdict, low, high, difference)
	}
}

func trueSpeed(t *testing.T, d demo.Truth) float64 {
	t.Helper()
	for _, m := range d.Measures {
		if m.ID == "speed" && !math.IsNaN(m.Value) {
			return m.Value
		}
	}
	t.Fatalf("clip %s has no true speed", d.Clip)
	return 0
}
