package poolside

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"underkick/internal/demo"
	"underkick/internal/marker"
	"underkick/internal/record"
	"underkick/internal/store"
)

// markedRun brings a demo clip in and keeps its marks under a name, thinned so that
// every step-th marked frame stays.
func markedRun(t *testing.T, app *App, c demo.Clip, name string, step int) string {
	t.Helper()
	runID, _ := bringIn(t, app, c)
	text, err := c.Marks()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.ImportMarks(t.Context(), runID, "", bytes.NewReader(text), nil); err != nil {
		t.Fatal(err)
	}
	run, err := app.Run(t.Context(), runID)
	if err != nil {
		t.Fatal(err)
	}
	run.FromFrame, run.ToFrame, run.Scale, run.Position = c.Run.FromFrame, c.Run.ToFrame, c.Run.Scale, c.Run.Position
	if err := app.UpdateRun(t.Context(), run); err != nil {
		t.Fatal(err)
	}
	all, err := app.store.Marks(t.Context(), runID)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.store.Undo(t.Context(), runID, ""); err != nil {
		t.Fatal(err)
	}
	set := record.Step{Act: record.ImportMark, By: name}
	nth := map[int]int{}
	for _, m := range all.Marks {
		if _, seen := nth[m.Frame]; !seen {
			nth[m.Frame] = len(nth)
		}
		if nth[m.Frame]%step == 0 {
			set.Changes = append(set.Changes, record.Change{Mark: m})
		}
	}
	if _, err := app.store.AddStep(t.Context(), runID, set); err != nil {
		t.Fatal(err)
	}
	return runID
}

// again marks a frame again with a shift in px and finishes.
func again(t *testing.T, app *App, runID string, shift func() float64) RemarkView {
	t.Helper()
	id, err := app.StartRemark(t.Context(), runID, -1)
	if err != nil {
		t.Fatal(err)
	}
	view, err := app.Remark(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	history, err := app.store.Marks(t.Context(), runID)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range history.Marks {
		if m.Frame != view.Frame {
			continue
		}
		if _, err := app.RemarkMark(t.Context(), id, BlindAction{Do: "place", Landmark: m.Landmark.String(), XPx: m.X + shift(), YPx: m.Y + shift()}); err != nil {
			t.Fatal(err)
		}
	}
	if err := app.JudgeRemark(t.Context(), id, record.FinishRemark); err != nil {
		t.Fatal(err)
	}
	if view, err = app.Remark(t.Context(), id); err != nil {
		t.Fatal(err)
	}
	return view
}

func TestMarkingAgainChangesTheBands(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	if err := app.SetMarkerName(ctx, "  A.   Coach "); err != nil {
		t.Fatal(err)
	}
	runID := markedRun(t, app, clipNamed(t, "mira-october"), "A. Coach", 1)
	width := func() (float64, KickView) {
		t.Helper()
		v, err := app.Kick(ctx, runID, 0)
		if err != nil || v.Problem != "" {
			t.Fatal(v.Problem, err)
		}
		m, _ := v.Result.Measure("facing")
		return m.High - m.Low, v
	}
	assumed, before := width()
	if !strings.Contains(before.Marking, "8 mm per point, assumed") {
		t.Errorf("without repeats: %q", before.Marking)
	}
	offer, err := app.RemarkOffer(ctx, runID)
	if err != nil || !offer.Offer || offer.Open != "" {
		t.Errorf("offer %+v %v", offer, err)
	}

	// A hasty marker: 12 px between two places is far more than what is assumed.
	rng := rand.New(rand.NewPCG(1, 2))
	first := again(t, app, runID, func() float64 { return 12 * rng.NormFloat64() })
	if len(first.Points) < 6 || !first.Blind.State.Done || first.BodyPx < 300 {
		t.Fatalf("%+v", first)
	}
	hasty, after := width()
	if hasty < 1.2*assumed || !strings.Contains(after.Marking, "A. Coach marked again on 1 frame") {
		t.Errorf("hasty: facing band %.3f, was %.3f; %q", hasty, assumed, after.Marking)
	}
	if offer, err := app.RemarkOffer(ctx, runID); err != nil || offer.Offer {
		t.Errorf("asked once more: %+v %v", offer, err)
	}
	// Discarded it counts no more; restored it does.
	if err := app.JudgeRemark(ctx, first.ID, record.DiscardRemark); err != nil {
		t.Fatal(err)
	}
	if w, v := width(); w != assumed || v.Marking != before.Marking {
		t.Errorf("discarded: %.3f %q", w, v.Marking)
	}
	// A careful one, all in one sitting: towards the least that is believed then, 4 mm.
	for range 8 {
		again(t, app, runID, func() float64 { return 0.3 * rng.NormFloat64() })
	}
	careful, v := width()
	if careful >= assumed || !strings.Contains(v.Marking, "on 8 frames") {
		t.Errorf("careful: facing band %.3f, was %.3f; %q", careful, assumed, v.Marking)
	}
	list, err := app.Markers(ctx)
	if err != nil || len(list.Markers) != 1 || list.Markers[0].OffsetMM < 4 || list.Markers[0].OffsetMM > 5 || list.Name != "A. Coach" || len(list.Sittings) != 9 {
		t.Errorf("%+v %v", list, err)
	}
	var out bytes.Buffer
	if err := app.WriteMarkers(ctx, &out); err != nil || strings.Count(out.String(), "\n") < 50 || !strings.Contains(out.String(), "A. Coach,") {
		t.Errorf("%v\n%s", err, out.String())
	}
}

// Nothing of the first marks leaves before the end, and nothing is taken after it.
func TestMarkingAgainIsBlind(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	runID := markedRun(t, app, clipNamed(t, "mira-october"), "", 1)
	id, err := app.StartRemark(ctx, runID, -1)
	if err != nil {
		t.Fatal(err)
	}
	if same, err := app.StartRemark(ctx, runID, -1); err != nil || same != id {
		t.Errorf("a second start gives %s, %v; want to go on with %s", same, err, id)
	}
	view, err := app.Remark(ctx, id)
	if err != nil || len(view.Points) != 0 || len(view.Blind.State.Marks) != 0 || len(view.Blind.Places[0].Landmarks) < 6 {
		t.Errorf("%+v %v", view, err)
	}
	if err := app.JudgeRemark(ctx, id, record.FinishRemark); !errors.Is(err, ErrInput) {
		t.Errorf("finished without a mark: %v", err)
	}
	place := BlindAction{Do: "place", Landmark: "toe", XPx: 100, YPx: 100}
	for _, bad := range []BlindAction{{Do: "place", Landmark: "nose"}, {Do: "place", Landmark: "toe", XPx: 5000}, {Do: "explode"}} {
		if _, err := app.RemarkMark(ctx, id, bad); err == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
	if s, err := app.RemarkMark(ctx, id, place); err != nil || len(s.Marks) != 1 || !s.CanUndo {
		t.Fatalf("%+v %v", s, err)
	}
	if s, err := app.RemarkMark(ctx, id, BlindAction{Do: "undo"}); err != nil || len(s.Marks) != 0 || !s.CanRedo {
		t.Fatalf("%+v %v", s, err)
	}
	if s, err := app.RemarkMark(ctx, id, BlindAction{Do: "redo"}); err != nil || len(s.Marks) != 1 {
		t.Fatalf("%+v %v", s, err)
	}
	if list, err := app.Markers(ctx); err != nil || list.Sittings[0].LargestMM != 0 || list.Sittings[0].Finished {
		t.Errorf("the list tells of an open one: %+v %v", list.Sittings, err)
	}
	if err := app.JudgeRemark(ctx, id, record.FinishRemark); err != nil {
		t.Fatal(err)
	}
	if _, err := app.RemarkMark(ctx, id, place); !errors.Is(err, ErrInput) {
		t.Errorf("a mark after the first ones were shown: %v", err)
	}
	if err := app.SetMarkerName(ctx, " "); err == nil {
		t.Error("a marker without a name")
	}
}

// Other people's marks tell nothing of one's own error.
func TestOtherPeoplesMarksDoNotCount(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	runID := markedRun(t, app, clipNamed(t, "mira-october"), "Somebody Else", 1)
	if offer, err := app.RemarkOffer(ctx, runID); err != nil || offer.Offer {
		t.Errorf("offer %+v %v", offer, err)
	}
	steps, err := app.store.Steps(ctx, runID)
	if err != nil {
		t.Fatal(err)
	}
	frame := record.Replay(steps).Marks[0].Frame
	id, err := app.StartRemark(ctx, runID, frame)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.RemarkMark(ctx, id, BlindAction{Do: "place", Landmark: "toe", XPx: 100, YPx: 100}); err != nil {
		t.Fatal(err)
	}
	if err := app.JudgeRemark(ctx, id, record.FinishRemark); err != nil {
		t.Fatal(err)
	}
	list, err := app.Markers(ctx)
	if err != nil || len(list.Markers) != 0 || len(list.Sittings) != 1 || list.Sittings[0].Marks != 1 {
		t.Errorf("%+v %v", list, err)
	}
}

// What a marker's offset and clicks do to two sittings comes back through histories,
// replay and segment axes, with what is known of each.
func TestWhatWasPutInComesBack(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	c := clipNamed(t, "mira-october")
	runID := markedRun(t, app, c, "the coach at this computer", 1)
	rng := rand.New(rand.NewPCG(3, 4))
	const clickPx = 4.0 // of both sittings together: the scatter of one click is over sqrt 2
	var bodyPx float64
	for range 20 {
		bodyPx = again(t, app, runID, func() float64 { return clickPx * rng.NormFloat64() }).BodyPx
	}
	known, err := app.markers(ctx)
	if err != nil {
		t.Fatal(err)
	}
	e := known.estimates["the coach at this computer"]
	// One run, one day: many frames of one sitting, so the clicks stand apart from the offset.
	if got, want := e.Spread*bodyPx, clickPx/math.Sqrt2; math.Abs(got-want) > 0.12*want {
		t.Errorf("click %.2f px, put in %.2f", got, want)
	}
	if e.Marks < 120 || e.Groups > 10 || e.Offset > marker.DefaultOffset {
		t.Errorf("%+v", e)
	}
}

// Marks of two days ago are found, and what is placed again on them counts as later.
func TestAnOlderFrameIsFound(t *testing.T) {
	skipShort(t)
	ctx, dir := t.Context(), t.TempDir()
	app, err := Open(ctx, Options{DataDir: dir})
	if err != nil {
		t.Fatal(err)
	}
	runID := markedRun(t, app, clipNamed(t, "mira-october"), "", 1)
	kept, err := app.store.Marks(ctx, runID)
	if err != nil {
		t.Fatal(err)
	}
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
	past, err := store.Open(ctx, dir, store.Options{Now: func() time.Time { return time.Now().Add(-48 * time.Hour) }})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := past.AddStep(ctx, runID, record.Set(record.MoveMark, defaultMarker, kept.Marks...)); err != nil {
		t.Fatal(err)
	}
	if err := past.Close(); err != nil {
		t.Fatal(err)
	}
	if app, err = Open(ctx, Options{DataDir: dir}); err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := app.Close(); err != nil {
			t.Error(err)
		}
	}()
	id, err := app.StartLaterRemark(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.RemarkMark(ctx, id, BlindAction{Do: "place", Landmark: "toe", XPx: 100, YPx: 100}); err != nil {
		t.Fatal(err)
	}
	if err := app.JudgeRemark(ctx, id, record.FinishRemark); err != nil {
		t.Fatal(err)
	}
	view, err := app.Remark(ctx, id)
	if err != nil || len(view.Points) != 1 || !view.Points[0].Later || view.Whole.Run.ID != runID {
		t.Errorf("%+v %v", view, err)
	}
	if list, err := app.Markers(ctx); err != nil || len(list.Markers) != 1 || list.Markers[0].Later != 1 {
		t.Errorf("%+v %v", list, err)
	}
	if _, err := app.StartLaterRemark(ctx); !errors.Is(err, ErrInput) {
		t.Errorf("the run was marked again just now: %v", err)
	}
}

// Marks made now are none of an earlier sitting.
func TestALaterSittingIsAskedForLater(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	runID := markedRun(t, app, clipNamed(t, "mira-october"), "", 1)
	if _, err := app.StartLaterRemark(ctx); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), "six hours") {
		t.Errorf("marks just made: %v", err)
	}
	found := laterFrame{run: runID, again: 1}
	for _, c := range []struct {
		other laterFrame
		want  bool
	}{{laterFrame{}, true}, {laterFrame{run: "x", again: 2}, true}, {laterFrame{run: "x"}, false}, {laterFrame{run: "x", again: 1, marked: time.Now()}, false}} {
		if got := found.before(c.other); got != c.want {
			t.Errorf("before %+v: %v", c.other, got)
		}
	}
}

func twoRuns(t *testing.T, app *App) (a, b string) {
	t.Helper()
	a = markedRun(t, app, clipNamed(t, "joren-october-1"), "Old Hand", 4)
	b = markedRun(t, app, clipNamed(t, "joren-october-2"), "Old Hand", 2)
	run, err := app.Run(t.Context(), a)
	if err != nil {
		t.Fatal(err)
	}
	other, err := app.Run(t.Context(), b)
	if err != nil {
		t.Fatal(err)
	}
	other.SwimmerID = run.SwimmerID
	if err := app.UpdateRun(t.Context(), other); err != nil {
		t.Fatal(err)
	}
	return a, b
}

// walkAll places every landmark of a pair that is not placed yet.
func walkAll(ctx context.Context, t *testing.T, app *App, id string) {
	t.Helper()
	view, err := app.Pair(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	made := map[string]bool{}
	for _, m := range view.Blind.State.Marks {
		made[fmt.Sprint(m.Place, m.Landmark)] = true
	}
	for i, p := range view.Blind.Places {
		for j, l := range p.Landmarks {
			if made[fmt.Sprint(i, l)] {
				continue
			}
			if _, err := app.PairMark(ctx, id, BlindAction{Do: "place", Place: i, Landmark: l, XPx: 200 + float64(j), YPx: 300}); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func TestTwoRunsAreMarkedAlike(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	a, b := twoRuns(t, app)
	id, err := app.StartPair(ctx, a, b)
	if err != nil {
		t.Fatal(err)
	}
	view, err := app.Pair(ctx, id)
	if err != nil || view.Alike || len(view.Blind.State.Marks) != 0 || view.Blind.State.CanUndo {
		t.Fatalf("%+v %v", view, err)
	}
	checkTurns(t, view.Blind.Places)
	if alike, err := app.markedAlike(ctx, a, b); err != nil || alike {
		t.Errorf("alike before a mark: %v %v", alike, err)
	}
	walkAll(ctx, t, app, id)
	for _, ids := range [][2]string{{a, b}, {b, a}} {
		if alike, err := app.markedAlike(ctx, ids[0], ids[1]); err != nil || !alike {
			t.Errorf("marked all, alike %v %v", alike, err)
		}
	}
	// Undo takes one mark back, and with it that they are alike; marking it again mends it.
	s, err := app.PairMark(ctx, id, BlindAction{Do: "undo"})
	if err != nil || s.Left != 1 {
		t.Errorf("after an undo: %d left, %v", s.Left, err)
	}
	if alike, err := app.markedAlike(ctx, a, b); err != nil || alike {
		t.Errorf("one undone, alike %v %v", alike, err)
	}
	walkAll(ctx, t, app, id)
	// A mark made elsewhere afterwards is not of this sitting.
	if _, err := app.Mark(ctx, a, "Somebody", MarkAction{Do: "place", Frame: view.Blind.Places[0].Frame + 1, Landmark: "toe", XPx: 9, YPx: 9}); err != nil {
		t.Fatal(err)
	}
	if alike, err := app.markedAlike(ctx, a, b); err != nil || alike {
		t.Errorf("marked elsewhere, alike %v %v", alike, err)
	}
	if again, err := app.StartPair(ctx, b, a); err != nil || again != id {
		t.Errorf("begun again: %s %v, want to go on with %s", again, err, id)
	}
}

// checkTurns: the runs take turns at like moments of the kick, each frame once.
func checkTurns(t *testing.T, places []BlindPlace) {
	t.Helper()
	seen := map[string]bool{}
	longest, row := 0, 0
	for i, p := range places {
		key := fmt.Sprint(p.Side, p.Frame)
		if seen[key] {
			t.Errorf("frame %d of run %d comes twice", p.Frame, p.Side)
		}
		seen[key] = true
		if i > 0 && p.Side == places[i-1].Side {
			row++
		} else {
			row = 1
		}
		longest = max(longest, row)
	}
	if longest > 2 || len(places) < 2*offerAfter {
		t.Errorf("%d frames of one run in a row, %d in all", longest, len(places))
	}
}

func TestPairsThatCannotBe(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	a := markedRun(t, app, clipNamed(t, "joren-october-1"), "", 4)
	b := markedRun(t, app, clipNamed(t, "joren-october-2"), "", 2) // of another swimmer
	var faults record.Faults
	if _, err := app.StartPair(ctx, a, b); !errors.As(err, &faults) {
		t.Errorf("two swimmers: %v", err)
	}
	if _, err := app.StartPair(ctx, a, a); !errors.As(err, &faults) {
		t.Errorf("one run twice: %v", err)
	}
	bare, _ := bringIn(t, app, clipNamed(t, "mira-october"))
	if _, err := app.StartPair(ctx, a, bare); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), "on 0 frames") {
		t.Errorf("nothing marked: %v", err)
	}
}
