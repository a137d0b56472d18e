package poolside

import (
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"underkick/internal/guess"
	"underkick/internal/record"
	"underkick/internal/report"
	"underkick/internal/store"
)

// DueView is what is due for erasing, by the squads' rules and by consents that ended.
// Nothing of it is erased by itself.
type DueView struct {
	Squads   []record.Squad // with their rules
	Swimmers []DueSwimmer   // in the order of the squads and names
}

// DueSwimmer is a swimmer of whom something is due.
type DueSwimmer struct {
	Swimmer record.Swimmer
	Films   []DueFilm   // oldest visit first
	Ended   record.Date // first day without consent for filming; empty where that is no reason
}

// DueFilm is a film that is due and why.
type DueFilm struct {
	Clip  record.Clip
	On    record.Date // day of the visit
	Pool  string
	Since record.Date // from when on it is due
	Why   string
}

// Due lists what is due for erasing today. A squad's rule makes a film due that many months
// after its visit; a consent for filming that was there and allows nothing any more makes
// all films of the swimmer due, and the swimmer.
func (a *App) Due(ctx context.Context) (DueView, error) {
	var view DueView
	var err error
	if view.Squads, err = a.store.Squads(ctx); err != nil {
		return view, err
	}
	consents, err := a.store.ConsentsOfAll(ctx)
	if err != nil {
		return view, err
	}
	on := record.Date(today())
	for _, q := range view.Squads {
		swimmers, err := a.store.Swimmers(ctx, q.ID)
		if err != nil {
			return view, err
		}
		films, err := a.filmsBySwimmer(ctx, filmsAsked(q, swimmers, consents, on))
		if err != nil {
			return view, err
		}
		for _, w := range swimmers {
			due := dueOf(q, w, films[w.ID], consents[w.ID], on)
			if len(due.Films) > 0 || due.Ended != "" {
				view.Swimmers = append(view.Swimmers, due)
			}
		}
	}
	return view, nil
}

// filmsAsked are the films of a squad that may be due: of a season most are not.
func filmsAsked(q record.Squad, swimmers []record.Swimmer, consents map[string][]record.Consent, on record.Date) store.FilmsAsked {
	ask := store.FilmsAsked{SquadID: q.ID}
	if q.FilmMonths > 0 {
		const monthsDiffer = 3 // days; dueOf decides
		ask.Until = on.AddMonths(-q.FilmMonths).AddDays(monthsDiffer)
	}
	for _, w := range swimmers {
		if filmingEnded(w.BirthYear, consents[w.ID], on) != "" {
			ask.Swimmers = append(ask.Swimmers, w.ID)
		}
	}
	return ask
}

// filmsBySwimmer returns films on the disk by the swimmer they were brought in for.
func (a *App) filmsBySwimmer(ctx context.Context, ask store.FilmsAsked) (map[string][]store.FilmKept, error) {
	if ask.Until == "" && len(ask.Swimmers) == 0 {
		return nil, nil
	}
	films, err := a.store.FilmsKept(ctx, ask)
	if err != nil {
		return nil, err
	}
	by := map[string][]store.FilmKept{}
	for _, f := range films {
		by[f.SwimmerID] = append(by[f.SwimmerID], f)
	}
	return by, nil
}

func dueOf(q record.Squad, w record.Swimmer, films []store.FilmKept, consents []record.Consent, on record.Date) DueSwimmer {
	due := DueSwimmer{Swimmer: w, Ended: filmingEnded(w.BirthYear, consents, on)}
	for _, f := range films {
		film := DueFilm{Clip: f.Clip, On: f.On, Pool: f.Pool}
		if q.FilmMonths > 0 {
			if since := f.On.AddMonths(q.FilmMonths); since <= on {
				film.Since, film.Why = since, fmt.Sprintf("the squad keeps film %s", monthWords(q.FilmMonths))
			}
		}
		if due.Ended != "" && (film.Since == "" || due.Ended < film.Since) {
			film.Since, film.Why = due.Ended, "consent for filming has ended"
		}
		if film.Since != "" {
			due.Films = append(due.Films, film)
		}
	}
	return due
}

func monthWords(n int) string {
	if n == 1 {
		return "1 month"
	}
	return fmt.Sprintf("%d months", n)
}

// filmingEnded returns the first day without consent for filming, empty when it is allowed
// today or never was.
func filmingEnded(birthYear int, consents []record.Consent, on record.Date) record.Date {
	if record.Allowed(birthYear, consents, record.ForFilming, on) {
		return ""
	}
	last := record.Date("")
	for _, c := range consents {
		if c.On > on || !c.Allows(birthYear, record.ForFilming, c.On) {
			continue
		}
		if until, ok := record.AllowedUntil(birthYear, []record.Consent{c}, record.ForFilming, c.On); ok {
			last = max(last, until)
		}
	}
	if last == "" {
		// One that was withdrawn on its first day allowed nothing; its end counts all the same.
		for _, c := range consents {
			if slices.Contains(c.For, record.ForFilming) && c.Withdrawn != "" && c.Withdrawn <= on {
				last = max(last, c.Withdrawn)
			}
		}
		return last
	}
	return last.AddDays(1)
}

// SetFilmRule sets for how many months after a visit a squad keeps film, 0 = no rule.
func (a *App) SetFilmRule(ctx context.Context, squadID string, months int) error {
	q, err := a.store.Squad(ctx, squadID)
	if err != nil {
		return fmt.Errorf("set how long film is kept: %w", err)
	}
	q.FilmMonths = months
	return a.store.UpdateSquad(ctx, q)
}

// EraseFilm takes the film of one clip out of the data folder for good, with the pictures
// and guesses made of it. Marks and results stay; the run cannot be measured again.
func (a *App) EraseFilm(ctx context.Context, clipID string) error {
	clip, err := a.store.Clip(ctx, clipID)
	if err != nil {
		return fmt.Errorf("erase the film of a clip: %w", err)
	}
	if err := a.stopWorkOn(ctx, clip.SwimmerID); err != nil {
		return err
	}
	last, err := a.store.EraseFilm(ctx, clipID)
	switch {
	case errors.Is(err, store.ErrNothing):
		return inputError{err}
	case err != nil:
		return err
	case !last:
		return a.sweepMade(ctx)
	}
	err = errors.Join(a.cache.Forget(clip.Hash), os.RemoveAll(guess.Dir(a.store.CacheDir(), clip.Hash)), a.sweepMade(ctx))
	if err != nil {
		return fmt.Errorf("the film is erased, but not the pictures made of it: %w", err)
	}
	return nil
}

// filmGone is the error about a clip whose film was erased, nil while it is there.
func filmGone(c record.Clip) error {
	if c.FilmGone.IsZero() {
		return nil
	}
	return inputf("The film of this clip was erased on %s. What was measured before stands; nothing can be marked or measured again.", longDate(record.DateOf(c.FilmGone)))
}

// keptWords tells what a run that cannot be measured any more was found to be, "" when
// nothing is kept.
func (a *App) keptWords(ctx context.Context, runID string) (string, error) {
	results, err := a.store.Results(ctx, runID)
	if err != nil || len(results) == 0 {
		return "", err
	}
	var words []string
	if results[0].Sentence != "" {
		words = append(words, results[0].Sentence)
	}
	if speed := keptMeasure(results[0].Values, "speed"); speed != nil {
		if band := report.Spread(*speed); band != "" { // a number without its band is not shown
			words = append(words, fmt.Sprintf("Speed %s (%s).", report.Value(*speed), band))
		}
	}
	return strings.Join(words, " "), nil
}
