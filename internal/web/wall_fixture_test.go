package web

import (
	"context"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/wall"
)

// What the fixture keeps of walls: one plan and one ladder, planned by the real thing.

func (f *fixture) own() poolside.WallSwimmer {
	return poolside.WallSwimmer{Mass: f.swimmer.MassKg, Height: f.swimmer.HeightM, Female: true, Own: []poolside.KickSource{{
		Key: "run:r1", Words: "run of 3 May 2026", Speed: wall.Given{Value: 1.52, SD: 0.03, From: "run of 3 May 2026"}, Tempo: wall.Given{Value: 2.2, SD: 0.04, From: "run of 3 May 2026"},
	}}}
}

func fixtureWalls() poolside.WallInput {
	return poolside.WallInput{
		Event:        wall.Event{Pool: wall.Pool25m, Distance: 100, Stroke: wall.Freestyle},
		Surface:      map[wall.Stroke]float64{wall.Freestyle: 1.6},
		PushOffSpeed: 2.5, Worth: 0.05, WorthLow: 0.02, WorthHigh: 0.08, Meet: "Harbour Cup",
		Done: []wall.Done{{Wall: 2, Kicks: 9, To15: 8.9}},
	}
}

func fixtureLadder() poolside.LadderInput {
	return poolside.LadderInput{On: "2026-05-03", Steps: []wall.Step{
		{Tempo: 1.7, Speed: 1.31}, {Tempo: 1.9, Speed: 1.42}, {Tempo: 2.1, Speed: 1.49}, {Tempo: 2.3, Speed: 1.5}, {Tempo: 2.5, Speed: 1.44},
	}}
}

func (f *fixture) SquadWalls(ctx context.Context) (poolside.SquadWalls, error) {
	v, err := f.WallPlan(ctx, "p1")
	if err != nil {
		return poolside.SquadWalls{}, err
	}
	row := poolside.SquadWallRow{SwimmerID: "w1", Name: f.swimmer.Name, PlanID: "p1", Event: v.Input.Event.String(), Start: v.Answer.Walls[0].Plan, Turn: v.Answer.Walls[1].Plan, Total: v.Answer.Total}
	return poolside.SquadWalls{Squads: []poolside.SquadWallSection{{ID: "q1", Name: "Harbour Juniors", Rows: []poolside.SquadWallRow{row, {SwimmerID: "w2", Name: "Mira Okonja"}}}}}, nil
}

func (f *fixture) plan(kind record.PlanKind) record.Plan {
	p := record.Plan{ID: "p1", SwimmerID: "w1", Kind: kind, Undos: 1, PlanVersion: record.PlanVersion{Name: "100 free"}}
	if kind == record.TempoLadder {
		p.ID, p.Name = "l1", "May"
	}
	return p
}

func (f *fixture) Plans(_ context.Context, id string) (poolside.PlansView, error) {
	if id != "w1" {
		return poolside.PlansView{}, poolside.ErrNotFound
	}
	return poolside.PlansView{Swimmer: f.swimmer, Walls: []record.Plan{f.plan(record.WallPlan)}, Ladders: []record.Plan{f.plan(record.TempoLadder)}, Removed: []record.Plan{f.plan(record.WallPlan)}}, nil
}

func (f *fixture) NewWalls(ctx context.Context, id string, in poolside.WallInput) (poolside.WallsView, error) {
	if id != "w1" {
		return poolside.WallsView{}, poolside.ErrNotFound
	}
	v := poolside.WallsView{Swimmer: f.swimmer, Input: in, Own: f.own().Own}
	if in.Event.Distance == 0 {
		return v, nil
	}
	var err error
	v.Answer, err = poolside.PlanWalls(ctx, in, f.own())
	return v, err
}

func (f *fixture) WallPlan(ctx context.Context, id string) (poolside.WallsView, error) {
	if id != "p1" {
		return poolside.WallsView{}, poolside.ErrNotFound
	}
	v, err := f.NewWalls(ctx, "w1", fixtureWalls())
	v.Plan = f.plan(record.WallPlan)
	return v, err
}

func (f *fixture) KeepWalls(ctx context.Context, swimmerID, _, _ string, in poolside.WallInput) (string, error) {
	_, err := f.NewWalls(ctx, swimmerID, in)
	return "p1", err
}

func (f *fixture) NewLadder(_ context.Context, id string, in poolside.LadderInput) (v poolside.LadderView, err error) {
	if id != "w1" {
		return v, poolside.ErrNotFound
	}
	v = poolside.LadderView{Swimmer: f.swimmer, Input: in, Runs: f.own().Own}
	if len(in.Steps) > 0 {
		v.Answer, err = poolside.ClimbLadder(in)
	}
	return v, err
}

func (f *fixture) Ladder(ctx context.Context, id string) (poolside.LadderView, error) {
	if id != "l1" {
		return poolside.LadderView{}, poolside.ErrNotFound
	}
	v, err := f.NewLadder(ctx, "w1", fixtureLadder())
	v.Plan = f.plan(record.TempoLadder)
	return v, err
}

func (f *fixture) KeepLadder(_ context.Context, _, _, _ string, in poolside.LadderInput) (string, error) {
	_, err := poolside.ClimbLadder(in)
	return "l1", err
}

func (f *fixture) TurnPlan(_ context.Context, id string, act record.PlanAct) (record.Plan, error) {
	p := f.plan(record.WallPlan)
	p.Removed = act == record.RemovePlan
	if id != p.ID {
		return p, poolside.ErrNotFound
	}
	return p, nil
}
