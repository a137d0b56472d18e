package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"underkick/internal/limit"
	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
)

// weekOut is one week of practice as JSON.
type weekOut struct {
	Monday string    `json:"monday"`
	Tasks  []taskOut `json:"tasks"`
}

type taskOut struct {
	ID     string `json:"id"` // of the practice given
	Drill  string `json:"drill"`
	Title  string `json:"title"`
	Week   int    `json:"week"`
	Dose   string `json:"dose"`
	Words  string `json:"different,omitempty"`
	Cue    string `json:"cue"`
	Retest string `json:"retest_on,omitempty"` // in this week
}

func newWeeksOut(view poolside.WeeksView) []weekOut {
	out := []weekOut{}
	for _, w := range view.Weeks {
		week := weekOut{Monday: string(w.Monday), Tasks: []taskOut{}}
		for _, t := range w.Tasks {
			task := taskOut{ID: t.Given.ID, Drill: t.Given.DrillID, Title: t.Given.Drill.Title, Week: t.Week, Dose: t.Dose.String(), Words: t.Words, Cue: t.Given.Drill.Cue}
			if t.Retest {
				task.Retest = string(t.Given.RetestOn)
			}
			week.Tasks = append(week.Tasks, task)
		}
		out = append(out, week)
	}
	return out
}

// printWeeks prints what a swimmer does week by week.
func (o *practiceOptions) printWeeks(ctx context.Context, app *poolside.App, swimmerID string, w io.Writer) error {
	view, err := app.PracticeWeeks(ctx, swimmerID)
	if err != nil {
		return err
	}
	if o.asJSON {
		return writeJSON(w, map[string]any{"swimmer": swimmerID, "retest_on": view.RetestOn, "weeks": newWeeksOut(view), "cautions": view.Cautions})
	}
	fmt.Fprintf(w, "Practice of %s, week by week\n", view.Name)
	printCautions(w, view.Cautions)
	if len(view.Weeks) == 0 {
		fmt.Fprintln(w, "\nNothing is practised now. Give a drill with --give.")
	}
	for _, week := range view.Weeks {
		now := ""
		if week.Monday == practice.MondayOf(view.Today) {
			now = ", this week"
		}
		fmt.Fprintf(w, "\n%s to %s%s\n", week.Monday, week.Sunday(), now)
		for _, t := range week.Tasks {
			printTask(w, t)
		}
		if len(week.Tasks) == 0 {
			fmt.Fprintln(w, "  nothing")
		}
	}
	return nil
}

func printTask(w io.Writer, t practice.Task) {
	fmt.Fprintf(w, "  %s: %s\n", t.Given.Drill.Title, t.Dose)
	if t.Words != "" {
		fmt.Fprintf(w, "    %s\n", t.Words)
	}
	if t.Retest {
		fmt.Fprintf(w, "    retest on %s: film again\n", t.Given.RetestOn)
	}
}

// oneDrill prints one drill whole. Ours need no data folder.
func (o *practiceOptions) oneDrill(ctx context.Context, s streams) (err error) {
	var d record.Drill
	if strings.HasPrefix(o.drill, record.OwnPrefix) {
		ctx, app, err := s.open(ctx, poolside.Options{DataDir: o.data})
		if err != nil {
			return err
		}
		d, err = app.Drill(ctx, o.drill)
		if err := errors.Join(err, app.Close()); err != nil {
			return noDrill(o.drill, err)
		}
	} else if d, err = poolside.OurDrill(o.drill); err != nil {
		return noDrill(o.drill, err)
	}
	if o.asJSON {
		return writeJSON(s.out, map[string]any{"drill": d, "cautions": poolside.PracticeCautions()})
	}
	printCautions(s.out, poolside.PracticeCautions())
	printDrill(s.out, practice.Choice{Drill: d})
	return nil
}

func noDrill(id string, err error) error {
	if errors.Is(err, poolside.ErrNotFound) {
		return fmt.Errorf("there is no drill %s; underkick practice lists ours, practice --own-list your own: %w", id, err)
	}
	return err
}

// printDoses prints every dose of a drill and how it grows.
func printDoses(w io.Writer, d record.Drill) {
	for _, dose := range d.Doses {
		fmt.Fprintf(w, "  dose:    %s: %s (common practice, no source)\n", dose.For(), dose)
	}
	for _, s := range d.Stages {
		fmt.Fprintf(w, "  weeks:   %s\n", s)
	}
}

// printSeen prints how to see that a drill works.
func printSeen(w io.Writer, d record.Drill) {
	fmt.Fprintf(w, "  works when: %s\n", d.Sign)
	for _, id := range d.Measures {
		fmt.Fprintf(w, "  seen in: %s\n", limit.Name(id))
	}
}
