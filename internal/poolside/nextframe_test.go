package poolside

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"underkick/internal/demo"
)

// frameTruth returns where a landmark is on a frame of a demo clip, px.
func frameTruth(t *testing.T, truth demo.Truth, frame int, landmark string) (x, y float64) {
	t.Helper()
	p := truth.Landmarks[landmark]
	if frame >= len(p) {
		t.Fatalf("no true %s on frame %d", landmark, frame)
	}
	return p[frame][0], p[frame][1]
}

// A coach who only does what the page asks gets to the first level and to the second,
// with the clicks of the design's bars, and the meters never promise before.
func TestDoingWhatIsAskedIsEnough(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	c := clipNamed(t, "mira-october")
	runID, _ := bringIn(t, app, c)
	truth, err := c.Truth()
	if err != nil {
		t.Fatal(err)
	}
	run, err := app.Run(ctx, runID)
	if err != nil {
		t.Fatal(err)
	}
	run.Scale, run.FromFrame, run.ToFrame = c.Run.Scale, truth.InView[0], truth.InView[1]
	if err := app.UpdateRun(ctx, run); err != nil {
		t.Fatal(err)
	}
	v, err := app.Marks(ctx, runID)
	if err != nil {
		t.Fatal(err)
	}
	if v.Next == nil || len(v.Next.Landmarks) != 6 || !strings.Contains(v.Next.Why, "5 more frames") || v.Meter != (MeterView{}) {
		t.Fatalf("before any mark: %+v, %+v", v.Next, v.Meter)
	}
	clicks, visited := 0, map[int]bool{}
	reached := [3]int{}
	for v.Meter.Level < 2 && clicks < 200 {
		ask := *v.Next
		if ask.Frame < run.FromFrame || ask.Frame > run.ToFrame || ask.Why == "" {
			t.Fatalf("asked %+v", ask)
		}
		visited[ask.Frame] = true
		for i, l := range ask.Landmarks {
			// A hand that is off by up to 2 px either way.
			x, y := frameTruth(t, truth, ask.Frame, l)
			dx, dy := float64((clicks*7+i)%5-2), float64((clicks*3+i)%5-2)
			v, err = app.Mark(ctx, runID, "", MarkAction{Do: "place", Frame: ask.Frame, Landmark: l, XPx: x + dx, YPx: y + dy})
			if err != nil {
				t.Fatal(err)
			}
			clicks++
		}
		if v.Meter.Level > 0 && reached[v.Meter.Level] == 0 {
			reached[v.Meter.Level] = clicks
			t.Logf("level %d after %d clicks on %d frames: %s", v.Meter.Level, clicks, len(visited), v.Meter.Enough)
		}
	}
	if v.Meter.Level < 2 || v.Meter.Facing < 1 || v.Meter.Build < 1 || v.Meter.Enough == "" {
		t.Errorf("after %d clicks: %+v", clicks, v.Meter)
	}
	if reached[1] > 80 {
		t.Errorf("the first level took %d clicks", reached[1])
	}
	if v.Next == nil || !strings.Contains(v.Next.Why, "enough") {
		t.Errorf("then: %+v", v.Next)
	}
	// The marks stand for comparison while another run of the swimmer is marked.
	again := run
	again.ID = ""
	again.FromFrame++
	other, err := app.AddRun(ctx, again)
	if err != nil {
		t.Fatal(err)
	}
	page, err := app.Marking(ctx, other)
	if err != nil || len(page.Earlier) != earlierFrames {
		t.Fatalf("%d earlier frames, %v", len(page.Earlier), err)
	}
	for _, e := range page.Earlier {
		x, y := frameTruth(t, truth, e.Frame, "toe")
		if math.Hypot(e.Toe[0]-x, e.Toe[1]-y) > 3 || e.Left || e.Clip != page.Clip.ID || e.On != "24 October 2026" {
			t.Errorf("earlier %+v, toe at %.0f, %.0f", e, x, y)
		}
	}
	if own, err := app.Marking(ctx, runID); err != nil || len(own.Earlier) != 0 {
		t.Errorf("a run is compared with itself: %+v, %v", own.Earlier, err)
	}
	if kicks, err := app.Kick(ctx, runID, 0); err != nil || kicks.Problem != "" {
		t.Errorf("%q, %v", kicks.Problem, err)
	}
}

// Marks that come with every frame leave nothing to ask, and what they lack shows.
func TestEveryFrameMarkedLeavesNothingToAsk(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	c := clipNamed(t, "joren-october-2")
	runID, _ := bringIn(t, app, c)
	truth, err := c.Truth()
	if err != nil {
		t.Fatal(err)
	}
	var rows bytes.Buffer
	rows.WriteString("frame,landmark,x_px,y_px\n")
	for f := truth.InView[0]; f <= truth.InView[1]; f++ {
		for _, l := range []string{"toe", "ankle", "hip"} {
			x, y := frameTruth(t, truth, f, l)
			fmt.Fprintf(&rows, "%d,%s,%.2f,%.2f\n", f, l, x, y)
		}
	}
	run, err := app.Run(ctx, runID)
	if err != nil {
		t.Fatal(err)
	}
	run.FromFrame, run.ToFrame = truth.InView[0], truth.InView[1]
	if err := app.UpdateRun(ctx, run); err != nil {
		t.Fatal(err)
	}
	if _, err := app.ImportMarks(ctx, runID, "", &rows, nil); err != nil {
		t.Fatal(err)
	}
	v, err := app.Marks(ctx, runID)
	if err != nil {
		t.Fatal(err)
	}
	if v.Next != nil || v.Meter.Sweep != 1 || v.Meter.Facing != 1 || v.Meter.Speed != 0 {
		t.Errorf("without a knee: %+v, next %+v", v.Meter, v.Next)
	}
}
