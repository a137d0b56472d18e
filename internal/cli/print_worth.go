package cli

import (
	"fmt"
	"io"
	"math"
	"text/tabwriter"

	"underkick/internal/chart"
	"underkick/internal/limit/worth"
	"underkick/internal/poolside"
)

// printWorth prints an estimate in words and speeds: no forces and no powers.
func printWorth(w io.Writer, v *poolside.Worth) error {
	r := v.Result
	if r.Refused {
		fmt.Fprintln(w, "no estimate: "+r.Reason)
		return nil
	}
	fmt.Fprintln(w, "limiter: "+r.Limiter)
	fmt.Fprintln(w, r.Reason)
	if r.Sentence != "" {
		fmt.Fprintln(w, r.Sentence)
	}
	if r.Practice != "" && r.Practice != r.Limiter {
		fmt.Fprintf(w, "practise first: %s, which gains at the same effort\n", r.Practice)
	}
	fmt.Fprintln(w, "Model estimates, if everything else stays:")
	t := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	fmt.Fprintln(t, "  \tsame effort\talone\tband\tshare\tpower\tevidence")
	for _, p := range r.Parts {
		name := p.Quality.String()
		if p.Step != "" {
			name += " (" + p.Step + ")"
		}
		line(t, name, p.SpeedChange, p.Shapley.Value, p.EqualEffort, p.PowerChange, p.Evidence)
	}
	for _, c := range r.Changes {
		line(t, c.Change.String(), c.SpeedChange, math.NaN(), c.EqualEffort, c.PowerChange, c.Evidence)
	}
	if c := r.Together; c != nil {
		line(t, "all together", c.SpeedChange, math.NaN(), c.EqualEffort, c.PowerChange, "")
	}
	if err := t.Flush(); err != nil {
		return fmt.Errorf("print the estimate: %w", err)
	}
	printEvidence(w, r)
	if !math.IsNaN(r.Unexplained.Value) {
		fmt.Fprintf(w, "not explained by the kick: %s\n", change(r.Unexplained.Value))
	}
	if len(r.Push) > 0 {
		fmt.Fprintf(w, "push of the downkicks, the largest = 100:")
		for _, p := range r.Push {
			fmt.Fprintf(w, " %.0f", p.Index)
		}
		fmt.Fprintln(w)
	}
	for _, f := range r.Flags {
		fmt.Fprintln(w, "doubt: "+f.Text)
	}
	for _, text := range v.Warnings {
		fmt.Fprintln(w, "note: "+text)
	}
	return nil
}

func line(w io.Writer, name string, b worth.Band, share, equal, power float64, evidence string) {
	band := "–"
	if !math.IsNaN(b.Low) {
		band = chart.FormatNumber(b.Low, 2) + " to " + chart.FormatNumber(b.High, 2) + " m/s"
	}
	fmt.Fprintf(w, "  %s\t%s\t%s\t%s\t%s\t%s\t%s\n", name, change(equal), change(b.Value), band, change(share), percent(power), worth.Label(evidence))
}

// printEvidence writes out what the table names in short.
func printEvidence(w io.Writer, r *worth.Result) {
	told := map[string]bool{}
	tell := func(name, evidence string) {
		if worth.Label(evidence) != evidence && !told[evidence] {
			told[evidence] = true
			fmt.Fprintf(w, "%s, %s\n", name, evidence)
		}
	}
	for _, p := range r.Parts {
		tell(p.Quality.String(), p.Evidence)
	}
	for _, c := range r.Changes {
		tell(c.Name, c.Evidence)
	}
}

// change writes a change of speed, "–" where it is not known.
func change(v float64) string {
	return chart.Signed(v, 2, " m/s")
}

// percent writes a change of power as a share of what the kick takes now.
func percent(v float64) string {
	return chart.Signed(100*v, 0, " %")
}
