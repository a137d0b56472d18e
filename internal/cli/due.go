package cli

import (
	"context"
	"errors"
	"fmt"
	"text/tabwriter"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

const dueHelp = `
Lists what is due for erasing: films older than their squad's rule, and films of swimmers
whose consent for filming has ended. Nothing is erased by itself. A rule is set with --squad
and --months (0: none), one film is erased with --erase-film.

  underkick due
  underkick due --squad "Lake Lane Juniors" --months 24
  underkick due --erase-film 4ve42c2kaa7p
  underkick erase --swimmer "Mira Tallow"

Erasing a film takes the clip and the pictures made of it. Marks and results stay; the run
cannot be marked or measured again. Backups made earlier still hold it.`

func dueCommand() command {
	c := command{name: "due", usage: "due [options]", brief: "what is due for erasing, by rule and by consent"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runDue(ctx, c, args, s) }
	return c
}

func runDue(ctx context.Context, c command, args []string, s streams) error {
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	squad := f.String("squad", "", "set the rule of this squad: `NAME` or id")
	months := f.Int("months", -1, "keep film this many `MONTHS` after the visit, 0 = no rule")
	film := f.String("erase-film", "", "erase the film of the clip of this `ID` for good")
	asJSON := f.Bool("json", false, "print JSON")
	names, err := f.parse(args, dueHelp)
	if err != nil {
		return err
	}
	if len(names) > 0 || (*squad == "") != (*months < 0) {
		return usagef("takes no file names; --squad and --months go together")
	}
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: *data})
	if err != nil {
		return err
	}
	return errors.Join(func() error {
		if *squad != "" {
			if err := setFilmRule(ctx, app, *squad, *months); err != nil {
				return err
			}
		}
		if *film != "" {
			if err := app.EraseFilm(ctx, *film); err != nil {
				return err
			}
			fmt.Fprintln(s.err, "The film is erased.")
		}
		return listDue(ctx, app, *asJSON, s)
	}(), app.Close())
}

func setFilmRule(ctx context.Context, app *poolside.App, squad string, months int) error {
	q, err := app.FindSquad(ctx, squad)
	if err != nil {
		return err
	}
	return app.SetFilmRule(ctx, q.ID, months)
}

// dueLine is a film that is due, as JSON; without a clip it is the swimmer whole.
type dueLine struct {
	SwimmerID string      `json:"swimmer_id"`
	Swimmer   string      `json:"swimmer"`
	ClipID    string      `json:"clip_id,omitempty"`
	Clip      string      `json:"clip,omitempty"`
	VisitOn   record.Date `json:"visit_on,omitempty"`
	Since     record.Date `json:"since"`
	Why       string      `json:"why"`
}

func listDue(ctx context.Context, app *poolside.App, asJSON bool, s streams) error {
	view, err := app.Due(ctx)
	if err != nil {
		return err
	}
	lines := []dueLine{}
	for _, d := range view.Swimmers {
		if d.Ended != "" {
			lines = append(lines, dueLine{SwimmerID: d.Swimmer.ID, Swimmer: d.Swimmer.Name, Since: d.Ended, Why: "consent for filming has ended: ask anew, erase the films, or the swimmer"})
		}
		for _, m := range d.Films {
			lines = append(lines, dueLine{d.Swimmer.ID, d.Swimmer.Name, m.Clip.ID, m.Clip.Name, m.On, m.Since, m.Why})
		}
	}
	if asJSON {
		return writeJSON(s.out, lines)
	}
	for _, q := range view.Squads {
		rule := "no rule"
		if q.FilmMonths > 0 {
			rule = fmt.Sprintf("film is kept %d months after the visit", q.FilmMonths)
		}
		fmt.Fprintf(s.out, "%s: %s\n", q.Name, rule)
	}
	if len(lines) == 0 {
		fmt.Fprintln(s.out, "Nothing is due for erasing.")
		return nil
	}
	t := tabwriter.NewWriter(s.out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "swimmer\tclip id\tclip\tvisit\tdue since\twhy")
	for _, l := range lines {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\n", l.Swimmer, orDash(l.ClipID), orDash(l.Clip), orDash(string(l.VisitOn)), l.Since, l.Why)
	}
	return t.Flush()
}
