package cli

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

// Several changes are answered one by one and together: tempo multiplies the speed that
// pointing gives (exact law).
func TestWorthOfChangesTogether(t *testing.T) {
	if testing.Short() {
		t.Skip("error draws take seconds")
	}
	table := swimTable(t, "own.csv", -5*math.Pi/180, 6, true)
	d, out := worthOf(t, with([]string{"--traces", table, "--change", "foot=6", "tempo=5", "--json"}, swimmer...)...)
	if d.Together == nil || len(d.Changes) < 2 {
		t.Fatalf("together %+v, changes %+v", d.Together, d.Changes)
	}
	if want := 1.05*float64(d.Speed+d.Changes[0].SpeedChange) - float64(d.Speed); math.Abs(float64(d.Together.SpeedChange)-want) > 3e-3 {
		t.Errorf("together %+.4f m/s, the tempo law gives %+.4f", d.Together.SpeedChange, want)
	}
	if !(d.Together.Low < d.Together.SpeedChange && d.Together.SpeedChange < d.Together.High) {
		t.Errorf("band %+v", d.Together)
	}
	// Every field of the issue is there by its name.
	var all map[string]json.RawMessage
	if err := json.Unmarshal([]byte(out), &all); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"limiter", "reason", "reference", "worth", "unexplained", "quality_flags"} {
		if _, ok := all[name]; !ok {
			t.Errorf("no %s", name)
		}
	}
	var lines []map[string]json.RawMessage
	if err := json.Unmarshal(all["worth"], &lines); err != nil || len(lines) != 5 {
		t.Fatalf("%d lines of worth, %v", len(lines), err)
	}
	for _, name := range []string{"quality", "speed_change", "low", "high", "shapley", "equal_effort", "power_change", "evidence"} {
		if _, ok := lines[0][name]; !ok {
			t.Errorf("no %s in worth", name)
		}
	}
}

// A run at the wall or near the surface gets a reason and no number.
func TestWorthRefusesSurfaceAndWall(t *testing.T) {
	table := swimTable(t, "own.csv", 0, 6, true)
	for want, args := range map[string][]string{"touches the wall": {"--touched", "wall"}, "knows no waves": {"--depth", "0.3"}} {
		d, _ := worthOf(t, with(append([]string{"--traces", table, "--json"}, args...), swimmer...)...)
		if !d.Refused || !strings.Contains(d.Reason, want) || len(d.Worth) != 0 || !math.IsNaN(float64(d.Speed)) {
			t.Errorf("%v: %+v", args, d)
		}
	}
	for _, args := range [][]string{{"--touched", "floor"}, {"--depth", "-1"}} {
		if code, _, _ := underkick(t, append([]string{"worth", "--traces", table}, with(args, swimmer...)...)...); code != exitUsage {
			t.Errorf("%v: exit %d", args, code)
		}
	}
}
