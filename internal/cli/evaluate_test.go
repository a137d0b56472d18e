package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/demo"
)

// knownFolder writes truth and marks of demo clips into a folder.
func knownFolder(t *testing.T, names ...string) string {
	t.Helper()
	dir := t.TempDir()
	for _, name := range names {
		for _, ending := range []string{".truth.json", ".marks.json"} {
			text, err := os.ReadFile(filepath.Join("..", "demo", "clips", name+ending))
			if err != nil {
				t.Fatal(err)
			}
			write(t, dir, name+ending, text)
		}
	}
	return dir
}

// evaluation is the JSON of evaluate as docs/formats.md has it, as far as tests look.
type evaluation struct {
	Markings []struct {
		Name  string
		Total evaluated
		Clips []evaluated
	}
}

type evaluated struct {
	Clip, Problem string
	Runs          int
	FramesPerRun  float64 `json:"frames_per_run"`
	Landmarks     []struct {
		ID      string
		RMSBody float64 `json:"rms_body"`
		Held    float64
	}
	FootDeg   float64 `json:"foot_deg"`
	BandsHeld int     `json:"bands_held"`
	BandsOf   int     `json:"bands_of"`
}

func TestEvaluateMeasuresMarkedClipsAndSimulatedCoaches(t *testing.T) {
	dir := knownFolder(t, "joren-october-2")
	code, out, errOut := underkick(t, "evaluate", dir, "--json", "--frames", "20", "--per-kick", "8", "--asked", "", "--repeats", "2")
	if code != 0 {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	var e evaluation
	if err := json.Unmarshal([]byte(out), &e); err != nil {
		t.Fatal(err)
	}
	if len(e.Markings) != 3 {
		t.Fatalf("%d ways of marking, want the marks beside the clip, 20 frames and 8 per kick", len(e.Markings))
	}
	for _, m := range e.Markings {
		for _, l := range m.Total.Landmarks {
			t.Logf("%s: %s %.2f %% of body, held %.2f", m.Name, l.ID, 100*l.RMSBody, l.Held)
			if l.ID == "toe" && !(l.RMSBody > 0.0005 && l.RMSBody < 0.012) {
				t.Errorf("%s: toe %.2f %% of body", m.Name, 100*l.RMSBody)
			}
		}
		if share := float64(m.Total.BandsHeld) / float64(m.Total.BandsOf); !(share > 0.8) {
			t.Errorf("%s: only %d of %d bands hold the truth", m.Name, m.Total.BandsHeld, m.Total.BandsOf)
		}
	}
	if f := e.Markings[1].Total.FramesPerRun; f != 20 {
		t.Errorf("the coach of 20 frames marked %g", f)
	}
	if again, out2, _ := underkick(t, "evaluate", dir, "--json", "--frames", "20", "--per-kick", "8", "--asked", "", "--repeats", "2"); again != 0 || out2 != out {
		t.Error("the same seed gives another result")
	}
}

// A bare truth, places and rate alone, has no scale: what needs none is compared.
func TestEvaluateReadsABareTruth(t *testing.T) {
	var full demo.Truth
	text, err := os.ReadFile(filepath.Join("..", "demo", "clips", "joren-october-2.truth.json"))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &full); err != nil {
		t.Fatal(err)
	}
	bare := map[string]any{"fps": full.FPS}
	places := map[string][][2]float64{}
	for _, l := range []string{"fingertip", "shoulder", "hip", "knee", "ankle", "heel", "toe"} {
		places[l] = full.Landmarks[l][full.InView[0] : full.InView[1]+1]
	}
	bare["truth"] = places
	if text, err = json.Marshal(bare); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	write(t, dir, "bare.json", text)
	code, out, errOut := underkick(t, "evaluate", dir, "--frames", "", "--per-kick", "6", "--asked", "", "--repeats", "1")
	if code != 0 || !strings.Contains(out, "6 frames per kick: 1 runs") || !strings.Contains(out, "kick_frequency") {
		t.Errorf("exit %d\n%s%s", code, out, errOut)
	}
}

func TestEvaluateRefusesWhatItCannotUse(t *testing.T) {
	broken := t.TempDir()
	write(t, broken, "a.truth.json", []byte(`{"clip": "a.mp4"}`))
	wrong := t.TempDir()
	write(t, wrong, "b.json", []byte(`{"fps": 50, "truth": {"elbows": [[1, 2]], "toe": [[1, 2]]}}`))
	for _, c := range []struct {
		args []string
		code int
		text string
	}{
		{[]string{t.TempDir()}, exitInput, "no truth file"},
		{[]string{broken}, exitInput, "a.truth.json"},
		{[]string{wrong}, exitInput, "elbows"},
		{[]string{filepath.Join(broken, "nowhere")}, exitInput, "nowhere"},
		{nil, exitUsage, "--demo"},
		{[]string{"--demo", "--frames", "x"}, exitUsage, "--frames"},
		{[]string{"--demo", "--asked", "3"}, exitUsage, "--asked"},
		{[]string{"--demo", "--noise", "-1"}, exitUsage, "--noise"},
		{[]string{"--demo", "--json", "--markdown"}, exitUsage, "exclude"},
		{[]string{knownFolder(t, "joren-october-2"), "--guess"}, exitInput, "no film"},
	} {
		code, _, errOut := underkick(t, append([]string{"evaluate"}, c.args...)...)
		if code != c.code || !strings.Contains(errOut, c.text) {
			t.Errorf("evaluate %v: exit %d, want %d and %q:\n%s", c.args, code, c.code, c.text, errOut)
		}
	}
}

// A coach who marks what is asked for is told enough after a number of frames, and
// level 2 takes more marks and is better than level 1.
func TestEvaluateFollowsWhatIsAskedFor(t *testing.T) {
	dir := knownFolder(t, "joren-october-2")
	code, out, errOut := underkick(t, "evaluate", dir, "--json", "--frames", "", "--per-kick", "", "--repeats", "1")
	if code != 0 {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	var e evaluation
	if err := json.Unmarshal([]byte(out), &e); err != nil {
		t.Fatal(err)
	}
	if len(e.Markings) != 3 {
		t.Fatalf("%d ways of marking, want 3", len(e.Markings))
	}
	one, two := e.Markings[1].Total, e.Markings[2].Total
	t.Logf("level 1: %.0f frames, foot %.1f deg; level 2: %.0f frames, foot %.1f deg", one.FramesPerRun, one.FootDeg, two.FramesPerRun, two.FootDeg)
	if !(one.FramesPerRun >= 5 && one.FramesPerRun < two.FramesPerRun && two.FramesPerRun < 60) || two.FootDeg > one.FootDeg {
		t.Errorf("level 1: %+v\nlevel 2: %+v", one, two)
	}
}

func TestEvaluationPageHoldsItsFiguresAgainstTheBars(t *testing.T) {
	dir := knownFolder(t, "joren-october-2")
	code, out, errOut := underkick(t, "evaluate", dir, "--markdown", "--frames", "", "--per-kick", "8", "--asked", "", "--repeats", "1")
	if code != 0 {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	var reached float64
	line := ""
	for l := range strings.Lines(out) {
		if strings.HasPrefix(l, "| toe | 0.5 % of body |") {
			line = l
		}
	}
	if _, err := fmt.Sscanf(line, "| toe | 0.5 %% of body | %f", &reached); err != nil || math.IsNaN(reached) {
		t.Fatalf("no bar for the toe in\n%s", out)
	}
	if held := strings.Contains(line, "held"); held != (reached <= 0.5) {
		t.Errorf("the bar is called wrong: %s", line)
	}
}
