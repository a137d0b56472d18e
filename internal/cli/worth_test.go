package cli

import (
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/report"
	"underkick/internal/swim"
)

// swimTable writes the landmarks of the reference kick, pointed by angle (rad), as a
// table with a time column or not, and returns its path.
func swimTable(t *testing.T, name string, angle float64, kicks float64, timed bool) string {
	t.Helper()
	const rate, metresPerPx = 120.0, 0.004
	m := swim.NewModel(body.Subject{Height: 1.8, Mass: 75, Sex: body.Male}, swim.ModelOptions{})
	o, err := m.Swim(swim.Reference().Pointed(angle), swim.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString("frame,landmark,x_px,y_px")
	if timed {
		b.WriteString(",time_s")
	}
	b.WriteString("\n")
	for i := 0; float64(i)/rate < kicks*o.Period(); i++ {
		for l, p := range o.Landmarks(float64(i)/rate, 0.4) {
			fmt.Fprintf(&b, "%d,%v,%.3f,%.3f", i, body.Landmark(l), 800-p.X/metresPerPx, 400-p.Y/metresPerPx)
			if timed {
				fmt.Fprintf(&b, ",%.6f", float64(i)/rate)
			}
			b.WriteString("\n")
		}
	}
	return write(t, t.TempDir(), name, []byte(b.String()))
}

func worthOf(t *testing.T, args ...string) (report.WorthDocument, string) {
	t.Helper()
	code, out, errOut := underkick(t, append([]string{"worth"}, args...)...)
	if code != exitOK {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	var d report.WorthDocument
	if err := json.Unmarshal([]byte(out), &d); err != nil {
		t.Fatalf("%v in %s", err, out)
	}
	return d, out
}

var swimmer = []string{"--metres-per-px", "0.004", "--height", "1.8", "--mass", "75", "--sex", "m"}

func with(first []string, more ...string) []string {
	return append(append([]string{}, first...), more...)
}

// From two tables the flat foot is named, with every field of docs/formats.md.
func TestWorthNamesTheFlatFoot(t *testing.T) {
	flat := swimTable(t, "flat.csv", -11*math.Pi/180, 6.5, false)
	good := swimTable(t, "good, fast.csv", 0, 6.5, true)
	base := with(swimmer, "--traces", flat, "--fps", "120", "--same-marking")
	d, out := worthOf(t, with(base, "--against", good+",fps=120", "--change", "foot=10", "tempo=5", "--json")...)
	if d.Limiter != "facing" || d.Reference != "run" || d.Refused || d.Sentence == "" {
		t.Errorf("limiter %s, reference %s: %s", d.Limiter, d.Reference, d.Reason)
	}
	var order []string
	sum := float64(d.Unexplained)
	for _, w := range d.Worth {
		order = append(order, w.Quality)
		sum += float64(w.Shapley)
		if !(w.Low <= w.SpeedChange && w.SpeedChange <= w.High) || w.Evidence == "" {
			t.Errorf("%+v", w)
		}
	}
	if got := strings.Join(order, " "); got != "facing sweep build tempo rest" {
		t.Errorf("qualities: %s", got)
	}
	if gain := float64(d.Against - d.Speed); math.Abs(sum-gain) > 1e-9 || !(gain > 0.05) {
		t.Errorf("shares and remainder %.3f, difference %.3f", sum, gain)
	}
	if d.Factor < 0.9 || d.Factor > 1.1 {
		t.Errorf("personal factor %.3f of a swimmer made with 1", d.Factor)
	}
	if len(d.Changes) != 2 || d.Changes[0].Name != "foot" || d.Changes[1].Name != "tempo" || !(d.Changes[0].SpeedChange > 0.05) {
		t.Errorf("changes: %+v", d.Changes)
	}
	for _, field := range []string{"limiter", "reason", "reference", "worth", "quality", "speed_change", "low", "high", "shapley", "equal_effort", "power_change", "evidence", "unexplained", "quality_flags"} {
		if !strings.Contains(out, `"`+field+`":`) {
			t.Errorf("no field %s", field)
		}
	}
	code, text, errOut := underkick(t, append([]string{"worth"}, with(base, "--against", good)...)...)
	if code != exitOK {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	if !strings.Contains(text, "limiter: facing") || !strings.Contains(text, "Model estimates") {
		t.Errorf("plain text: %s", text)
	}
	if force := regexp.MustCompile(`\d ?(N|W|N·s|N m)\b|newton|watt`).FindString(text); force != "" {
		t.Errorf("a force or power in the plain text: %q", force)
	}
}

func TestWorthWithoutReference(t *testing.T) {
	good := swimTable(t, "good.csv", 0, 6.5, true)
	d, out := worthOf(t, with(swimmer, "--traces", good, "--json")...)
	if d.Limiter != "none" || d.Reference != "step" || d.Reason == "" || len(d.Worth) != 5 {
		t.Errorf("%+v", d)
	}
	if d.Worth[0].Step != "foot +10 deg" || !math.IsNaN(float64(d.Worth[2].SpeedChange)) || !strings.Contains(out, `"unexplained": null`) {
		t.Errorf("steps: %s", out)
	}
}

// On film, with marks: one swimmer's two visits, whose invented difference is the foot.
func TestWorthOnFilm(t *testing.T) {
	now, nowMarks, nowPlane, truth := demoFiles(t, "joren-august")
	best, bestMarks, bestPlane, _ := demoFiles(t, "joren-october-1")
	d, _ := worthOf(t, now, "--marks", nowMarks, "--plane", nowPlane, "--height", fmt.Sprint(truth.Model.HeightM), "--mass", fmt.Sprint(truth.Model.MassKg), "--sex", "m",
		"--against", best+",marks="+bestMarks+",plane="+bestPlane, "--same-marking", "--json")
	if d.Refused || d.Reference != "run" || len(d.Worth) != 5 || d.Draws == 0 || len(d.Push) == 0 {
		t.Fatalf("%+v", d)
	}
	for _, w := range d.Worth {
		if w.Quality != "facing" && w.Shapley >= d.Worth[0].Shapley {
			t.Errorf("%s is worth %.3f m/s, facing %.3f", w.Quality, w.Shapley, d.Worth[0].Shapley)
		}
	}
}

// Poor input: a reason and no number, and no failure.
func TestWorthRefusesTwoKicks(t *testing.T) {
	d, _ := worthOf(t, with(swimmer, "--traces", swimTable(t, "two.csv", 0, 3, true), "--json")...)
	if !d.Refused || d.Limiter != "none" || !strings.Contains(d.Reason, "whole kicks") || len(d.Worth)+len(d.Changes) != 0 || !math.IsNaN(float64(d.Speed)) {
		t.Errorf("%+v", d)
	}
	_, text, _ := underkick(t, append([]string{"worth"}, with(swimmer, "--traces", swimTable(t, "two.csv", 0, 3, true))...)...)
	if !strings.HasPrefix(text, "no estimate: ") {
		t.Error(text)
	}
}

func TestWorthOnTheWrongCommandLine(t *testing.T) {
	good := swimTable(t, "good.csv", 0, 6.5, true)
	for _, c := range []struct {
		code int
		says string
		args []string
	}{
		{exitUsage, "give a clip", swimmer},
		{exitUsage, "NAME=AMOUNT", with(swimmer, "--traces", good, "--change", "foot")},
		{exitUsage, "the changes are", with(swimmer, "--traces", good, "--change", "wings=3")},
		{exitUsage, "can be changed by", with(swimmer, "--traces", good, "--change", "foot=80")},
		{exitUsage, "positive number", with(swimmer, "--traces", good, "--against", good+",fps=fast")},
		{exitUsage, "a clip goes with a clip", with(swimmer, "--traces", good, "--against", "a.mp4,marks=m.json")},
		{exitInput, "the reference run", with(swimmer, "--traces", good, "--against", filepath.Join(t.TempDir(), "lost.csv"))},
		{exitInput, "cannot be pointed", with(swimmer, "--traces", good, "--change", "foot=-39")},
	} {
		code, _, errOut := underkick(t, append([]string{"worth"}, c.args...)...)
		if code != c.code || !strings.Contains(errOut, c.says) {
			t.Errorf("%v: exit %d, %s", c.args[len(c.args)-2:], code, errOut)
		}
	}
}

func TestCutSettings(t *testing.T) {
	for text, want := range map[string]string{
		"b.csv":                               "b.csv|",
		"good, fast.csv,fps=50":               "good, fast.csv|fps=50",
		"b.mp4,marks=m, 2.json,plane=p.json":  "b.mp4|marks=m, 2.json plane=p.json",
		"a=b.csv,metres-per-px=0.003,fps=100": "a=b.csv|metres-per-px=0.003 fps=100",
	} {
		if name, settings := cutSettings(text); name+"|"+strings.Join(settings, " ") != want {
			t.Errorf("%s: %s, %v", text, name, settings)
		}
	}
}
