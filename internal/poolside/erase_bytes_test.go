package poolside

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store/storetest"
)

// TestErasingASharedFilm: a film in which another swims stays, under a name that says
// nothing, and the page says so before and after.
func TestErasingASharedFilm(t *testing.T) {
	app := openApp(t)
	mira, jonas := livingSquad(t, app)
	w := jonas.Swimmer
	w.Notes = "swims beside MIRAQUILL holm"
	if err := app.store.UpdateSwimmer(t.Context(), w); err != nil {
		t.Fatal(err)
	}
	view, err := app.WhatGoes(t.Context(), mira.Swimmer.ID)
	if len(view.Mentions) != 1 || view.Mentions[0].ID != jonas.Swimmer.ID {
		t.Errorf("mentions %+v", view.Mentions)
	}
	if err != nil || len(view.Shared) != 2 || view.Clips != 1 || view.Runs != 5 {
		t.Fatalf("%+v, %v", view, err)
	}
	out, err := app.EraseSwimmer(t.Context(), EraseRequest{SwimmerID: mira.Swimmer.ID})
	if err != nil || len(out.Shared) != 2 || out.Shared[0].With[0] != "Jonasquill Holm" {
		t.Fatalf("%+v, %v", out, err)
	}
	var may []string // the film, its hash, clip and visit are the mate's now
	for _, w := range mira.Words {
		if w != mira.Clips[0].ID && w != mira.Clips[0].Hash && w != mira.Visits[0].ID && w != mira.Words[0] {
			may = append(may, w)
		}
	}
	if found := storetest.Holding(t, app.DataDir(), may...); len(found) > 0 {
		t.Errorf("still there: %s", strings.Join(found, "; "))
	}
	for _, s := range out.Shared {
		c, err := app.store.Clip(t.Context(), s.ClipID)
		if err != nil || c.SwimmerID != jonas.Swimmer.ID || c.Name != s.Name || strings.Contains(c.Name, "Mira") {
			t.Errorf("the clip that stays: %+v, %v", c, err)
		}
	}
}

// TestErasingAsksForTheName: another text erases nobody; the work can be followed to its end.
func TestErasingAsksForTheName(t *testing.T) {
	app := openApp(t)
	mira, jonas := livingSquad(t, app)
	ctx := t.Context()
	req := EraseRequest{SwimmerID: mira.Swimmer.ID}
	for _, typed := range []string{"", "Miraquill", "miraquill holm", jonas.Swimmer.Name} {
		if err := app.StartErasing(ctx, req, typed); err == nil || app.Erasing().State != "" {
			t.Errorf("%q erases: %v", typed, err)
		}
	}
	if err := app.StartErasing(ctx, req, " Miraquill  Holm\n"); err != nil {
		t.Fatal(err)
	}
	app.erasing.work.Wait()
	if v := app.Erasing(); v.State != "done" || len(v.Made.Shared) != 2 {
		t.Errorf("%+v", v)
	}
	if _, err := app.store.Swimmer(ctx, mira.Swimmer.ID); err == nil {
		t.Error("the swimmer is still there")
	}
}

// TestCopiesMadeBeforeUpgrades: those that hold the swimmer go or are named; those that do
// not stay.
func TestCopiesMadeBeforeUpgrades(t *testing.T) {
	for _, keep := range []bool{false, true} {
		app := openApp(t)
		squad, err := app.store.AddSquad(t.Context(), record.Squad{Name: "Q"})
		if err != nil {
			t.Fatal(err)
		}
		copyTo := func(name string) {
			t.Helper()
			path := filepath.Join(app.DataDir(), "backups", name)
			writeFileAt(t, path, "")
			if err := os.Remove(path); err != nil {
				t.Fatal(err)
			}
			if err := app.store.CopyDatabase(t.Context(), path); err != nil {
				t.Fatal(err)
			}
		}
		copyTo("underkick-schema5-a.db")
		l := storetest.Live(t, app.store.Store, squad, "Quillxq")
		copyTo("underkick-schema6-b.db")
		out, err := app.EraseSwimmer(t.Context(), EraseRequest{SwimmerID: l.Swimmer.ID, KeepCopies: keep})
		if err != nil {
			t.Fatal(err)
		}
		left, err := app.store.Copies(t.Context(), l.Swimmer.ID)
		if err != nil {
			t.Fatal(err)
		}
		want := []string{"underkick-schema5-a.db false"}
		if keep {
			want = append(want, "underkick-schema6-b.db true")
		}
		var got []string
		for _, c := range left {
			got = append(got, fmt.Sprint(c.Name, " ", c.Holds))
		}
		if fmt.Sprint(got) != fmt.Sprint(want) || len(out.Copies) != len(want)-1 {
			t.Errorf("kept %v: left %v, said %+v", keep, got, out.Copies)
		}
	}
}
