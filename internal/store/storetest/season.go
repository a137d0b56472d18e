package storetest

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
)

// season: what lists say of a swimmer stands until something it stands on changes,
// and whatever changes it takes it away.
func season(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	other := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Ada Quist"}))(t)
	body := result(e.Run.ID, "first", 1.1)
	body.Body = json.RawMessage(`{"summary":{"speed":{"value":1.1}},"kicks":[{"number":1}]}`)
	must(s.AddResult(ctx, body))(t)
	second := result(e.Run.ID, "second", 1.4)
	second.Body = json.RawMessage(`{"summary":{"speed":{"value":1.4}},"kicks":[{"number":1}]}`)
	must(s.AddResult(ctx, second))(t)

	briefs := must(s.Briefs(ctx, e.Swimmer.ID))(t)
	if len(briefs) != 1 || string(briefs[0].Body) != `{"summary":{"speed":{"value":1.4}}}` || briefs[0].Run.ID != e.Run.ID || briefs[0].Visit.ID != e.Visit.ID {
		t.Fatalf("briefs %+v", briefs)
	}
	if known := must(s.Briefs(ctx, e.Swimmer.ID, briefs[0].ResultID, "another"))(t); len(known) != 1 || known[0].Body != nil || known[0].Sentence != briefs[0].Sentence {
		t.Errorf("a body that is known is read again: %+v", known)
	}
	same(t, "last visit", must(s.LastVisit(ctx, e.Swimmer.ID))(t), e.Visit.On)
	same(t, "never filmed", must(s.LastVisit(ctx, other.ID))(t), record.Date(""))

	keep := func() {
		for _, id := range []string{e.Swimmer.ID, other.ID} {
			ok(t, s.KeepSeason(ctx, id, "m", json.RawMessage(`{"of":"`+id+`"}`), json.RawMessage(`{"speed":1}`)))
		}
	}
	stands := func(of string) bool {
		ids, made, err := s.SeasonStands(ctx, e.Squad.ID, "m")
		ok(t, err)
		lines := must(s.SeasonLines(ctx, e.Squad.ID, "m"))(t)
		at := slices.Index(ids, of)
		if at < 0 || len(lines) != len(ids) || len(made) != len(ids) || lines[at].SwimmerID != of {
			t.Fatalf("swimmer %s is not listed: %v, %+v", of, ids, lines)
		}
		same(t, "a line that stands", string(lines[at].Line) == `{"of":"`+of+`"}` && string(lines[at].Scatter) == `{"speed":1}`, made[at])
		return made[at]
	}
	keep()
	if !stands(e.Swimmer.ID) || !stands(other.ID) {
		t.Error("what was kept is not there")
	}
	if lines := must(s.SeasonLines(ctx, e.Squad.ID, "n"))(t); lines[0].Line != nil || lines[0].Scatter != nil {
		t.Error("a line made by another method is taken")
	}
	if ids, made, err := s.SeasonStands(ctx, e.Squad.ID, "n"); err != nil || len(ids) != 2 || made[0] || made[1] {
		t.Errorf("by another method: %v %v %v", ids, made, err)
	}
	notFound(t, s.KeepSeason(ctx, "nobody", "m", json.RawMessage(`{}`), json.RawMessage(`{}`)))

	visit := e.Visit
	visit.On = "2026-03-10"
	run := e.Run
	run.Equipment = "fins"
	ended := run
	ended.SwimmerID = other.ID
	for _, c := range []struct {
		what string
		do   func(ctx context.Context) error
		both bool // the other swimmer's line goes too
	}{
		{"a result", func(ctx context.Context) error {
			_, err := s.AddResult(ctx, result(e.Run.ID, "third", 1.5))
			return err
		}, false},
		{"conditions", func(ctx context.Context) error { return s.UpdateRun(ctx, run) }, false},
		{"the visit's day", func(ctx context.Context) error { return s.UpdateVisit(ctx, visit) }, false},
		{"a run", func(ctx context.Context) error {
			_, err := s.AddRun(ctx, record.Run{ClipID: e.Clip.ID, SwimmerID: e.Swimmer.ID, FromFrame: 20, ToFrame: 30})
			return err
		}, false},
		{"a clip", func(ctx context.Context) error {
			_, err := s.ImportClip(ctx, strings.NewReader("more"), "m.mp4", record.Clip{VisitID: e.Visit.ID, SwimmerID: e.Swimmer.ID})
			return err
		}, false},
		{"a run given to another", func(ctx context.Context) error { return s.UpdateRun(ctx, ended) }, true},
		{"a deleted clip", func(ctx context.Context) error { return s.DeleteClip(ctx, e.Clip.ID) }, true},
	} {
		keep()
		ok(t, c.do(ctx))
		if stands(e.Swimmer.ID) || stands(other.ID) == c.both {
			t.Errorf("after %s: own line stands %v, the other's %v", c.what, stands(e.Swimmer.ID), stands(other.ID))
		}
	}
}
