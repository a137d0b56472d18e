package poolside

import (
	"context"
	"errors"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
)

func TestNamesInTextsAreHidden(t *testing.T) {
	d := newDisguise([]store.Numbered{
		{ID: "a", Name: "Mira Tallow", Pseudonym: "Otter", Number: 1},
		{ID: "b", Name: "Mark O'Dey", Number: 2},
		{ID: "c", Name: "Åsa Öhrn", Number: 7},
		{ID: "d", Name: "Li", Number: 8},
		{ID: "e", Name: "Nilo Marsh", Number: 9},
	})
	d.leave([]string{"Marsh End Lido"})
	spare := map[string]bool{"mark": true}
	for text, want := range map[string]string{
		"Kicks of Mira Tallow":                            "Kicks of Otter",
		"mira tallow, MIRA_TALLOW.mp4":                    "Otter, Otter.mp4",
		"Tallow, Mira":                                    "Otter",
		"Mira\u00a0Tallow's left foot":                    "Otter's left foot",
		"See Mira.":                                       "See Otter.",
		"Miranda, amira, mira was late":                   "Miranda, amira, Otter was late",
		"Mark a run of Mark O&#39;Dey":                    "Mark a run of Swimmer 2",
		`{"name":"Mark O\u0027Dey"}`:                      `{"name":"Swimmer 2"}`,
		`{"name":"Mira\nTallow\nilo"}`:                    `{"name":"Otter\nOtterSwimmer 9"}`,
		`{"file":"C:\\clips\\nilo.mp4"}`:                  `{"file":"C:\\clips\\Swimmer 9.mp4"}`,
		`C:\clips\nilo.mp4`:                               `C:\clipsSwimmer 9.mp4`,
		`{"name":"\u00c5sa"}`:                             `{"name":"Swimmer 7"}`,
		"/?name=%C3%85sa+%C3%96hrn&x=1":                   "/?name=Swimmer 7&x=1",
		"/?name=Mira%20Tallow":                            "/?name=Otter",
		"Asa Ohrn, aasa, OEHRN":                           "Swimmer 7, Swimmer 7",
		"A\u030asa O\u0308hrn":                            "Swimmer 7",
		"MiraTallow2.mp4, tallow_mira":                    "Otter2.mp4, Otter",
		"Mira2 of 2026mira, k2mira9x":                     "Otter2 of 2026Otter, k2mira9x",
		"data:image/jpeg;base64,ab/mira+MIRA/x== by Mira": "data:image/jpeg;base64,ab/mira+MIRA/x== by Otter",
		"95 %mira, 5 %20 off":                             "95 %Otter, 5 %20 off",
		"ask O’Dey":                                       "ask Swimmer 2",
		"Åsa Öhrn, åsa öhrn":                              "Swimmer 7, Swimmer 7",
		"Living on, says Li":                              "Living on, says Swimmer 8",
		"Nilo at the Marsh End Lido":                      "Swimmer 9 at the Marsh End Lido",
		"Nilo Marsh at the Marsh End Lido":                "Swimmer 9 at the Marsh End Lido",
		"ask Marsh at marsh-end-lido":                     "ask Swimmer 9 at marsh-end-lido",
		"nothing here":                                    "nothing here",
		"":                                                "",
	} {
		if got := d.Text(text, spare); got != want {
			t.Errorf("%q is shown as %q, want %q", text, got, want)
		}
	}
	two := newDisguise([]store.Numbered{
		{ID: "a", Name: "Mira Tallow", Pseudonym: `<b>"Otter", 'x'\</b>`, Number: 1},
		{ID: "b", Name: "Mira Reed", Pseudonym: "Miss Reed", Number: 2},
		{ID: "c", Name: "Jürgen Muell", Pseudonym: "<>", Number: 3},
	})
	for text, want := range map[string]string{
		"Mira and Mira Reed":          "a swimmer and Swimmer 2",
		`<p title="Mira Tallow">`:     `<p title="bOtter x/b">`,
		"juergen, Jurgen and Mull":    "a swimmer, a swimmer and a swimmer",
		"JU\u0308RGEN MUELL in Bay 3": "a swimmer in Bay 3",
	} {
		if got := two.Text(text, nil); got != want {
			t.Errorf("%q is shown as %q, want %q", text, got, want)
		}
	}
	if got := newDisguise(nil).Text("Mira", nil); got != "Mira" {
		t.Errorf("without swimmers: %q", got)
	}
	if d.shown("a") != "Otter" || d.shown("c") != "Swimmer 7" || strings.Contains(d.shown("x"), "x") {
		t.Error("shown names")
	}
}

// While names are hidden no use case tells one, and none writes what it does not know.
func TestUseCasesKnowNoNameWhileHidden(t *testing.T) {
	a, ctx := openApp(t), t.Context()
	squad, err := a.AddSquad(ctx, record.Squad{Name: "Bay"})
	if err != nil {
		t.Fatal(err)
	}
	w := record.Swimmer{SquadID: squad, Name: "Mira Tallow", Notes: "Mira's back end"}
	if w.ID, _, err = a.AddSwimmer(ctx, w); err != nil {
		t.Fatal(err)
	}
	if inner, d, err := a.Hiding(ctx); err != nil || d != nil || Hidden(inner) || a.ShownName(ctx, w) != "Mira Tallow" {
		t.Fatalf("hidden before it was switched on: %v, %v", d, err)
	}
	if err := a.SetPseudonyms(ctx, true); err != nil {
		t.Fatal(err)
	}
	inner, d, err := a.Hiding(ctx)
	if err != nil || d == nil || !Hidden(inner) {
		t.Fatalf("not hidden: %v", err)
	}
	if a.ShownName(ctx, w) != "Swimmer 1" || a.ShownName(inner, w) != "Swimmer 1" {
		t.Errorf("shown as %q and %q", a.ShownName(ctx, w), a.ShownName(inner, w))
	}
	view, err := a.Swimmer(inner, w.ID)
	if err != nil || view.Swimmer.Name != "Swimmer 1" || view.Swimmer.Notes != "" {
		t.Errorf("the swimmer's page: %+v, %v", view.Swimmer, err)
	}
	changed := view.Swimmer
	changed.Level = record.Club
	if _, err := a.UpdateSwimmer(inner, changed); !errors.Is(err, ErrHidden) || !errors.Is(err, ErrInput) {
		t.Errorf("changing a hidden swimmer: %v", err)
	}
	if kept, err := a.store.Swimmer(ctx, w.ID); err != nil || kept.Name != "Mira Tallow" || kept.Level != "" {
		t.Errorf("kept %+v, %v", kept, err)
	}
	if _, err := a.FindSwimmer(ctx, "Mira Tallow"); err != nil {
		t.Errorf("finding by name outside the pages: %v", err)
	}
	if err := a.SetPseudonyms(ctx, false); err != nil {
		t.Fatal(err)
	}
	if a.ShownName(context.WithoutCancel(ctx), w) != "Mira Tallow" {
		t.Error("still hidden after it was switched off")
	}
}
