package storetest

import (
	"errors"
	"os"
	"reflect"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
)

func same(t *testing.T, what string, got, want any) {
	t.Helper()
	if !reflect.DeepEqual(got, want) {
		t.Errorf("%s\n got %+v\nwant %+v", what, got, want)
	}
}

func notFound(t *testing.T, err error) {
	t.Helper()
	if !errors.Is(err, store.ErrNotFound) {
		t.Errorf("error %v, want ErrNotFound", err)
	}
}

func squads(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	b := must(s.AddSquad(ctx, record.Squad{Name: "bay", Notes: "n"}))(t)
	a := must(s.AddSquad(ctx, record.Squad{Name: "Arrows"}))(t)
	if len(a.ID) != 12 || a.ID == b.ID || !a.Created.After(Noon) {
		t.Errorf("ids %q %q, created %v", a.ID, b.ID, a.Created)
	}
	same(t, "squad", must(s.Squad(ctx, b.ID))(t), b)
	same(t, "squads by name", must(s.Squads(ctx))(t), []record.Squad{a, b})
	b.Name, b.Notes = "Bay Club", ""
	ok(t, s.UpdateSquad(ctx, b))
	same(t, "changed squad", must(s.Squad(ctx, b.ID))(t), b)
	ok(t, s.DeleteSquad(ctx, a.ID))
	_, err := s.Squad(ctx, a.ID)
	notFound(t, err)
	notFound(t, s.DeleteSquad(ctx, a.ID))
	notFound(t, s.UpdateSquad(ctx, a))

	must(s.AddSwimmer(ctx, record.Swimmer{SquadID: b.ID, Name: "Ada"}))(t)
	if err := s.DeleteSquad(ctx, b.ID); !errors.Is(err, store.ErrInUse) || !strings.Contains(err.Error(), "1 swimmers") {
		t.Errorf("deleting a squad with a swimmer: %v", err)
	}
}

func swimmers(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	same(t, "swimmer", must(s.Swimmer(ctx, e.Swimmer.ID))(t), e.Swimmer)
	bo := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "bo"}))(t)
	same(t, "swimmers by name", must(s.Swimmers(ctx, e.Squad.ID))(t), []record.Swimmer{bo, e.Swimmer})

	other := must(s.AddSquad(ctx, record.Squad{Name: "Seniors"}))(t)
	bo.SquadID, bo.HeightM, bo.Sex, bo.Habit = other.ID, 1.8, record.Male, record.Supine
	ok(t, s.UpdateSwimmer(ctx, bo))
	same(t, "moved swimmer", must(s.Swimmers(ctx, other.ID))(t), []record.Swimmer{bo})
	if list := must(s.Swimmers(ctx, "nothing"))(t); len(list) != 0 {
		t.Errorf("swimmers of no squad: %v", list)
	}
	_, err := s.AddSwimmer(ctx, record.Swimmer{SquadID: "nothing", Name: "x"})
	notFound(t, err)
	notFound(t, s.DeleteSwimmer(ctx, "nothing"))
}

func alike(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{}), t.Context()
	e := Fill(t, s)
	twin := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Mira Holm"}))(t)
	near := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "holm, MÍRA"}))(t)
	must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Jonas Reed"}))(t)
	var ids []string
	for _, w := range must(s.AlikeSwimmers(ctx, e.Squad.ID, "Mira Holm", e.Swimmer.ID))(t) {
		ids = append(ids, w.ID)
	}
	same(t, "alike", ids, []string{near.ID, twin.ID})
}

// deleteSwimmer: all that is the swimmer's goes, what others need stays.
func deleteSwimmer(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{}), t.Context()
	e := Fill(t, s)
	friend := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Jonas Reed"}))(t)
	bring := func(text string, w record.Swimmer) record.Clip {
		return must(s.ImportClip(ctx, strings.NewReader(text), "a.mov", record.Clip{VisitID: e.Visit.ID, SwimmerID: w.ID, Facts: Facts()}))(t)
	}
	run := func(c record.Clip, w record.Swimmer) record.Run {
		return must(s.AddRun(ctx, record.Run{ClipID: c.ID, SwimmerID: w.ID, ToFrame: 50}))(t)
	}
	shared := bring("both swim here", e.Swimmer)
	friends := run(shared, friend)
	run(shared, e.Swimmer)
	twin, own := bring("brought in twice", e.Swimmer), bring("brought in twice", friend)
	moved := run(twin, friend)

	ok(t, s.DeleteSwimmer(ctx, e.Swimmer.ID))

	for _, err := range []error{
		second(s.Swimmer(ctx, e.Swimmer.ID)), second(s.Clip(ctx, e.Clip.ID)), second(s.Run(ctx, e.Run.ID)), second(s.Clip(ctx, twin.ID)),
	} {
		notFound(t, err)
	}
	if _, err := os.Stat(s.ClipPath(e.Clip)); !os.IsNotExist(err) {
		t.Errorf("the film is still there: %v", err)
	}
	if got := must(s.Clip(ctx, shared.ID))(t); got.SwimmerID != friend.ID {
		t.Errorf("the shared clip went to %q", got.SwimmerID)
	}
	same(t, "friend's run", must(s.Run(ctx, friends.ID))(t), friends)
	if got := must(s.Run(ctx, moved.ID))(t); got.ClipID != own.ID {
		t.Errorf("the run in the doubled clip went to clip %q, want %q", got.ClipID, own.ID)
	}
	for _, c := range []record.Clip{shared, own} {
		if _, err := os.Stat(s.ClipPath(c)); err != nil {
			t.Error(err)
		}
	}
}

func second[T any](_ T, err error) error { return err }

func visits(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	same(t, "visit", must(s.Visit(ctx, e.Visit.ID))(t), e.Visit)
	early := must(s.AddVisit(ctx, record.Visit{SquadID: e.Squad.ID, On: "2025-11-02"}))(t)
	same(t, "newest first", must(s.Visits(ctx, e.Squad.ID))(t), []record.Visit{e.Visit, early})
	early.On, early.Pool = "2026-04-01", "Sea Pool"
	ok(t, s.UpdateVisit(ctx, early))
	same(t, "changed", must(s.Visits(ctx, e.Squad.ID))(t), []record.Visit{early, e.Visit})
	ok(t, s.DeleteVisit(ctx, early.ID))
	notFound(t, s.DeleteVisit(ctx, early.ID))
	if err := s.DeleteVisit(ctx, e.Visit.ID); !errors.Is(err, store.ErrInUse) {
		t.Errorf("deleting a visit with a clip: %v", err)
	}
}
