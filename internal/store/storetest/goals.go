package storetest

import (
	"errors"
	"math"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
)

// Goal sets a swimmer the goal of 1.5 m/s by 1 June 2026.
func Goal(t *testing.T, s *store.Store, swimmerID string) record.Goal {
	t.Helper()
	return must(s.AddGoal(t.Context(), record.Goal{
		SwimmerID: swimmerID, Measure: "speed", Sense: record.AtLeast, Target: 1.5, On: "2026-06-01", Notes: "for the spring meet", By: "Ann",
	}))(t)
}

// goals: a goal is read back as it was, changed by versions, listed by day, and goes with
// its swimmer.
func goals(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	g := Goal(t, s, e.Swimmer.ID)
	same(t, "read back", must(s.Goal(ctx, g.ID))(t), g)
	same(t, "of the squad", must(s.GoalsOfSquad(ctx, e.Squad.ID))(t), map[string][]record.Goal{e.Swimmer.ID: {g}})
	if other := must(s.GoalsOfSquad(ctx, "nobody"))(t); len(other) != 0 {
		t.Errorf("of another squad: %+v", other)
	}

	change := g
	change.Target, change.On, change.Notes, change.By = 1.6, "2026-07-01", "", "Bob"
	change.Measure, change.SwimmerID = "sweep", "nobody" // neither is changed afterwards
	now := must(s.ChangeGoal(ctx, change))(t)
	if now.Seq != 2 || now.Target != 1.6 || now.Measure != "speed" || now.SwimmerID != e.Swimmer.ID || now.At.Equal(g.At) {
		t.Errorf("changed %+v", now)
	}
	same(t, "versions", must(s.GoalVersions(ctx, g.ID))(t), []record.Goal{g, now})

	sooner := now
	sooner.On, sooner.Measure, sooner.Sense, sooner.Target = "2026-05-01", "kick_frequency", record.AtMost, 2.2
	sooner = must(s.AddGoal(ctx, sooner))(t)
	same(t, "by day", must(s.Goals(ctx, e.Swimmer.ID))(t), []record.Goal{sooner, now})
	now.Removed = true
	now = must(s.ChangeGoal(ctx, now))(t)
	same(t, "of the squad without the removed", must(s.GoalsOfSquad(ctx, e.Squad.ID))(t), map[string][]record.Goal{e.Swimmer.ID: {sooner}})
	same(t, "the removed stay", must(s.Goals(ctx, e.Swimmer.ID))(t), []record.Goal{sooner, now})

	for field, spoil := range map[string]func(*record.Goal){
		"measure": func(g *record.Goal) { g.Measure = "charm" }, "sense": func(g *record.Goal) { g.Sense = "" },
		"target": func(g *record.Goal) { g.Target = math.NaN() }, "on": func(g *record.Goal) { g.On = "soon" },
		"notes": func(g *record.Goal) { g.Notes = "Fifty metres without breathing." },
	} {
		bad := sooner
		spoil(&bad)
		var f record.Faults
		if _, err := s.AddGoal(ctx, bad); !errors.As(err, &f) || f.For(field) == "" {
			t.Errorf("%s: %v", field, err)
		}
	}
	nobody := sooner
	nobody.SwimmerID = "nobody"
	if _, err := s.AddGoal(ctx, nobody); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("a goal for nobody: %v", err)
	}

	ok(t, s.DeleteSwimmer(ctx, e.Swimmer.ID))
	if _, err := s.Goal(ctx, g.ID); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("a goal of one who is gone: %v", err)
	}
}
