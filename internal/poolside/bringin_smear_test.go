package poolside

import (
	"os"
	"path/filepath"
	"testing"

	"underkick/internal/demo"
	"underkick/internal/film"
	"underkick/internal/raster"
	"underkick/internal/sight"
)

// demoFilm is a demo clip on disk with its truth.
func demoFilm(t *testing.T, name string) (path string, truth demo.Truth) {
	t.Helper()
	squad, err := demo.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range squad.Clips {
		if c.Name != name {
			continue
		}
		if truth, err = c.Truth(); err != nil {
			t.Fatal(err)
		}
		text, err := c.Film()
		if err != nil {
			t.Fatal(err)
		}
		path = filepath.Join(t.TempDir(), c.File())
		if err := os.WriteFile(path, text, 0o600); err != nil {
			t.Fatal(err)
		}
		return path, truth
	}
	t.Fatalf("no demo clip %s", name)
	return "", truth
}

// longShutter gives the mean of n pictures about each, as a shutter would that stays
// open from the first to the last of them.
func longShutter(all []*raster.Grey, n int) func(frame int) (*raster.Grey, error) {
	return func(frame int) (*raster.Grey, error) {
		out := raster.New(all[0].W, all[0].H)
		for k := range n {
			g := all[min(max(frame-n/2+k, 0), len(all)-1)]
			for i, v := range g.Pix {
				out.Pix[i] += v / float32(n)
			}
		}
		return out, nil
	}
}

// The smear at the edges against clips whose exposure and toe speed are known: as they
// are (1/250 s to 1/400 s) none is seen, and drawn out over several pictures it is at
// most the way of the toe, and most of the way of the feet.
func TestSmearOfKnownClips(t *testing.T) {
	if testing.Short() {
		t.Skip("decodes several clips")
	}
	e, err := engine()
	if err != nil {
		t.Skip(err)
	}
	for _, c := range []struct {
		clip  string
		rate  float64
		drawn int
	}{{"mira-october", 100, 3}, {"joren-october-1", 60, 3}, {"joren-october-2", 60, 2}, {"nilo-november", 60, 3}} {
		path, truth := demoFilm(t, c.clip)
		seen, err := FindRuns(t.Context(), e, path, 0, nil)
		if err != nil || len(seen.Runs) != 1 {
			t.Fatalf("%s: %v, %d runs", c.clip, err, len(seen.Runs))
		}
		run := seen.Runs[0]
		foot := run.LengthPx * 0.152 / 1.33 // share of the standing height, over the arms-up length's
		run.LengthPx *= seen.scale
		var all []*raster.Grey
		_, err = e.Decode(t.Context(), path, film.Request{}, func(p film.Picture) error {
			all = append(all, raster.FromBytes(p.Width, p.Height, p.Data))
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		toe := truthMeasure(truth, "toe_peak_speed_down") / truth.MetresPerPx // px/s
		for _, n := range []int{1, c.drawn} {
			s, ok, err := sight.MeasureSmear(run, 1/seen.scale, longShutter(all, n))
			if err != nil || !ok {
				t.Fatalf("%s, %d pictures: %v %v", c.clip, n, ok, err)
			}
			open := truth.ExposureS + float64(n-1)/c.rate
			t.Logf("%s, %d pictures, open %.4f s: %.1f px, %.2f foot lengths of at most %.2f; shutter %.4f s", c.clip, n, open, s.Px, s.Px/foot, toe*open/foot, s.Shutter)
			if s.Px > 1.1*toe*open || (n == 1 && s.Px > leastSmear*foot) {
				t.Errorf("%s: %.1f px of smear is more than the toe's way of %.1f px", c.clip, s.Px, toe*open)
			}
			if n > 1 && s.Px < 0.25*toe*open {
				t.Errorf("%s: %.1f px of smear is far less than the toe's way of %.1f px", c.clip, s.Px, toe*open)
			}
		}
	}
}

func truthMeasure(t demo.Truth, id string) float64 {
	for _, m := range t.Measures {
		if m.ID == id {
			return m.Value
		}
	}
	return 0
}
