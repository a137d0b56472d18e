package limit_test

import (
	"bytes"
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/kick"
	"underkick/internal/kick/kicktest"
	"underkick/internal/table"
)

// A landmark table loses nothing on its way: metres to picture, written as CSV,
// read back, to metres again, gives the measures of the motion itself. What the
// four decimals of a pixel cost is far below every band.
func TestMeasuresThroughALandmarkTable(t *testing.T) {
	s := kicktest.Reference()
	times := make([]float64, 360)
	frames := make([]int, len(times))
	for i := range times {
		times[i], frames[i] = 0.5+float64(i)/120, 60+i
	}
	m := s.Motion(times)
	view := camera.FromScale(0.004)
	px := through(m, view.ToPicture)
	var file bytes.Buffer
	if err := table.WriteCSV(&file, table.FromMotion(px, frames)); err != nil {
		t.Fatal(err)
	}
	read, err := table.Read(&file, table.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got := read.Frames(); len(got) != len(frames) || got[0] != 60 {
		t.Fatalf("%d frames from %d", len(got), got[0])
	}
	back := through(read.Motion(), view.ToPool)
	measure := func(m body.Motion) *kick.Result {
		r, err := kick.MeasureRun(t.Context(), m, s.Subject, kick.Options{Draws: -1})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	direct, tabled := measure(m), measure(back)
	for _, a := range direct.Summary {
		b, _ := tabled.Measure(a.ID)
		if math.IsNaN(a.Value) != math.IsNaN(b.Value) || math.Abs(a.Value-b.Value) > 1e-4*max(1, math.Abs(a.Value)) {
			t.Errorf("%s: %g directly, %g through the table", a.ID, a.Value, b.Value)
		}
	}
}

// through moves every point of a motion by a view.
func through(m body.Motion, move func(t, x, y float64) (float64, float64)) body.Motion {
	out := body.Motion{T: m.T}
	for l, p := range m.Paths {
		if p == nil {
			continue
		}
		q := &body.Path{X: make([]float64, len(m.T)), Y: make([]float64, len(m.T))}
		for i, t := range m.T {
			q.X[i], q.Y[i] = move(t, p.X[i], p.Y[i])
		}
		out.Paths[l] = q
	}
	return out
}
