package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"underkick/internal/record"
)

// practiceFolder is a data folder with a squad of two.
func practiceFolder(t *testing.T) string {
	t.Helper()
	dir, _ := squadFolder(t, record.Swimmer{Name: "Ada Quist", BirthYear: 1990}, record.Swimmer{Name: "Ben Moor"})
	return dir
}

func TestPracticeIsGivenChangedAndEnded(t *testing.T) {
	dir := practiceFolder(t)
	run := func(want int, args ...string) string {
		t.Helper()
		code, out, problem := underkick(t, append([]string{"practice", "--data", dir}, args...)...)
		if code != want {
			t.Fatalf("%v: exit %d, want %d: %s", args, code, want, problem)
		}
		if code == 0 && !strings.Contains(out, "blackout") {
			t.Errorf("%v prints no caution:\n%s", args, out)
		}
		return out + problem
	}
	out := run(0, "--give", "finish-in-front,quiet-hands", "--swimmer", "Ada Quist", "--why", "her feet stop early", "--from", "2026-03-10", "--weeks", "5", "--notes", "lane 2")
	if !strings.Contains(out, "retest on 2026-04-14") || !strings.Contains(out, "her feet stop early (coach)") {
		t.Errorf("given: %s", out)
	}
	id := regexp.MustCompile(`(?m)^([0-9a-z]{12})  Finish in front`).FindStringSubmatch(out)[1]
	if out = run(2, "--give", "squat-jump", "--swimmer", "Ben Moor", "--why", "strong"); !strings.Contains(out, "year of birth is not known") {
		t.Errorf("age set aside: %s", out)
	}
	if out = run(2, "--give", "soles-press", "--swimmer", "Ada Quist", "--without", "snorkel"); !strings.Contains(out, "equipment that is not there") {
		t.Errorf("the rule is not said: %s", out)
	}
	if out = run(0, "--change", id, "--weeks", "7", "--repeats", "3"); !strings.Contains(out, "retest on 2026-04-28") || !strings.Contains(out, "3 x 5 kicks") || !strings.Contains(out, "version 2") {
		t.Errorf("changed: %s", out)
	}
	run(2, "--change", id, "--repeats", "11")
	if out = run(0, "--session", "--squad", "Quiet Lane", "--on", "2026-03-20"); !strings.Contains(out, "1. Finish in front") || !strings.Contains(out, "Ada Quist: 2 x 5 kicks, full recovery at the surface between\n    Slow enough to feel it") || !strings.Contains(out, "nothing given: Ben Moor") || !strings.Contains(out, "bring: small float, for 1") {
		t.Errorf("session: %s", out)
	}
	run(0, "--session", "--squad", "Quiet Lane", "--on", "2026-03-20", "--json")
	if out = run(0, "--due", "--squad", "Quiet Lane"); !strings.Contains(out, "2026-04-14") {
		t.Errorf("due: %s", out)
	}
	run(0, "--due", "--squad", "Quiet Lane", "--json")
	if out = run(0, "--end", id, "--on", "2026-04-20"); !strings.Contains(out, "ended 2026-04-20") {
		t.Errorf("ended: %s", out)
	}
	run(2, "--end", id, "--on", "2026-01-01")
	if out = run(0, "--again", id, "--version", "1"); strings.Contains(out, "ended") || !strings.Contains(out, "5 weeks") {
		t.Errorf("back to the first: %s", out)
	}
	run(0, "--take-back", id)
	if out = run(0, "--swimmer", "Ada Quist"); !strings.Contains(out, "taken back") || !strings.Contains(out, "practised now: 1 drill\n") {
		t.Errorf("practised: %s", out)
	}
	var got struct {
		Given []givenOut `json:"given"`
	}
	if err := json.Unmarshal([]byte(run(0, "--swimmer", "Ada Quist", "--json")), &got); err != nil || len(got.Given) != 2 || got.Given[0].Drill.Title != "Quiet hands" {
		t.Errorf("%+v, %v", got, err)
	}
	run(3, "--end", "nothing")
	run(3, "--swimmer", "Nobody")
	run(3, "--session", "--squad", "Nobody's")
}

func TestOwnDrillsComeFromAFile(t *testing.T) {
	dir := practiceFolder(t)
	const file = `{"format": "underkick drills", "version": 1, "drills": [{
		"copy_of": "quiet-hands", "id": "", "title": "Quieter hands", "serves": "streamline", "phase": "the whole kick", "place": "under water", "step": 2, "min_age": 0,
		"why": "Hands that swing cost speed.", "source": "Common practice, no source.", "how": ["Five kicks.", "Rest."], "cue": "Shelf", "caution": "Calm breathing before every repeat. Come up at once when it stops being easy, and end the set when anyone feels unwell.", "common_error": "Stiff trunk.", "works_when": "Hands are quiet.",
		"doses": [{"repeats": 4, "kicks": 5, "rest": "full recovery at the surface between", "per_week": 2}], "measures": ["speed"]}]}`
	write := func(text string) string {
		path := filepath.Join(t.TempDir(), "drills.json")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	code, out, problem := underkick(t, "practice", "--data", dir, "--own", write(file))
	if code != 0 || !strings.Contains(out, "version 1: Quieter hands") || !strings.Contains(out, "CAUTION: Shallow-water blackout") {
		t.Fatalf("exit %d: %s%s", code, out, problem)
	}
	id := regexp.MustCompile(`own-[0-9a-z]{12}`).FindString(out)
	code, list, _ := underkick(t, "practice", "--data", dir, "--own-list")
	if code != 0 || !strings.Contains(list, id) {
		t.Errorf("exit %d: %s", code, list)
	}
	if code, out, _ = underkick(t, "practice", "--data", dir, "--own", write(strings.Replace(list, "Five kicks.", "Six kicks.", 1))); code != 0 || !strings.Contains(out, id+", version 2") {
		t.Errorf("changed: exit %d: %s", code, out)
	}
	for name, text := range map[string]string{
		"a contest":     strings.Replace(file, "Five kicks.", "Kick as far as you can.", 1),
		"eleven kicks":  strings.Replace(file, `"kicks": 5`, `"kicks": 11`, 1),
		"another rest":  strings.Replace(file, "full recovery at the surface between", "10 s", 1),
		"another form":  strings.Replace(file, "underkick drills", "drills", 1),
		"unknown field": strings.Replace(file, `"cue"`, `"call"`, 1),
	} {
		if code, _, problem := underkick(t, "practice", "--data", dir, "--own", write(text)); code != 3 || problem == "" {
			t.Errorf("%s: exit %d, %q", name, code, problem)
		}
	}
	if code, out, _ := underkick(t, "practice", "--data", dir, "--retire", id); code != 0 || !strings.Contains(out, "what was given stays") {
		t.Errorf("retired: exit %d: %s", code, out)
	}
	if code, _, _ := underkick(t, "practice", "--data", dir, "--bring-back", "own-nothing"); code != 3 {
		t.Errorf("bring back nothing: exit %d", code)
	}
	if code, _, _ := underkick(t, "practice", "--data", dir, "--own", filepath.Join(dir, "nothing.json")); code != 3 {
		t.Errorf("no file: exit %d", code)
	}
}

func TestPracticeOptionsThatDoNotGoTogether(t *testing.T) {
	for _, args := range [][]string{
		{"--give", "quiet-hands"},
		{"--give", "quiet-hands", "--run", "a", "--swimmer", "b"},
		{"--session"},
		{"--due"},
		{"--again", "x"},
		{"--end", "x", "--weeks", "4"},
		{"--swimmer", "x", "--on", "2026-03-10"},
		{"--own", "f", "--own-list"},
		{"--weeks", "5"},
	} {
		if code, _, problem := underkick(t, append([]string{"practice"}, args...)...); code != 2 || problem == "" {
			t.Errorf("%v: exit %d, %q", args, code, problem)
		}
	}
}
