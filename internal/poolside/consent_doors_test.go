package poolside

import (
	"errors"
	"strings"
	"testing"

	"underkick/internal/record"
)

// showing is one way in which something of a run is shown to others.
type showing struct {
	name string
	p    record.Purpose
	show func() error
}

// TestNothingIsShownWithoutItsConsent asks every way of showing a run to others under every
// kind of consent: it is refused exactly when no consent of today, by the one who must give
// it, allows that.
func TestNothingIsShownWithoutItsConsent(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	run := bringInMarked(t, app, "mira-october")
	rc, err := app.store.RunWhole(ctx, run)
	if err != nil {
		t.Fatal(err)
	}
	w := rc.Swimmer
	w.BirthYear = 2012 // a minor until the end of 2030
	if _, err := app.UpdateSwimmer(ctx, w); err != nil {
		t.Fatal(err)
	}
	ways := waysOfShowing(t, app, run)
	tried := func(when string, allowed ...record.Purpose) {
		t.Helper()
		for _, way := range ways {
			may := false
			for _, p := range allowed {
				may = may || p == way.p
			}
			if err := way.show(); errors.Is(err, ErrConsent) == may || may && err != nil {
				t.Errorf("%s, %s: %v", when, way.name, err)
			}
		}
	}
	tried("without any consent")
	give := func(as record.Giver, on, until record.Date, p ...record.Purpose) {
		t.Helper()
		if _, err := app.AddConsent(ctx, record.Consent{SwimmerID: w.ID, GivenBy: "Ada", As: as, On: on, Until: until, For: p}); err != nil {
			t.Fatal(err)
		}
	}
	give(record.BySwimmer, "2026-01-01", "", record.Purposes()...)
	tried("with a minor's own")
	give(record.ByParent, "2025-01-01", "2025-12-31", record.Purposes()...)
	tried("with one that ended")
	give(record.ByParent, record.Date(today()).AddDays(1), "", record.Purposes()...)
	tried("with one from tomorrow on")
	give(record.ByParent, "2026-01-01", "", record.ForFilming)
	tried("with one for filming")
	give(record.ByParent, "2026-01-01", record.Date(today()), record.ForSquad)
	tried("with one for the squad, on its last day", record.ForSquad)
	give(record.ByParent, "2026-01-01", "", record.ForOutside)
	tried("with one for outside too", record.ForSquad, record.ForOutside)
	if view, err := app.Stills(ctx, run, StillsOptions{Outside: true}); err != nil || view.Name != "A swimmer" {
		t.Errorf("stills for outside are those of %q, %v", view.Name, err)
	}
	if page, err := app.StillsPage(ctx, run, StillsOptions{Outside: true}); err != nil || strings.Contains(string(page), "Tallow") {
		t.Errorf("the page of stills for outside tells the name: %v", err)
	}
	consents, err := app.Consent(ctx, w.ID)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range consents.Rows {
		if row.Counts {
			if _, err := app.WithdrawConsent(ctx, w.ID, row.ID, ""); err != nil {
				t.Fatal(err)
			}
		}
	}
	tried("with all withdrawn")
}

// waysOfShowing are the ways: stills in every form, clips, lessons, and what the phone asks.
func waysOfShowing(t *testing.T, app *App, run string) (ways []showing) {
	t.Helper()
	ctx := t.Context()
	for _, who := range []record.Audience{record.InSquad, record.OutsideSquad} {
		p, opt := purposeOf(who), StillsOptions{Squad: who == record.InSquad, Outside: who == record.OutsideSquad}
		add := func(name string, show func() error) {
			ways = append(ways, showing{name + " for " + string(who), p, show})
		}
		add("stills", func() error { _, err := app.Stills(ctx, run, opt); return err })
		add("a still", func() error {
			_, _, err := app.StillPicture(ctx, run, StillPictureOptions{StillsOptions: opt, WidthPx: 64})
			return err
		})
		add("a still as vectors", func() error {
			_, err := app.StillSVG(ctx, run, StillPictureOptions{StillsOptions: opt})
			return err
		})
		add("a page of stills", func() error { _, err := app.StillsPage(ctx, run, opt); return err })
		add("a lesson", func() error {
			_, err := app.NewLesson(ctx, LessonStart{Template: record.FacingLesson, RunIDs: []string{run}, Audience: who})
			return err
		})
		add("a clip", func() error {
			job, err := app.MakeClip(ctx, ClipSpec{Runs: []ClipRun{{RunID: run, Kick: 2, Kicks: 1}}, WidthPx: 320, Audience: who})
			if err != nil {
				return err
			}
			return app.CancelJob(ctx, job)
		})
		add("asking", func() error {
			rc, err := app.store.RunWhole(ctx, run)
			if err != nil {
				return err
			}
			return app.MayShow(ctx, rc.Swimmer.ID, p)
		})
	}
	return ways
}
