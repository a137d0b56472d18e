package poolside

import (
	"os"
	"path/filepath"
	"testing"

	"underkick/internal/demo"
	"underkick/internal/film"
	"underkick/internal/table"
)

// benchClip is the demo's drifting clip: 161 pictures of 1280 by 720 px.
func benchClip(b *testing.B) (path string, truth demo.Truth) {
	b.Helper()
	squad, err := demo.Load()
	if err != nil {
		b.Fatal(err)
	}
	for _, c := range squad.Clips {
		if c.Name != "nilo-november" {
			continue
		}
		if truth, err = c.Truth(); err != nil {
			b.Fatal(err)
		}
		text, err := c.Film()
		if err != nil {
			b.Fatal(err)
		}
		path = filepath.Join(b.TempDir(), c.File())
		if err := os.WriteFile(path, text, 0o600); err != nil {
			b.Fatal(err)
		}
	}
	return path, truth
}

// BenchmarkDecode decodes the clip in luma, 640 px wide, as steadying and the run
// finder do.
func BenchmarkDecode(b *testing.B) {
	path, _ := benchClip(b)
	e, err := engine()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := e.Decode(b.Context(), path, film.Request{Width: sightWidth}, func(film.Picture) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFindRuns decodes, steadies and looks for the swimmer.
func BenchmarkFindRuns(b *testing.B) {
	path, _ := benchClip(b)
	e, err := engine()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := FindRuns(b.Context(), e, path, 0, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSteady decodes and follows the camera from the plane of the first picture.
func BenchmarkSteady(b *testing.B) {
	path, truth := benchClip(b)
	e, err := engine()
	if err != nil {
		b.Fatal(err)
	}
	index, err := e.Index(b.Context(), path, nil)
	if err != nil {
		b.Fatal(err)
	}
	req := steadyRequest{engine: e, path: path, index: index, last: len(index.Frames) - 1, factor: 1}
	if err := req.onePicture(FileRequest{}, &table.Table{Plane: truth.Plane}); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := steadyView(b.Context(), req); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkMeasure takes the clip's marks through fit, kicks and error draws.
func BenchmarkMeasure(b *testing.B) {
	clips, err := demoClips()
	if err != nil {
		b.Fatal(err)
	}
	k := clips[0]
	view, err := k.view(0, planeHand(1))
	if err != nil {
		b.Fatal(err)
	}
	in := k.input(view)
	in.takeMarks(k.marks.Marks)
	for b.Loop() {
		if _, err := measure(b.Context(), in); err != nil {
			b.Fatal(err)
		}
	}
}
