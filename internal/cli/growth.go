package cli

import (
	"context"
	"errors"
	"fmt"
	"text/tabwriter"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

const growthHelp = `
Lists the heights and masses that were measured of a swimmer, or keeps one (--height, --mass)
or takes a wrong one away (--remove DAY; --remove undated for the one whose day is not noted).
A run is measured with the height and the mass nearest to its visit's day; runs for which a
new entry is the nearest are measured again, their earlier results are kept.

  underkick growth "Mira Tallow"
  underkick growth "Mira Tallow" --height 1.66 --mass 54 --on 2026-09-01`

func growthCommand() command {
	c := command{name: "growth", usage: "growth SWIMMER [options]", brief: "heights and masses of a swimmer, by day"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runGrowth(ctx, c, args, s) }
	return c
}

func runGrowth(ctx context.Context, c command, args []string, s streams) error {
	var g record.Growth
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	f.Float64Var(&g.HeightM, "height", 0, "standing height, `M`")
	f.Float64Var(&g.MassKg, "mass", 0, "mass, `KG`")
	on := f.String("on", "", "`DAY` of measuring, YYYY-MM-DD (today)")
	remove := f.String("remove", "", "take the entry of this `DAY` away")
	asJSON := f.Bool("json", false, "print JSON")
	names, err := f.parse(args, growthHelp)
	if err != nil {
		return err
	}
	keep := g.HeightM != 0 || g.MassKg != 0
	switch {
	case len(names) != 1:
		return usagef("say which swimmer; put a name of several words in quotes")
	case keep && *remove != "":
		return usagef("either keep an entry or --remove one")
	case *on != "" && !keep:
		return usagef("--on goes with --height or --mass")
	}
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: *data})
	if err != nil {
		return err
	}
	g.On = record.Date(*on)
	return errors.Join(growth(ctx, app, names[0], growthAct{g, keep, record.Date(*remove), *asJSON}, s), app.Close())
}

// growthAct is what is to be done with a swimmer's history.
type growthAct struct {
	record.Growth
	keep   bool
	remove record.Date
	asJSON bool
}

func growth(ctx context.Context, app *poolside.App, who string, act growthAct, s streams) error {
	w, err := app.FindSwimmer(ctx, who)
	if err != nil {
		return err
	}
	act.SwimmerID = w.ID
	runs := 0
	switch {
	case act.keep:
		runs, err = app.KeepGrowth(ctx, act.Growth)
	case act.remove == "undated":
		runs, err = app.RemoveGrowth(ctx, w.ID, "")
	case act.remove != "":
		runs, err = app.RemoveGrowth(ctx, w.ID, act.remove)
	}
	if err != nil {
		return err
	}
	if runs > 0 {
		fmt.Fprintf(s.err, "%s on another height or mass now; measuring again.\n", plural(runs, "run stands", "runs stand"))
		if err := app.FinishWork(ctx); err != nil {
			return err
		}
	}
	return listGrowth(ctx, app, w.ID, act.asJSON, s)
}

// growthLine is an entry as JSON.
type growthLine struct {
	On      record.Date `json:"on,omitempty"`
	HeightM float64     `json:"height_m,omitempty"`
	MassKg  float64     `json:"mass_kg,omitempty"`
}

func listGrowth(ctx context.Context, app *poolside.App, id string, asJSON bool, s streams) error {
	list, err := app.Growth(ctx, id)
	if err != nil {
		return err
	}
	lines := []growthLine{}
	for _, g := range list {
		lines = append(lines, growthLine{g.On, g.HeightM, g.MassKg})
	}
	if asJSON {
		return writeJSON(s.out, lines)
	}
	t := tabwriter.NewWriter(s.out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "on\theight, m\tmass, kg")
	number := func(x float64, form string) string {
		if x == 0 {
			return "-"
		}
		return fmt.Sprintf(form, x)
	}
	for _, l := range lines {
		fmt.Fprintf(t, "%s\t%s\t%s\n", orDash(string(l.On)), number(l.HeightM, "%.2f"), number(l.MassKg, "%.1f"))
	}
	return t.Flush()
}
