package cli

import (
	"context"
	"fmt"
	"io"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// givenOut is something given, as JSON.
type givenOut struct {
	ID       string       `json:"id"`
	Swimmer  string       `json:"swimmer"`
	Run      string       `json:"run,omitempty"`
	Drill    record.Drill `json:"drill"`
	Dose     string       `json:"dose"`
	From     string       `json:"from"`
	Weeks    int          `json:"weeks"`
	RetestOn string       `json:"retest_on"`
	Chosen   string       `json:"chosen"`
	Why      string       `json:"why"`
	Notes    string       `json:"notes,omitempty"`
	Ended    string       `json:"ended,omitempty"`
	Removed  bool         `json:"taken_back,omitempty"`
	GivenBy  string       `json:"given_by,omitempty"`
	By       string       `json:"by,omitempty"` // of this version
	Version  int64        `json:"version"`
	Verdict  string       `json:"verdict,omitempty"`
	Outcome  string       `json:"outcome,omitempty"`
}

func newGivenOut(g record.Given, o poolside.Outcome) givenOut {
	return givenOut{
		ID: g.ID, Swimmer: g.SwimmerID, Run: g.RunID, Drill: g.Drill, Dose: g.Dose, From: string(g.From), Weeks: g.Weeks, RetestOn: string(g.RetestOn),
		Chosen: string(g.Chosen), Why: g.Why, Notes: g.Notes, Ended: string(g.Ended), Removed: g.Removed, GivenBy: g.GivenBy, By: g.By, Version: g.Seq, Verdict: string(o.Verdict), Outcome: o.Words,
	}
}

// doGiven gives, changes and lists what is given.
func (o *practiceOptions) doGiven(ctx context.Context, app *poolside.App, act string, w io.Writer) error {
	if act == "swimmer" {
		return o.printPractising(ctx, app, w)
	}
	list, err := o.alter(ctx, app, act)
	if err != nil {
		return err
	}
	if o.asJSON {
		out := []givenOut{}
		for _, g := range list {
			out = append(out, newGivenOut(g, poolside.Outcome{}))
		}
		return writeJSON(w, out)
	}
	printCautions(w, poolside.PracticeCautions())
	for _, g := range list {
		printGiven(w, poolside.GivenView{Given: g})
	}
	return nil
}

func (o *practiceOptions) alter(ctx context.Context, app *poolside.App, act string) ([]record.Given, error) {
	var g record.Given
	var err error
	switch act {
	case "give":
		in := poolside.Giving{
			RunID: o.run, Drills: listed(o.give), From: record.Date(o.from), Weeks: o.weeks, RetestOn: record.Date(o.retest),
			Why: o.why, Notes: o.notes, By: o.by, Options: o.narrow(),
		}
		if o.swimmer != "" {
			w, err := app.FindSwimmer(ctx, o.swimmer)
			if err != nil {
				return nil, err
			}
			in.SwimmerID = w.ID
		}
		return app.Give(ctx, in)
	case "change":
		g, err = app.ChangeGiven(ctx, o.change, o.givenChange())
	case "end":
		g, err = app.EndGiven(ctx, o.end, record.Date(o.on), o.by)
	case "take-back":
		g, err = app.RemoveGiven(ctx, o.takeBack, o.by)
	default: // again
		g, err = app.GivenAgain(ctx, o.again, int64(o.version), o.by)
	}
	return []record.Given{g}, err
}

// givenChange is what --change changes.
func (o *practiceOptions) givenChange() poolside.GivenChange {
	c := poolside.GivenChange{By: o.by}
	for _, n := range []struct {
		name string
		from *int
		to   **int
	}{{"repeats", &o.repeats, &c.Repeats}, {"each", &o.each, &c.Each}, {"per-week", &o.perWeek, &c.PerWeek}, {"weeks", &o.weeks, &c.Weeks}} {
		if o.set[n.name] {
			*n.to = n.from
		}
	}
	if o.set["notes"] {
		c.Notes = &o.notes
	}
	if o.set["retest"] {
		day := record.Date(o.retest)
		c.RetestOn = &day
	}
	return c
}

func (o *practiceOptions) printPractising(ctx context.Context, app *poolside.App, w io.Writer) error {
	who, err := app.FindSwimmer(ctx, o.swimmer)
	if err != nil {
		return err
	}
	if o.byWeek {
		return o.printWeeks(ctx, app, who.ID, w)
	}
	view, err := app.Practising(ctx, who.ID)
	if err != nil {
		return err
	}
	if o.asJSON {
		out := []givenOut{}
		for _, part := range [][]poolside.GivenView{view.Now, view.Coming, view.Past} {
			for _, g := range part {
				out = append(out, newGivenOut(g.Given, g.Outcome))
			}
		}
		return writeJSON(w, map[string]any{"swimmer": who.ID, "given": out, "cautions": view.Cautions})
	}
	fmt.Fprintln(w, view.Name)
	printCautions(w, view.Cautions)
	for _, part := range []struct {
		words string
		list  []poolside.GivenView
	}{{"practised now", view.Now}, {"begins later", view.Coming}, {"before", view.Past}} {
		fmt.Fprintf(w, "\n%s: %s\n", part.words, plural(len(part.list), "drill", "drills"))
		for _, g := range part.list {
			printGiven(w, g)
		}
	}
	return nil
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func printGiven(w io.Writer, g poolside.GivenView) {
	state := ""
	switch {
	case g.Removed:
		state = ", taken back"
	case g.Ended != "":
		state = ", ended " + string(g.Ended)
	}
	fmt.Fprintf(w, "\n%s  %s (%s), version %d\n", g.ID, g.Drill.Title, g.DrillID, g.Seq)
	fmt.Fprintf(w, "  from %s, %s, retest on %s%s\n", g.From, plural(g.Weeks, "week", "weeks"), g.RetestOn, state)
	fmt.Fprintf(w, "  why:     %s (%s)\n", g.Why, g.Chosen)
	for i, step := range g.Drill.How {
		fmt.Fprintf(w, "  %d. %s\n", i+1, step)
	}
	fmt.Fprintf(w, "  dose:    %s\n  cue:     %s\n  error:   %s\n", g.Dose, g.Drill.Cue, g.Drill.Error)
	for _, line := range []struct{ name, text string }{{"given by: ", g.GivenBy}, {"needs:   ", g.Drill.Equipment}, {"caution: ", g.Drill.Caution}, {"notes:   ", g.Notes}, {"outcome: ", g.Outcome.Words}} {
		if line.text != "" {
			fmt.Fprintf(w, "  %s%s\n", line.name, line.text)
		}
	}
	printSeen(w, g.Drill)
}
