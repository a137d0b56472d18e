package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

var hundred = []string{"wall", "--event", "100", "--surface", "1.6", "--kick", "1.5", "--tempo", "2.1", "--push-off", "2.4", "--height", "1.72", "--mass", "60"}

func TestWallPrints(t *testing.T) {
	code, out, errOut := underkick(t, append(hundred, "--worth", "0.05,0.02,0.08", "--done", "2:9:9.8:7.7", "--mark", "10")...)
	if code != 0 || errOut != "" {
		t.Fatalf("%d %s", code, errOut)
	}
	for _, want := range []string{"100 m freestyle, 25 m pool", "turn 3", "CAUTION: Shallow-water blackout", "rule: The head must", "worth over all walls", "done at turn 1", "not measurements", "10.0 m after"} {
		if !strings.Contains(out, want) {
			t.Errorf("lacks %q:\n%s", want, out)
		}
	}
	if strings.Contains(out, "NaN") || strings.Contains(out, "Inf") {
		t.Error(out)
	}
}

func TestWallWritesJSON(t *testing.T) {
	code, out, _ := underkick(t, append(hundred, "--json")...)
	var a struct {
		Walls []struct {
			Name     string
			Kicks    int
			Breakout struct{ Value, Low, High *float64 } `json:"breakout_m"`
		}
		Cautions []string
	}
	if err := json.Unmarshal([]byte(out), &a); err != nil || code != 0 {
		t.Fatal(code, err)
	}
	if len(a.Walls) != 4 || a.Walls[1].Kicks < 1 || a.Walls[1].Breakout.Value == nil || *a.Walls[1].Breakout.High > 15 || len(a.Cautions) != 3 {
		t.Errorf("%+v", a)
	}
	file := filepath.Join(t.TempDir(), "walls.json")
	put(t, file, `{"event":{"pool":"25 m","distance":100,"stroke":"freestyle"},"surface":{"freestyle":1.6},"kick":1.5,"tempo_hz":2.1,"push_off_speed":2.4}`)
	code, again, errOut := underkick(t, "wall", "--in", file, "--height", "1.72", "--mass", "60", "--json")
	if code != 0 || again != out {
		t.Errorf("the file gives another plan: %d %s", code, errOut)
	}
}

func put(t *testing.T, file, text string) {
	t.Helper()
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

func TestWallsAndLaddersRefuse(t *testing.T) {
	dir := t.TempDir()
	broken, other := filepath.Join(dir, "broken.json"), filepath.Join(dir, "other.json")
	put(t, broken, `{"event":`)
	put(t, other, `{"event":{"distance":100,"pool":"25 m","stroke":"freestyle"},"swim_faster":true}`)
	for _, c := range []struct {
		code int
		args []string
	}{
		{2, []string{"wall"}},
		{2, []string{"wall", "extra", "--event", "100"}},
		{2, []string{"wall", "--event", "130"}},
		{2, []string{"wall", "--event", "100", "--stroke", "sidestroke"}},
		{2, []string{"wall", "--event", "100", "--kick", "12"}},
		{2, []string{"wall", "--event", "100", "--surface", "fast"}},
		{2, []string{"wall", "--event", "200", "--stroke", "medley", "--surface", "1.5"}},
		{2, []string{"wall", "--event", "100", "--glide", "1,2,3"}},
		{2, []string{"wall", "--event", "100", "--done", "first"}},
		{2, []string{"wall", "--event", "100", "--worth", "0.1,0.2"}},
		{2, []string{"wall", "--event", "100", "--height", "172"}},
		{2, []string{"wall", "--event", "100", "--data", dir}},
		{2, []string{"wall", "--in", other, "--kick", "1.5"}},
		{2, []string{"wall", "--event", "100", "--keep", "x"}},
		{3, []string{"wall", "--in", broken}},
		{3, []string{"wall", "--in", other}},
		{3, []string{"wall", "--in", filepath.Join(dir, "none.json")}},
		{3, []string{"wall", "--event", "100", "--splits", "5:2,14:2.1"}},
		{3, []string{"wall", "--data", filepath.Join(dir, "none"), "--squad"}},
		{2, []string{"tempo-ladder"}},
		{2, []string{"tempo-ladder", "fast"}},
		{2, []string{"tempo-ladder", "--click-track", filepath.Join(dir, "c.wav")}},
		{2, []string{"tempo-ladder", "--click-track", filepath.Join(dir, "c.wav"), "--tempo", "130"}},
		{2, []string{"tempo-ladder", "--click-track", filepath.Join(dir, "c.wav"), "--tempo", "2", "--seconds", "900"}},
		{2, []string{"tempo-ladder", "--tempo", "2"}},
		{2, []string{"tempo-ladder", "2:1.4", "--in", other}},
		{3, []string{"tempo-ladder", "2:1.4", "2.1:1.4", "2.2:1.4"}},
		{3, []string{"tempo-ladder", "--in", broken}},
	} {
		if code, out, errOut := underkick(t, c.args...); code != c.code || errOut == "" || out != "" {
			t.Errorf("%v: code %d, want %d: %s%s", c.args, code, c.code, out, errOut)
		}
	}
	if _, err := os.Stat(filepath.Join(dir, "c.wav")); err == nil {
		t.Error("a refused click track was written")
	}
}

func TestTempoLadderPrints(t *testing.T) {
	track := filepath.Join(t.TempDir(), "click.wav")
	steps := []string{"1.8:1.34", "1.8:1.31", "2.1:1.42", "2.1:1.45", "2.4:1.40", "2.4:1.43"}
	code, out, errOut := underkick(t, append(append([]string{"tempo-ladder"}, steps...), "--click-track", track)...)
	if code != 0 || !strings.Contains(out, "best range") || !strings.Contains(out, "CAUTION") || !strings.Contains(errOut, "click track at 2.") {
		t.Errorf("%d %s %s", code, out, errOut)
	}
	if text, err := os.ReadFile(track); err != nil || string(text[:4]) != "RIFF" {
		t.Error(err)
	}
	code, out, _ = underkick(t, append(append([]string{"tempo-ladder"}, steps...), "--json")...)
	var l struct {
		Shape string
		Best  []float64 `json:"best_hz"`
	}
	if err := json.Unmarshal([]byte(out), &l); err != nil || code != 0 || len(l.Best) != 2 || l.Shape == "" {
		t.Errorf("%d %v %s", code, err, out)
	}
}

// Plans of a data folder: kept, shown, listed.
func TestWallsOfADataFolder(t *testing.T) {
	dir := t.TempDir()
	app, err := poolside.Open(t.Context(), poolside.Options{DataDir: dir})
	if err != nil {
		t.Fatal(err)
	}
	squad, err := app.AddSquad(t.Context(), record.Squad{Name: "Quiet Lane"})
	if err != nil {
		t.Fatal(err)
	}
	id, _, err := app.AddSwimmer(t.Context(), record.Swimmer{SquadID: squad, Name: "Wilma Reed", HeightM: 1.72, MassKg: 62})
	if err != nil {
		t.Fatal(err)
	}
	if code, _, errOut := underkick(t, "wall", "--data", dir, "--squad"); code != exitLocked {
		t.Errorf("open elsewhere: %d %s", code, errOut)
	}
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
	code, _, errOut := underkick(t, "wall", "--data", dir, "--swimmer", id, "--event", "50", "--surface", "1.6", "--kick", "1.4", "--keep", "50 free")
	_, plan, _ := strings.Cut(strings.TrimSpace(errOut), "kept as plan ")
	if code != 0 || plan == "" {
		t.Fatalf("%d %s", code, errOut)
	}
	empty := filepath.Join(t.TempDir(), "empty.json")
	if err := os.WriteFile(empty, []byte("{}"), 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _, errOut := underkick(t, "wall", "--data", dir, "--swimmer", id, "--in", empty, "--keep", "nothing"); code != exitInput || strings.Contains(errOut, "kept as plan") {
		t.Errorf("no event: %d %s", code, errOut)
	}
	if code, out, errOut := underkick(t, "wall", "--data", dir, "--plan", plan); code != 0 || !strings.Contains(out, "50 m freestyle") {
		t.Errorf("%d %s %s", code, out, errOut)
	}
	if code, out, _ := underkick(t, "wall", "--data", dir, "--squad"); code != 0 || !strings.Contains(out, "Wilma Reed") || !strings.Contains(out, "CAUTION") {
		t.Errorf("%d %s", code, out)
	}
	for _, args := range [][]string{{"--plan", "zz"}, {"--swimmer", "zz", "--event", "50"}} {
		if code, _, errOut := underkick(t, append([]string{"wall", "--data", dir}, args...)...); code != exitInput {
			t.Errorf("%v: %d %s", args, code, errOut)
		}
	}
	for _, turn := range [][2]string{{"remove", "removed"}, {"undo", "0 to undo, 1 to redo"}} {
		if code, out, errOut := underkick(t, "wall", "--data", dir, "--plan", plan, "--turn", turn[0]); code != 0 || !strings.Contains(out, turn[1]) {
			t.Errorf("%s: %d %s %s", turn[0], code, out, errOut)
		}
	}
	if code, _, errOut := underkick(t, "tempo-ladder", "--data", dir, "--swimmer", id, "--run", "zz"); code != exitInput || !strings.Contains(errOut, "no measured run") {
		t.Errorf("%d %s", code, errOut)
	}
	steps := []string{"1.8:1.34", "2.0:1.31", "2.1:1.42", "2.4:1.45"}
	code, _, errOut = underkick(t, append(append([]string{"tempo-ladder"}, steps...), "--data", dir, "--swimmer", id, "--keep", "May")...)
	_, ladder, _ := strings.Cut(strings.TrimSpace(errOut), "kept as ladder ")
	if code != 0 || ladder == "" {
		t.Fatalf("%d %s", code, errOut)
	}
	if code, out, _ := underkick(t, "tempo-ladder", "--data", dir, "--ladder", ladder); code != 0 || !strings.Contains(out, "best range") {
		t.Errorf("%d %s", code, out)
	}
}
