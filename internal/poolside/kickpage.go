package poolside

import (
	"context"
	"slices"
	"strings"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/store"
)

// Kick measures a run and returns its page. chosen is the number of the kick
// whose stills are shown; 0 takes the one the finding rests on.
// What keeps a run from being measured is in KickView.Problem, not an error.
func (a *App) Kick(ctx context.Context, runID string, chosen int) (KickView, error) {
	seq, renewed, err := a.store.InputSeq(ctx, runID) // before anything is read that it counts
	if err != nil {
		return KickView{}, err
	}
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return KickView{}, err
	}
	view := KickView{Swimmer: rc.Swimmer, Visit: rc.Visit, Clip: rc.Clip, Run: rc.Run}
	in, err := a.chainInput(ctx, rc)
	if problem, ok := problemOf(err); ok {
		view.Problem = problem
		if filmGone(rc.Clip) != nil {
			kept, err := a.keptWords(ctx, runID)
			view.Problem = strings.TrimSpace(problem + " " + kept)
			return view, err
		}
		return view, nil
	}
	if err != nil {
		return view, err
	}
	view.Scale = scaleView(rc, in)
	if view.Steady, err = a.steadyView(ctx, rc, in); err != nil {
		return view, err
	}
	if slowMotionView(rc.Clip).Ask {
		view.Problem = "Say how fast the clip was filmed: the file plays at one rate and names another, and every speed hangs on it."
		return view, nil
	}
	measured, hash, err := a.measureRun(ctx, rc, in)
	if problem, ok := problemOf(err); ok {
		view.Problem = problem
		return view, nil
	}
	if err != nil {
		return view, err
	}
	view.Marking = measured.marker.words(measured.offsetM)
	view.Result, view.Warnings = measured.Result, append(slices.Clone(measured.Result.Warnings), view.Steady.Words...)
	for _, w := range rc.Clip.Facts.Warnings {
		view.Warnings = append(view.Warnings, w.Text)
	}
	if err := a.explain(ctx, rc, explained{measured, hash}, &view); err != nil {
		return view, err
	}
	if !renewed {
		if err := a.store.Renewed(ctx, runID, seq); err != nil {
			return view, err
		}
	}
	if view.Layers, err = a.Layers(ctx); err != nil {
		return view, err
	}
	return view, view.choose(measured, chosen)
}

// explained is a measurement with the hash of what it stands on.
type explained struct {
	*Measured
	hash string
}

// explain adds worth and the finding, and keeps the result.
func (a *App) explain(ctx context.Context, rc store.Whole, m explained, view *KickView) error {
	own, err := a.ownRuns(ctx, rc.Swimmer)
	if err != nil {
		return err
	}
	scatter, err := a.scatter(ctx, rc.Swimmer.SquadID)
	if err != nil {
		return err
	}
	worthHash := ""
	if view.Worth, worthHash, err = a.worthView(ctx, rc, m.Measured, m.hash, own); err != nil {
		return err
	}
	view.Own = own
	view.Finding = limit.Find(limit.Input{
		Now: limitRun(rc, view.Result), Own: own, Scatter: scatter,
		Person: personOf(rc.Swimmer), Year: yearOf(rc.Visit.On), Worth: view.Worth.Result,
	})
	hash := m.hash
	if view.Worth.Result != nil { // the finding changed: its result is another one
		hash = hashOf([]string{hash, worthHash})
	}
	return a.keepResult(ctx, rc, hash, view)
}

func limitRun(rc store.Whole, r *kick.Result) limit.Run {
	return limit.Run{
		ID: rc.Run.ID, Visit: rc.Visit.ID, When: longDate(rc.Visit.On), Result: r,
		Conditions: limit.Conditions{
			Effort: string(rc.Run.Effort), Start: string(rc.Run.Start), Position: string(rc.Run.Position),
			Equipment: rc.Run.Equipment, MarkedBy: rc.Run.MarkedBy,
		},
	}
}

// choose frames the stills of a kick: the one asked for, else the one the finding
// rests on, else any whole one.
func (v *KickView) choose(m *Measured, number int) error {
	k := wholeKick(m.Result, number)
	if k == nil {
		k = wholeKick(m.Result, v.Finding.Evidence.Kick)
	}
	for i := range m.Result.Kicks {
		if k == nil && m.Result.Kicks[i].Number > 0 {
			k = &m.Result.Kicks[i]
		}
	}
	if k == nil {
		return nil
	}
	v.Chosen = k.Number
	f, err := pictureSize(v.Clip)
	if err != nil {
		return err
	}
	f.KeepOff = true
	v.Stills = m.stills(*k, stillsFrame{Frame: f, layers: v.Layers})
	return nil
}

func wholeKick(r *kick.Result, number int) *kick.Kick {
	for i := range r.Kicks {
		if number > 0 && r.Kicks[i].Number == number {
			return &r.Kicks[i]
		}
	}
	return nil
}
