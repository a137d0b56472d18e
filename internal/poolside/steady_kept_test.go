package poolside

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"underkick/internal/camera"
	"underkick/internal/record"
)

// driftingRun keeps the drifting demo clip with its marks and the plane of one frame.
func driftingRun(t *testing.T, app *App, base int) record.Run {
	t.Helper()
	c := clipNamed(t, "nilo-november")
	runID, _ := bringIn(t, app, c)
	marks, err := c.Marks()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.ImportMarks(t.Context(), runID, "A. Coach", bytes.NewReader(marks), nil); err != nil {
		t.Fatal(err)
	}
	truth, err := c.Truth()
	if err != nil {
		t.Fatal(err)
	}
	entries, err := camera.ParsePlane(truth.Plane)
	if err != nil {
		t.Fatal(err)
	}
	run, err := app.Run(t.Context(), runID)
	if err != nil {
		t.Fatal(err)
	}
	run.Scale.Kind = record.Plane
	if run.Scale.Plane, err = json.Marshal(entries[base]); err != nil {
		t.Fatal(err)
	}
	run.FromFrame, run.ToFrame = truth.InView[0], truth.InView[1]
	run.Effort = record.Race
	if err := app.UpdateRun(t.Context(), run); err != nil {
		t.Fatal(err)
	}
	return run
}

// kickOf measures a run on its kick page.
func kickOf(t *testing.T, app *App, runID string) KickView {
	t.Helper()
	v, err := app.Kick(t.Context(), runID, 0)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// waitSteady waits for the job that follows a run's camera.
func waitSteady(t *testing.T, app *App, v SteadyView) {
	t.Helper()
	if v.State != SteadyWorking || v.Job == nil {
		t.Fatalf("steadying stands at %+v", v)
	}
	j, err := app.jobs.Wait(t.Context(), v.Job.ID)
	if err != nil || j.State != record.Done {
		t.Fatalf("job %+v, %v", j, err)
	}
}

// The kept run of the drifting clip is measured right once it is steadied, and as before
// when that is switched off.
func TestKeptRunIsSteadied(t *testing.T) {
	skipShort(t)
	app := openApp(t)
	run := driftingRun(t, app, 40)
	truth, err := clipNamed(t, "nilo-november").Truth()
	if err != nil {
		t.Fatal(err)
	}
	off := func(v KickView) float64 {
		return value(t, v.Result, "speed")/trueValue(t, truth, "speed") - 1
	}
	before := kickOf(t, app, run.ID)
	if before.Problem != "" || before.Steady.State != "" || math.Abs(off(before)) < 0.02 {
		t.Fatalf("not steadied: %q, %+v, speed off by %.2f %%", before.Problem, before.Steady, 100*off(before))
	}
	if err := app.SetSteady(t.Context(), run.ID, true); err != nil {
		t.Fatal(err)
	}
	v := kickOf(t, app, run.ID)
	if v.Result != nil || !strings.Contains(v.Problem, "not been steadied yet") {
		t.Errorf("measured before it was steadied: %q", v.Problem)
	}
	waitSteady(t, app, v.Steady)
	v = kickOf(t, app, run.ID)
	if v.Problem != "" || v.Steady.State != SteadyReady || math.Abs(off(v)) > 0.01 {
		t.Fatalf("steadied: %q, %+v, speed off by %.2f %%", v.Problem, v.Steady, 100*off(v))
	}
	t.Logf("speed off by %+.2f %%, steadied by %+.2f %%; %q", 100*off(before), 100*off(v), v.Steady.Words)
	if all := strings.Join(v.Warnings, " "); !strings.Contains(all, "was steadied") || !strings.Contains(all, "widens the standard error of every length from 1.") {
		t.Errorf("the page does not tell of it: %q", all)
	}
	grids := [2]GridView{}
	for i, frame := range []int{run.FromFrame, run.ToFrame} {
		if grids[i], err = app.ScaleGrid(t.Context(), run.ID, frame, v.Run.Scale); err != nil {
			t.Fatal(err)
		}
	}
	if len(grids[0].Lines) == 0 || grids[0].Lines[0].Px[0] == grids[1].Lines[0].Px[0] {
		t.Error("the metre grid does not follow the camera")
	}
	if err := app.SetSteady(t.Context(), run.ID, false); err != nil {
		t.Fatal(err)
	}
	if v = kickOf(t, app, run.ID); v.Steady.State != "" || off(v) != off(before) {
		t.Errorf("switched off: %+v, speed off by %.3f %%, before %.3f", v.Steady, 100*off(v), 100*off(before))
	}
	if err := app.SetSteady(t.Context(), run.ID, true); err != nil {
		t.Fatal(err)
	}
	if v = kickOf(t, app, run.ID); v.Steady.State != SteadyReady {
		t.Errorf("what was found is not kept: %+v", v.Steady)
	}
}

// Steadying can be stopped and begun anew, and follows a scale that is set again.
func TestSteadyingIsStoppedAndBegunAnew(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	run := driftingRun(t, app, 0)
	plain := run
	plain.Scale = record.Scale{}
	if err := app.UpdateRun(ctx, plain); err != nil {
		t.Fatal(err)
	}
	if err := app.SetSteady(ctx, run.ID, true); err == nil || !strings.Contains(err.Error(), "known length or a rectangle first") {
		t.Errorf("steadied without a scale: %v", err)
	}
	if err := app.UpdateRun(ctx, run); err != nil {
		t.Fatal(err)
	}
	if err := app.SetSteady(ctx, run.ID, true); err != nil {
		t.Fatal(err)
	}
	v, err := app.Marking(ctx, run.ID)
	if err != nil || v.Steady.State != SteadyWorking {
		t.Fatalf("%+v, %v", v.Steady, err)
	}
	if err := app.CancelJob(ctx, v.Steady.Job.ID); err != nil {
		t.Fatal(err)
	}
	if _, err := app.jobs.Wait(ctx, v.Steady.Job.ID); err != nil {
		t.Fatal(err)
	}
	if v := kickOf(t, app, run.ID); v.Steady.State != SteadyStopped || v.Problem == "" {
		t.Errorf("stopped: %+v, %q", v.Steady, v.Problem)
	}
	if err := app.SetSteady(ctx, run.ID, true); err != nil {
		t.Fatal(err)
	}
	again := kickOf(t, app, run.ID).Steady
	if again.State != SteadyWorking || again.Job.ID == v.Steady.Job.ID {
		t.Fatalf("begun anew: %+v", again)
	}
	run.Scale = record.Scale{Kind: record.KnownLength, LengthM: 1, PointsPx: [2][2]float64{{100, 600}, {400, 600}}, Frame: 3, Steady: true}
	if err := app.UpdateRun(ctx, run); err != nil {
		t.Fatal(err)
	}
	other := kickOf(t, app, run.ID).Steady
	if other.State != SteadyWorking || other.Job.ID == again.Job.ID {
		t.Errorf("another scale: %+v", other)
	}
	if j, err := app.jobs.Wait(ctx, again.Job.ID); err != nil || j.State != record.Cancelled {
		t.Errorf("the job of the scale before: %+v, %v", j, err)
	}
	if err := app.SetSteady(ctx, run.ID, false); err != nil {
		t.Fatal(err)
	}
	if j, err := app.jobs.Wait(ctx, other.Job.ID); err != nil || j.State != record.Cancelled {
		t.Errorf("switched off: %+v, %v", j, err)
	}
}
