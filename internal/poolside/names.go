package poolside

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"underkick/internal/record"
	"underkick/internal/store"
)

// pseudonymSetting is "on" while names are hidden.
const pseudonymSetting = "pseudonyms"

// ErrHidden is wrapped where something cannot be done while names are hidden.
var ErrHidden = errors.New("names are hidden")

func hiddenf(format string, args ...any) error {
	return inputError{fmt.Errorf("%w: %s", ErrHidden, fmt.Sprintf(format, args...))}
}

// Pseudonyms reports whether names are hidden: pages and lists then show pseudonyms. Where
// the setting cannot be read they are.
func (a *App) Pseudonyms(ctx context.Context) bool {
	text, _, err := a.store.Setting(ctx, pseudonymSetting)
	if err != nil {
		a.log.Warn("hiding names", "reason", err)
	}
	return text == "on" || err != nil
}

// SetPseudonyms hides names, or shows them again.
func (a *App) SetPseudonyms(ctx context.Context, on bool) error {
	text := "off"
	if on {
		text = "on"
	}
	return a.store.SetSetting(ctx, pseudonymSetting, text)
}

// ShownName returns how a swimmer is called now: by name, or, while names are hidden, by
// the pseudonym, "Swimmer 3" without one.
func (a *App) ShownName(ctx context.Context, w record.Swimmer) string {
	d, err := a.disguise(ctx)
	if err != nil {
		a.log.Warn("hiding a name", "reason", err)
		return somebody
	}
	if d == nil {
		return w.Name
	}
	return d.shown(w.ID)
}

type disguiseKey struct{}

// Hiding returns a context in which the use cases know no name, and what hides names in a
// text; nil while names are shown. Every page is answered within it: whether names are
// hidden is asked once, not for every swimmer on it.
func (a *App) Hiding(ctx context.Context) (context.Context, *Disguise, error) {
	d, err := a.disguise(ctx)
	if err != nil {
		return ctx, nil, err
	}
	return context.WithValue(ctx, disguiseKey{}, d), d, nil
}

// HidingAlways is Hiding whether names are shown or not: for what leaves this computer's
// screen.
func (a *App) HidingAlways(ctx context.Context) (context.Context, *Disguise, error) {
	if d := disguiseIn(ctx); d != nil {
		return ctx, d, nil
	}
	d, err := a.newDisguise(ctx)
	if err != nil {
		return ctx, nil, err
	}
	return context.WithValue(ctx, disguiseKey{}, d), d, nil
}

// knowing is a context that knows names again, for what a person typed to find somebody.
func knowing(ctx context.Context) context.Context {
	return context.WithValue(ctx, disguiseKey{}, (*Disguise)(nil))
}

// Hidden reports whether names are hidden within a context that Hiding gave.
func Hidden(ctx context.Context) bool { return disguiseIn(ctx) != nil }

func disguiseIn(ctx context.Context) *Disguise {
	d, _ := ctx.Value(disguiseKey{}).(*Disguise)
	return d
}

// disguise returns the context's disguise, or makes one while names are hidden; nil while
// they are shown.
func (a *App) disguise(ctx context.Context) (*Disguise, error) {
	if d, asked := ctx.Value(disguiseKey{}).(*Disguise); asked {
		return d, nil
	}
	if !a.Pseudonyms(ctx) {
		return nil, nil //nolint:nilnil // nothing is hidden, which is no error
	}
	return a.newDisguise(ctx)
}

func (a *App) newDisguise(ctx context.Context) (*Disguise, error) {
	names, err := a.store.Names(ctx)
	if err != nil {
		return nil, err
	}
	pools, err := a.store.Pools(ctx)
	if err != nil {
		return nil, err
	}
	d := newDisguise(names)
	d.leave(pools)
	return d, nil
}

// records is the store, which within a context of Hiding knows no name. It is the one
// place at which names and the file names of clips are taken out of what is read; Disguise.Text
// is the net below it, for names in what somebody wrote.
type records struct{ *store.Store }

// Swimmer is store.Swimmer.
func (r records) Swimmer(ctx context.Context, id string) (record.Swimmer, error) {
	w, err := r.Store.Swimmer(ctx, id)
	return hideSwimmer(ctx, w), err
}

// Swimmers is store.Swimmers.
func (r records) Swimmers(ctx context.Context, squadID string) ([]record.Swimmer, error) {
	list, err := r.Store.Swimmers(ctx, squadID)
	for i := range list {
		list[i] = hideSwimmer(ctx, list[i])
	}
	if Hidden(ctx) { // the order of the names would tell them
		slices.SortStableFunc(list, func(a, b record.Swimmer) int { return strings.Compare(a.Name, b.Name) })
	}
	return list, err
}

// Roster is store.Roster.
func (r records) Roster(ctx context.Context, squadID string, measures ...string) ([]store.RosterRow, error) {
	rows, err := r.Store.Roster(ctx, squadID, measures...)
	for i := range rows {
		rows[i].Swimmer = hideSwimmer(ctx, rows[i].Swimmer)
	}
	if Hidden(ctx) {
		slices.SortStableFunc(rows, func(a, b store.RosterRow) int { return strings.Compare(a.Swimmer.Name, b.Swimmer.Name) })
	}
	return rows, err
}

// RunWhole is store.RunWhole.
func (r records) RunWhole(ctx context.Context, runID string) (store.Whole, error) {
	w, err := r.Store.RunWhole(ctx, runID)
	w.Swimmer, w.Clip = hideSwimmer(ctx, w.Swimmer), hideClip(ctx, w.Clip)
	return w, err
}

// ClipWhole is store.ClipWhole.
func (r records) ClipWhole(ctx context.Context, clipID string) (store.Whole, error) {
	w, err := r.Store.ClipWhole(ctx, clipID)
	w.Swimmer, w.Clip = hideSwimmer(ctx, w.Swimmer), hideClip(ctx, w.Clip)
	return w, err
}

// Clip is store.Clip.
func (r records) Clip(ctx context.Context, id string) (record.Clip, error) {
	c, err := r.Store.Clip(ctx, id)
	return hideClip(ctx, c), err
}

// Filmed is store.Filmed.
func (r records) Filmed(ctx context.Context, swimmerID string) ([]store.FilmedVisit, error) {
	visits, err := r.Store.Filmed(ctx, swimmerID)
	for _, v := range visits {
		for i := range v.Clips {
			v.Clips[i].Clip = hideClip(ctx, v.Clips[i].Clip)
		}
	}
	return visits, err
}

// FilmsKept is store.FilmsKept.
func (r records) FilmsKept(ctx context.Context, ask store.FilmsAsked) ([]store.FilmKept, error) {
	films, err := r.Store.FilmsKept(ctx, ask)
	for i := range films {
		films[i].Clip = hideClip(ctx, films[i].Clip)
	}
	return films, err
}

// ClipsOfFilm is store.ClipsOfFilm.
func (r records) ClipsOfFilm(ctx context.Context, hash string) ([]record.Clip, error) {
	clips, err := r.Store.ClipsOfFilm(ctx, hash)
	for i := range clips {
		clips[i] = hideClip(ctx, clips[i])
	}
	return clips, err
}

// AlikeSwimmers is store.AlikeSwimmers; nobody is like anybody while names are hidden.
func (r records) AlikeSwimmers(ctx context.Context, squadID, name, except string) ([]record.Swimmer, error) {
	if Hidden(ctx) {
		return nil, nil
	}
	return r.Store.AlikeSwimmers(ctx, squadID, name, except)
}

// UpdateSwimmer is store.UpdateSwimmer; ErrHidden while names are hidden, since what would
// be written holds none.
func (r records) UpdateSwimmer(ctx context.Context, w record.Swimmer) error {
	if Hidden(ctx) {
		return hiddenf("a swimmer's facts cannot be changed now. Show the names first")
	}
	return r.Store.UpdateSwimmer(ctx, w)
}

// Consents is store.Consents.
func (r records) Consents(ctx context.Context, swimmerID string) ([]record.Consent, error) {
	list, err := r.Store.Consents(ctx, swimmerID)
	if Hidden(ctx) {
		for i := range list {
			list[i].GivenBy, list[i].Notes = string(list[i].As), ""
		}
	}
	return list, err
}

// hideSwimmer takes out what tells who a swimmer is.
func hideSwimmer(ctx context.Context, w record.Swimmer) record.Swimmer {
	if d := disguiseIn(ctx); d != nil && w.ID != "" {
		w.Name, w.Notes = d.shown(w.ID), ""
	}
	return w
}

// hideClip takes out the name that its file had.
func hideClip(ctx context.Context, c record.Clip) record.Clip {
	if Hidden(ctx) && len(c.Hash) >= 8 {
		c.Name = "clip " + c.Hash[:8]
	}
	return c
}
