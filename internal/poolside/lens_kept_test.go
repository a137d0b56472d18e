package poolside

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"underkick/internal/camera"
	"underkick/internal/record"
)

// bentLines are two straight lines of the pool near the picture's edges as a lens shows
// them, nine points each, to a hundredth of a pixel.
func bentLines(t *testing.T, lens camera.Lens) []camera.Line {
	t.Helper()
	var out []camera.Line
	for _, y := range []float64{40, 690} {
		var line camera.Line
		for i := range 9 {
			bx, by := lens.Bent(60+145*float64(i), y+0.01*145*float64(i))
			if math.IsNaN(bx) {
				t.Fatal("the lens does not show the line")
			}
			line = append(line, [2]float64{math.Round(100*bx) / 100, math.Round(100*by) / 100})
		}
		out = append(out, line)
	}
	return out
}

// A lens that is kept holds for a known length and for a rectangle: a length near the
// picture's side comes out as it is, not as it is seen.
func TestKeptLensHoldsForEveryScale(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	lens, err := camera.NewLens(1280, 720, 0.12, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	runID, _ := bringIn(t, app, clipNamed(t, "mira-october"))
	lines := bentLines(t, lens)
	v, err := app.TryLens(ctx, runID, lines)
	if err != nil || !v.Known || !strings.Contains(v.Words, "beside straight ones, with the lens taken out 0.0 px") {
		t.Fatalf("%+v, %v", v, err)
	}
	seen := func(x, y float64) [2]float64 {
		bx, by := lens.Bent(x, y)
		return [2]float64{bx, by}
	}
	known := record.Scale{Kind: record.KnownLength, LengthM: 1, PointsPx: [2][2]float64{seen(540, 360), seen(740, 360)}} // 5 mm in a straight px
	plane := record.Scale{Kind: record.Plane, Plane: []byte(`{"points_px":[[440,260],[840,260],[840,460],[440,460]],"points_m":[[0,1],[2,1],[2,0],[0,0]]}`)}
	corners := strings.NewReplacer("440,260", place(seen(440, 260)), "840,260", place(seen(840, 260)), "840,460", place(seen(840, 460)), "440,460", place(seen(440, 460)))
	plane.Plane = []byte(corners.Replace(string(plane.Plane)))
	// 200 straight px near the picture's upper left are 1 m.
	length := func(s record.Scale) float64 {
		rc, err := app.store.RunWhole(ctx, runID)
		if err != nil {
			t.Fatal(err)
		}
		s.Lens = rc.Run.Scale.Lens
		rc.Run.Scale = s
		if err := app.UpdateRun(ctx, rc.Run); err != nil {
			t.Fatal(err)
		}
		in, err := app.chainInput(ctx, rc)
		if err != nil {
			t.Fatal(err)
		}
		p, q := seen(-40, 100), seen(160, 100)
		x0, y0 := in.View.ToPool(in.Times[0], p[0], p[1])
		x1, y1 := in.View.ToPool(in.Times[0], q[0], q[1])
		return math.Hypot(x1-x0, y1-y0)
	}
	for name, s := range map[string]record.Scale{"known length": known, "plane": plane} {
		if without := length(s); math.Abs(without-1) < 0.03 {
			t.Fatalf("%s: without the lens 1 m is %.3f m; the lens does nothing", name, without)
		}
	}
	if err := app.SetLens(ctx, runID, lines); err != nil {
		t.Fatal(err)
	}
	for name, s := range map[string]record.Scale{"known length": known, "plane": plane} {
		if got := length(s); math.Abs(got-1) > 0.003 {
			t.Errorf("%s: 1 m is %.4f m through the lens", name, got)
		}
		var file bytes.Buffer
		if err := app.WriteMarks(ctx, runID, &file); err != nil || !strings.Contains(file.String(), `"lines_px"`) {
			t.Errorf("%s: the marks file does not hold the lens: %v %.300s", name, err, file.String())
		}
	}
	m, err := app.Marking(ctx, runID)
	if err != nil || !m.Lens.Known || len(m.Lens.Lines) != 2 {
		t.Errorf("%+v, %v", m.Lens, err)
	}
	if err := app.SetLens(ctx, runID, []camera.Line{lines[0][:4]}); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), "mark at least 5") {
		t.Errorf("too few points: %v", err)
	}
	if err := app.SetLens(ctx, runID, nil); err != nil {
		t.Fatal(err)
	}
	if m, err = app.Marking(ctx, runID); err != nil || m.Lens.Known {
		t.Errorf("taken away: %+v, %v", m.Lens, err)
	}
}

// A lens in a plane's text is shown, can be taken away, and is not lost with the plane.
func TestLensOfAPlaneText(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	runID, _ := bringIn(t, app, clipNamed(t, "mira-october"))
	run, err := app.Run(ctx, runID)
	if err != nil {
		t.Fatal(err)
	}
	run.Scale = record.Scale{Kind: record.Plane, Plane: []byte(`{"points_px":[[440,260],[840,260]],"points_m":[[0,0],[2,0]],"lens":{"picture_px":[1280,720],"k1":0.1,"k2":0}}`)}
	if err := app.UpdateRun(ctx, run); err != nil {
		t.Fatal(err)
	}
	m, err := app.Marking(ctx, runID)
	if err != nil || !m.Lens.Known || !strings.Contains(m.Lens.Words, "k1 = 0.1") {
		t.Errorf("%+v, %v", m.Lens, err)
	}
	if run.Scale.SeenThrough() == nil {
		t.Error("the lens is not found")
	}
	if err := app.SetLens(ctx, runID, nil); err != nil {
		t.Fatal(err)
	}
	if m, err = app.Marking(ctx, runID); err != nil || m.Lens.Known || !m.Scale.Known {
		t.Errorf("taken away: %+v %+v, %v", m.Lens, m.Scale, err)
	}
}

func place(p [2]float64) string { return fmt.Sprintf("%.3f,%.3f", p[0], p[1]) }
