package storetest

import (
	"errors"
	"os"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/wall"
)

// Consent gives a swimmer one consent of a parent and one more height.
func Consent(t *testing.T, s *store.Store, swimmerID string) record.Consent {
	t.Helper()
	c := must(s.AddConsent(t.Context(), record.Consent{
		SwimmerID: swimmerID, GivenBy: "Ada Holm", As: record.ByParent, On: "2026-03-01", Until: "2027-02-28",
		For: []record.Purpose{record.ForSquad, record.ForFilming}, Notes: "on paper",
	}))(t)
	ok(t, s.KeepGrowth(t.Context(), record.Growth{SwimmerID: swimmerID, On: "2025-03-01", HeightM: 1.55}))
	return c
}

func consents(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	c := Consent(t, s, e.Swimmer.ID)
	if len(c.ID) != 12 || !c.Created.After(Noon) || c.For[0] != record.ForFilming {
		t.Errorf("kept %+v", c)
	}
	later := must(s.AddConsent(ctx, record.Consent{SwimmerID: e.Swimmer.ID, GivenBy: "Ada Holm", As: record.ByParent, On: "2026-03-05", For: []record.Purpose{record.ForOutside}}))(t)
	same(t, "newest first", must(s.Consents(ctx, e.Swimmer.ID))(t), []record.Consent{later, c})
	same(t, "of all", must(s.ConsentsOfAll(ctx))(t), map[string][]record.Consent{e.Swimmer.ID: {later, c}})

	var faults record.Faults
	for name, err := range map[string]error{
		"for nothing":     second(s.AddConsent(ctx, record.Consent{SwimmerID: e.Swimmer.ID, GivenBy: "x", As: record.ByParent, On: "2026-03-05"})),
		"on no day":       second(s.WithdrawConsent(ctx, c.ID, "")),
		"before its time": second(s.WithdrawConsent(ctx, c.ID, "2026-02-27")),
	} {
		if !errors.As(err, &faults) {
			t.Errorf("%s: %v", name, err)
		}
	}
	c.Withdrawn = "2026-04-01"
	same(t, "withdrawn", must(s.WithdrawConsent(ctx, c.ID, "2026-04-01"))(t), c)
	same(t, "withdrawn, read back", must(s.Consents(ctx, e.Swimmer.ID))(t), []record.Consent{later, c})
	if _, err := s.WithdrawConsent(ctx, c.ID, "2026-05-01"); !errors.Is(err, store.ErrNothing) {
		t.Errorf("withdrawn twice: %v", err)
	}
	notFound(t, second(s.WithdrawConsent(ctx, "x", "2026-05-01")))
	notFound(t, second(s.AddConsent(ctx, record.Consent{SwimmerID: "x", GivenBy: "x", As: record.ByParent, On: "2026-03-05", For: []record.Purpose{record.ForFilming}})))

	ok(t, s.DeleteSwimmer(ctx, e.Swimmer.ID))
	same(t, "gone with the swimmer", must(s.ConsentsOfAll(ctx))(t), map[string][]record.Consent{})
}

func growth(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	w := e.Swimmer
	type entry struct {
		on           record.Date
		height, mass float64
	}
	check := func(what string, want ...entry) {
		t.Helper()
		var got []entry
		for _, g := range must(s.Growth(ctx, w.ID))(t) {
			got = append(got, entry{g.On, g.HeightM, g.MassKg})
		}
		same(t, what, got, want)
	}
	check("of a new swimmer", entry{"2026-03-01", 1.63, 0}, entry{"2026-03-02", 0, 52.5})
	ok(t, s.KeepGrowth(ctx, record.Growth{SwimmerID: w.ID, On: "2026-09-01", HeightM: 1.66, MassKg: 55}))
	ok(t, s.KeepGrowth(ctx, record.Growth{SwimmerID: w.ID, On: "2026-03-01", MassKg: 52}))
	ok(t, s.KeepGrowth(ctx, record.Growth{SwimmerID: w.ID, On: "2025-03-01", HeightM: 1.55}))
	check("more", entry{"2025-03-01", 1.55, 0}, entry{"2026-03-01", 1.63, 52}, entry{"2026-03-02", 0, 52.5}, entry{"2026-09-01", 1.66, 55})
	w.HeightM, w.HeightOn, w.MassKg, w.MassOn = 1.66, "2026-09-01", 55, "2026-09-01"
	same(t, "the newest stand in the record", must(s.Swimmer(ctx, w.ID))(t), w)

	w.HeightM, w.HeightOn = 1.67, "2026-10-01"
	ok(t, s.UpdateSwimmer(ctx, w))
	same(t, "a height in the record", must(s.Swimmer(ctx, w.ID))(t), w)
	w.Notes, w.HeightM, w.HeightOn, w.MassKg = "new", 1.63, "2026-03-01", 0 // as of an older visit
	ok(t, s.UpdateSwimmer(ctx, w))
	w.HeightM, w.HeightOn, w.MassKg = 1.67, "2026-10-01", 55
	same(t, "an older height takes nothing away", must(s.Swimmer(ctx, w.ID))(t), w)

	ok(t, s.RemoveGrowth(ctx, w.ID, "2026-10-01"))
	notFound(t, s.RemoveGrowth(ctx, w.ID, "2026-10-01"))
	w.HeightM, w.HeightOn = 1.66, "2026-09-01"
	same(t, "a wrong one taken away", must(s.Swimmer(ctx, w.ID))(t), w)

	visit := must(s.AddVisit(ctx, record.Visit{SquadID: e.Squad.ID, On: "2025-04-01"}))(t)
	clip := must(s.ImportClip(ctx, strings.NewReader("earlier"), "b.mp4", record.Clip{VisitID: visit.ID, SwimmerID: w.ID, Facts: Facts()}))(t)
	run := must(s.AddRun(ctx, record.Run{ClipID: clip.ID, SwimmerID: w.ID, ToFrame: 50}))(t)
	at := must(s.RunWhole(ctx, run.ID))(t).Swimmer
	if at.HeightM != 1.55 || at.HeightOn != "2025-03-01" || at.MassKg != 52 || at.MassOn != "2026-03-01" {
		t.Errorf("a run of April 2025 is swum at %.2f m of %s, %.0f kg of %s", at.HeightM, at.HeightOn, at.MassKg, at.MassOn)
	}
	if at := must(s.RunWhole(ctx, e.Run.ID))(t).Swimmer; at.HeightM != 1.63 || at.MassOn != "2026-03-02" {
		t.Errorf("a run of March 2026 is swum at %+v", at)
	}
	var faults record.Faults
	if err := s.KeepGrowth(ctx, record.Growth{SwimmerID: w.ID, On: "2026-09-01"}); !errors.As(err, &faults) {
		t.Errorf("nothing measured: %v", err)
	}
	notFound(t, s.KeepGrowth(ctx, record.Growth{SwimmerID: "x", HeightM: 1.6}))
	ok(t, s.DeleteSwimmer(ctx, w.ID))
	if left := must(s.Growth(ctx, w.ID))(t); len(left) > 0 {
		t.Errorf("left of a deleted swimmer: %v", left)
	}
}

func strokes(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	w := e.Swimmer
	w.Strokes = []wall.Stroke{wall.Backstroke, wall.Butterfly}
	ok(t, s.UpdateSwimmer(ctx, w))
	same(t, "strokes", must(s.Swimmer(ctx, w.ID))(t), w)
	twin := w
	twin.Name = "Jonas Reed"
	twin = must(s.AddSwimmer(ctx, twin))(t)
	same(t, "strokes of a new one", must(s.Swimmer(ctx, twin.ID))(t), twin)

	q := e.Squad
	q.FilmMonths = 18
	ok(t, s.UpdateSquad(ctx, q))
	same(t, "film rule", must(s.Squad(ctx, q.ID))(t), q)
	q.FilmMonths = 241
	var faults record.Faults
	if err := s.UpdateSquad(ctx, q); !errors.As(err, &faults) || faults.For("film_months") == "" {
		t.Errorf("20 years: %v", err)
	}
}

// filmGone: the film goes, its records stay, and it can be brought in again.
func filmGone(t *testing.T, open Open) {
	s, ctx := open(t, store.Options{Now: Clock()}), t.Context()
	e := Fill(t, s)
	friend := must(s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Jonas Reed"}))(t)
	twin := must(s.ImportClip(ctx, strings.NewReader("film of Mira"), "b.mp4", record.Clip{VisitID: e.Visit.ID, SwimmerID: friend.ID}))(t)
	there := func() bool { _, err := os.Stat(s.ClipPath(e.Clip)); return err == nil }

	last, err := s.EraseFilm(ctx, e.Clip.ID)
	if ok(t, err); last || !there() {
		t.Errorf("the film of a clip that another needs: last %v, there %v", last, there())
	}
	if last, err = s.EraseFilm(ctx, twin.ID); err != nil || !last || there() {
		t.Errorf("the film of the last clip: last %v, there %v, %v", last, there(), err)
	}
	gone := must(s.Clip(ctx, e.Clip.ID))(t)
	if gone.FilmGone.IsZero() || gone.Hash != e.Clip.Hash || gone.Name == e.Clip.Name {
		t.Errorf("the clip without film: %+v", gone)
	}
	same(t, "run", must(s.Run(ctx, e.Run.ID))(t), e.Run)
	if _, err := s.EraseFilm(ctx, e.Clip.ID); !errors.Is(err, store.ErrNothing) {
		t.Errorf("erased twice: %v", err)
	}
	notFound(t, second(s.EraseFilm(ctx, "x")))

	again := must(s.ImportClip(ctx, strings.NewReader("film of Mira"), "c.mp4", record.Clip{VisitID: e.Visit.ID, SwimmerID: e.Swimmer.ID}))(t)
	if again.ID != e.Clip.ID || !again.FilmGone.IsZero() || !there() {
		t.Errorf("brought in again: %+v, there %v", again, there())
	}
}
