package poolside

import (
	"encoding/json"
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/demo"
)

// steadyDemo steadies a demo clip from its plane in one frame.
func steadyDemo(t *testing.T, name string, base int) (*Steadied, demo.Truth) {
	t.Helper()
	for _, c := range loadDemo(t).Clips {
		if c.Name != name {
			continue
		}
		truth, err := c.Truth()
		if err != nil {
			t.Fatal(err)
		}
		path := clipFile(t, c)
		index, err := openEngine(t).Index(t.Context(), path, nil)
		if err != nil {
			t.Fatal(err)
		}
		entries, err := camera.ParsePlane(truth.Plane)
		if err != nil {
			t.Fatal(err)
		}
		e := entries[min(base, len(entries)-1)]
		view, err := e.View()
		if err != nil {
			t.Fatal(err)
		}
		req := steadyRequest{engine: openEngine(t), path: path, index: index, first: truth.InView[0], last: truth.InView[1], base: base, view: view, factor: 1, plane: e.PointsPx}
		s, err := steadyView(t.Context(), req)
		if err != nil {
			t.Fatal(err)
		}
		return s, truth
	}
	t.Fatalf("no demo clip %s", name)
	return nil, demo.Truth{}
}

// The demo's drifting camera is held by hand over a lane rope that bobs on the waves,
// with light wandering over wall and floor; its rod lies in the swimmer's plane. A body
// is 490 px long there, so that 2 px are 0.4 %.
func TestDriftingCameraIsFollowed(t *testing.T) {
	skipShort(t)
	s, truth := steadyDemo(t, "nilo-november", 0)
	want, err := truth.View()
	if err != nil {
		t.Fatal(err)
	}
	var square, still, n, most float64
	for f := truth.InView[0]; f <= truth.InView[1]; f++ {
		at := truth.Times[f]
		for _, l := range []body.Landmark{body.Fingertip, body.Hip, body.Toe} {
			p := truth.Landmarks[l.String()][f]
			x, y := want.ToPool(at, p[0], p[1])
			gx, gy := s.View.ToPicture(at, x, y)
			d := math.Hypot(gx-p[0], gy-p[1])
			square, n, most = square+d*d, n+1, max(most, d)
			gx, gy = s.View.ToPicture(truth.Times[0], x, y)
			still += math.Pow(math.Hypot(gx-p[0], gy-p[1]), 2)
		}
	}
	rms := math.Sqrt(square / n)
	t.Logf("rms %.2f px, most %.2f px; not steadied %.2f px; said %.2f", rms, most, math.Sqrt(still/n), s.DriftPx)
	if rms > 2 {
		t.Errorf("the plane is off by %.2f px rms, bar 2", rms)
	}
	if s.DriftPx < rms/3 || s.DriftPx > 3*rms || s.PlaneSeen < 0.9 {
		t.Errorf("the residual drift is said to be %.2f px and is %.2f", s.DriftPx, rms)
	}
}

// From the plane of one picture of the drifting clip the measures come out as with
// the plane of every picture; without steadying they do not.
func TestMeasuresOfASteadiedClip(t *testing.T) {
	skipShort(t)
	for _, c := range loadDemo(t).Clips {
		if c.Name != "nilo-november" {
			continue
		}
		truth, err := c.Truth()
		if err != nil {
			t.Fatal(err)
		}
		entries, err := camera.ParsePlane(truth.Plane)
		if err != nil {
			t.Fatal(err)
		}
		const base = 40 // some frame of the run, so that the camera is followed both ways
		one, err := json.Marshal(entries[base])
		if err != nil {
			t.Fatal(err)
		}
		marks, err := c.Marks()
		if err != nil {
			t.Fatal(err)
		}
		req := FileRequest{
			Clip: clipFile(t, c), Film: openEngine(t), Marks: writeFile(t, "marks.json", marks), Plane: writeFile(t, "plane.json", one),
			Subject: loadDemo(t).Swimmers[c.Swimmer].Subject(),
		}
		for _, steadied := range []bool{false, true} {
			req.Steady = steadied
			m, err := MeasureFiles(t.Context(), req)
			if err != nil {
				t.Fatal(err)
			}
			for _, b := range []struct {
				id  string
				bar float64
			}{{"speed", 0.01}, {"kick_frequency", 0.005}, {"toe_amplitude", 0.03}} {
				got, want := value(t, m.Result, b.id), trueValue(t, truth, b.id)
				t.Logf("steadied %v: %s %.4f, true %.4f, off %+.2f %%", steadied, b.id, got, want, 100*(got/want-1))
				if steadied && math.Abs(got/want-1) > b.bar {
					t.Errorf("steadied: %s is off by %+.2f %%", b.id, 100*(got/want-1))
				}
			}
			if off := value(t, m.Result, "speed")/trueValue(t, truth, "speed") - 1; !steadied && math.Abs(off) < 0.02 {
				t.Errorf("without steadying the speed is off by %.2f %% only; the clip does not test it", 100*off)
			}
			for _, w := range m.Result.Warnings {
				t.Log(w)
			}
		}
	}
}
