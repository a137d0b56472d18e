package poolside

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/demo"
	"underkick/internal/drawing"
	"underkick/internal/film"
	"underkick/internal/table"
)

// skipped reports whether the uneven clip lacks a frame of the demo clip, and how many it
// lacks before it.
func skipped(frame int) (bool, int) { return frame%7 == 3, (frame + 3) / 7 }

// uneven makes a demo clip into one of uneven rate, as phones write in bad light: every
// seventh picture is missing and the others come up to 4 ms late. Half as large, for speed.
// The marks go with their pictures.
func uneven(t *testing.T, c demo.Clip) (clip []byte, marks string) {
	t.Helper()
	if _, err := exec.LookPath("ffmpeg"); err != nil {
		t.Skip("making the uneven clip needs native ffmpeg, which is not installed here")
	}
	path := filepath.Join(t.TempDir(), "uneven.mp4")
	cmd := exec.CommandContext(t.Context(), "ffmpeg", "-loglevel", "error", "-i", clipFile(t, c),
		"-vf", `select='not(eq(mod(n\,7)\,3))',setpts='PTS+random(0)*0.004/TB',scale=iw/2:-2`, "-fps_mode", "passthrough", "-enc_time_base", "1:90000",
		"-c:v", "libx264", "-preset", "ultrafast", "-crf", "20", "-bf", "0", "-video_track_timescale", "90000", path)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Skipf("this ffmpeg cannot make the clip: %v: %s", err, out)
	}
	clip, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	text, err := c.Marks()
	if err != nil {
		t.Fatal(err)
	}
	given, err := table.Read(bytes.NewReader(text), table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString("frame,landmark,x_px,y_px\n")
	for _, m := range given.Marks {
		if gone, before := skipped(m.Frame); !gone {
			fmt.Fprintf(&b, "%d,%s,%g,%g\n", m.Frame-before, m.Landmark, m.X/2, m.Y/2)
		}
	}
	return clip, b.String()
}

// TestUnevenTimesAreKept makes a clip of a run of uneven rate: the times between its
// pictures are those between the film's own, twice as long, not those of any rate.
func TestUnevenTimesAreKept(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	if e := openEngine(t); e.Name() != "native" {
		t.Skip("needs native ffmpeg")
	}
	c := clipNamed(t, "mira-october")
	text, marks := uneven(t, c)
	runID, _ := bringInFilm(t, app, "uneven.mp4", text)
	if _, err := app.ImportMarks(ctx, runID, "A. Coach", strings.NewReader(marks), nil); err != nil {
		t.Fatal(err)
	}
	spec := ClipSpec{Runs: []ClipRun{{RunID: runID, Kick: 2, Kicks: 1}}, Slow: 2, WidthPx: 320, Layers: drawing.All()}
	path, _, err := app.WriteClip(ctx, spec, filepath.Join(t.TempDir(), "made"), nil)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := app.planClip(ctx, &spec)
	if err != nil {
		t.Fatal(err)
	}
	index, err := openEngine(t).Index(ctx, app.store.ClipPath(plan.panels[0].rc.Clip), nil)
	if err != nil {
		t.Fatal(err)
	}
	checkTimesOf(t, plan, index, lumas(t, openEngine(t), path))
}

func checkTimesOf(t *testing.T, plan *clipPlan, index *film.Index, made []film.Picture) {
	t.Helper()
	panel := plan.panels[0]
	if len(made) != len(panel.shown) {
		t.Fatalf("%d pictures of %d", len(made), len(panel.shown))
	}
	at := func(k int) float64 { return index.Frames[panel.m.frames[panel.shown[k]]].Time }
	shortest, longest := math.Inf(1), 0.0
	for k, p := range made {
		if want := 2 * (at(k) - at(0)); math.Abs(p.Time-want) > 1.0/90000 {
			t.Errorf("picture %d is shown at %.6f s, want %.6f", k, p.Time, want)
		}
		if k > 0 {
			step := p.Time - made[k-1].Time
			shortest, longest = math.Min(shortest, step), math.Max(longest, step)
		}
	}
	if longest < 1.5*shortest {
		t.Errorf("steps of %.4f to %.4f s: the clip is not uneven", shortest, longest)
	}
}
