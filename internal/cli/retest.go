package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"text/tabwriter"

	"underkick/internal/limit"
	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/report"
)

const retestHelp = `
Holds two visits of a swimmer (whole name or id) against each other, measure by measure: value then and now with its 95 % band, the difference, the smallest real change, and
the verdict: changed, no change shown, or no verdict and why. Then what was practised in between
and what to do next.

  underkick retest SWIMMER
  underkick retest SWIMMER --test 2026-08-29 --retest 2026-10-24 --csv
  underkick retest SWIMMER --trends --csv

Without days it takes the newest visit that has like runs before it. Runs are alike when effort,
start, position and equipment are stated and the same. --trends prints every measure of every
visit with the verdict since the latest like visit before. docs/methods/retest.md explains the
verdicts, docs/formats.md the JSON and the CSV.`

func retestCommand() command {
	c := command{name: "retest", usage: "retest SWIMMER [options]", brief: "hold two visits of a swimmer against each other: what changed"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runRetest(ctx, c, args, s) }
	return c
}

// retestOptions are the options of one call.
type retestOptions struct {
	q                            poolside.RetestQuery
	data                         string
	asJSON, asCSV, trends, every bool
}

func runRetest(ctx context.Context, c command, args []string, s streams) error {
	var o retestOptions
	f := newFlags(c, s)
	f.StringVar(&o.data, "data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	f.StringVar((*string)(&o.q.Test), "test", "", "day of the earlier visit, `YYYY-MM-DD`")
	f.StringVar((*string)(&o.q.Retest), "retest", "", "day of the later visit, `YYYY-MM-DD`")
	f.BoolVar(&o.asJSON, "json", false, "print JSON")
	f.BoolVar(&o.asCSV, "csv", false, "print CSV")
	f.BoolVar(&o.trends, "trends", false, "every visit instead of two, as CSV")
	f.BoolVar(&o.every, "every", false, "every measure, not only speed, the qualities and tempo")
	names, err := f.parse(args, retestHelp)
	if err != nil {
		return err
	}
	switch {
	case len(names) != 1:
		return usagef("takes one swimmer, by the whole name or by the id that `underkick squad` lists")
	case o.asJSON && (o.asCSV || o.trends):
		return usagef("--json goes neither with --csv nor with --trends")
	case o.trends && o.q != (poolside.RetestQuery{}):
		return usagef("--trends shows every visit; leave --test and --retest out")
	}
	for _, day := range []record.Date{o.q.Test, o.q.Retest} {
		if day != "" && !day.Valid() {
			return usagef("%q is not a day; write it as YYYY-MM-DD", string(day))
		}
	}
	return o.run(ctx, names[0], s)
}

func (o retestOptions) run(ctx context.Context, swimmer string, s streams) error {
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: o.data})
	if err != nil {
		return err
	}
	w, err := app.FindSwimmer(ctx, swimmer)
	if err != nil {
		return errors.Join(err, app.Close())
	}
	if o.trends {
		view, err := app.Trends(ctx, w.ID)
		if err := errors.Join(err, app.Close()); err != nil {
			return err
		}
		return view.WriteCSV(s.out)
	}
	view, err := app.Retest(ctx, w.ID, o.q)
	if err := errors.Join(err, app.Close()); err != nil {
		return err
	}
	switch {
	case o.asJSON:
		return writeJSON(s.out, view.Document())
	case o.asCSV:
		return view.WriteCSV(s.out)
	}
	return printRetest(s.out, view, o.every)
}

func printRetest(w io.Writer, v poolside.RetestView, every bool) error {
	fmt.Fprintf(w, "Retest of %s\n", v.Swimmer.Name)
	if words := v.Renewing.Words(); words != "" {
		fmt.Fprintln(w, words)
	}
	if v.Problem != "" {
		_, err := fmt.Fprintln(w, v.Problem)
		return err
	}
	fmt.Fprintf(w, "%s against %s, %d and %d runs\n\n", v.Test, v.Retest, len(v.Result.Test), len(v.Result.Retest))
	for _, why := range v.Result.Refused {
		fmt.Fprintln(w, "no verdict:", why)
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	if len(v.Rows) > 0 {
		fmt.Fprintln(t, "measure\ttest\tretest\tdifference\tsmallest real change\tverdict\tjudged")
	}
	for _, r := range v.Rows {
		if r.Lead || every {
			fmt.Fprintln(t, retestRow(r))
		}
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if len(v.Given) > 0 {
		fmt.Fprintln(w, "\npractised in between:")
	}
	for _, g := range v.Given {
		fmt.Fprintf(w, "  %s (%s), %s, from %s%s\n", g.Drill.Title, g.Drill.Serves, g.Dose, g.From, givenBy(g.GivenBy))
	}
	for _, line := range v.Cautions {
		fmt.Fprintln(w, " ", line)
	}
	fmt.Fprintln(w, "\nwhat to do next:")
	for _, line := range v.Next {
		if _, err := fmt.Fprintln(w, " ", line); err != nil {
			return err
		}
	}
	return nil
}

func givenBy(name string) string {
	if name == "" {
		return ""
	}
	return ", given by " + name
}

func retestRow(r poolside.RetestRow) string {
	difference, smallest, judged := "-", "-", ""
	if c := r.Change; c.Verdict != limit.Refused {
		difference, smallest, judged = report.WithUnit(r.ID, r.Unit, c.Difference), report.WithUnit(r.ID, r.Unit, c.Smallest), report.Judged(c)
	}
	says := r.Change.Says()
	if len(r.Change.Why) > 0 {
		says += ": " + r.Change.Why[0]
	}
	if r.Grown != nil {
		judged += "; in body heights: " + r.Grown.Says()
	}
	return fmt.Sprintf("%s\t%s (%s)\t%s (%s)\t%s\t%s\t%s\t%s", r.Name, report.Value(r.Test), orDash(report.Spread(r.Test)),
		report.Value(r.Retest), orDash(report.Spread(r.Retest)), difference, smallest, says, judged)
}
