package poolside

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"underkick/internal/camera"
	"underkick/internal/jobs"
	"underkick/internal/record"
	"underkick/internal/store"
)

// jobSteady is the kind of job that follows the camera of a kept run.
const jobSteady = "steady-run"

// steadyMethod names how a camera is followed; a way that finds something else has to
// count on.
const steadyMethod = "steady/1"

// SteadyState says how the steadying of a run stands.
type SteadyState string

// The states; "" = not switched on.
const (
	SteadyReady   SteadyState = "ready"
	SteadyWorking SteadyState = "working"
	SteadyStopped SteadyState = "stopped" // cancelled or failed
	SteadyRefused SteadyState = "refused" // the scale gives nothing to begin from
)

// SteadyView is a run's steadying as pages show it.
type SteadyView struct {
	State SteadyState
	Frame int      // picture from which the camera is followed
	Words []string // with SteadyReady: how the camera moved, what is left, and what that costs
	Why   string   // with SteadyStopped and SteadyRefused
	Job   *JobView // with SteadyWorking
}

// keptSteady is how the steadying of a run stands as its measurement sees it.
type keptSteady struct {
	of      string    // hash of what is to be followed
	frame   int       // picture from which it is followed
	found   string    // hash of what was found; "" = nothing yet
	result  *Steadied // nil without found
	given   float64   // relative standard error of every length before steadying
	refused string    // why the camera cannot be followed
	missing string    // why the run cannot be measured; "" = it can
}

// steadyBody is the camera's motion as it is kept.
type steadyBody struct {
	Steps      []camera.Step `json:"steps"`
	DriftPx    float64       `json:"drift_px"`
	ParallaxPx float64       `json:"parallax_px"`
	TravelPx   float64       `json:"travel_px"`
	PlaneSeen  float64       `json:"plane_seen"`
	Keys       int           `json:"keys"`
	Lost       int           `json:"lost"`
}

// keptSteadyRequest says what to follow in a kept run: from the picture that its scale was
// set on, through its frames. Film and index are left to the caller.
func keptSteadyRequest(rc store.Whole, in chainInput) (steadyRequest, error) {
	s := rc.Run.Scale
	want := steadyRequest{first: rc.Run.FromFrame, last: rc.Run.ToFrame, base: rc.Run.FromFrame, factor: 1 / rc.Clip.Speed(rc.Run)}
	switch s.Kind {
	case record.KnownLength:
		want.base, want.view, want.plane = s.Frame, *in.View, s.PointsPx[:]
	case record.Plane:
		entries, err := s.PlaneEntries()
		if err != nil {
			return want, inputf("the scale cannot be used: %w", err)
		}
		if len(entries) > 1 {
			return want, inputf("The scale was given for %d pictures and so follows the camera by itself. Switch steadying off, or set the scale on one picture.", len(entries))
		}
		if err := want.of(entries[0]); err != nil {
			return want, err
		}
	default:
		return want, inputf("Set a known length or a rectangle first: the camera is followed from the picture that it is set on.")
	}
	if n := rc.Clip.Facts.Frames; want.base >= n {
		return want, inputf("The scale was set on frame %d, which the clip does not have. Set it again.", want.base)
	}
	want.first, want.last = min(want.first, want.base), max(want.last, want.base)
	return want, nil
}

// identity is the hash of what is followed: metres do not matter, places on the picture do.
func (want *steadyRequest) identity(clip record.Clip) (string, error) {
	lens := want.view.Lens()
	text, err := json.Marshal([]any{
		clip.Hash, want.first, want.last, want.base, want.plane, want.factor, lens.Width, lens.Height, lens.K1, lens.K2,
	})
	if err != nil {
		return "", fmt.Errorf("hash what is to be steadied: %w", err)
	}
	return hashOf([]string{steadyMethod, string(text)}), nil
}

// takeSteadied lets the view of a kept run go with its camera once that was followed.
func (a *App) takeSteadied(ctx context.Context, rc store.Whole, in *chainInput) error {
	want, err := keptSteadyRequest(rc, *in)
	if problem, ok := problemOf(err); ok {
		in.steadied = keptSteady{refused: problem, missing: "The camera cannot be steadied. " + problem}
		return nil
	}
	if err != nil {
		return err
	}
	if in.steadied.of, err = want.identity(rc.Clip); err != nil {
		return err
	}
	in.steadied.frame = want.base
	kept, err := a.store.Estimate(ctx, rc.Run.ID, steadyMethod, in.steadied.of)
	if errors.Is(err, ErrNotFound) {
		in.steadied.missing = "The camera has not been steadied yet. The kicks are measured once that is done; without steadying they would be wrong."
		return nil
	}
	if err != nil {
		return err
	}
	var body steadyBody
	if err := json.Unmarshal(kept.Body, &body); err != nil {
		return fmt.Errorf("read how the camera of run %s moved: %w", rc.Run.ID, err)
	}
	in.steadied.result = &Steadied{
		DriftPx: body.DriftPx, ParallaxPx: body.ParallaxPx, TravelPx: body.TravelPx,
		PlaneSeen: body.PlaneSeen, Keys: body.Keys, Lost: body.Lost,
	}
	view, err := camera.Steadied(want.view, body.Steps, body.DriftPx, float64(rc.Clip.Facts.WidthPx)/2)
	if err != nil {
		return fmt.Errorf("steady the view of run %s: %w", rc.Run.ID, err)
	}
	in.steadied.result.View, in.steadied.given = view, want.view.Errors().ScaleRel
	in.steadied.found, in.View = hashOf([]string{string(kept.Body)}), &view
	return nil
}

// steadyView tells how a run's steadying stands and begins it where it is missing.
func (a *App) steadyView(ctx context.Context, rc store.Whole, in chainInput) (SteadyView, error) {
	k := in.steadied
	switch {
	case !rc.Run.Scale.Steady:
		return SteadyView{}, nil
	case k.refused != "":
		return SteadyView{State: SteadyRefused, Why: k.refused}, nil
	case k.result != nil:
		return SteadyView{State: SteadyReady, Frame: k.frame, Words: append(k.result.notes(), k.cost())}, nil
	}
	open, err := a.steadyJobs(ctx, rc.Run.ID)
	if err != nil {
		return SteadyView{}, err
	}
	for _, j := range open {
		var of string
		if json.Unmarshal(j.Args, &of) == nil && of == k.of {
			job := jobView(j)
			if j.State.Ended() {
				return SteadyView{State: SteadyStopped, Frame: k.frame, Why: job.Problem}, nil
			}
			return SteadyView{State: SteadyWorking, Frame: k.frame, Job: &job}, nil
		}
	}
	job, err := a.beginSteadying(ctx, rc.Run.ID, k.of)
	return SteadyView{State: SteadyWorking, Frame: k.frame, Job: &job}, err
}

// cost says what the drift that is left does to lengths.
func (k keptSteady) cost() string {
	now := k.result.View.Errors().ScaleRel
	return fmt.Sprintf("The drift of %.1f px that is left widens the standard error of every length from %.2f to %.2f %%.", k.result.DriftPx, 100*k.given, 100*now)
}

// steadyJobs returns a run's steadying jobs that did not end well, newest first.
func (a *App) steadyJobs(ctx context.Context, runID string) ([]record.Job, error) {
	list, err := a.store.JobsOn(ctx, runID)
	if err != nil {
		return nil, err
	}
	var out []record.Job
	for _, j := range list {
		if j.Kind == jobSteady && j.State != record.Done {
			out = append(out, j)
		}
	}
	return out, nil
}

// endSteadying cancels what still follows the run's camera.
func (a *App) endSteadying(ctx context.Context, runID string) error {
	open, err := a.steadyJobs(ctx, runID)
	for _, j := range open {
		if !j.State.Ended() {
			err = errors.Join(err, a.jobs.Cancel(ctx, j.ID))
		}
	}
	return err
}

// beginSteadying begins the job in place of any that follows something else.
func (a *App) beginSteadying(ctx context.Context, runID, of string) (JobView, error) {
	if err := a.endSteadying(ctx, runID); err != nil {
		return JobView{}, err
	}
	j, err := a.jobs.Enqueue(ctx, jobSteady, runID, of)
	return jobView(j), err
}

// SetSteady says whether a run's camera moved. On begins to steady it; a second On after it
// was stopped or failed begins anew. Off ends the work and measures as before; what was
// found is kept.
func (a *App) SetSteady(ctx context.Context, runID string, on bool) error {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return err
	}
	if on && !rc.Run.Scale.Known() {
		return inputf("Set a known length or a rectangle first: the camera is followed from the picture that it is set on.")
	}
	if rc.Run.Scale.Steady != on {
		rc.Run.Scale.Steady = on
		if err := a.store.UpdateRun(ctx, rc.Run); err != nil {
			return err
		}
	}
	if !on {
		return a.endSteadying(ctx, runID)
	}
	in, err := a.chainInput(ctx, rc)
	if err != nil {
		return err
	}
	view, err := a.steadyView(ctx, rc, in)
	if err == nil && view.State == SteadyStopped {
		_, err = a.beginSteadying(ctx, runID, in.steadied.of)
	}
	return err
}

// steadyKept is the job: it follows the camera from what the scale says now and keeps what
// was found.
func (a *App) steadyKept(ctx context.Context, t *jobs.Task) error {
	rc, err := a.store.RunWhole(ctx, t.Job().Subject)
	if errors.Is(err, ErrNotFound) {
		return nil // the run was deleted
	}
	if err != nil {
		return err
	}
	in, err := a.chainInput(ctx, rc)
	if err != nil || in.steadied.of == "" || in.steadied.found != "" {
		return err // switched off or found meanwhile
	}
	want, err := keptSteadyRequest(rc, in)
	if err != nil {
		return err
	}
	if want.engine, err = a.engine(ctx); err != nil {
		return err
	}
	want.path = a.store.ClipPath(rc.Clip)
	if want.index, err = want.engine.Index(ctx, want.path, nil); err != nil {
		return err
	}
	want.progress = func(done, total int) {
		t.Report(ctx, float64(done)/float64(total), fmt.Sprintf("following the camera, frame %d of %d", done, total))
	}
	body, err := followed(ctx, want)
	if err != nil {
		return err
	}
	err = a.store.KeepEstimate(ctx, record.Estimate{RunID: rc.Run.ID, Method: steadyMethod, InputHash: in.steadied.of, Body: body})
	if err == nil {
		a.measureAhead(rc.Run.ID)
	}
	return err
}

// followed follows the camera and returns its motion as it is kept.
func followed(ctx context.Context, want steadyRequest) (json.RawMessage, error) {
	s, err := steadyView(ctx, want)
	if err != nil {
		return nil, err
	}
	return json.Marshal(steadyBody{
		Steps: s.steps, DriftPx: s.DriftPx, ParallaxPx: s.ParallaxPx, TravelPx: s.TravelPx,
		PlaneSeen: s.PlaneSeen, Keys: s.Keys, Lost: s.Lost,
	})
}
