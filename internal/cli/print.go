package cli

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"underkick/internal/kick"
	"underkick/internal/poolside"
	"underkick/internal/report"
)

// shortList is what a terminal shows of a run; --json and --csv have the rest.
var shortList = []string{
	"speed", "kick_frequency", "kick_length", "toe_amplitude", "strouhal",
	"downkick_duration", "upkick_duration", "knee_flexion_max", "ankle_min", "ankle_max",
	"toe_peak_speed_down", "toe_peak_speed_up",
	"facing", "facing_upkick", "sweep", "end_lead", "build", "build_upkick",
}

// printMeasured prints a measured run without a swimmer's history.
func printMeasured(w io.Writer, m *poolside.Measured) error {
	if err := printSummary(w, m.Result); err != nil {
		return err
	}
	printChecks(w, m.Checks())
	for _, warning := range m.Result.Warnings {
		fmt.Fprintln(w, "note: "+warning)
	}
	return nil
}

// printSummary prints the short list of measures with their bands.
func printSummary(w io.Writer, r *kick.Result) error {
	fmt.Fprintf(w, "%d kicks counted of %d seen\n", r.Counted, len(r.Kicks))
	names := map[string]string{}
	for _, d := range kick.Definitions() {
		names[d.ID] = d.Name
	}
	t := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	for _, id := range shortList {
		m, ok := r.Measure(id)
		if !ok {
			continue
		}
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\n", names[id], report.Value(m), report.Spread(m), reasons(m))
	}
	if err := t.Flush(); err != nil {
		return fmt.Errorf("print the measures: %w", err)
	}
	return nil
}

func reasons(m kick.Measure) string {
	var texts []string
	for _, r := range m.Reasons {
		texts = append(texts, r.Text)
	}
	return strings.Join(texts, " ")
}

// printKick prints a kept run: the finding first, then the numbers.
func printKick(w io.Writer, v poolside.KickView) error {
	if v.Problem != "" {
		fmt.Fprintln(w, v.Problem)
		return nil
	}
	f := v.Finding
	fmt.Fprintln(w, f.Sentence)
	fmt.Fprintln(w, "rule: "+f.Rule)
	if f.Doubt != "" {
		fmt.Fprintln(w, "doubt: "+f.Doubt)
	}
	if err := printSummary(w, v.Result); err != nil {
		return err
	}
	for _, c := range f.Changes {
		fmt.Fprintln(w, "change: "+report.ChangeWords(c))
	}
	for _, text := range f.CannotTell {
		fmt.Fprintln(w, "cannot tell: "+text)
	}
	for _, text := range f.Cautions {
		fmt.Fprintln(w, "caution: "+text)
	}
	for _, text := range v.Warnings {
		fmt.Fprintln(w, "note: "+text)
	}
	return nil
}
