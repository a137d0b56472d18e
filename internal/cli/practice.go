package cli

import (
	"context"
	"errors"
	"fmt"
	"io"

	"underkick/internal/limit"
	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
)

const practiceHelp = `
Lists drills, dry-land tasks and sets: the library, or with --run those chosen for the
finding of a kept run, best first, with the rules that chose them. The coach may take
any other. Doses are common practice; no study compared them.

--serves takes facing, sweep, build, tempo, upkick or streamline.`

func practiceCommand() command {
	c := command{name: "practice", usage: "practice [--serves WHAT | --run ID] [options]", brief: "list drills, or choose them for a finding"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runPractice(ctx, c, args, s) }
	return c
}

func runPractice(ctx context.Context, c command, args []string, s streams) error {
	var data, serves, run string
	var dry, asJSON bool
	f := newFlags(c, s)
	f.StringVar(&serves, "serves", "", "only what serves `WHAT`")
	f.StringVar(&run, "run", "", "choose for the finding of the kept run `ID`")
	f.BoolVar(&dry, "dry-land", false, "with --run: dry land only")
	f.StringVar(&data, "data", defaultDataDir(), "data folder `DIR` of --run (or set UNDERKICK_DATA)")
	f.BoolVar(&asJSON, "json", false, "print JSON")
	names, err := f.parse(args, practiceHelp)
	switch {
	case err != nil:
		return err
	case len(names) > 0:
		return usagef("takes no file names")
	case run != "" && serves != "":
		return usagef("--run chooses by its finding; leave --serves out")
	case dry && run == "":
		return usagef("--dry-land goes with --run")
	}
	view, err := practiceView(ctx, data, run, record.Serves(serves), dry)
	if err != nil {
		return err
	}
	if asJSON {
		return writeJSON(s.out, practiceJSON(view))
	}
	printPractice(s.out, view)
	return nil
}

func practiceView(ctx context.Context, data, run string, serves record.Serves, dry bool) (poolside.PracticeView, error) {
	if run == "" {
		view, err := poolside.PracticeLibrary(serves)
		if errors.Is(err, poolside.ErrInput) {
			return view, usagef("--serves: %v", err)
		}
		return view, err
	}
	app, err := poolside.Open(ctx, poolside.Options{DataDir: data})
	if err != nil {
		return poolside.PracticeView{}, err
	}
	view, err := app.PracticeFor(ctx, run, dry)
	if errors.Is(err, poolside.ErrNotFound) {
		err = fmt.Errorf("there is no run %s in %s; its page's address ends in its id: %w", run, data, err)
	}
	return view, errors.Join(err, app.Close())
}

// practiceOut is the JSON of the command.
type practiceOut struct {
	Finding  string     `json:"finding,omitempty"`
	For      string     `json:"for,omitempty"`
	Drills   []drillOut `json:"drills"`
	LeftOut  []string   `json:"left_out"`
	Cautions []string   `json:"cautions"`
}

type drillOut struct {
	ID        string   `json:"id"`
	Title     string   `json:"title"`
	Serves    string   `json:"serves"`
	Phase     string   `json:"phase"`
	Place     string   `json:"place"`
	Rules     []string `json:"rules"`
	Why       string   `json:"why"`
	Source    string   `json:"source"`
	How       []string `json:"how"`
	Dose      string   `json:"dose"`
	Cue       string   `json:"cue"`
	Error     string   `json:"common_error"`
	Equipment string   `json:"equipment"`
	Caution   string   `json:"caution"`
	Sign      string   `json:"works_when"`
	Measures  []string `json:"measures"`
}

func practiceJSON(view poolside.PracticeView) practiceOut {
	out := practiceOut{Finding: view.Sentence, For: view.For, Drills: []drillOut{}, LeftOut: append([]string{}, view.LeftOut...), Cautions: view.Cautions}
	for _, c := range view.Choices {
		d := c.Drill
		out.Drills = append(out.Drills, drillOut{
			ID: d.ID, Title: d.Title, Serves: string(d.Serves), Phase: d.Phase, Place: string(d.Place), Rules: append([]string{}, c.Rules...),
			Why: d.Why, Source: d.Source, How: d.How, Dose: c.Dose.String(), Cue: d.Cue, Error: d.Error,
			Equipment: d.Equipment, Caution: d.Caution, Sign: d.Sign, Measures: d.Measures,
		})
	}
	return out
}

func printPractice(w io.Writer, view poolside.PracticeView) {
	for _, line := range []string{view.Sentence, view.For} {
		if line != "" {
			fmt.Fprintln(w, line)
		}
	}
	printCautions(w, view.Cautions)
	for _, c := range view.Choices {
		printDrill(w, c)
	}
	for _, l := range view.LeftOut {
		fmt.Fprintln(w, l)
	}
}

func printDrill(w io.Writer, c practice.Choice) {
	d := c.Drill
	fmt.Fprintf(w, "\n%s (%s) %s, %s, %s\n", d.Title, d.ID, d.Serves, d.Phase, d.Place)
	if len(c.Rules) > 0 {
		fmt.Fprintf(w, "  chosen:  %s\n", c.Text())
	}
	fmt.Fprintf(w, "  why:     %s %s\n", d.Why, d.Source)
	for i, step := range d.How {
		fmt.Fprintf(w, "  %d. %s\n", i+1, step)
	}
	fmt.Fprintf(w, "  dose:    %s (common practice, no source)\n", c.Dose)
	fmt.Fprintf(w, "  cue:     %s\n", d.Cue)
	fmt.Fprintf(w, "  error:   %s\n", d.Error)
	if d.Equipment != "" {
		fmt.Fprintf(w, "  needs:   %s\n", d.Equipment)
	}
	if d.Caution != "" {
		fmt.Fprintf(w, "  caution: %s\n", d.Caution)
	}
	fmt.Fprintf(w, "  works when: %s\n", d.Sign)
	for _, id := range d.Measures {
		fmt.Fprintf(w, "  seen in: %s\n", limit.Name(id))
	}
}
