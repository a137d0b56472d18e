package cli

import (
	"fmt"
	"io"

	"underkick/internal/poolside"
	"underkick/internal/practice"
)

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
	if c.Dose.Repeats > 0 {
		fmt.Fprintf(w, "  dose:    %s (common practice, no source)\n", c.Dose)
	} else {
		printDoses(w, d)
	}
	fmt.Fprintf(w, "  cue:     %s\n", d.Cue)
	fmt.Fprintf(w, "  error:   %s\n", d.Error)
	if d.Equipment != "" {
		fmt.Fprintf(w, "  needs:   %s\n", d.Equipment)
	}
	if d.Caution != "" {
		fmt.Fprintf(w, "  caution: %s\n", d.Caution)
	}
	printSeen(w, d)
}
