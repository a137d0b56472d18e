package poolside

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"underkick/internal/jobs"
	"underkick/internal/limit"
	"underkick/internal/limit/worth"
	"underkick/internal/record"
	"underkick/internal/report"
	"underkick/internal/store"
)

// jobWorth is the kind of job that estimates what the qualities of a run are worth.
const jobWorth = "estimate-worth"

// worthArgs names the estimate that a job makes.
type worthArgs struct {
	Hash string `json:"hash"`
}

// WorthState says how the estimate of a run stands.
type WorthState string

// The states.
const (
	WorthReady   WorthState = "ready"
	WorthRefused WorthState = "refused" // the run is too poor; Why says so
	WorthWorking WorthState = "working"
	WorthStopped WorthState = "stopped" // cancelled or failed
)

// WorthView is what the qualities of a run are worth, as far as it is known.
type WorthView struct {
	State     WorthState
	Why       string        // with WorthRefused and WorthStopped
	Result    *worth.Result // with WorthReady; Swim is nil
	Job       *JobView      // with WorthWorking
	Reference *RunName      // the run that the coach named, nil = fixed steps
	Alike     bool          // it was marked alike
	Choices   []ReferenceChoice
}

// RunName names a run in a sentence.
type RunName struct{ ID, When, Speed string }

// ReferenceChoice is another run of the swimmer that may be named.
type ReferenceChoice struct {
	RunName
	Chosen bool
	Why    []string // why it cannot serve; empty = it can
	Warn   []string // what is to be stated before it is believed
}

// inputs are what an estimate of a kept run stands on.
type inputs struct {
	worth.Input
	hash string
}

// worthInputs gathers a run's estimate from its measurement and its reference run's.
func (a *App) worthInputs(ctx context.Context, rc store.Whole, own *Measured, ownHash string) (inputs, *store.Whole, error) {
	in := inputs{Input: worth.Input{Run: own.worthRunOf(rc.Run), Seed: worthSeed}}
	var err error
	if in.Subject, err = own.subject(rc.Swimmer.Subject()); err != nil {
		return in, nil, err
	}
	parts := []string{worth.Method, ownHash, runFacts(rc.Run)}
	ref, err := a.store.Reference(ctx, rc.Run.ID)
	if err != nil || ref == "" {
		in.hash = hashOf(parts)
		return in, nil, err
	}
	other, err := a.store.RunWhole(ctx, ref)
	if err != nil {
		return in, nil, err
	}
	m, hash, err := a.measureKept(ctx, other)
	if err != nil {
		return in, &other, err
	}
	in.Against = []worth.Run{m.worthRunOf(other.Run)}
	if in.SameMarking, err = a.markedAlike(ctx, rc.Run.ID, ref); err != nil {
		return in, &other, err
	}
	in.hash = hashOf(append(parts, hash, runFacts(other.Run), fmt.Sprint(in.SameMarking)))
	return in, &other, nil
}

// runFacts are what an estimate asks of a run's record beside its measurement.
func runFacts(r record.Run) string { return fmt.Sprintf("%s %g", r.Contact, r.DepthM) }

func hashOf(parts []string) string {
	sum := sha256.Sum256([]byte(strings.Join(parts, "\n")))
	return hex.EncodeToString(sum[:])
}

// worthRunOf is worthRun with what the record knows of surface and wall.
func (m *Measured) worthRunOf(r record.Run) worth.Run {
	w := m.worthRun()
	w.Depth, w.Touched = r.DepthM, string(r.Contact)
	return w
}

// measureKept measures a kept run or finds its measurement in memory.
func (a *App) measureKept(ctx context.Context, rc store.Whole) (*Measured, string, error) {
	in, err := a.chainInput(ctx, rc)
	if err != nil {
		return nil, "", err
	}
	return a.measureRun(ctx, rc, in)
}

// worthView tells how a run's estimate stands and begins it where it is missing.
func (a *App) worthView(ctx context.Context, rc store.Whole, own *Measured, ownHash string, others []limit.Run) (WorthView, string, error) {
	in, other, err := a.worthInputs(ctx, rc, own, ownHash)
	var v WorthView
	if other != nil {
		v.Reference = &RunName{ID: other.Run.ID, When: longDate(other.Visit.On)}
	}
	if problem, ok := problemOf(err); ok {
		v.State, v.Why = WorthRefused, problem
		v.Choices = referenceChoices(rc, v.Reference, others)
		return v, "", nil
	}
	if err != nil {
		return v, "", err
	}
	v.Alike = in.SameMarking
	v.Choices = referenceChoices(rc, v.Reference, others)
	why := worth.Poor(in.Run)
	for _, c := range v.Choices {
		if c.Chosen && len(c.Why) > 0 { // its conditions were changed since it was named
			why = append(why, fmt.Sprintf("The run of %s cannot be the reference: %s", c.When, strings.Join(c.Why, " ")))
		}
	}
	if len(why) > 0 {
		v.State, v.Why = WorthRefused, strings.Join(why, " ")
		return v, in.hash, nil
	}
	return v, in.hash, a.standing(ctx, rc.Run.ID, in.hash, &v)
}

// standing finds a kept estimate, else the job that makes it, else begins one.
func (a *App) standing(ctx context.Context, runID, hash string, v *WorthView) error {
	kept, err := a.store.Estimate(ctx, runID, worth.Method, hash)
	switch {
	case err == nil:
		if v.Result, err = report.ReadWorthJSON(kept.Body); err != nil {
			return err
		}
		v.State, v.Why = WorthReady, ""
		if v.Result.Refused {
			v.State, v.Why = WorthRefused, v.Result.Reason
		}
		return nil
	case !errors.Is(err, ErrNotFound):
		return err
	}
	j, err := a.worthJob(ctx, runID, hash)
	if err != nil {
		return err
	}
	if j == nil {
		began, err := a.jobs.Enqueue(ctx, jobWorth, runID, worthArgs{hash})
		if err != nil {
			return err
		}
		j = &began
	}
	job := jobView(*j)
	v.Job, v.State = &job, WorthWorking
	if j.State.Ended() {
		v.State, v.Why = WorthStopped, job.Problem
	}
	return nil
}

// worthJob returns the newest job that makes this estimate, nil if there is none or it
// ended well without leaving one.
func (a *App) worthJob(ctx context.Context, runID, hash string) (*record.Job, error) {
	list, err := a.store.JobsOn(ctx, runID)
	if err != nil {
		return nil, err
	}
	for _, j := range list {
		var args worthArgs
		if j.Kind == jobWorth && json.Unmarshal(j.Args, &args) == nil && args.Hash == hash && j.State != record.Done {
			return &j, nil
		}
	}
	return nil, nil
}

// EstimateAgain begins a run's estimate anew after it was stopped or failed.
func (a *App) EstimateAgain(ctx context.Context, runID string) error {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return err
	}
	own, hash, err := a.measureKept(ctx, rc)
	if err != nil {
		return err
	}
	in, _, err := a.worthInputs(ctx, rc, own, hash)
	if err != nil {
		return err
	}
	j, err := a.worthJob(ctx, runID, in.hash)
	if err != nil || (j != nil && !j.State.Ended()) {
		return err
	}
	_, err = a.jobs.Enqueue(ctx, jobWorth, runID, worthArgs{in.hash})
	return err
}

// estimateWorth is the job: it makes the estimate of what stands now, keeps it, and keeps
// the finding that follows from it.
func (a *App) estimateWorth(ctx context.Context, t *jobs.Task) error {
	rc, err := a.store.RunWhole(ctx, t.Job().Subject)
	if errors.Is(err, ErrNotFound) {
		return nil // the run was deleted
	}
	if err != nil {
		return err
	}
	t.Report(ctx, 0, "measuring the runs")
	own, hash, err := a.measureKept(ctx, rc)
	if err != nil {
		return err
	}
	in, _, err := a.worthInputs(ctx, rc, own, hash)
	if err != nil {
		return err
	}
	in.Progress = func(done, total int) {
		t.Report(ctx, float64(done)/float64(total), fmt.Sprintf("trying errors of marks, scale and water, %d of %d", done, total))
	}
	r, err := worth.Estimate(ctx, in.Input)
	if err != nil {
		return err
	}
	var text bytes.Buffer
	if err := report.WriteWorthJSON(&text, r, nil); err != nil {
		return err
	}
	err = a.store.KeepEstimate(ctx, record.Estimate{RunID: rc.Run.ID, Method: worth.Method, InputHash: in.hash, Body: text.Bytes()})
	if err != nil {
		return err
	}
	_, err = a.Kick(ctx, rc.Run.ID, 0)
	return err
}
