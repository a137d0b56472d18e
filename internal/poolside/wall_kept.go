package poolside

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"underkick/internal/record"
	"underkick/internal/store"
)

// WallsView is one plan of a swimmer's walls, kept or about to be.
type WallsView struct {
	Swimmer record.Swimmer
	Plan    record.Plan // ID empty: not kept yet
	Input   WallInput
	Own     []KickSource
	Answer  *WallAnswer // nil where the input cannot be planned
	Problem string      // why not
}

// LadderView is one tempo ladder, kept or about to be.
type LadderView struct {
	Swimmer record.Swimmer
	Plan    record.Plan
	Input   LadderInput
	Runs    []KickSource // measured runs to take steps from, newest first
	Answer  *LadderAnswer
	Problem string
}

// PlansView lists a swimmer's plans and ladders.
type PlansView struct {
	Swimmer record.Swimmer
	Walls   []record.Plan
	Ladders []record.Plan
	Removed []record.Plan
}

// NewWalls plans what was typed for a swimmer, without keeping it. What cannot be planned is a
// view with a Problem; faults of fields are the error.
func (a *App) NewWalls(ctx context.Context, swimmerID string, in WallInput) (WallsView, error) {
	w, err := a.store.Swimmer(ctx, swimmerID)
	if err != nil {
		return WallsView{}, err
	}
	v := WallsView{Swimmer: w, Input: in}
	who, err := a.wallSwimmer(ctx, w)
	if err != nil {
		return v, err
	}
	v.Own = who.Own
	if in.Event.Distance == 0 {
		return v, nil // an empty form
	}
	v.Answer, err = PlanWalls(ctx, in, who)
	return v, err
}

// WallPlan returns a kept plan, planned with what is known of the swimmer now.
func (a *App) WallPlan(ctx context.Context, planID string) (WallsView, error) {
	p, err := a.keptPlan(ctx, planID, record.WallPlan)
	if err != nil {
		return WallsView{}, err
	}
	var in WallInput
	if err := decodeStrict(p.Body, &in); err != nil {
		return WallsView{}, fmt.Errorf("read plan %s: %w", planID, err)
	}
	v, err := a.NewWalls(ctx, p.SwimmerID, in)
	v.Plan = p
	var faults record.Faults
	if errors.As(err, &faults) { // a run that it stood on may have changed
		v.Problem, err = err.Error(), nil
	}
	return v, err
}

func (a *App) keptPlan(ctx context.Context, id string, kind record.PlanKind) (record.Plan, error) {
	p, err := a.store.Plan(ctx, id)
	if err == nil && p.Kind != kind {
		err = fmt.Errorf("plan %s is of another kind: %w", id, ErrNotFound)
	}
	return p, err
}

// KeepWalls keeps a plan's input: a new plan of the swimmer, or with planID a new version. The
// input must be one that can be planned.
func (a *App) KeepWalls(ctx context.Context, swimmerID, planID, name string, in WallInput) (string, error) {
	if err := in.Validate(); err != nil { // NewWalls lets an empty form pass
		return "", err
	}
	if _, err := a.NewWalls(ctx, swimmerID, in); err != nil {
		return "", err
	}
	return a.keepPlan(ctx, record.Plan{ID: planID, SwimmerID: swimmerID, Kind: record.WallPlan, PlanVersion: record.PlanVersion{Name: name}}, in)
}

func (a *App) keepPlan(ctx context.Context, p record.Plan, input any) (string, error) {
	body, err := json.Marshal(input)
	if err != nil {
		return "", fmt.Errorf("keep plan: %w", err)
	}
	p.Body = body
	if p.ID == "" {
		p, err = a.store.AddPlan(ctx, p)
		return p.ID, err
	}
	kept, err := a.keptPlan(ctx, p.ID, p.Kind)
	if err != nil {
		return "", err
	}
	if kept.Name == p.Name && bytes.Equal(kept.Body, body) && !kept.Removed {
		return kept.ID, nil // nothing changed
	}
	p, err = a.store.AddPlanVersion(ctx, p.ID, record.PlanVersion{Act: record.KeepPlan, Name: p.Name, Body: body})
	return p.ID, err
}

// TurnPlan undoes, redoes or removes; nothing to turn back is no error. It returns the plan as it
// stands.
func (a *App) TurnPlan(ctx context.Context, planID string, act record.PlanAct) (record.Plan, error) {
	p, err := a.store.AddPlanVersion(ctx, planID, record.PlanVersion{Act: act})
	if errors.Is(err, store.ErrNothing) {
		return a.store.Plan(ctx, planID)
	}
	return p, err
}

// Plans lists a swimmer's plans, newest first.
func (a *App) Plans(ctx context.Context, swimmerID string) (PlansView, error) {
	w, err := a.store.Swimmer(ctx, swimmerID)
	if err != nil {
		return PlansView{}, err
	}
	all, err := a.store.Plans(ctx, swimmerID)
	if err != nil {
		return PlansView{}, err
	}
	v := PlansView{Swimmer: w}
	for _, p := range slices.Backward(all) {
		switch {
		case p.Removed:
			v.Removed = append(v.Removed, p)
		case p.Kind == record.WallPlan:
			v.Walls = append(v.Walls, p)
		default:
			v.Ladders = append(v.Ladders, p)
		}
	}
	return v, nil
}

// NewLadder reads a ladder as typed, without keeping it; an input without steps is an empty form.
func (a *App) NewLadder(ctx context.Context, swimmerID string, in LadderInput) (LadderView, error) {
	w, err := a.store.Swimmer(ctx, swimmerID)
	if err != nil {
		return LadderView{}, err
	}
	v := LadderView{Swimmer: w, Input: in}
	if v.Runs, err = a.kickRuns(ctx, swimmerID); err != nil {
		return v, err
	}
	if len(in.Steps) > 0 {
		v.Answer, err = ClimbLadder(in)
	}
	return v, err
}

// Ladder returns a kept ladder.
func (a *App) Ladder(ctx context.Context, planID string) (LadderView, error) {
	p, err := a.keptPlan(ctx, planID, record.TempoLadder)
	if err != nil {
		return LadderView{}, err
	}
	var in LadderInput
	if err := decodeStrict(p.Body, &in); err != nil {
		return LadderView{}, fmt.Errorf("read tempo ladder %s: %w", planID, err)
	}
	v, err := a.NewLadder(ctx, p.SwimmerID, in)
	v.Plan = p
	var faults record.Faults
	if errors.As(err, &faults) {
		v.Problem, err = err.Error(), nil
	}
	return v, err
}

// KeepLadder keeps a ladder as KeepWalls keeps a plan.
func (a *App) KeepLadder(ctx context.Context, swimmerID, planID, name string, in LadderInput) (string, error) {
	if _, err := ClimbLadder(in); err != nil {
		return "", err
	}
	return a.keepPlan(ctx, record.Plan{ID: planID, SwimmerID: swimmerID, Kind: record.TempoLadder, PlanVersion: record.PlanVersion{Name: name}}, in)
}
