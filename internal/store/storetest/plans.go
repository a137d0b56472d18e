package storetest

import (
	"errors"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
)

// plans: versions are added, undone and brought back; a plan goes with its swimmer.
func plans(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	first := record.PlanVersion{Name: "100 free", Body: []byte(`{"event":1}`), By: "Ann"}
	p := must(s.AddPlan(ctx, record.Plan{SwimmerID: e.Swimmer.ID, Kind: record.WallPlan, PlanVersion: first}))(t)
	same(t, "read back", must(s.Plan(ctx, p.ID))(t), p)
	ladder := must(s.AddPlan(ctx, record.Plan{SwimmerID: e.Swimmer.ID, Kind: record.TempoLadder, PlanVersion: record.PlanVersion{Name: "May", Body: []byte(`{}`)}}))(t)

	second1 := record.PlanVersion{Act: record.KeepPlan, Name: "100 free", Body: []byte(`{"event":2}`)}
	q := must(s.AddPlanVersion(ctx, p.ID, second1))(t)
	if string(q.Body) != `{"event":2}` || q.Undos != 1 || q.Seq != 2 {
		t.Errorf("after a change: %+v", q)
	}
	act := func(a record.PlanAct) record.Plan {
		t.Helper()
		return must(s.AddPlanVersion(ctx, p.ID, record.PlanVersion{Act: a}))(t)
	}
	if q = act(record.UndoPlan); string(q.Body) != `{"event":1}` || q.Redos != 1 || q.By != "Ann" {
		t.Errorf("after an undo: %+v", q)
	}
	if q = act(record.RedoPlan); string(q.Body) != `{"event":2}` {
		t.Errorf("after a redo: %+v", q)
	}
	if q = act(record.RemovePlan); !q.Removed || q.Name != "100 free" {
		t.Errorf("removed: %+v", q)
	}
	if _, err := s.AddPlanVersion(ctx, p.ID, record.PlanVersion{Act: record.RemovePlan}); !errors.Is(err, store.ErrNothing) {
		t.Errorf("removed twice: %v", err)
	}
	if q = act(record.UndoPlan); q.Removed {
		t.Errorf("put back: %+v", q)
	}
	if _, err := s.AddPlanVersion(ctx, ladder.ID, record.PlanVersion{Act: record.UndoPlan}); !errors.Is(err, store.ErrNothing) {
		t.Errorf("nothing to undo: %v", err)
	}
	var faults record.Faults
	for name, err := range map[string]error{
		"no name":   second(s.AddPlanVersion(ctx, p.ID, record.PlanVersion{Act: record.KeepPlan, Body: []byte(`{}`)})),
		"a list":    second(s.AddPlan(ctx, record.Plan{SwimmerID: e.Swimmer.ID, Kind: record.WallPlan, PlanVersion: record.PlanVersion{Name: "x", Body: []byte(`[]`)}})),
		"no such":   second(s.AddPlan(ctx, record.Plan{SwimmerID: e.Swimmer.ID, Kind: "drill", PlanVersion: first})),
		"nobody's":  second(s.AddPlan(ctx, record.Plan{Kind: record.WallPlan, PlanVersion: first})),
		"no object": second(s.AddPlanVersion(ctx, p.ID, record.PlanVersion{Act: record.KeepPlan, Name: "x", Body: []byte(`nothing`)})),
	} {
		if !errors.As(err, &faults) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, err := range []error{
		second(s.Plan(ctx, "x")), second(s.AddPlanVersion(ctx, "x", second1)),
		second(s.AddPlan(ctx, record.Plan{SwimmerID: "x", Kind: record.WallPlan, PlanVersion: first})),
	} {
		notFound(t, err)
	}

	same(t, "of the swimmer", must(s.Plans(ctx, e.Swimmer.ID))(t), []record.Plan{must(s.Plan(ctx, p.ID))(t), ladder})
	friend := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Jonas Reed"}))(t)
	theirs := must(s.AddPlan(ctx, record.Plan{SwimmerID: friend.ID, Kind: record.WallPlan, PlanVersion: first}))(t)
	if n := len(must(s.PlansOfSquad(ctx, e.Squad.ID))(t)); n != 3 {
		t.Errorf("%d plans in the squad", n)
	}
	ok(t, s.DeleteSwimmer(ctx, e.Swimmer.ID))
	notFound(t, second(s.Plan(ctx, p.ID)))
	same(t, "a friend's stays", must(s.PlansOfSquad(ctx, e.Squad.ID))(t), []record.Plan{theirs})
}

// latestEstimate: the newest of a run, by its method.
func latestEstimate(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	notFound(t, second(s.LatestEstimate(ctx, e.Run.ID, "worth/1")))
	for _, hash := range []string{"a", "b"} {
		ok(t, s.KeepEstimate(ctx, record.Estimate{RunID: e.Run.ID, Method: "worth/1", InputHash: hash, Body: []byte(`{"of":"` + hash + `"}`)}))
	}
	ok(t, s.KeepEstimate(ctx, record.Estimate{RunID: e.Run.ID, Method: "worth/0", InputHash: "c", Body: []byte(`{"of":"c"}`)}))
	if got := string(must(s.LatestEstimate(ctx, e.Run.ID, "worth/1"))(t)); got != `{"of":"b"}` {
		t.Errorf("latest estimate %s", got)
	}
}
