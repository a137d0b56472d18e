package poolside

import (
	"bytes"
	"errors"
	"image"
	"image/jpeg"
	"image/png"
	"math"
	"slices"
	"strings"
	"testing"

	"underkick/internal/body"
	"underkick/internal/drawing"
)

// drawnToe is where the toe is drawn: the end of the body's longest line.
func drawnToe(t *testing.T, s drawing.Scene) drawing.Point {
	t.Helper()
	var line []drawing.Point
	for _, l := range s.Layers {
		for _, shape := range l.Shapes {
			if d, ok := shape.(drawing.Line); ok && l.ID == drawing.BodyLayer && d.Role == drawing.Body && len(d.Points) > len(line) {
				line = d.Points
			}
		}
	}
	if len(line) < 4 {
		t.Fatalf("no body is drawn: %v", line)
	}
	return line[len(line)-1]
}

// TestDrawnToeIsTheTrueToe holds the toe that is drawn at every key moment of every demo
// clip against the clip's truth, within 95 % of the trace's own error.
func TestDrawnToeIsTheTrueToe(t *testing.T) {
	skipShort(t)
	held, all, worst := 0, 0, 0.0
	for _, c := range loadDemo(t).Clips {
		truth, err := c.Truth()
		if err != nil {
			t.Fatal(err)
		}
		marks, err := c.Marks()
		if err != nil {
			t.Fatal(err)
		}
		m := measureDemo(t, c, marks)
		toe := m.motion.Paths[body.Toe]
		for _, k := range candidates(m.Result) {
			for _, s := range m.stills(k, stillsFrame{Frame: drawing.Frame{WidthPx: float64(truth.WidthPx), HeightPx: float64(truth.HeightPx)}}) {
				got, want := drawnToe(t, s.Scene), truth.Landmarks["toe"][s.Frame]
				i := slices.Index(m.frames, s.Frame)
				sd := toe.SD[i] / m.View.MetresPerPx(m.motion.T[i], got.X, got.Y)
				for _, off := range []float64{got.X - want[0], got.Y - want[1]} {
					all++
					worst = math.Max(worst, math.Abs(off))
					if math.Abs(off) <= 1.96*sd {
						held++
					}
				}
			}
		}
	}
	t.Logf("%d of %d coordinates within 95 %% of the trace's error; the worst is %.1f px off", held, all, worst)
	if share := float64(held) / float64(all); !(share >= 0.9) || worst > 25 {
		t.Errorf("only %.0f %% of the drawn toes hold the truth, the worst is %.1f px off", 100*share, worst)
	}
}

// TestEveryStillShowsTheSameSizeOfBody: over all demo clips, whose swimmers, scales and
// directions differ, the body from shoulder to ankle takes the same part of a still's
// width, within 1 %, and swims the way that was asked for.
func TestEveryStillShowsTheSameSizeOfBody(t *testing.T) {
	skipShort(t)
	for _, whole := range []bool{false, true} {
		want := 0.0
		for _, c := range loadDemo(t).Clips {
			truth, err := c.Truth()
			if err != nil {
				t.Fatal(err)
			}
			marks, err := c.Marks()
			if err != nil {
				t.Fatal(err)
			}
			m := measureDemo(t, c, marks)
			mirror, swims := m.mirrors(ToRight)
			if mirror != truth.Left || swims != ToRight {
				t.Errorf("%s swims left %v and is mirrored %v", c.Name, truth.Left, mirror)
			}
			part := drawnBody(m, stillsFrame{Frame: drawing.Frame{WidthPx: float64(truth.WidthPx), HeightPx: float64(truth.HeightPx)}, whole: whole})
			if want == 0 {
				want = part
			}
			t.Logf("%s: the body takes %.4f of a still's width", c.Name, part)
			if math.Abs(part/want-1) > 0.01 {
				t.Errorf("%s: the body takes %.4f of a still's width, elsewhere %.4f", c.Name, part, want)
			}
		}
	}
}

// drawnBody is the median, over the run's pictures, of the lengths of trunk, thigh and
// shank as they are seen on the film, in parts of the width of the still's crop there.
func drawnBody(m *Measured, f stillsFrame) float64 {
	px := m.pictureMotion()
	sum := 0.0
	for _, ends := range [][2]body.Landmark{{body.Shoulder, body.Hip}, {body.Hip, body.Knee}, {body.Knee, body.Ankle}} {
		a, b := px.Paths[ends[0]], px.Paths[ends[1]]
		var parts []float64
		for i := range m.motion.T {
			if d := math.Hypot(a.X[i]-b.X[i], a.Y[i]-b.Y[i]); !math.IsNaN(d) {
				parts = append(parts, d/m.crop(i, m.bodyLength(), f).W)
			}
		}
		slices.Sort(parts)
		sum += parts[len(parts)/2]
	}
	return sum
}

// TestStillsOfAKeptRun goes through what a lesson asks for.
func TestStillsOfAKeptRun(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	runID := bringInMarked(t, app, "mira-october")
	view, err := app.Stills(ctx, runID, StillsOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if len(view.Stills) != 4 || view.Kick == 0 || !strings.Contains(view.Why, "best-marked") {
		t.Errorf("%d stills of kick %d: %s", len(view.Stills), view.Kick, view.Why)
	}
	for _, s := range view.Stills {
		if len(s.Caption) == 0 || strings.Contains(strings.Join(s.Caption, " "), "NaN") {
			t.Errorf("%s: caption %q", s.Moment, s.Caption)
		}
	}
	if c := view.Stills[0].Caption[0]; !strings.HasPrefix(c, "knees bent most ") || !strings.Contains(c, "° (") {
		t.Errorf("the caption at set has no value with unit and band: %q", c)
	}
	average, err := app.Stills(ctx, runID, StillsOptions{Average: true, Moments: []string{"all"}})
	if err != nil || len(average.Stills) != 8 || !strings.Contains(average.Why, "nearest to their mean") {
		t.Errorf("average: %d stills, %q, %v", len(average.Stills), average.Why, err)
	}
	for name, opt := range map[string]StillsOptions{"kick": {Kick: 99}, "moment": {Moments: []string{"breath"}}} {
		if _, err := app.Stills(ctx, runID, opt); !errors.Is(err, ErrInput) {
			t.Errorf("unknown %s: %v", name, err)
		}
	}
	if _, err := app.Stills(ctx, runID, StillsOptions{Outside: true}); !errors.Is(err, ErrConsent) {
		t.Errorf("stills leave the squad without consent: %v", err)
	}
	picturesOfStills(t, app, runID, view)
}

// picturesOfStills checks size, mirroring, softening and drawing of the pictures.
func picturesOfStills(t *testing.T, app *App, runID string, view StillsView) {
	t.Helper()
	picture := func(opt StillPictureOptions) image.Image {
		t.Helper()
		data, kind, err := app.StillPicture(t.Context(), runID, opt)
		if err != nil {
			t.Fatal(err)
		}
		decode, want := jpeg.Decode, "image/jpeg"
		if opt.PNG {
			decode, want = png.Decode, "image/png"
		}
		img, err := decode(bytes.NewReader(data))
		if err != nil || kind != want {
			t.Fatal(kind, err)
		}
		return img
	}
	plain := picture(StillPictureOptions{Moment: "finish", PNG: true, WidthPx: 400})
	if b := plain.Bounds(); b.Dx() != 400 || b.Dy() != 300 {
		t.Errorf("the still is %d by %d", b.Dx(), b.Dy())
	}
	other := ToLeft
	if view.Swims == ToLeft {
		other = ToRight
	}
	turned := picture(StillPictureOptions{Moment: "finish", PNG: true, WidthPx: 400, StillsOptions: StillsOptions{Swims: other}})
	if d := differ(plain, turned, true); d > 1 {
		t.Errorf("the mirrored still differs from the mirror image by %.2f", d)
	}
	drawn := picture(StillPictureOptions{Moment: "finish", PNG: true, WidthPx: 400, Drawn: true})
	if d := differ(plain, drawn, false); d < 0.5 {
		t.Errorf("nothing is drawn into the picture: %.2f", d)
	}
	wide := StillsOptions{Whole: true}
	open := picture(StillPictureOptions{Moment: "finish", PNG: true, StillsOptions: wide})
	wide.Soften = true
	soft := picture(StillPictureOptions{Moment: "finish", PNG: true, StillsOptions: wide})
	if d := differ(open, soft, false); d < 0.1 {
		t.Errorf("nothing is softened: %.3f", d)
	}
	picture(StillPictureOptions{})
}

// differ is the mean difference of two pictures of one size in steps of 255, the second
// one mirrored where asked.
func differ(a, b image.Image, mirrored bool) float64 {
	box, sum := a.Bounds(), 0.0
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			u := x
			if mirrored {
				u = box.Max.X - 1 - x
			}
			r0, g0, b0, _ := a.At(x, y).RGBA()
			r1, g1, b1, _ := b.At(u, y).RGBA()
			sum += math.Abs(float64(r0)-float64(r1)) + math.Abs(float64(g0)-float64(g1)) + math.Abs(float64(b0)-float64(b1))
		}
	}
	return sum / 257 / 3 / float64(box.Dx()*box.Dy())
}

func TestLayersAreRemembered(t *testing.T) {
	ctx, app := t.Context(), openApp(t)
	if sw, err := app.Layers(ctx); err != nil || sw != 0 {
		t.Errorf("at first %v, %v; want the usual layers", sw, err)
	}
	want := drawing.Only(drawing.SpeedLayer, drawing.ClockLayer)
	if err := app.SetLayers(ctx, want); err != nil {
		t.Fatal(err)
	}
	if sw, err := app.Layers(ctx); err != nil || sw != want {
		t.Errorf("%v, %v; want %v", sw, err, want)
	}
	if err := app.store.SetSetting(ctx, layersSetting, "body,glow"); err != nil {
		t.Fatal(err)
	}
	if sw, err := app.Layers(ctx); err != nil || sw != 0 {
		t.Errorf("an unknown layer gives %v, %v; want the usual ones", sw, err)
	}
}

// bringInMarked brings in a demo clip with its marks and scale.
func bringInMarked(t *testing.T, app *App, name string) string {
	t.Helper()
	return measurableRun(t, app, clipNamed(t, name))
}
