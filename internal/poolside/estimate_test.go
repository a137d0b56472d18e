package poolside

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"underkick/internal/limit"
	"underkick/internal/limit/worth"
	"underkick/internal/record"
)

// awaitWorth opens a run's kick page until its estimate is no longer being made.
func awaitWorth(t *testing.T, app *App, runID string) KickView {
	t.Helper()
	ctx, end := context.WithTimeout(t.Context(), 3*time.Minute)
	defer end()
	for {
		v, err := app.Kick(ctx, runID, 0)
		if err != nil {
			t.Fatal(err)
		}
		if v.Worth.State != WorthWorking {
			return v
		}
		time.Sleep(100 * time.Millisecond)
	}
}

// runOf returns the run of a demo clip.
func runOf(t *testing.T, app *App, clip string) record.Run {
	t.Helper()
	squads, err := app.store.Squads(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	swimmers, err := app.store.Swimmers(t.Context(), squads[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range swimmers {
		visits, err := app.store.Filmed(t.Context(), w.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range visits {
			for _, c := range v.Clips {
				if c.Clip.Name == clip+".mp4" {
					return c.Runs[0].Run
				}
			}
		}
	}
	t.Fatalf("the demo has no clip %s", clip)
	return record.Run{}
}

// The demo's flat-footed run against the same swimmer's later run, marked together: worth
// leads, and it is facing that was made flat (demo: 10 deg in August, 5.5 in October).
func TestDemoFindingLeadsWithWorth(t *testing.T) {
	app := openDemo(t)
	august := runOf(t, app, demoRun)
	v := awaitWorth(t, app, august.ID)
	if v.Worth.State != WorthReady || !v.Worth.Alike || v.Worth.Reference == nil {
		t.Fatalf("worth %+v", v.Worth)
	}
	f := v.Finding
	if f.Kind != limit.Worthy || f.Quality != "facing" || f.Practice != "facing" || !strings.HasPrefix(f.Sentence, "The model expects about +") {
		t.Errorf("finding %s: %s (%s)", f.Kind, f.Sentence, f.WorthWhy)
	}
	kept, err := app.store.Results(t.Context(), august.ID)
	if err != nil || kept[0].Sentence != f.Sentence || kept[0].Word != "facing" {
		t.Errorf("lists say %q, %v", kept[0].Sentence, err)
	}
	swimAgainst(t, app, august)
}

// swimAgainst changes the reference and goes back: each state has its own finding, and
// what was worked out once is found again.
func swimAgainst(t *testing.T, app *App, run record.Run) {
	ctx := t.Context()
	ref, err := app.store.Reference(ctx, run.ID)
	if err != nil {
		t.Fatal(err)
	}
	if err := app.SetReference(ctx, run.ID, ""); err != nil {
		t.Fatal(err)
	}
	v := awaitWorth(t, app, run.ID)
	if v.Worth.Reference != nil || v.Worth.Result == nil || v.Worth.Result.Reference != "step" || v.Finding.Kind == limit.Worthy {
		t.Errorf("without a reference: %+v, %s", v.Worth.Result, v.Finding.Sentence)
	}
	if err := app.SetReference(ctx, run.ID, ref); err != nil {
		t.Fatal(err)
	}
	v, err = app.Kick(ctx, run.ID, 0)
	if err != nil || v.Worth.State != WorthReady || v.Finding.Quality != "facing" {
		t.Errorf("back to the reference: %s, %v", v.Worth.State, err)
	}
	if last, err := app.store.Results(ctx, run.ID); err != nil || last[0].Word != "facing" {
		t.Errorf("lists then say %q, %v", last[0].Word, err)
	}
	run.Contact = record.Surface
	if err := app.UpdateRun(ctx, run); err != nil {
		t.Fatal(err)
	}
	v = awaitWorth(t, app, run.ID)
	if v.Worth.State != WorthRefused || !strings.Contains(v.Worth.Why, "surface") || v.Worth.Result != nil {
		t.Errorf("at the surface: %+v", v.Worth)
	}
	other, err := app.store.Run(ctx, ref)
	if err != nil {
		t.Fatal(err)
	}
	other.Effort = record.Easy
	if err := app.UpdateRun(ctx, other); err != nil {
		t.Fatal(err)
	}
	run.Contact = ""
	if err := app.UpdateRun(ctx, run); err != nil {
		t.Fatal(err)
	}
	v = awaitWorth(t, app, run.ID)
	if v.Worth.State != WorthRefused || !strings.Contains(v.Worth.Why, "effort differs") || v.Finding.Kind == limit.Worthy {
		t.Errorf("a reference that was swum otherwise: %+v", v.Worth)
	}
	if err := app.SetReference(ctx, run.ID, ref); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), "effort") {
		t.Errorf("a reference at another effort: %v", err)
	}
}

// A slider's answer is the estimate's, comes with the outline of the changed kick on the
// measured one's hip, and is found in memory the second time.
func TestWhatIf(t *testing.T) {
	app := openDemo(t)
	run := runOf(t, app, "mira-october")
	req := WhatIfRequest{RunID: run.ID, Changes: []worth.Change{{Name: "foot", Amount: 10}}, Phase: 0.5}
	first, err := app.WhatIf(t.Context(), req)
	if err != nil || first.Refused != "" {
		t.Fatalf("%v %s", err, first.Refused)
	}
	v := awaitWorth(t, app, run.ID)
	if got := v.Worth.Result.Parts[worth.Facing].SpeedChange.Value; math.Abs(got-first.SpeedChange.Value) > 1e-9 {
		t.Errorf("asked %+.4f m/s, estimated %+.4f", first.SpeedChange.Value, got)
	}
	if first.Measured.Body[2] != [2]float64{} || first.Changed.Body[2] != [2]float64{} || first.Measured.Body[5] == first.Changed.Body[5] {
		t.Errorf("outlines %v, %v", first.Measured.Body, first.Changed.Body)
	}
	req.Of, req.Band = first.Of, true
	banded, err := app.WhatIf(t.Context(), req)
	if err != nil || banded.Of != first.Of || !(banded.SpeedChange.Low <= 0 && banded.SpeedChange.High > banded.SpeedChange.Value) {
		t.Errorf("band %+v, %v", banded.SpeedChange, err)
	}
	req.Changes = []worth.Change{{Name: "wings", Amount: 1}}
	if _, err := app.WhatIf(t.Context(), req); !errors.Is(err, ErrInput) {
		t.Errorf("a change that does not exist: %v", err)
	}
	req.Changes = []worth.Change{{Name: "foot", Amount: -40}}
	if got, err := app.WhatIf(t.Context(), req); err != nil || got.Refused == "" {
		t.Errorf("more than the ankle has: %+v %v", got.SpeedChange, err)
	}
}
