package cli

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"underkick/internal/record"
)

func TestGoalsAreSetChangedAndClosed(t *testing.T) {
	dir, _ := squadFolder(t, record.Swimmer{Name: "Ada Quist"}, record.Swimmer{Name: "Ben Moor"})
	day, later := time.Now().AddDate(0, 2, 0).Format(time.DateOnly), time.Now().AddDate(0, 3, 0).Format(time.DateOnly)
	run := func(want int, args ...string) string {
		t.Helper()
		code, out, problem := underkick(t, append([]string{"goal", "--data", dir}, args...)...)
		if code != want {
			t.Fatalf("%v: exit %d, want %d: %s", args, code, want, problem)
		}
		return out + problem
	}
	if out := run(0, "Ada Quist"); !strings.Contains(out, "No goal is set.") || !strings.Contains(out, "blackout") {
		t.Errorf("none: %s", out)
	}
	if out := run(0, "Ada Quist", "--measure", "facing", "--at-least", "22,5", "--by-day", day, "--by", "Ann"); !strings.Contains(out, "at least 23\u00a0%") && !strings.Contains(out, "at least 22\u00a0%") {
		t.Errorf("set: %s", out)
	}
	run(0, "Ada Quist", "--measure", "facing", "--at-least", "30", "--by-day", later)
	var lines []goalLine
	if err := json.Unmarshal([]byte(run(0, "Ada Quist", "--json")), &lines); err != nil || len(lines) != 1 {
		t.Fatalf("%v: %+v", err, lines)
	}
	if g := lines[0]; g.Target != 0.3 || g.Unit != "1" || g.Sense != record.AtLeast || string(g.On) != later || g.Value != nil {
		t.Errorf("changed: %+v", g)
	}
	if out := run(3, "Ben Moor", "--close", lines[0].ID); !strings.Contains(out, "has no goal") {
		t.Errorf("closed by another: %s", out)
	}
	if out := run(0, "Ada Quist", "--close", lines[0].ID); !strings.Contains(out, "No goal is set.") {
		t.Errorf("closed: %s", out)
	}
	for _, c := range []struct {
		code int
		args []string
		must string
	}{
		{2, nil, "which swimmer"},
		{2, []string{"Ada Quist", "--at-least", "2"}, "--measure"},
		{2, []string{"Ada Quist", "--measure", "charm", "--at-least", "2", "--by-day", day}, "no measure"},
		{2, []string{"Ada Quist", "--measure", "speed", "--by-day", day}, "--at-least or --at-most"},
		{2, []string{"Ada Quist", "--measure", "speed", "--at-least", "2"}, "--by-day"},
		{2, []string{"Ada Quist", "--measure", "speed", "--at-least", "fast", "--by-day", day}, "no number"},
		{2, []string{"Ada Quist", "--measure", "speed", "--at-least", "2", "--by-day", "soon"}, "YYYY-MM-DD"},
		{2, []string{"Ada Quist", "--measure", "speed", "--at-least", "2", "--by-day", "2020-01-01"}, "has passed"},
		{3, []string{"Nobody", "--measure", "speed", "--at-least", "2", "--by-day", day}, "no swimmer"},
	} {
		if out := run(c.code, c.args...); !strings.Contains(out, c.must) {
			t.Errorf("%v: %s", c.args, out)
		}
	}
}
