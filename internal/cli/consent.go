package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"text/tabwriter"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

const consentHelp = `
Lists a swimmer's consents with their history, records one (--record) or withdraws one
(--withdraw ID). Without a swimmer it lists what is allowed for each swimmer today.

A swimmer under 18 needs the consent of a parent or guardian, and so does one whose year of
birth is not noted. The year of the eighteenth birthday counts as under age, since only the
year is known. Nothing is deleted: a consent is withdrawn, and what it allowed ends that day.

  underkick consent
  underkick consent "Mira Tallow"
  underkick consent "Mira Tallow" --record --by "Ada Tallow" --as parent --for filming,squad --until 2027-08-31
  underkick consent "Mira Tallow" --withdraw k3j2m1n0p9q8

Before anybody is filmed: the club's safeguarding policy and the pool operator's permission
count too, and nothing here stands in for the paper that your club asks for.`

func consentCommand() command {
	c := command{name: "consent", usage: "consent [SWIMMER] [options]", brief: "list, record and withdraw consents"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runConsent(ctx, c, args, s) }
	return c
}

// consentOptions is what the command line says.
type consentOptions struct {
	record, asJSON   bool
	by, as, purposes string
	on, until, notes string
	withdraw         string
}

func runConsent(ctx context.Context, c command, args []string, s streams) error {
	var o consentOptions
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	f.BoolVar(&o.record, "record", false, "record a consent")
	f.StringVar(&o.by, "by", "", "`NAME` of who gave it")
	f.StringVar(&o.as, "as", "", "`WHO` gave it: swimmer, parent (or guardian)")
	f.StringVar(&o.purposes, "for", "", "what it allows: `LIST` of filming, squad, outside")
	f.StringVar(&o.on, "on", "", "`DAY` it was given, or from which it is withdrawn, YYYY-MM-DD (today)")
	f.StringVar(&o.until, "until", "", "last `DAY`, YYYY-MM-DD (no end named)")
	f.StringVar(&o.notes, "notes", "", "`TEXT`, such as where the paper lies")
	f.StringVar(&o.withdraw, "withdraw", "", "withdraw the consent of this `ID`")
	f.BoolVar(&o.asJSON, "json", false, "print JSON")
	names, err := f.parse(args, consentHelp)
	if err != nil {
		return err
	}
	switch {
	case len(names) > 1:
		return usagef("takes one swimmer; put a name of several words in quotes")
	case len(names) == 0 && (o.record || o.withdraw != ""):
		return usagef("say which swimmer")
	case o.record && o.withdraw != "":
		return usagef("either --record or --withdraw")
	case !o.record && o.by+o.as+o.purposes+o.until+o.notes != "":
		return usagef("--by, --as, --for, --until and --notes go with --record")
	}
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: *data})
	if err != nil {
		return err
	}
	return errors.Join(consent(ctx, app, names, o, s), app.Close())
}

func consent(ctx context.Context, app *poolside.App, names []string, o consentOptions, s streams) error {
	if len(names) == 0 {
		return listConsentStates(ctx, app, o, s)
	}
	w, err := app.FindSwimmer(ctx, names[0])
	if err != nil {
		return err
	}
	switch {
	case o.record:
		return recordConsent(ctx, app, w, o, s)
	case o.withdraw != "":
		state, err := app.WithdrawConsent(ctx, w.ID, o.withdraw, record.Date(o.on))
		if err != nil {
			return err
		}
		fmt.Fprintf(s.out, "Withdrawn. Allowed now: %s.\n", state.Words())
		return nil
	}
	return listConsents(ctx, app, w, o, s)
}

func recordConsent(ctx context.Context, app *poolside.App, w record.Swimmer, o consentOptions, s streams) error {
	c := record.Consent{SwimmerID: w.ID, GivenBy: o.by, On: record.Date(o.on), Until: record.Date(o.until), Notes: o.notes}
	switch o.as {
	case "swimmer":
		c.As = record.BySwimmer
	case "parent", "guardian", string(record.ByParent):
		c.As = record.ByParent
	default:
		return usagef("--as is swimmer or parent, not %q", o.as)
	}
	for _, p := range strings.FieldsFunc(o.purposes, func(r rune) bool { return r == ',' || r == ' ' }) {
		c.For = append(c.For, record.Purpose(p))
	}
	warning, err := app.AddConsent(ctx, c)
	if err != nil {
		return err
	}
	if warning != "" {
		fmt.Fprintln(s.out, warning)
		return nil
	}
	view, err := app.Consent(ctx, w.ID)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "Recorded. Allowed now: %s.\n", view.State.Words())
	return nil
}

// consentLine is a consent as JSON.
type consentLine struct {
	ID        string           `json:"id"`
	GivenBy   string           `json:"given_by"`
	As        record.Giver     `json:"as"`
	On        record.Date      `json:"on"`
	Until     record.Date      `json:"until,omitempty"`
	For       []record.Purpose `json:"for"`
	Withdrawn record.Date      `json:"withdrawn,omitempty"`
	Notes     string           `json:"notes,omitempty"`
	Counts    bool             `json:"counts"` // today
	State     string           `json:"state"`
}

func listConsents(ctx context.Context, app *poolside.App, w record.Swimmer, o consentOptions, s streams) error {
	view, err := app.Consent(ctx, w.ID)
	if err != nil {
		return err
	}
	lines := []consentLine{}
	for _, r := range view.Rows {
		lines = append(lines, consentLine{r.ID, r.GivenBy, r.As, r.On, r.Until, r.For, r.Withdrawn, r.Notes, r.Counts, r.Words})
	}
	if o.asJSON {
		return writeJSON(s.out, lines)
	}
	fmt.Fprintf(s.out, "%s. Allowed now: %s. To be given by the %s.\n", view.Swimmer.Name, view.State.Words(), view.State.Giver)
	if len(lines) == 0 {
		return nil
	}
	t := tabwriter.NewWriter(s.out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "id\tfrom\tuntil\tfor\tby\tstate")
	for _, l := range lines {
		var purposes []string
		for _, p := range l.For {
			purposes = append(purposes, string(p))
		}
		by := string(l.As)
		if l.GivenBy != by { // it is while names are hidden
			by = l.GivenBy + ", " + by
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\n", l.ID, l.On, orDash(string(l.Until)), strings.Join(purposes, ","), by, l.State)
	}
	return t.Flush()
}

// consentStateLine is what is allowed for a swimmer today, as JSON.
type consentStateLine struct {
	ID      string                         `json:"id"`
	Name    string                         `json:"name"`
	Giver   record.Giver                   `json:"given_by"`
	Allowed map[record.Purpose]bool        `json:"allowed"`
	Until   map[record.Purpose]record.Date `json:"until"`

	words string
}

func listConsentStates(ctx context.Context, app *poolside.App, o consentOptions, s streams) error {
	swimmers, err := app.AllSwimmers(ctx)
	if err != nil {
		return err
	}
	states, err := app.ConsentStates(ctx)
	if err != nil {
		return err
	}
	lines := []consentStateLine{}
	for _, w := range swimmers {
		state := states[w.ID]
		for p, until := range state.Until {
			if until == "" {
				delete(state.Until, p)
			}
		}
		lines = append(lines, consentStateLine{w.ID, w.Name, state.Giver, state.Allowed, state.Until, state.Words()})
	}
	if o.asJSON {
		return writeJSON(s.out, lines)
	}
	t := tabwriter.NewWriter(s.out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "id\tswimmer\tgiven by\tallowed today")
	for _, l := range lines {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\n", l.ID, l.Name, l.Giver, l.words)
	}
	return t.Flush()
}
