package storetest

import (
	"errors"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
)

// Drill is a drill that may be kept.
func Drill() record.Drill {
	return record.Drill{
		ID: "five-to-the-finish", Title: "Five to the finish", Serves: record.ServesSweep, Phase: "its finish", Place: record.UnderWater, Step: 2, MinAge: 11,
		Why: "The finish is where the foot is fast.", Source: "Common practice, no source.", How: []string{"Push off.", "Five kicks, finish each."},
		Doses: []record.Dose{{Repeats: 4, Kicks: 5, Rest: record.RestUnderWater, PerWeek: 2}},
		Cue:   "Finish", Error: "Feet stop under the body.", Equipment: "fins", Caution: "Not with a sore knee.", Sign: "Toes end further ahead.", Measures: []string{"sweep"},
	}
}

// Give gives a swimmer Drill for five weeks from 10 March 2026, for a run's finding.
func Give(t *testing.T, s *store.Store, swimmerID, runID string) record.Given {
	t.Helper()
	d := Drill()
	return must(s.AddGiven(t.Context(), record.Given{
		SwimmerID: swimmerID, RunID: runID, DrillID: d.ID, Drill: d, Amount: d.Doses[0], From: "2026-03-10", Weeks: 5, RetestOn: "2026-04-14",
		Chosen: record.ByRule, Why: "Serves sweep.", Notes: "lane 2", By: "Ann",
	}))(t)
}

// given: what was given is read back as it was, changed by versions, listed while it
// goes on, outlives its run and goes with its swimmer.
func given(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	g := Give(t, s, e.Swimmer.ID, e.Run.ID)
	if g.Dose != "4 x 5 kicks, full recovery at the surface between, 2 times a week" || g.Seq != 1 {
		t.Errorf("given %+v", g)
	}
	same(t, "read back", must(s.OneGiven(ctx, g.ID))(t), g)
	same(t, "of the squad", must(s.GivenNow(ctx, e.Squad.ID))(t), map[string][]record.Given{e.Swimmer.ID: {g}})
	if other := must(s.GivenNow(ctx, "nobody"))(t); len(other) != 0 {
		t.Errorf("of another squad: %+v", other)
	}

	change := g
	change.Weeks, change.RetestOn, change.Amount.Repeats, change.Notes, change.By = 7, "2026-04-28", 6, "lane 3", "Bob"
	change.Why, change.Drill.Title = "rewritten", "rewritten" // neither is changed afterwards
	now := must(s.ChangeGiven(ctx, change))(t)
	if now.Seq != 2 || now.Weeks != 7 || now.Dose[0] != '6' || now.Why != g.Why || now.Drill.Title != g.Drill.Title || now.At.Equal(g.At) || now.By != "Bob" || now.GivenBy != "Ann" {
		t.Errorf("changed %+v", now)
	}
	same(t, "versions", must(s.GivenVersions(ctx, g.ID))(t), []record.Given{g, now})

	later := now
	later.From, later.RetestOn = "2026-05-01", "2026-06-05"
	later = must(s.AddGiven(ctx, later))(t)
	same(t, "newest first", must(s.Given(ctx, e.Swimmer.ID))(t), []record.Given{later, now})
	now.Ended = "2026-04-20"
	now = must(s.ChangeGiven(ctx, now))(t)
	later.Removed = true
	later = must(s.ChangeGiven(ctx, later))(t)
	if left := must(s.GivenNow(ctx, e.Squad.ID))(t); len(left) != 0 {
		t.Errorf("still practised: %+v", left)
	}
	same(t, "all stay on the swimmer's list", must(s.Given(ctx, e.Swimmer.ID))(t), []record.Given{later, now})

	var faults record.Faults
	for name, spoil := range map[string]func(g *record.Given){
		"ended with airless notes": func(g *record.Given) { g.Ended, g.Notes = "2026-05-01", "as far as you can" },
		"ended before it began":    func(g *record.Given) { g.Ended = "2026-01-01" },
	} {
		bad := g
		spoil(&bad)
		if _, err := s.ChangeGiven(ctx, bad); !errors.As(err, &faults) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for name, spoil := range map[string]func(g *record.Given){
		"no why":          func(g *record.Given) { g.Why = "" },
		"retest too soon": func(g *record.Given) { g.RetestOn = g.From },
		"eleven kicks":    func(g *record.Given) { g.Amount.Kicks = 11 },
		"other drill":     func(g *record.Given) { g.DrillID = "another" },
		"airless notes":   func(g *record.Given) { g.Notes = "as far as you can" },
		"by nobody":       func(g *record.Given) { g.Chosen = "chance" },
	} {
		bad := g
		spoil(&bad)
		if _, err := s.AddGiven(ctx, bad); !errors.As(err, &faults) {
			t.Errorf("%s: %v", name, err)
		}
	}
	stranger := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Ole Bay"}))(t)
	foreign := g
	foreign.SwimmerID = stranger.ID
	nobodys := g
	nobodys.SwimmerID = "x"
	for _, err := range []error{second(s.AddGiven(ctx, foreign)), second(s.AddGiven(ctx, nobodys)), second(s.OneGiven(ctx, "x")), second(s.ChangeGiven(ctx, record.Given{ID: "x"}))} {
		notFound(t, err)
	}

	ok(t, s.DeleteRun(ctx, e.Run.ID))
	if g := must(s.OneGiven(ctx, g.ID))(t); g.RunID != "" || g.Drill.Title != "Five to the finish" {
		t.Errorf("after its run was deleted: %+v", g)
	}
	ok(t, s.DeleteSwimmer(ctx, e.Swimmer.ID))
	notFound(t, second(s.OneGiven(ctx, g.ID)))
}

// drills: own drills change by versions; what was given keeps its text.
func drills(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	o := must(s.AddDrill(ctx, record.OwnDrill{Drill: Drill(), CopyOf: "finish-in-front", By: "Ann"}))(t)
	same(t, "read back", must(s.OwnDrill(ctx, o.ID))(t), o)
	g := must(s.AddGiven(ctx, record.Given{
		SwimmerID: e.Swimmer.ID, DrillID: o.ID, Drill: o.Drill, Amount: o.Doses[0], From: "2026-03-10", Weeks: 3, RetestOn: "2026-03-31", Chosen: record.ByCoach, Why: "to try it",
	}))(t)

	change := o
	change.Title, change.By, change.CopyOf = "Six to the finish", "Bob", "another"
	now := must(s.ChangeDrill(ctx, change))(t)
	if now.Seq != 2 || now.Title != "Six to the finish" || now.CopyOf != "finish-in-front" || now.ID != o.ID {
		t.Errorf("changed %+v", now)
	}
	if g = must(s.OneGiven(ctx, g.ID))(t); g.Drill.Title != "Five to the finish" {
		t.Errorf("what was given now says %q", g.Drill.Title)
	}
	now.Retired = true
	now = must(s.ChangeDrill(ctx, now))(t)
	same(t, "all", must(s.OwnDrills(ctx))(t), []record.OwnDrill{now})
	if v := must(s.DrillVersions(ctx, o.ID))(t); len(v) != 3 || v[0].Title != o.Title || !v[2].Retired {
		t.Errorf("versions %+v", v)
	}

	var faults record.Faults
	bad := o
	bad.How = []string{"Stay down as long as you can."}
	for _, err := range []error{second(s.AddDrill(ctx, bad)), second(s.ChangeDrill(ctx, bad))} {
		if !errors.As(err, &faults) || faults.For("how") == "" {
			t.Errorf("a contest is kept: %v", err)
		}
	}
	for _, err := range []error{second(s.OwnDrill(ctx, "own-x")), second(s.OwnDrill(ctx, "finish-in-front")), second(s.ChangeDrill(ctx, record.OwnDrill{}))} {
		notFound(t, err)
	}
}
