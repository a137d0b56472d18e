package web

import (
	"context"
	"fmt"
	"time"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// privacyFixture answers the use cases on consent, growth and erasing.
type privacyFixture struct {
	consents    []record.Consent
	withheld    map[record.Purpose]bool // what MayShow refuses
	growth      []record.Growth
	due         poolside.DueView
	erasedFilms []string // clips whose film was erased
	hidden      bool
}

func (f *privacyFixture) Hiding(ctx context.Context) (context.Context, *poolside.Disguise, error) {
	return ctx, nil, nil
}

func (f *privacyFixture) HidingAlways(ctx context.Context) (context.Context, *poolside.Disguise, error) {
	return ctx, nil, nil
}

func (f *privacyFixture) SetPseudonyms(_ context.Context, on bool) error {
	f.hidden = on
	return nil
}

func (f *privacyFixture) MayShow(ctx context.Context, id string, p record.Purpose) error {
	return f.MayOn(ctx, id, p, record.DateOf(time.Now()))
}

func (f *privacyFixture) MayOn(_ context.Context, id string, p record.Purpose, _ record.Date) error {
	if f.withheld[p] {
		return fmt.Errorf("%s: %w for %s (%w)", id, poolside.ErrConsent, p.Words(), poolside.ErrInput)
	}
	return nil
}

func (f *privacyFixture) state() poolside.ConsentState {
	s := poolside.ConsentState{Giver: record.ByParent, Any: len(f.consents) > 0, Allowed: map[record.Purpose]bool{}, Until: map[record.Purpose]record.Date{}}
	for _, p := range record.Purposes() {
		s.Until[p], s.Allowed[p] = record.AllowedUntil(2009, f.consents, p, "2026-05-03")
	}
	return s
}

func (f *privacyFixture) ConsentStates(context.Context) (map[string]poolside.ConsentState, error) {
	return map[string]poolside.ConsentState{"w1": f.state(), "w2": {Giver: record.BySwimmer}}, nil
}

func (f *fixture) Consent(_ context.Context, id string) (poolside.ConsentView, error) {
	if id != "w1" {
		return poolside.ConsentView{}, poolside.ErrNotFound
	}
	view := poolside.ConsentView{Swimmer: f.swimmer, Minor: true, State: f.state()}
	for _, c := range f.consents {
		counts := c.Withdrawn == ""
		words := "counts"
		if !counts {
			words = "withdrawn"
		}
		view.Rows = append(view.Rows, poolside.ConsentRow{Consent: c, Counts: counts, Words: words})
	}
	return view, nil
}

func (f *privacyFixture) AddConsent(_ context.Context, c record.Consent) (string, error) {
	if err := c.Validate(); err != nil {
		return "", err
	}
	c.ID = fmt.Sprintf("k%d", len(f.consents)+1)
	f.consents = append([]record.Consent{c}, f.consents...)
	if c.As == record.BySwimmer {
		return "It does not count: the swimmer was under age.", nil
	}
	return "", nil
}

func (f *privacyFixture) WithdrawConsent(_ context.Context, _, id string, on record.Date) (poolside.ConsentState, error) {
	for i := range f.consents {
		if f.consents[i].ID == id {
			f.consents[i].Withdrawn = on
			return f.state(), f.consents[i].Validate()
		}
	}
	return poolside.ConsentState{}, poolside.ErrNotFound
}

func (f *privacyFixture) Growth(context.Context, string) ([]record.Growth, error) {
	return f.growth, nil
}

func (f *privacyFixture) KeepGrowth(_ context.Context, g record.Growth) (int, error) {
	f.growth = append([]record.Growth{g}, f.growth...)
	return 0, g.Validate()
}

func (f *privacyFixture) RemoveGrowth(_ context.Context, _ string, on record.Date) (int, error) {
	for i, g := range f.growth {
		if g.On == on {
			f.growth = append(f.growth[:i], f.growth[i+1:]...)
			return 0, nil
		}
	}
	return 0, poolside.ErrNotFound
}

func (f *privacyFixture) Due(context.Context) (poolside.DueView, error) { return f.due, nil }

func (f *privacyFixture) SetFilmRule(_ context.Context, squadID string, months int) error {
	q := record.Squad{ID: squadID, Name: "Harbour Juniors", FilmMonths: months}
	f.due.Squads = []record.Squad{q}
	return q.Validate()
}

func (f *privacyFixture) EraseFilm(_ context.Context, clipID string) error {
	f.erasedFilms = append(f.erasedFilms, clipID)
	return nil
}
