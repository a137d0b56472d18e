package cli

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestPracticeListsTheLibrary(t *testing.T) {
	code, out, _ := underkick(t, "practice", "--serves", "sweep")
	if code != 0 || !strings.Contains(out, "finish-in-front") || !strings.Contains(out, "CAUTION: Shallow-water blackout") || strings.Contains(out, "point-late") {
		t.Errorf("exit %d: %s", code, out)
	}
	code, out, _ = underkick(t, "practice", "--json")
	var got practiceOut
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != 0 || len(got.Drills) < 30 || len(got.Cautions) < 4 {
		t.Errorf("exit %d, %d drills, %v", code, len(got.Drills), err)
	}
}

func TestPracticeRefusesWhatItCannotRead(t *testing.T) {
	for _, args := range [][]string{{"--serves", "gills"}, {"FILE"}, {"--dry-land"}, {"--run", "x", "--serves", "sweep"}} {
		if code, _, problem := underkick(t, append([]string{"practice"}, args...)...); code != 2 || problem == "" {
			t.Errorf("%v: exit %d, %q", args, code, problem)
		}
	}
	data, _ := squadFolder(t)
	if code, _, problem := underkick(t, "practice", "--data", data, "--run", "nobody"); code != 3 || !strings.Contains(problem, "nobody") {
		t.Errorf("unknown run: exit %d, %q", code, problem)
	}
}
