package demo

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"underkick/internal/body"
	"underkick/internal/film"
)

func TestMain(m *testing.M) {
	if len(os.Args) > 1 && os.Args[1] == film.WorkerWord {
		os.Exit(film.WorkerMain(os.Args[2:], os.Stdin, os.Stdout, os.Stderr))
	}
	os.Exit(m.Run())
}

func native(t *testing.T) *film.Engine {
	t.Helper()
	e, err := film.Open(t.Context(), film.Options{Prefer: film.Native})
	if err != nil {
		t.Skipf("native ffmpeg is needed here: %v", err)
	}
	return e
}

// Every embedded film has the frames and times its truth states, and shows a body where
// the truth says: something stands out around every landmark.
func TestEmbeddedFilms(t *testing.T) {
	e := native(t)
	for _, c := range load(t).Clips {
		truth := truthOf(t, c)
		data, err := c.Film()
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), c.File())
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		idx, err := e.Index(t.Context(), path, nil)
		if err != nil {
			t.Fatal(err)
		}
		if len(idx.Frames) != len(truth.Times) || idx.Info.Codec != "h264" {
			t.Errorf("%s: %d frames of %s, the truth has %d", c.Name, len(idx.Frames), idx.Info.Codec, len(truth.Times))
			continue
		}
		for i, f := range idx.Frames {
			if math.Abs(f.Time-truth.Times[i]) > 1e-4 {
				t.Fatalf("%s frame %d at %.5f s, the truth says %.5f", c.Name, i, f.Time, truth.Times[i])
			}
		}
		if factor, slow := idx.Info.SlowMotion(); slow != (c.TrueFPS > 0) || (slow && math.Abs(factor-truth.FPS/truth.TrueFPS) > 1e-6) {
			t.Errorf("%s: slow motion %v by %.4f", c.Name, slow, factor)
		}
		n := (truth.InView[0] + truth.InView[1]) / 2
		_, err = e.Decode(t.Context(), path, film.Request{From: n, To: n + 1}, func(p film.Picture) error {
			checkContrast(t, c, truth, n, p)
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

// checkContrast looks at the brightness within a tenth of a metre of each landmark.
func checkContrast(t *testing.T, c Clip, truth Truth, n int, p film.Picture) {
	t.Helper()
	if p.Width != truth.WidthPx || p.Height != truth.HeightPx {
		t.Fatalf("%s: picture %dx%d", c.Name, p.Width, p.Height)
	}
	reach := int(0.10 / truth.MetresPerPx)
	for _, l := range []body.Landmark{body.Fingertip, body.Shoulder, body.Hip, body.Knee, body.Ankle, body.Heel, body.Toe} {
		at := truth.Landmarks[l.String()][n]
		var near []int
		for y := int(at[1]) - reach; y <= int(at[1])+reach; y++ {
			for x := int(at[0]) - reach; x <= int(at[0])+reach; x++ {
				if x >= 0 && y >= 0 && x < p.Width && y < p.Height {
					near = append(near, int(p.Data[y*p.Width+x]))
				}
			}
		}
		slices.Sort(near)
		if spread := near[len(near)*49/50] - near[len(near)/50]; spread < 15 {
			t.Errorf("%s frame %d: only %d steps of contrast around the %v", c.Name, n, spread, l)
		}
	}
}

// A small clip can be rendered from scratch, and ends at once when told to.
func TestRenderTake(t *testing.T) {
	e := native(t)
	k := takes[bramTake(t)]
	k.w, k.h, k.seconds, k.trueFPS, k.name = 160, 90, 1.2, 0, "small"
	dir := t.TempDir()
	if err := k.render(t.Context(), e, dir, nil); err != nil {
		t.Fatal(err)
	}
	truth, err := k.truth()
	if err != nil {
		t.Fatal(err)
	}
	idx, err := e.Index(t.Context(), filepath.Join(dir, "small.mp4"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(idx.Frames) != len(truth.Times) {
		t.Errorf("%d frames, want %d", len(idx.Frames), len(truth.Times))
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	k.name = "stopped"
	if err := k.render(ctx, e, dir, nil); err == nil {
		t.Error("a cancelled render reports success")
	}
	if left, _ := filepath.Glob(filepath.Join(dir, "*stopped*")); len(left) > 0 {
		t.Errorf("a cancelled render leaves %v", left)
	}
}

func bramTake(t *testing.T) int {
	t.Helper()
	for i := range takes {
		if takes[i].swimmer == bram {
			return i
		}
	}
	t.Fatal("no clip of the slow-motion camera")
	return 0
}
