package poolside

import (
	"testing"

	"underkick/internal/demo/demotest"
	"underkick/internal/drawing"
	"underkick/internal/film"
)

// BenchmarkClipPicture makes pictures of a clip of 960 px as they go to the encoder: read,
// framed, softened, drawn on and converted.
func BenchmarkClipPicture(b *testing.B) {
	app, runs := benchRuns(b, "mira-october", "nilo-november")
	for _, c := range []struct {
		name string
		spec ClipSpec
	}{
		{"one", ClipSpec{Runs: []ClipRun{{RunID: runs[0], Kick: 2, Kicks: 1}}, Soften: true, Layers: drawing.All()}},
		{"plain", ClipSpec{Runs: []ClipRun{{RunID: runs[0], Kick: 2, Kicks: 1}}, Layers: drawing.None()}},
		{"pair", ClipSpec{Runs: []ClipRun{{RunID: runs[0], Kick: 2, Kicks: 1}, {RunID: runs[1], Kick: 2, Kicks: 1}}, Soften: true, Layers: drawing.All()}},
	} {
		plan, err := app.planClip(b.Context(), &c.spec)
		if err != nil {
			b.Fatal(err)
		}
		if err := plan.takePictures(b.Context(), func(float64, string) {}); err != nil {
			b.Fatal(err)
		}
		b.Run(c.name, func(b *testing.B) {
			d, frame, k := plan.drawer(), make([]byte, plan.width*plan.height*3/2), 0
			b.ReportAllocs()
			for b.Loop() {
				if err := d.draw(b.Context(), k%len(plan.times)); err != nil {
					b.Fatal(err)
				}
				film.Planar(frame, d.canvas)
				k++
			}
		})
	}
}

// benchRuns opens the demo and returns the runs of these clips.
func benchRuns(b *testing.B, clips ...string) (*App, []string) {
	b.Helper()
	app, err := Open(b.Context(), Options{DataDir: demotest.Copy(b, makeDemo)})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = app.Close() }) // nothing was written that must last
	runs := make([]string, len(clips))
	all, err := app.AllSwimmers(b.Context())
	if err != nil {
		b.Fatal(err)
	}
	for _, w := range all {
		filmed, err := app.store.Filmed(b.Context(), w.ID)
		if err != nil {
			b.Fatal(err)
		}
		for _, v := range filmed {
			for _, c := range v.Clips {
				for n, name := range clips {
					if c.Clip.Name == name+".mp4" && len(c.Runs) > 0 {
						runs[n] = c.Runs[0].Run.ID
					}
				}
			}
		}
	}
	return app, runs
}
