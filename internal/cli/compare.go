package cli

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"

	"underkick/internal/compare"
	"underkick/internal/poolside"
	"underkick/internal/report"
)

const compareHelp = `
Lays two to four kept runs beside each other by the phase of the kick: their measures
with bands, the difference of every run to the first, and in at most three sentences
what is most important; --all says it of every pair of runs. One swimmer's runs over two visits get the retest's verdicts; two swimmers
get none. A run's id is the end of its page's address; squad --json has every swimmer's newest.

--csv writes one row per measure and run; --json also holds the curves over the phase
with their bands.`

func compareCommand() command {
	c := command{name: "compare", usage: "compare RUN RUN [RUN RUN] [--data DIR] [--all | --json | --csv]", brief: "compare two to four runs"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runCompare(ctx, c, args, s) }
	return c
}

func runCompare(ctx context.Context, c command, args []string, s streams) error {
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	asJSON := f.Bool("json", false, "print JSON")
	asCSV := f.Bool("csv", false, "print the table as CSV")
	all := f.Bool("all", false, "print everything said of every pair of runs, not the most important alone")
	runs, err := f.parse(args, compareHelp)
	switch {
	case err != nil:
		return err
	case len(runs) < poolside.LeastCompared || len(runs) > poolside.MostCompared:
		return usagef("give the ids of two to four runs")
	case *asJSON && *asCSV:
		return usagef("--json and --csv exclude each other")
	}
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: *data})
	if err != nil {
		return err
	}
	view, err := app.Compare(ctx, poolside.CompareAsk{Runs: runs})
	if errors.Is(err, poolside.ErrNotFound) {
		err = unusablef(err, "one of the runs is not in %s; a run's id is the end of its page's address", *data)
	}
	if err == nil && view.Problem != "" {
		err = unusablef(nil, "%s", view.Problem)
	}
	if err := errors.Join(err, app.Close()); err != nil {
		return err
	}
	switch {
	case *asJSON:
		return writeJSON(s.out, compareJSON(view))
	case *asCSV:
		return compareCSV(s.out, view)
	}
	return printCompare(s.out, view, *all)
}

func printCompare(w io.Writer, view poolside.CompareView, all bool) error {
	for i, r := range view.Runs {
		fmt.Fprintf(w, "%d  %s, %s (%s)\n", i+1, r.Name, r.When, r.Run.ID)
	}
	for _, n := range view.Notes {
		fmt.Fprintln(w, n)
	}
	fmt.Fprintln(w)
	if all {
		printAllSaid(w, view)
	} else {
		for _, s := range view.First {
			fmt.Fprintf(w, "- %s\n", s)
		}
		if view.More {
			fmt.Fprintln(w, "more with --all")
		}
	}
	fmt.Fprintln(w)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	head := "measure"
	for i := range view.Runs {
		head += fmt.Sprintf("\t%d", i+1)
		if i > 0 {
			head += fmt.Sprintf("\t%d against 1\tverdict", i+1)
		}
	}
	fmt.Fprintln(t, head)
	for _, row := range view.Table {
		line := row.Name
		for i, m := range row.Cells {
			line += "\t" + report.Banded(m)
			if i > 0 {
				line += "\t" + differenceText(row, row.Against[i-1]) + "\t" + verdictText(row.Against[i-1])
			}
		}
		fmt.Fprintln(t, line)
	}
	return t.Flush()
}

// printAllSaid prints what is said of every run against the first.
func printAllSaid(w io.Writer, view poolside.CompareView) {
	for i, m := range view.Most {
		if i > 0 {
			fmt.Fprintln(w)
		}
		for _, s := range m.Verdicts {
			fmt.Fprintln(w, s)
		}
		fmt.Fprintln(w, m.Heading)
		for _, s := range m.Sentences {
			fmt.Fprintf(w, "  - %s\n", s)
		}
	}
}

func withSpread(value, spread string) string {
	if spread == "" {
		return value
	}
	return value + " (" + spread + ")"
}

func differenceText(row compare.Row, a compare.Against) string {
	if math.IsNaN(a.Difference) {
		return "-"
	}
	return withSpread(report.Difference(row.ID, row.Unit, a.Difference), report.DifferenceBand(row.ID, row.Unit, a.Low, a.High))
}

func verdictText(a compare.Against) string {
	text := string(a.Verdict)
	if len(a.Why) > 0 {
		text += ": " + a.Why[0]
	}
	if a.Exploratory {
		text += " (exploratory)"
	}
	return text
}

// compareOut is the JSON of the command; docs/formats.md describes it.
type compareOut struct {
	Runs     []comparedOut     `json:"runs"`
	Notes    []string          `json:"notes"`
	First    []string          `json:"first"`       // the most important, one to three sentences
	Most     []mostOut         `json:"differ_most"` // of every run after the first against the first
	Measures []compareMeasures `json:"measures"`
	Phase    []float64         `json:"phase"` // of the curves: 0 toe top, 0.5 toe bottom, 1 next top
}

type comparedOut struct {
	ID      string     `json:"id"`
	Swimmer string     `json:"swimmer"`
	On      string     `json:"on"`
	Kicks   int        `json:"kicks_counted"`
	Curves  []curveOut `json:"curves"`
}

type curveOut struct {
	ID      string       `json:"id"`
	Name    string       `json:"name"`
	Unit    string       `json:"unit"`
	Mean    []report.Num `json:"mean"`
	Low     []report.Num `json:"low"`
	High    []report.Num `json:"high"`
	Reasons []string     `json:"reasons"`
}

type mostOut struct {
	Run     string   `json:"run"`
	Heading string   `json:"heading"`
	Words   []string `json:"words"`
	Became  []string `json:"verdicts"` // of one swimmer: on speed and on what changed
}

type compareMeasures struct {
	ID   string         `json:"id"`
	Unit string         `json:"unit"`
	Runs []compareValue `json:"runs"`
}

type compareValue struct {
	Run     string          `json:"run"`
	Value   report.Num      `json:"value"`
	Low     report.Num      `json:"low"`
	High    report.Num      `json:"high"`
	Against *compareAgainst `json:"against_first"` // null for the first run
}

type compareAgainst struct {
	Difference  report.Num `json:"difference"`
	Low         report.Num `json:"low"`
	High        report.Num `json:"high"`
	Verdict     string     `json:"verdict"`
	Why         []string   `json:"why"`
	Smallest    report.Num `json:"smallest_real_change"`
	Borrowed    bool       `json:"published_typical_error"`
	Exploratory bool       `json:"exploratory"`
}

func compareJSON(view poolside.CompareView) compareOut {
	out := compareOut{Notes: append([]string{}, view.Notes...), First: append([]string{}, view.First...)}
	for i := range compare.Samples {
		out.Phase = append(out.Phase, float64(i)/(compare.Samples-1))
	}
	for _, r := range view.Runs {
		c := comparedOut{ID: r.Run.ID, Swimmer: r.Name, On: string(r.Visit.On), Kicks: r.Result.Counted}
		for _, v := range r.Curves {
			c.Curves = append(c.Curves, curveOut{v.ID, v.Name, v.Unit, nums(v.Mean), nums(v.Low), nums(v.High), append([]string{}, v.Reasons...)})
		}
		out.Runs = append(out.Runs, c)
	}
	for i, m := range view.Most {
		out.Most = append(out.Most, mostOut{view.Runs[i+1].Run.ID, m.Heading, append([]string{}, m.Sentences...), append([]string{}, m.Verdicts...)})
	}
	for _, row := range view.Table {
		m := compareMeasures{ID: row.ID, Unit: row.Unit}
		for i, cell := range row.Cells {
			v := compareValue{Run: view.Runs[i].Run.ID, Value: report.Num(cell.Value), Low: report.Num(cell.Low), High: report.Num(cell.High)}
			if i > 0 {
				a := row.Against[i-1]
				v.Against = &compareAgainst{
					report.Num(a.Difference), report.Num(a.Low), report.Num(a.High), string(a.Verdict),
					append([]string{}, a.Why...), report.Num(a.Smallest), a.Borrowed, a.Exploratory,
				}
			}
			m.Runs = append(m.Runs, v)
		}
		out.Measures = append(out.Measures, m)
	}
	return out
}

func nums(list []float64) []report.Num {
	out := make([]report.Num, len(list))
	for i, v := range list {
		out[i] = report.Num(v)
	}
	return out
}

func compareCSV(w io.Writer, view poolside.CompareView) error {
	rows := [][]string{{"measure", "unit", "run", "swimmer", "on", "value", "low", "high", "difference", "difference_low", "difference_high", "verdict", "smallest_real_change", "why"}}
	for _, row := range view.Table {
		for i, m := range row.Cells {
			r := view.Runs[i]
			line := []string{row.ID, row.Unit, r.Run.ID, report.CSVText(r.Name), string(r.Visit.On), csvNumber(m.Value), csvNumber(m.Low), csvNumber(m.High), "", "", "", "", "", ""}
			if i > 0 {
				a := row.Against[i-1]
				copy(line[8:], []string{csvNumber(a.Difference), csvNumber(a.Low), csvNumber(a.High), string(a.Verdict), csvNumber(a.Smallest), strings.Join(a.Why, " ")})
			}
			rows = append(rows, line)
		}
	}
	if err := csv.NewWriter(w).WriteAll(rows); err != nil {
		return fmt.Errorf("write the comparison as CSV: %w", err)
	}
	return nil
}

func csvNumber(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', 8, 64)
}
