package storetest

import (
	"errors"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
)

// setAside: a run that is set aside is kept whole with its result, and is none of the
// measured ones until it counts again; the line of its swimmer goes each time.
func setAside(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	must(s.AddResult(ctx, record.Result{RunID: e.Run.ID, Method: "kick 1", InputHash: "abc", Word: "sweep", Sentence: "The feet stop short.", Body: []byte(`{"x":1}`)}))(t)
	counts := func() [4]int {
		t.Helper()
		rows, lines := must(s.Roster(ctx, e.Squad.ID))(t), 0
		for _, l := range must(s.SeasonLines(ctx, e.Squad.ID, "season/1"))(t) {
			if l.Line != nil {
				lines++
			}
		}
		return [4]int{len(must(s.Briefs(ctx, e.Swimmer.ID))(t)), len(must(s.Measured(ctx, e.Swimmer.ID))(t)), len(rows[0].Measured), lines}
	}
	keep := func() {
		t.Helper()
		ok(t, s.KeepSeason(ctx, e.Swimmer.ID, "season/1", []byte(`{}`), []byte(`{}`)))
	}
	keep()
	same(t, "at first", counts(), [4]int{1, 1, 1, 1})
	ok(t, s.SetAside(ctx, e.Run.ID, "hit the lane rope"))
	same(t, "set aside", counts(), [4]int{0, 0, 0, 0})
	filmed := must(s.Filmed(ctx, e.Swimmer.ID))(t)[0].Clips[0].Runs[0]
	if filmed.Run.Aside != "hit the lane rope" || filmed.Measured == nil || filmed.Measured.Sentence != "The feet stop short." {
		t.Errorf("kept as %+v", filmed)
	}
	run := filmed.Run
	run.Aside, run.Notes = "", "windy"
	ok(t, s.UpdateRun(ctx, run))
	if r := must(s.Run(ctx, run.ID))(t); r.Aside != "hit the lane rope" || r.Notes != "windy" {
		t.Errorf("changed otherwise: %+v", r)
	}
	keep()
	ok(t, s.SetAside(ctx, run.ID, ""))
	same(t, "counts again", counts(), [4]int{1, 1, 1, 0})
	if err := s.SetAside(ctx, "none", "x"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("a run that is none: %v", err)
	}
	var f record.Faults
	if err := s.SetAside(ctx, run.ID, strings.Repeat("x", 200)); !errors.As(err, &f) || f.For("aside") == "" {
		t.Errorf("a long reason: %v", err)
	}
}

// moves: a clip goes to another swimmer and visit with the runs of the former swimmer,
// a run alone to another swimmer; what held runs of two swimmers together is loosened.
func moves(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	ivo := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Ivo Brandt"}))(t)
	other := must(s.AddRun(ctx, record.Run{ClipID: e.Clip.ID, SwimmerID: ivo.ID, FromFrame: 40, ToFrame: 59}))(t)
	second := must(s.AddRun(ctx, record.Run{ClipID: e.Clip.ID, SwimmerID: e.Swimmer.ID, FromFrame: 60, ToFrame: 90}))(t)
	ok(t, s.SetReference(ctx, e.Run.ID, second.ID))
	g := Give(t, s, e.Swimmer.ID, second.ID)

	ok(t, s.MoveRun(ctx, second.ID, ivo.ID))
	if r := must(s.Run(ctx, second.ID))(t); r.SwimmerID != ivo.ID || r.FromFrame != 60 {
		t.Errorf("moved run %+v", r)
	}
	if against := must(s.Reference(ctx, e.Run.ID))(t); against != "" {
		t.Errorf("the run of another swimmer stays the reference: %q", against)
	}
	if g := must(s.OneGiven(ctx, g.ID))(t); g.RunID != "" || g.SwimmerID != e.Swimmer.ID {
		t.Errorf("given for a run of another swimmer: %+v", g)
	}
	ok(t, s.MoveRun(ctx, second.ID, e.Swimmer.ID))

	later := must(s.AddVisit(ctx, record.Visit{SquadID: e.Squad.ID, On: "2026-05-01"}))(t)
	zoe := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Zoë Lind"}))(t)
	ok(t, s.MoveClip(ctx, e.Clip.ID, zoe.ID, later.ID))
	for _, c := range []struct{ run, swimmer string }{{e.Run.ID, zoe.ID}, {second.ID, zoe.ID}, {other.ID, ivo.ID}} {
		if r := must(s.Run(ctx, c.run))(t); r.SwimmerID != c.swimmer {
			t.Errorf("run %s is of %s, want %s", c.run, r.SwimmerID, c.swimmer)
		}
	}
	clips := must(s.ClipsOfVisit(ctx, later.ID))(t)
	if len(clips) != 1 || clips[0].ID != e.Clip.ID || clips[0].SwimmerID != zoe.ID || len(must(s.ClipsOfVisit(ctx, e.Visit.ID))(t)) != 0 {
		t.Errorf("clips of the visit: %+v", clips)
	}

	again := must(s.ImportClip(ctx, strings.NewReader("another film"), "b.mp4", record.Clip{VisitID: later.ID, SwimmerID: ivo.ID}))(t)
	same := must(s.ImportClip(ctx, strings.NewReader("another film"), "b.mp4", record.Clip{VisitID: later.ID, SwimmerID: zoe.ID}))(t)
	if err := s.MoveClip(ctx, again.ID, zoe.ID, later.ID); !errors.Is(err, store.ErrInUse) {
		t.Errorf("twice the same film: %v", err)
	}
	ok(t, s.MoveClip(ctx, same.ID, zoe.ID, later.ID)) // onto itself
	for name, err := range map[string]error{
		"a clip that is none": s.MoveClip(ctx, "none", zoe.ID, later.ID), "to no swimmer": s.MoveClip(ctx, again.ID, "none", later.ID),
		"to no visit": s.MoveClip(ctx, again.ID, zoe.ID, "none"), "a run that is none": s.MoveRun(ctx, "none", zoe.ID), "a run to nobody": s.MoveRun(ctx, other.ID, "none"),
	} {
		if !errors.Is(err, store.ErrNotFound) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
