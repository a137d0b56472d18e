package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"text/tabwriter"

	"underkick/internal/poolside"
)

const squadHelp = `
Lists every squad with its swimmers: id, last visit, the last finding in a word or two, the
speed of the last measured run and how many runs were measured.`

func squadCommand() command {
	c := command{name: "squad", usage: "squad [--data DIR] [--json]", brief: "list the squads with their swimmers"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runSquad(ctx, c, args, s) }
	return c
}

// squadLine is a swimmer in the list.
type squadLine struct {
	Squad     string   `json:"squad"`
	ID        string   `json:"id"`
	Name      string   `json:"name"`
	LastVisit string   `json:"last_visit,omitempty"`
	Finding   string   `json:"finding,omitempty"`
	SpeedMPS  *float64 `json:"speed_m_per_s,omitempty"` // of the last measured run
	Measured  int      `json:"measured_runs"`
}

func runSquad(ctx context.Context, c command, args []string, s streams) error {
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	asJSON := f.Bool("json", false, "print JSON")
	names, err := f.parse(args, squadHelp)
	if err != nil {
		return err
	}
	if len(names) > 0 {
		return usagef("takes no file names")
	}
	app, err := poolside.Open(ctx, poolside.Options{DataDir: *data})
	if err != nil {
		return err
	}
	view, err := app.Squad(ctx)
	if err := errors.Join(err, app.Close()); err != nil {
		return err
	}
	lines := squadLines(view)
	if *asJSON {
		return writeJSON(s.out, lines)
	}
	return printSquad(s.out, lines)
}

func squadLines(view poolside.SquadView) []squadLine {
	lines := []squadLine{}
	for _, q := range view.Squads {
		for _, r := range q.Rows {
			l := squadLine{Squad: q.Name, ID: r.ID, Name: r.Name, LastVisit: r.LastVisit, Finding: r.Finding, Measured: r.Measured}
			if r.Speed != nil {
				l.SpeedMPS = &r.Speed.Value
			}
			lines = append(lines, l)
		}
	}
	return lines
}

func printSquad(w io.Writer, lines []squadLine) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "squad\tid\tswimmer\tlast visit\tspeed, m/s\tmeasured runs\tfinding")
	for _, l := range lines {
		speed := "-"
		if l.SpeedMPS != nil {
			speed = fmt.Sprintf("%.2f", *l.SpeedMPS)
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%d\t%s\n", l.Squad, l.ID, l.Name, orDash(l.LastVisit), speed, l.Measured, orDash(l.Finding))
	}
	return t.Flush()
}
