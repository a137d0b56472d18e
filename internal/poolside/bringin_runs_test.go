package poolside

import (
	"errors"
	"testing"

	"underkick/internal/record"
)

// A clip's run is proposed where the truth has the swimmer in view, with its check card;
// the coach's word on its ends, a second run and a run left out are kept together.
func TestRunsOfAClip(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	c := clipNamed(t, "mira-october")
	truth, err := c.Truth()
	if err != nil {
		t.Fatal(err)
	}
	runID, job := bringIn(t, app, c)
	view, err := app.Clip(ctx, job.ClipID)
	if err != nil || view.Look == nil || len(view.Runs) != 1 || view.Job != nil {
		t.Fatalf("%+v, %v", view, err)
	}
	r := view.Runs[0]
	if r.RunID != runID || r.Seen == nil || !r.Seen.Right || r.From > truth.InView[0]+40 || r.To < truth.InView[1]-40 || r.Position != "" {
		t.Errorf("proposed %+v, seen %+v, true %v", r, r.Seen, truth.InView)
	}
	codes := map[string]bool{}
	for _, k := range view.Checks {
		codes[k.Code] = true
	}
	if !codes["frame-rate"] || !codes["kicks"] || !codes["toe-blur"] || !codes["scale"] {
		t.Errorf("checks %+v", view.Checks)
	}

	var faults record.Faults
	_, err = app.KeepRuns(ctx, job.ClipID, []RunChoice{{RunID: runID, From: 10, To: 150, Keep: true}, {From: 90, To: 20, Position: record.Prone, Keep: true}})
	if !errors.As(err, &faults) || faults.For("position_0") == "" || faults.For("to_1") == "" {
		t.Errorf("a position nobody said and ends that are none: %v", err)
	}
	id, err := app.KeepRuns(ctx, job.ClipID, []RunChoice{{RunID: runID, From: 10, To: 150, Position: record.Supine, Keep: true}, {From: 20, To: 80, Position: record.Prone, Keep: true}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.jobs.Wait(ctx, id); err != nil {
		t.Fatal(err)
	}
	if view, err = app.Clip(ctx, job.ClipID); err != nil || len(view.Runs) != 2 || view.Runs[0].From != 10 || view.Runs[0].Position != record.Supine || view.Look == nil {
		t.Fatalf("after keeping two: %+v, %v", view.Runs, err)
	}
	if _, err := app.KeepRuns(ctx, job.ClipID, []RunChoice{{RunID: view.Runs[1].RunID}}); err != nil {
		t.Fatal(err)
	}
	if view, err = app.Clip(ctx, job.ClipID); err != nil || len(view.Runs) != 1 {
		t.Fatalf("after one was left out: %+v, %v", view.Runs, err)
	}
	if picture, err := app.Preview(ctx, job.ClipID, PreviewPictures-1); err != nil || len(picture) < 500 {
		t.Errorf("a preview of %d bytes, %v", len(picture), err)
	}
}
