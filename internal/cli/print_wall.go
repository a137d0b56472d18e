package cli

import (
	"context"
	"fmt"
	"io"
	"text/tabwriter"

	"underkick/internal/chart"
	"underkick/internal/poolside"
	"underkick/internal/wall"
)

// band writes a number with its band, "-" where it is not known.
func band(b wall.Band, decimals int) string {
	if !b.Known() {
		return "-"
	}
	text := chart.FormatNumber(b.Value, decimals)
	if b.High > b.Low {
		text += fmt.Sprintf(" (%s to %s)", chart.FormatNumber(b.Low, decimals), chart.FormatNumber(b.High, decimals))
	}
	return text
}

// printWalls prints a plan as a table of walls, then what it stands on and the cautions.
func printWalls(w io.Writer, a *poolside.WallAnswer) error {
	fmt.Fprintln(w, a.Event)
	t := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	fmt.Fprintln(t, "  wall\tkicks\tas fast\tfirst kick, m\thead up, m\tunder water, s\t15 m after, s\tone fewer, s\tone more, s")
	for _, l := range a.Walls {
		name := l.Name
		if a.Event.Stroke == wall.Medley {
			name += ", " + string(l.Stroke)
		}
		kicks, fast, window := "-", "-", "-"
		if !l.Refused {
			window = fmt.Sprintf("%.1f to %.1f", l.Window[0], l.Window[1])
		}
		if l.Kicks == 0 {
			window = "-"
		}
		if l.Kicks >= 0 {
			kicks, fast = fmt.Sprint(l.Kicks), fmt.Sprintf("%d to %d", l.AsFast[0], l.AsFast[1])
		}
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", name, kicks, fast, window,
			band(l.Breakout, 1), band(l.Underwater, 1), band(l.To15, 2), band(l.OneFewer, 2), band(l.OneMore, 2))
	}
	if err := t.Flush(); err != nil {
		return fmt.Errorf("print the plan: %w", err)
	}
	printMark(w, a)
	if a.Gain.Known() {
		fmt.Fprintf(w, "the limiter's worth over all walls: %s s, if everything else stays\n", band(a.Gain, 2))
	}
	for _, c := range a.Compared {
		fmt.Fprintf(w, "done at %s: %s\n", c.Name, c.Words)
	}
	for _, r := range a.Reasons {
		fmt.Fprintln(w, "note: "+r.Text)
	}
	fmt.Fprintln(w, "rule: "+a.Event.Rule())
	fmt.Fprintln(w, "All distances are the head's. Model estimates with their 95 % band, not measurements.")
	printCautions(w, a.Cautions)
	return nil
}

func printMark(w io.Writer, a *poolside.WallAnswer) {
	for _, l := range a.Walls {
		if l.Kicks >= 0 && l.Mark != wall.Limit && l.Number <= 2 {
			fmt.Fprintf(w, "%s: %.1f m after %s s\n", l.Name, l.Mark, band(l.ToMark, 2))
		}
	}
}

func printCautions(w io.Writer, cautions []string) {
	for _, c := range cautions {
		fmt.Fprintln(w, "CAUTION: "+c)
	}
}

// printSquad prints the newest plan of every swimmer.
func (o *wallOptions) printSquad(ctx context.Context, app *poolside.App, s streams) error {
	v, err := app.SquadWalls(ctx)
	if err != nil {
		return err
	}
	if o.asJSON {
		return writeJSON(s.out, v)
	}
	for _, q := range v.Squads {
		fmt.Fprintln(s.out, q.Name)
		t := tabwriter.NewWriter(s.out, 0, 4, 2, ' ', 0)
		fmt.Fprintln(t, "  swimmer\tevent\tstart: kicks\thead up, m\tturns: kicks\thead up, m\tunder water in all, s")
		for _, r := range q.Rows {
			event := r.Event
			if r.PlanID == "" {
				event = "no plan"
			}
			fmt.Fprintf(t, "  %s\t%s\t%s\t%s\t%s\n", r.Name, event, kicksAndOut(r.Start), kicksAndOut(r.Turn), band(r.Total.Underwater, 1))
		}
		if err := t.Flush(); err != nil {
			return fmt.Errorf("print the squad: %w", err)
		}
	}
	printCautions(s.out, poolside.BreathCautions())
	return nil
}

func kicksAndOut(p *wall.Plan) string {
	if p == nil {
		return "-\t-"
	}
	return fmt.Sprintf("%d\t%s", p.Kicks, band(p.Breakout, 1))
}
