package poolside

import (
	"context"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

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
		return "a swimmer"
	}
	if d == nil {
		return w.Name
	}
	return d.shown(w.ID)
}

// Disguise is what hides the names of all swimmers.
type Disguise struct {
	byID    map[string]string // shown name, by swimmer id
	byWord  map[string]string // shown name, by whole name or word of it as folded
	spare   map[string]bool   // words that are no names alone: those of pools
	pattern *regexp.Regexp    // nil where there is no name
}

type disguiseKey struct{}

// Hiding returns a context in which the use cases know no name, and what hides names in a
// text; ctx itself and nil while names are shown. Every page is answered within it.
func (a *App) Hiding(ctx context.Context) (context.Context, *Disguise, error) {
	d, err := a.disguise(ctx)
	if err != nil || d == nil {
		return ctx, nil, err
	}
	return context.WithValue(ctx, disguiseKey{}, d), d, nil
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
	if d := disguiseIn(ctx); d != nil {
		return d, nil
	}
	if !a.Pseudonyms(ctx) {
		return nil, nil //nolint:nilnil // nothing is hidden, which is no error
	}
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

// leave leaves the words of pools' names where they stand alone.
func (d *Disguise) leave(pools []string) {
	for _, word := range strings.Fields(strings.ToLower(strings.Join(pools, " "))) {
		d.spare[word] = true
	}
}

func newDisguise(names []store.Numbered) *Disguise {
	d := &Disguise{byID: map[string]string{}, byWord: map[string]string{}, spare: map[string]bool{}}
	var whole, words []string
	for _, n := range names {
		shown := n.Pseudonym
		if shown == "" {
			shown = fmt.Sprintf("Swimmer %d", n.Number)
		}
		d.byID[n.ID] = shown
		parts := strings.FieldsFunc(n.Name, func(r rune) bool { return unicode.IsSpace(r) || r == ',' })
		back := slices.Clone(parts)
		slices.Reverse(back)
		for _, order := range [][]string{parts, back} {
			whole = d.add(whole, order, shown)
		}
		for _, p := range parts {
			if utf8.RuneCountInString(p) >= 3 {
				words = d.add(words, []string{p}, shown)
			}
		}
	}
	if all := append(whole, words...); len(all) > 0 {
		d.pattern = regexp.MustCompile("(?i:" + strings.Join(all, "|") + ")")
	}
	return d
}

// add adds the pattern of a name's words, in any spacing and with any apostrophe.
func (d *Disguise) add(patterns, words []string, shown string) []string {
	if len(words) == 0 {
		return patterns
	}
	key := foldName(strings.Join(words, " "))
	if _, have := d.byWord[key]; have {
		return patterns
	}
	d.byWord[key] = shown
	parts := make([]string, len(words))
	for i, w := range words {
		parts[i] = apostrophe.ReplaceAllString(regexp.QuoteMeta(w), `(?:'|’|&#39;|\\u0027)`)
	}
	return append(patterns, strings.Join(parts, `[\s\x{a0}_,.-]+`))
}

var (
	nameBetween = regexp.MustCompile(`[\s\x{a0}_,.-]+`)
	apostrophe  = regexp.MustCompile(`['’]`)
)

// foldName brings the spellings that one pattern finds to one.
func foldName(s string) string {
	s = strings.NewReplacer("’", "'", "&#39;", "'", `\u0027`, "'").Replace(s)
	return strings.ToLower(nameBetween.ReplaceAllString(s, " "))
}

func (d *Disguise) shown(id string) string {
	if name, ok := d.byID[id]; ok {
		return name
	}
	return "a swimmer" // added a moment ago
}

// Text hides the names in a text: whole names in any case, single words of them where they
// begin with a capital and are neither of a pool's name nor listed in spare (in small
// letters). Words of less than three letters alone are left.
func (d *Disguise) Text(text string, spare map[string]bool) string {
	if d.pattern == nil {
		return text
	}
	var out strings.Builder
	at := 0
	for at < len(text) {
		found := d.pattern.FindStringIndex(text[at:])
		if found == nil {
			break
		}
		from, to := at+found[0], at+found[1]
		if shown, ok := d.hides(text, from, to, spare); ok {
			out.WriteString(text[at:from])
			out.WriteString(shown)
			at = to
			continue
		}
		_, size := utf8.DecodeRuneInString(text[from:])
		out.WriteString(text[at : from+size])
		at = from + size
	}
	out.WriteString(text[at:])
	return out.String()
}

// hides decides about one match.
func (d *Disguise) hides(text string, from, to int, spare map[string]bool) (string, bool) {
	before, _ := utf8.DecodeLastRuneInString(text[:from])
	after, _ := utf8.DecodeRuneInString(text[to:])
	first, _ := utf8.DecodeRuneInString(text[from:])
	key := foldName(text[from:to])
	switch {
	case wordRune(before) || wordRune(after):
		return "", false
	case !strings.Contains(key, " ") && (!unicode.IsUpper(first) || spare[key] || d.spare[key]):
		return "", false
	}
	shown, ok := d.byWord[key]
	return shown, ok
}

func wordRune(r rune) bool { return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r)) }

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
	return list, err
}

// Roster is store.Roster.
func (r records) Roster(ctx context.Context, squadID string, measures ...string) ([]store.RosterRow, error) {
	rows, err := r.Store.Roster(ctx, squadID, measures...)
	for i := range rows {
		rows[i].Swimmer = hideSwimmer(ctx, rows[i].Swimmer)
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
