package storetest

import (
	"context"
	"slices"
	"testing"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/store"
)

// renewals: whatever a result stands on, changing it makes the result one to renew, until
// the run is measured with what stands then.
func renewals(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	other := must(s.AddRun(ctx, record.Run{ClipID: e.Clip.ID, SwimmerID: e.Swimmer.ID, FromFrame: 20, ToFrame: 30}))(t)
	must(s.AddStep(ctx, e.Run.ID, record.Set(record.ImportMark, "Ann", Mark(12, body.Toe, 1, 2))))(t)
	if list := must(s.Renewals(ctx))(t); len(list) != 0 {
		t.Errorf("never measured, and to be renewed: %+v", list)
	}
	must(s.AddResult(ctx, result(e.Run.ID, "first", 1.1)))(t)
	must(s.AddResult(ctx, result(other.ID, "first", 1.2)))(t)
	open2 := func() (ids []string) {
		for _, n := range must(s.Renewals(ctx))(t) {
			ids = append(ids, n.RunID)
		}
		return ids
	}
	settle := func() {
		for _, id := range []string{e.Run.ID, other.ID} {
			seq, _, err := s.InputSeq(ctx, id)
			ok(t, err)
			ok(t, s.Renewed(ctx, id, seq))
		}
		if ids := open2(); len(ids) > 0 {
			t.Fatalf("measured, and still to be renewed: %v", ids)
		}
	}
	settle()
	run, visit, swimmer := e.Run, e.Visit, e.Swimmer
	change := func(do func()) func(context.Context) error {
		return func(ctx context.Context) error { do(); return s.UpdateRun(ctx, run) }
	}
	pair := must(s.AddPair(ctx, record.Pair{RunIDs: [2]string{e.Run.ID, other.ID}, By: "Ann"}))(t)
	settle()
	both, one, none := []string{e.Run.ID, other.ID}, []string{e.Run.ID}, []string(nil)
	guess := must(s.AddJob(ctx, record.Job{Kind: "guess", Subject: e.Run.ID, Args: []byte(`{}`)}))(t)
	for _, c := range []struct {
		what string
		do   func(ctx context.Context) error
		want []string
	}{
		{"a mark", func(ctx context.Context) error {
			_, err := s.AddStep(ctx, e.Run.ID, record.Set(record.PlaceMark, "Ann", Mark(13, body.Toe, 1, 2)))
			return err
		}, one},
		{"an undo", func(ctx context.Context) error {
			_, err := s.AddStep(ctx, e.Run.ID, record.Step{Act: record.Undo, By: "Ann"})
			return err
		}, one},
		{"a mark beside another run", func(ctx context.Context) error {
			_, err := s.AddPairStep(ctx, pair.ID, 0, record.Set(record.PlaceMark, "Ann", Mark(14, body.Toe, 1, 2)))
			return err
		}, both},
		{"the same run again", change(func() {}), none},
		{"a note", change(func() { run.Notes = "another" }), none},
		{"the first frame", change(func() { run.FromFrame = 11 }), one},
		{"the last frame", change(func() { run.ToFrame = 98 }), one},
		{"effort", change(func() { run.Effort = record.Max }), one},
		{"start", change(func() { run.Start = record.Still }), one},
		{"position", change(func() { run.Position = record.Supine }), one},
		{"depth", change(func() { run.DepthM = 1.1 }), one},
		{"equipment", change(func() { run.Equipment = "fins" }), one},
		{"who marked", change(func() { run.MarkedBy = "B. Coach" }), one},
		{"surface or wall", change(func() { run.Contact = record.Surface }), one},
		{"the scale's length", change(func() { run.Scale.LengthM = 4.9 }), one},
		{"steadying", change(func() { run.Scale.Steady = true }), one},
		{"the run's true rate", change(func() { run.TrueFPS = 120 }), one},
		{"the clip's true rate", func(ctx context.Context) error { return s.SetTrueFPS(ctx, e.Clip.ID, 200, true) }, both},
		{"the visit's pool", func(ctx context.Context) error { visit.Pool = "Bay Hall"; return s.UpdateVisit(ctx, visit) }, none},
		{"the visit's day", func(ctx context.Context) error { visit.On = "2026-03-10"; return s.UpdateVisit(ctx, visit) }, both},
		{"the swimmer's notes", func(ctx context.Context) error { swimmer.Notes = "x"; return s.UpdateSwimmer(ctx, swimmer) }, none},
		{"sex", func(ctx context.Context) error { swimmer.Sex = record.Male; return s.UpdateSwimmer(ctx, swimmer) }, both},
		{"birth year", func(ctx context.Context) error { swimmer.BirthYear = 2012; return s.UpdateSwimmer(ctx, swimmer) }, both},
		{"level", func(ctx context.Context) error { swimmer.Level = record.National; return s.UpdateSwimmer(ctx, swimmer) }, both},
		{"a reference", func(ctx context.Context) error { return s.SetReference(ctx, e.Run.ID, other.ID) }, one},
		{"the reference measured again", func(ctx context.Context) error {
			_, err := s.AddResult(ctx, result(other.ID, "second", 1.3))
			return err
		}, one},
		{"no reference", func(ctx context.Context) error { return s.SetReference(ctx, e.Run.ID, "") }, one},
		{"a guess", func(ctx context.Context) error { return s.EndJob(ctx, guess.ID, record.Done, nil, "") }, one},
		{"the guess off", func(ctx context.Context) error { return s.SetSetting(ctx, "guess", "off") }, one},
		{"the guess on", func(ctx context.Context) error { return s.SetSetting(ctx, "guess", "on") }, one},
		{"a steadied camera", func(ctx context.Context) error {
			return s.KeepEstimate(ctx, record.Estimate{RunID: e.Run.ID, Method: "steady/1", InputHash: "h", Body: []byte(`{"x":1}`)})
		}, one},
		{"steadied otherwise", func(ctx context.Context) error {
			return s.KeepEstimate(ctx, record.Estimate{RunID: e.Run.ID, Method: "steady/1", InputHash: "h", Body: []byte(`{"x":2}`)})
		}, one},
		{"a worth", func(ctx context.Context) error {
			return s.KeepEstimate(ctx, record.Estimate{RunID: e.Run.ID, Method: "worth/1", InputHash: "h", Body: []byte(`{"x":2}`)})
		}, none},
		{"what the program says", func(ctx context.Context) error { return s.RenewRuns(ctx, other.ID, "nothing") }, []string{other.ID}},
		{"the error of who marked", func(ctx context.Context) error { return s.RenewMarked(ctx, "Ann") }, one},
		{"another method", func(ctx context.Context) error { return s.RenewOtherMethods(ctx, "kick 9") }, both},
		{"the same method", func(ctx context.Context) error { return s.RenewOtherMethods(ctx, "kick 1") }, none},
	} {
		ok(t, c.do(ctx))
		if got := open2(); !slices.Equal(got, c.want) {
			t.Errorf("after %s: %v are to be renewed, want %v", c.what, got, c.want)
		}
		settle()
	}
	renewedInBetween(t, s, e.Run.ID)
}

// renewedInBetween: what changes while a run is measured is still to be renewed.
func renewedInBetween(t *testing.T, s *store.Store, run string) {
	t.Helper()
	ctx := t.Context()
	ok(t, s.RenewRuns(ctx, run))
	before, renewed, err := s.InputSeq(ctx, run)
	ok(t, err)
	ok(t, s.RenewRuns(ctx, run))
	ok(t, s.Renewed(ctx, run, before))
	list := must(s.Renewals(ctx))(t)
	if renewed || len(list) != 1 || list[0].Seq != before+1 || list[0].Tried {
		t.Fatalf("changed while it was measured: %v %+v", renewed, list)
	}
	ok(t, s.NotRenewed(ctx, run, list[0].Seq))
	if list = must(s.Renewals(ctx))(t); !list[0].Tried {
		t.Errorf("tried: %+v", list)
	}
	ok(t, s.RetryRenewals(ctx))
	if list = must(s.Renewals(ctx))(t); list[0].Tried {
		t.Errorf("to be tried again: %+v", list)
	}
	if yes := must(s.Outdated(ctx, "m", "kick 1"))(t); !yes {
		t.Error("nothing is out of date")
	}
	notFound(t, func() error { _, _, err := s.InputSeq(ctx, "nothing"); return err }())
}
