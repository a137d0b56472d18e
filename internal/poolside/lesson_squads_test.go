package poolside

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"underkick/internal/record"
)

// TestALessonOfTwoSquads: a run of another squad stands on a lesson only with the consent
// for showing outside, is treated as shown outside, and goes when the consent does.
func TestALessonOfTwoSquads(t *testing.T) {
	app, runs, ids := lessonDemo(t)
	ctx := t.Context()
	for _, id := range ids {
		forget(t, app, id)
	}
	other, err := app.store.AddSquad(ctx, record.Squad{Name: "Weir Juniors"})
	if err != nil {
		t.Fatal(err)
	}
	consent(t, app, ids["Mira"], record.ForSquad)
	start := LessonStart{Template: record.FacingLesson, SquadID: other.ID, RunIDs: []string{runs["Mira"][0]}}
	if _, err := app.NewLesson(ctx, start); !errors.Is(err, ErrConsent) || !strings.Contains(err.Error(), "another squad's lesson") {
		t.Fatalf("with consent for the own squad alone: %v", err)
	}
	choices, err := app.LessonChoices(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if got := choices.For(record.Lesson{SquadID: other.ID}); got != nil {
		t.Errorf("offered without consent: %+v", got)
	}

	outside := consent(t, app, ids["Mira"], record.ForSquad, record.ForOutside)
	id := made(t, app, start)
	l, err := app.Lesson(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	if l.SquadID != other.ID || l.Names != record.ShowPseudonyms {
		t.Errorf("squad %s, names %s", l.SquadID, l.Names)
	}
	if choices, err = app.LessonChoices(ctx); err != nil {
		t.Fatal(err)
	}
	if got := choices.For(l); len(got) != 1 || got[0].ID == other.ID || len(got[0].Runs) == 0 {
		t.Errorf("offered %+v", got)
	}
	text, _ := fileOf(t, app, id)
	if strings.Count(text, "data:image") != 4 || strings.Contains(text, "Mira") {
		t.Errorf("%d pictures, named: %v", strings.Count(text, "data:image"), strings.Contains(text, "Mira"))
	}
	mira, err := app.store.Swimmer(ctx, ids["Mira"])
	if err != nil {
		t.Fatal(err)
	}
	if minor := record.Minor(mira.BirthYear, record.Date(today())); strings.Contains(text, "Film of minors.") != minor {
		t.Errorf("a minor: %v, the caution stands: %v", minor, !minor)
	}
	picture := LessonPicture{LessonID: id, RunID: runs["Mira"][0], Kick: 2, Moment: "fastest"}
	if _, err := app.LessonStill(ctx, picture); err != nil {
		t.Errorf("a picture: %v", err)
	}

	if _, err := app.store.WithdrawConsent(ctx, outside, record.Date(today())); err != nil {
		t.Fatal(err)
	}
	text, warnings := fileOf(t, app, id)
	if strings.Contains(text, "data:image") || !slices.ContainsFunc(warnings, func(w string) bool { return strings.Contains(w, "another squad's lesson") }) {
		t.Errorf("after the consent was withdrawn the author is told %q", warnings)
	}
	if _, err := app.LessonStill(ctx, picture); !errors.Is(err, ErrConsent) {
		t.Errorf("a picture after that: %v", err)
	}
}
