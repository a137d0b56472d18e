package storetest

import (
	"errors"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
)

func estimates(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	_, err := s.Estimate(ctx, e.Run.ID, "worth 1", "a")
	notFound(t, err)
	keep := func(runID, hash, body string) error {
		return s.KeepEstimate(ctx, record.Estimate{RunID: runID, Method: "worth 1", InputHash: hash, Body: []byte(body)})
	}
	for _, body := range []string{`{"n":1}`, `{"n":2}`} {
		if err := keep(e.Run.ID, "a", body); err != nil {
			t.Fatal(err)
		}
		if got, err := s.Estimate(ctx, e.Run.ID, "worth 1", "a"); err != nil || string(got.Body) != body || got.RunID != e.Run.ID {
			t.Errorf("kept %+v %v, want %s", got, err, body)
		}
	}
	notFound(t, keep("nothing", "a", `{}`))
	var faults record.Faults
	if err := keep(e.Run.ID, "b", `{`); !errors.As(err, &faults) || faults.For("body") == "" {
		t.Errorf("a body that is no JSON: %v", err)
	}
	if err := s.DeleteRun(ctx, e.Run.ID); err != nil {
		t.Fatal(err)
	}
	_, err = s.Estimate(ctx, e.Run.ID, "worth 1", "a")
	notFound(t, err)
}

func reference(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	other := e.Run
	other.FromFrame, other.Contact = 20, record.Surface
	other = must(s.AddRun(ctx, other))(t)
	if got := must(s.Run(ctx, other.ID))(t); got.Contact != record.Surface {
		t.Errorf("contact %q", got.Contact)
	}
	check := func(want string) {
		t.Helper()
		if got, err := s.Reference(ctx, e.Run.ID); err != nil || got != want {
			t.Errorf("reference %q %v, want %q", got, err, want)
		}
	}
	check("")
	for _, id := range []string{other.ID, other.ID, "", other.ID} {
		if err := s.SetReference(ctx, e.Run.ID, id); err != nil {
			t.Fatal(err)
		}
		check(id)
	}
	var faults record.Faults
	if err := s.SetReference(ctx, e.Run.ID, e.Run.ID); !errors.As(err, &faults) {
		t.Errorf("a run against itself: %v", err)
	}
	stranger := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Ole Bay"}))(t)
	foreign := e.Run
	foreign.SwimmerID = stranger.ID
	foreign = must(s.AddRun(ctx, foreign))(t)
	if err := s.SetReference(ctx, e.Run.ID, foreign.ID); !errors.As(err, &faults) {
		t.Errorf("another swimmer's run: %v", err)
	}
	notFound(t, s.SetReference(ctx, e.Run.ID, "nothing"))
	check(other.ID)
	if err := s.DeleteRun(ctx, other.ID); err != nil {
		t.Fatal(err)
	}
	check("") // gone with the run that was named
}
