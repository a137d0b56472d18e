package poolside

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"underkick/internal/record"
)

// TestClipsArePutRight moves clips between swimmers, days and squads, and a visit onto another:
// trends follow, a visit that nobody needs goes, one with notes stays, and what was moved
// outlives the erasing of the swimmer it was first noted down for.
func TestClipsArePutRight(t *testing.T) {
	ctx, app := t.Context(), openApp(t)
	squad := newSquad(t, app)
	ada := swims(t, app, record.Swimmer{SquadID: squad, Name: "Ada Quist"}, swimSpec{on: "2026-03-01", speed: 1.2}, swimSpec{on: "2026-05-01", speed: 1.3})
	other, err := app.AddSquad(ctx, record.Squad{Name: "Far Lane"})
	if err != nil {
		t.Fatal(err)
	}
	zoe := swims(t, app, record.Swimmer{SquadID: other, Name: "Zoë Lind"})
	days := func(w record.Swimmer) (list []record.Date) {
		t.Helper()
		view, err := app.Trends(ctx, w.ID)
		if err != nil {
			t.Fatal(err)
		}
		if len(view.Lead) > 0 {
			for _, s := range view.Lead[0].Stops {
				list = append(list, s.On)
			}
		}
		return list
	}
	filmed, err := app.store.Filmed(ctx, ada.ID)
	if err != nil {
		t.Fatal(err)
	}
	march := filmed[1].Clips[0].Clip
	visits := func(squad string) int {
		t.Helper()
		list, err := app.store.Visits(ctx, squad)
		if err != nil {
			t.Fatal(err)
		}
		return len(list)
	}

	if err := app.MoveClip(ctx, march.ID, zoe.ID, "2026-03-02", " Far Baths "); err != nil {
		t.Fatal(err)
	}
	if a, z := days(ada), days(zoe); !slices.Equal(a, []record.Date{"2026-05-01"}) || !slices.Equal(z, []record.Date{"2026-03-02"}) {
		t.Errorf("days %v and %v", a, z)
	}
	if a, z := visits(squad), visits(other); a != 1 || z != 1 {
		t.Errorf("%d and %d visits: the old one is not needed any more", a, z)
	}
	view, err := app.PutRight(ctx, march.ID)
	if err != nil || view.Owner.ID != zoe.ID || view.Visit.Pool != "Far Baths" || view.Of != 1 || len(view.Runs) != 1 || view.Runs[0].Swimmer != "Zoë Lind" || len(view.Squads) != 2 {
		t.Errorf("%+v, %v", view, err)
	}

	// The whole visit gets a note, then the day of another visit, which takes note and clip over.
	v := view.Visit
	v.Notes = "cold water"
	if err := app.UpdateVisit(ctx, v); err != nil {
		t.Fatal(err)
	}
	june, err := app.store.AddVisit(ctx, record.Visit{SquadID: other, On: "2026-06-01", Pool: "far baths", Notes: "windy"})
	if err != nil {
		t.Fatal(err)
	}
	v.On = "2026-06-01"
	if err := app.UpdateVisit(ctx, v); err != nil {
		t.Fatal(err)
	}
	if got, err := app.store.Visit(ctx, june.ID); err != nil || got.Notes != "windy\ncold water" || visits(other) != 1 || !slices.Equal(days(zoe), []record.Date{"2026-06-01"}) {
		t.Errorf("joined %+v, %v, %v", got, days(zoe), err)
	}

	// While names are hidden, notes come back from the form as they were shown.
	v = record.Visit{ID: june.ID, On: "2026-06-01", Notes: "Zoë was cold"}
	if err := app.UpdateVisit(ctx, v); err != nil {
		t.Fatal(err)
	}
	if err := app.SetPseudonyms(ctx, true); err != nil {
		t.Fatal(err)
	}
	hidden, disguise, err := app.Hiding(ctx)
	if err != nil {
		t.Fatal(err)
	}
	v.Pool, v.Notes = "Far Baths", disguise.Text(v.Notes, nil)
	if err := errors.Join(app.UpdateVisit(hidden, v), app.SetPseudonyms(ctx, false)); err != nil {
		t.Fatal(err)
	}
	if got, err := app.store.Visit(ctx, june.ID); err != nil || got.Notes != "Zoë was cold" || got.Pool != "Far Baths" || strings.Contains(v.Notes, "Zoë") {
		t.Errorf("the form said %q, kept is %+v, %v", v.Notes, got, err)
	}

	// Back to the squad; the visit with notes stays although it is empty.
	if err := app.MoveClip(ctx, march.ID, ada.ID, "2026-05-01", ""); err != nil {
		t.Fatal(err)
	}
	if visits(other) != 1 || visits(squad) != 1 {
		t.Errorf("%d and %d visits", visits(squad), visits(other))
	}
	run := view.Runs[0].ID
	if err := app.MoveRun(ctx, run, zoe.ID); err != nil || !slices.Equal(days(zoe), []record.Date{"2026-05-01"}) {
		t.Errorf("a run of two in a clip: %v, %v", days(zoe), err)
	}
	if err := app.MoveClip(ctx, march.ID, zoe.ID, "2026-05-01", ""); err != nil {
		t.Fatal(err)
	}
	if err := app.SetAside(ctx, run, " hit the lane rope "); err != nil || len(days(zoe)) != 0 {
		t.Errorf("a run that is set aside counts: %v, %v", days(zoe), err)
	}
	if w, err := app.Swimmer(ctx, zoe.ID); err != nil || w.Sentence != "" || w.LastRun != "" || w.Visits[0].Clips[0].Runs[0].Run.Aside != "hit the lane rope" {
		t.Errorf("the swimmer with a run set aside: %+v, %v", w.Visits, err)
	}
	if list, err := app.SquadList(ctx, SquadQuery{Name: "Zoë"}); err != nil || list.Squads[0].Rows[0].Measured != 0 {
		t.Errorf("the squad counts it: %+v, %v", list.Squads, err)
	}
	if err := app.SetAside(ctx, run, ""); err != nil {
		t.Fatal(err)
	}
	if err := app.store.DeleteSwimmer(ctx, ada.ID); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(days(zoe), []record.Date{"2026-05-01"}) {
		t.Errorf("after erasing the first one: %v", days(zoe))
	}

	var f record.Faults
	for name, err := range map[string]error{
		"swimmer": app.MoveClip(ctx, march.ID, "nobody", "2026-05-01", ""),
		"on":      app.MoveClip(ctx, march.ID, zoe.ID, "soon", ""),
	} {
		if !errors.As(err, &f) || f.For(name) == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := app.MoveRun(ctx, "none", zoe.ID); !errors.Is(err, ErrNotFound) {
		t.Errorf("a run that is none: %v", err)
	}
	if err := app.MoveRun(ctx, run, "nobody"); !errors.As(err, &f) {
		t.Errorf("a run to nobody: %v", err)
	}
}
