package poolside

import (
	"context"
	"slices"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
)

// A form that comes back while names are hidden changes what was changed on it, and no text
// into what it was shown as.
func TestTextsStayAsTheyWereWritten(t *testing.T) {
	a, ctx := openApp(t), t.Context()
	squad, err := a.AddSquad(ctx, record.Squad{Name: "Bay", Notes: "Mira first"})
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := a.AddSwimmer(ctx, record.Swimmer{SquadID: squad, Name: "Mira Tallow", Pseudonym: "Otter"}); err != nil {
		t.Fatal(err)
	}
	lesson, err := a.NewLesson(ctx, LessonStart{Template: record.FacingLesson, Title: "The foot of Mira"})
	if err != nil {
		t.Fatal(err)
	}
	if err := a.SetPseudonyms(ctx, true); err != nil {
		t.Fatal(err)
	}
	hidden, d, err := a.Hiding(ctx)
	if err != nil {
		t.Fatal(err)
	}
	shown := record.Squad{ID: squad, Name: "Bay", Notes: d.Text("Mira first", nil), FilmMonths: 12}
	if shown.Notes != "Otter first" {
		t.Fatalf("the form shows %q", shown.Notes)
	}
	if err := a.UpdateSquad(hidden, shown); err != nil {
		t.Fatal(err)
	}
	if kept, err := a.store.Squad(ctx, squad); err != nil || kept.Notes != "Mira first" || kept.FilmMonths != 12 {
		t.Errorf("kept %+v, %v", kept, err)
	}
	shown.Notes = "Otter second"
	if err := a.UpdateSquad(hidden, shown); err != nil {
		t.Fatal(err)
	}
	if kept, err := a.store.Squad(ctx, squad); err != nil || kept.Notes != "Otter second" {
		t.Errorf("a text that was changed: %+v, %v", kept, err)
	}
	now, err := a.Lesson(hidden, lesson)
	if err != nil {
		t.Fatal(err)
	}
	body := now.LessonBody
	body.Title, body.Paper = d.Text(body.Title, nil), record.Letter
	if _, err := a.ChangeLesson(hidden, lesson, now.Seq, body); err != nil {
		t.Fatal(err)
	}
	if kept, err := a.Lesson(ctx, lesson); err != nil || kept.Title != "The foot of Mira" || kept.Paper != record.Letter {
		t.Errorf("the lesson is %q on %s, %v", kept.Title, kept.Paper, err)
	}
}

func contextWith(t *testing.T, d *Disguise) context.Context {
	return context.WithValue(t.Context(), disguiseKey{}, d)
}

// Texts may have moved; where two are shown alike, none is put in for the other.
func TestTextsThatMovedOrAreShownAlike(t *testing.T) {
	d := newDisguise([]store.Numbered{{ID: "a", Name: "Mira Tallow", Pseudonym: "Otter"}})
	type page struct {
		Texts []string
		Of    *string
		Day   record.Date
	}
	of := "Tallow"
	before := page{Texts: []string{"for Mira", "by mira", "plain"}, Of: &of, Day: "2026-05-03"}
	back := "Otter"
	got := asWritten(contextWith(t, d), page{Texts: []string{"plain", "by Otter", "new", "for Otter"}, Of: &back, Day: "2026-05-04"}, before)
	if !slices.Equal(got.Texts, []string{"plain", "by mira", "new", "for Mira"}) || *got.Of != "Tallow" || got.Day != "2026-05-04" {
		t.Errorf("kept %+v, %q", got, *got.Of)
	}
	alike := page{Texts: []string{"for Mira", "for Tallow"}}
	if got := asWritten(contextWith(t, d), page{Texts: []string{"for Otter"}}, alike); got.Texts[0] != "for Otter" {
		t.Errorf("of two shown alike: %q", got.Texts)
	}
	if got := asWritten(t.Context(), page{Texts: []string{"for Otter"}}, before); got.Texts[0] != "for Otter" {
		t.Errorf("while names are shown: %q", got.Texts)
	}
}
