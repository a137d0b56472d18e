package poolside

import (
	"context"
	"errors"
	"fmt"

	"underkick/internal/record"
)

// ErrConsent is wrapped by errors about a consent that is missing or has ended. The text
// says whose, for what, and where to record it.
var ErrConsent = errors.New("no consent")

// MayShow returns nil when today's consents allow p for film and findings of a swimmer,
// otherwise an error that wraps ErrConsent.
func (a *App) MayShow(ctx context.Context, swimmerID string, p record.Purpose) error {
	return a.MayOn(ctx, swimmerID, p, record.Date(today()))
}

// MayOn is MayShow for another day, such as that of a visit.
func (a *App) MayOn(ctx context.Context, swimmerID string, p record.Purpose, on record.Date) error {
	w, err := a.store.Swimmer(ctx, swimmerID)
	if err != nil {
		return fmt.Errorf("look for a consent: %w", err)
	}
	consents, err := a.store.Consents(ctx, swimmerID)
	if err != nil {
		return err
	}
	if record.Allowed(w.BirthYear, consents, p, on) {
		return nil
	}
	return consentError{a.consentWords(ctx, w, consents, asked{p, on})}
}

// consentError answers to ErrConsent and to ErrInput: a person can mend it.
type consentError struct{ text string }

func (e consentError) Error() string   { return e.text }
func (e consentError) Unwrap() []error { return []error{ErrConsent, ErrInput} }

// asked is a purpose on a day.
type asked struct {
	p  record.Purpose
	on record.Date
}

// consentWords says what is missing and what to do.
func (a *App) consentWords(ctx context.Context, w record.Swimmer, consents []record.Consent, q asked) string {
	return fmt.Sprintf("%s: no consent for %s on %s. %s Record it on the swimmer's consent page (/swimmer/%s/consent) or with: underkick consent %s --record",
		a.ShownName(ctx, w), q.p.Words(), longDate(q.on), whyNone(w, consents, q), w.ID, w.ID)
}

// whyNone says why no consent counts, and whose is needed.
func whyNone(w record.Swimmer, consents []record.Consent, q asked) string {
	whose := "The swimmer's own is needed."
	switch {
	case w.BirthYear == 0:
		whose = "The year of birth is not noted, so a parent's or guardian's is needed."
	case record.Minor(w.BirthYear, q.on):
		whose = "A parent's or guardian's is needed."
	}
	last := record.Consent{}
	for _, c := range consents { // newest first
		if last.ID == "" && allowsEver(c, q.p) && c.On <= q.on {
			last = c
		}
	}
	switch end := last.Ended(); {
	case last.ID == "":
		return whose
	case last.Withdrawn != "" && last.Withdrawn <= q.on:
		return fmt.Sprintf("It was withdrawn on %s. %s", longDate(last.Withdrawn), whose)
	case end != "" && end <= q.on:
		return fmt.Sprintf("It ended on %s. %s", longDate(last.Until), whose)
	}
	return fmt.Sprintf("The one that is there was given by the %s. %s", last.As, whose)
}

func allowsEver(c record.Consent, p record.Purpose) bool {
	for _, q := range c.For {
		if q == p {
			return true
		}
	}
	return false
}

// ConsentState is what a swimmer's consents allow on a day, by purpose.
type ConsentState struct {
	On      record.Date
	Giver   record.Giver                   // who must give one that day
	Any     bool                           // any consent was ever recorded
	Allowed map[record.Purpose]bool        // on that day
	Until   map[record.Purpose]record.Date // last day without a gap; "" = no end is known, or not allowed
}

// Filming reports whether filming is allowed.
func (s ConsentState) Filming() bool { return s.Allowed[record.ForFilming] }

// Ending returns the earliest last day among what is allowed, empty when none is known.
func (s ConsentState) Ending() record.Date {
	first := record.Date("")
	for p, until := range s.Until {
		if s.Allowed[p] && until != "" && (first == "" || until < first) {
			first = until
		}
	}
	return first
}

// Words says what is allowed: "filming until 28 February 2027; showing in the squad".
func (s ConsentState) Words() string {
	text := ""
	for _, p := range record.Purposes() {
		if !s.Allowed[p] {
			continue
		}
		if text != "" {
			text += "; "
		}
		text += p.Words()
		if until := s.Until[p]; until != "" {
			text += " until " + longDate(until)
		}
	}
	switch {
	case text != "":
		return text
	case s.Any:
		return "none now"
	}
	return "none recorded"
}

func stateOf(birthYear int, consents []record.Consent, on record.Date) ConsentState {
	s := ConsentState{
		On: on, Giver: record.GiverOf(birthYear, on), Any: len(consents) > 0,
		Allowed: map[record.Purpose]bool{}, Until: map[record.Purpose]record.Date{},
	}
	for _, p := range record.Purposes() {
		s.Until[p], s.Allowed[p] = record.AllowedUntil(birthYear, consents, p, on)
	}
	return s
}

// ConsentStates returns what the consents of every swimmer allow today, by swimmer id.
func (a *App) ConsentStates(ctx context.Context) (map[string]ConsentState, error) {
	swimmers, err := a.AllSwimmers(ctx)
	if err != nil {
		return nil, err
	}
	consents, err := a.store.ConsentsOfAll(ctx)
	if err != nil {
		return nil, err
	}
	states := make(map[string]ConsentState, len(swimmers))
	for _, w := range swimmers {
		states[w.ID] = stateOf(w.BirthYear, consents[w.ID], record.Date(today()))
	}
	return states, nil
}

// ConsentView is the consent page of a swimmer.
type ConsentView struct {
	Swimmer record.Swimmer
	Minor   bool // may be under age today
	State   ConsentState
	Rows    []ConsentRow // newest first, the whole history
}

// ConsentRow is one consent and what became of it.
type ConsentRow struct {
	record.Consent
	Counts bool   // it allows something today
	Words  string // "counts", "ended on 3 May 2026", "withdrawn on ...", "does not count: ..."
}

// Consent returns a swimmer's consents with their history.
func (a *App) Consent(ctx context.Context, swimmerID string) (ConsentView, error) {
	w, err := a.store.Swimmer(ctx, swimmerID)
	if err != nil {
		return ConsentView{}, fmt.Errorf("list consents: %w", err)
	}
	consents, err := a.store.Consents(ctx, swimmerID)
	if err != nil {
		return ConsentView{}, err
	}
	on := record.Date(today())
	view := ConsentView{Swimmer: w, Minor: record.Minor(w.BirthYear, on), State: stateOf(w.BirthYear, consents, on)}
	for _, c := range consents {
		view.Rows = append(view.Rows, consentRow(w.BirthYear, c, on))
	}
	return view, nil
}

func consentRow(birthYear int, c record.Consent, on record.Date) ConsentRow {
	row := ConsentRow{Consent: c, Counts: len(c.For) > 0 && c.Allows(birthYear, c.For[0], on)}
	switch {
	case row.Counts:
		row.Words = "counts"
	case c.Withdrawn != "" && c.Withdrawn <= on:
		row.Words = "withdrawn on " + longDate(c.Withdrawn)
	case c.Until != "" && c.Until < on:
		row.Words = "ended on " + longDate(c.Until)
	case c.On > on:
		row.Words = "counts from " + longDate(c.On)
	case birthYear == 0:
		row.Words = "does not count: the year of birth is not noted, so a parent or guardian must give it"
	case c.As == record.BySwimmer && record.Minor(birthYear, c.On):
		row.Words = "does not count: the swimmer was under age when it was given"
	default:
		row.Words = "does not count any more: the swimmer is of age and must give it"
	}
	return row
}

// AddConsent records a consent. warning says why it allows nothing, "" when it counts. While
// names are hidden it is ErrHidden: it holds the name of who gave it.
func (a *App) AddConsent(ctx context.Context, c record.Consent) (warning string, err error) {
	if Hidden(ctx) {
		return "", hiddenf("a consent is recorded with the name of who gave it. Show the names first")
	}
	w, err := a.store.Swimmer(ctx, c.SwimmerID)
	if err != nil {
		return "", fmt.Errorf("record a consent: %w", err)
	}
	if c.On == "" {
		c.On = record.Date(today())
	}
	kept, err := a.store.AddConsent(ctx, c)
	if err != nil {
		return "", err
	}
	if row := consentRow(w.BirthYear, kept, record.Date(today())); !row.Counts {
		return fmt.Sprintf("The consent is recorded. It %s.", row.Words), nil
	}
	return "", nil
}

// WithdrawConsent withdraws a consent of a swimmer from a day on, "" = today. It returns
// what other consents still allow.
func (a *App) WithdrawConsent(ctx context.Context, swimmerID, consentID string, on record.Date) (ConsentState, error) {
	if on == "" {
		on = record.Date(today())
	}
	view, err := a.Consent(ctx, swimmerID)
	if err != nil {
		return ConsentState{}, err
	}
	for _, row := range view.Rows {
		if row.ID != consentID {
			continue
		}
		if _, err := a.store.WithdrawConsent(ctx, consentID, on); err != nil {
			return ConsentState{}, err
		}
		after, err := a.Consent(ctx, swimmerID)
		return after.State, err
	}
	return ConsentState{}, fmt.Errorf("consent %s of swimmer %s: %w", consentID, swimmerID, ErrNotFound)
}
