package poolside

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/demo/demotest"
	"underkick/internal/drawing"
	"underkick/internal/film"
)

// repeatedOnce draws a pair whose second film has fewer pictures a second than the first:
// the second's picture is read once for all the pictures of the clip that show it, and what
// stands on the canvas is what a drawer without memory draws.
func repeatedOnce(t *testing.T, app *App, runs []string) {
	spec := ClipSpec{Runs: []ClipRun{{RunID: runs[0], Kick: 2, Kicks: 1}, {RunID: runs[1], Kick: 2, Kicks: 1}}, WidthPx: 320, Soften: true, Layers: drawing.All()}
	plan, err := app.planClip(t.Context(), &spec)
	if err != nil {
		t.Fatal(err)
	}
	d, read, distinct := plan.drawer(), 0, map[int]bool{}
	for k := range plan.times {
		before := d.last[1].source
		if err := d.draw(t.Context(), k); err != nil {
			t.Fatal(err)
		}
		if d.last[1].source != before {
			read++
		}
		distinct[plan.panels[1].shown[k]] = true
		if k%7 != 3 {
			continue
		}
		fresh := plan.drawer()
		if err := fresh.draw(t.Context(), k); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(fresh.canvas.Pix, d.canvas.Pix) {
			t.Fatalf("picture %d depends on those before it", k)
		}
	}
	if read != len(distinct) || read >= len(plan.times) {
		t.Errorf("%d pictures of the clip show %d of the second film, which were read %d times", len(plan.times), len(distinct), read)
	}
}

// embeddedEngine is the engine inside the program. Its compiled form is kept where the
// program keeps it, or in the folder that a run of all tests shares: compiling takes ten
// seconds.
func embeddedEngine(t *testing.T) *film.Engine {
	t.Helper()
	opt := film.Options{Prefer: film.Embedded}
	if shared := os.Getenv(demotest.KeepEnv); shared != "" {
		opt.CacheDir = filepath.Join(shared, "engine")
	}
	e, err := film.Open(t.Context(), opt)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// embeddedClip makes a small clip with the engine inside the program and reads it back: the
// pictures are those drawn, at their times.
func embeddedClip(t *testing.T, app *App, runs []string) {
	usual := app.film
	app.film = embeddedEngine(t)
	defer func() { app.film = usual }()
	spec := ClipSpec{Runs: []ClipRun{{RunID: runs[0], From: 60, To: 67}}, WidthPx: 192, Soften: true, Layers: drawing.All()}
	path, note, err := app.WriteClip(t.Context(), spec, filepath.Join(t.TempDir(), "made"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasSuffix(path, ".mp4") || !strings.Contains(note, "built-in engine") {
		t.Errorf("%s: %s", path, note)
	}
	plan, err := app.planClip(t.Context(), &spec)
	if err != nil {
		t.Fatal(err)
	}
	pictures := lumas(t, usual, path)
	if len(pictures) != 8 || pictures[0].Width != 192 {
		t.Fatalf("%d pictures, want 8 of 192 px", len(pictures))
	}
	for k, p := range pictures {
		if math.Abs(p.Time-plan.times[k]) > 1.0/90000 {
			t.Errorf("picture %d is shown at %.6f s, want %.6f", k, p.Time, plan.times[k])
		}
		drawn, off := drawnLuma(t, plan, k), 0.0
		for i, v := range p.Data {
			off += math.Abs(float64(v) - float64(drawn.Data[i]))
		}
		if off /= float64(len(p.Data)); off > 4 {
			t.Errorf("picture %d is %.1f off what was drawn", k, off)
		}
	}
}
