package cli

import (
	"fmt"
	"io"
	"math"
	"text/tabwriter"

	"underkick/internal/poolside"
)

// printEvaluation prints the totals of every way of marking and a line per clip.
func printEvaluation(w io.Writer, e *poolside.Evaluation) error {
	for _, m := range e.Markings {
		t := m.Total
		fmt.Fprintf(w, "%s: %d runs, %.0f frames and %.0f marks each\n", m.Name, t.Runs, t.Frames, t.Marks)
		tab := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
		fmt.Fprintln(tab, "  landmark\trms px\t% of body\t95 of 100\tstated\tin band\ttraced")
		for _, l := range t.Landmarks {
			fmt.Fprintf(tab, "  %v\t%.1f\t%.2f\t%.2f\t%.2f\t%s\t%s\n", l.Landmark, l.RMSPx, 100*l.RMS, 100*l.P95, 100*l.Stated, share(l.Held), share(l.Traced))
		}
		fmt.Fprintf(tab, "  foot angle\t%.1f deg\n", t.FootDeg)
		fmt.Fprintf(tab, "  toe speed\t%.1f %% of its peak\n", 100*t.ToeSpeed)
		fmt.Fprintln(tab, "  measure\trms error\tbias\tband +-\tin band\tno value")
		for _, x := range t.Measures {
			fmt.Fprintf(tab, "  %s\t%s\t%s\t%s\t%s\t%d of %d\n", x.ID, errorText(x, x.RMS), errorText(x, x.Bias), errorText(x, x.Width), share(x.Held), x.Withheld, x.N+x.Withheld)
		}
		fmt.Fprintf(tab, "  all bands\t\t\t\t%d of %d\n", t.BandsHeld, t.BandsOf)
		if err := tab.Flush(); err != nil {
			return fmt.Errorf("print the evaluation: %w", err)
		}
		if text := facingWorthText(t.Worth); text != "" {
			fmt.Fprintln(w, "  "+text)
		}
		for _, c := range m.Clips {
			printClipScore(w, c)
		}
		fmt.Fprintln(w)
	}
	return nil
}

func printClipScore(w io.Writer, c poolside.ClipScore) {
	fmt.Fprintf(w, "  %s: ", c.Clip)
	if c.Problem != "" {
		fmt.Fprintln(w, c.Problem)
	}
	if c.Runs == 0 {
		return
	}
	fmt.Fprintf(w, "%.0f frames;", c.Frames)
	for _, l := range c.Landmarks {
		fmt.Fprintf(w, " %v %.2f", l.Landmark, 100*l.RMS)
	}
	fmt.Fprintf(w, " %% of body; foot %.1f deg; %d of %d bands\n", c.FootDeg, c.BandsHeld, c.BandsOf)
}

// bar is one of the marks that marking has to reach.
type bar struct {
	name string
	most float64
	of   func(s poolside.Scored) float64
	unit string
}

func landmarkBar(id string, most float64) bar {
	return bar{id, most, func(s poolside.Scored) float64 {
		for _, l := range s.Landmarks {
			if l.Landmark.String() == id {
				return 100 * l.RMS
			}
		}
		return math.NaN()
	}, "% of body"}
}

func measureBar(id string, most float64) bar {
	return bar{id, most, func(s poolside.Scored) float64 {
		for _, m := range s.Measures {
			if m.ID == id {
				return 100 * m.RMS
			}
		}
		return math.NaN()
	}, "%"}
}

var footBar = bar{"foot angle", 3, func(s poolside.Scored) float64 { return s.FootDeg }, "deg"}

var (
	wholeBars = []bar{
		landmarkBar("toe", 1), landmarkBar("ankle", 0.8), landmarkBar("knee", 1), landmarkBar("hip", 0.7), footBar,
		measureBar("speed", 1), measureBar("kick_frequency", 0.5), measureBar("toe_amplitude", 2),
	}
	firstBars = []bar{
		landmarkBar("toe", 1.5), measureBar("speed", 1), measureBar("kick_frequency", 0.5), measureBar("toe_amplitude", 2),
	}
)

// bars are what the marking is built to reach, by the way of marking: full frames by
// hand alone at staggered phases, the budget of a clip with a guess, and what each
// level promises.
var bars = map[string][]bar{
	"4 frames per kick":                         {landmarkBar("toe", 0.8)},
	"8 frames per kick":                         {landmarkBar("toe", 0.5)},
	"asked frames until enough, level 1":        firstBars,
	"asked frames until enough, level 2":        wholeBars,
	"guess, 8 frames asked for":                 wholeBars,
	"guess, 20 frames asked for":                {landmarkBar("toe", 1)},
	"guess, asked frames until enough, level 1": firstBars,
	"guess, asked frames until enough, level 2": wholeBars,
}

// evaluationPage writes docs/validation-landmarks.md.
func evaluationPage(w io.Writer, e *poolside.Evaluation, r poolside.EvaluateRequest) error {
	fmt.Fprintf(w, `# Landmarks and marking, measured

Made by `+"`make validation`"+`; do not edit. Clips are rendered, their truth is known
([demo clips](methods/demo-clips.md)); real pools are worse, so read every figure as a best
case. Simulated coaches (%d per clip, seed %d) mark full frames of seven points at phases
staggered from kick to kick, or what the marking page asks for, with %g px of click noise per axis on every point and on the points
of the scale. Those whose marking is named "guess" were given the guess of every frame, started by two
such clicks ([guess](methods/guess.md)); the others mark alone. No steady offset of the hand is simulated.

- Errors of landmarks: rms distance from the true point in %% of the body's length from finger tip to
  toe (px: of each clip's own picture). "Stated" is what the standard errors promise; "in band" how
  many coordinates lie within 1.96 of them.
- Errors of measures: %% of the truth, or the unit shown. The truth is that of the exact motion where
  the clip states it (speed, tempo, angles and so on), else our own measures of the exact landmarks.
`, r.Repeats, r.Seed, r.NoisePx)
	for _, m := range e.Markings {
		if err := markingSection(w, m); err != nil {
			return err
		}
	}
	return nil
}

func markingSection(w io.Writer, m poolside.Marking) error {
	t := m.Total
	fmt.Fprintf(w, "\n## Marked: %s\n\n%d runs, %.0f frames and %.0f marks each.\n\n", m.Name, t.Runs, t.Frames, t.Marks)
	fmt.Fprint(w, "| landmark | rms px | rms % | 95 of 100 below % | stated % | in band | traced |\n|---|---|---|---|---|---|---|\n")
	for _, l := range t.Landmarks {
		fmt.Fprintf(w, "| %v | %.1f | %.2f | %.2f | %.2f | %s | %s |\n", l.Landmark, l.RMSPx, 100*l.RMS, 100*l.P95, 100*l.Stated, share(l.Held), share(l.Traced))
	}
	fmt.Fprintf(w, "\nFoot angle %.1f deg rms, toe velocity %.1f %% of its peak. %d of %d bands of measures hold the truth.\n", t.FootDeg, 100*t.ToeSpeed, t.BandsHeld, t.BandsOf)
	printFacing(w, t)
	if text := facingWorthText(t.Worth); text != "" {
		fmt.Fprintln(w, text)
	}
	printBars(w, m)
	fmt.Fprint(w, "\n| measure | rms error | bias | band +- | in band | no value |\n|---|---|---|---|---|---|\n")
	for _, x := range t.Measures {
		fmt.Fprintf(w, "| %s | %s | %s | %s | %s | %d of %d |\n", x.ID, errorText(x, x.RMS), errorText(x, x.Bias), errorText(x, x.Width), share(x.Held), x.Withheld, x.N+x.Withheld)
	}
	fmt.Fprint(w, "\n| clip | frames | toe % | ankle % | knee % | hip % | foot deg | bands |\n|---|---|---|---|---|---|---|---|\n")
	for _, c := range m.Clips {
		if c.Runs == 0 {
			fmt.Fprintf(w, "| %s | not measured: %s |||||||\n", c.Clip, c.Problem)
			continue
		}
		cell := func(id string) float64 { return landmarkBar(id, 0).of(c.Scored) }
		fmt.Fprintf(w, "| %s | %.0f | %.2f | %.2f | %.2f | %.2f | %.1f | %d of %d |\n", c.Clip, c.Frames, cell("toe"), cell("ankle"), cell("knee"), cell("hip"), c.FootDeg, c.BandsHeld, c.BandsOf)
	}
	return nil
}

// printFacing says how well facing is known at this marking.
func printFacing(w io.Writer, s poolside.Scored) {
	for _, m := range s.Measures {
		if m.ID == "facing" {
			fmt.Fprintf(w, "Facing: SD %.3f against the truth; its bands, kick to kick differences included, say %.3f.\n", m.RMS, m.Width/1.96)
		}
	}
}

// facingWorthText says how well the worth of facing is known at this marking, "" when it
// was not asked.
func facingWorthText(f *poolside.FacingWorth) string {
	if f == nil {
		return ""
	}
	if f.N == 0 {
		return fmt.Sprintf("Worth of 10 deg more pointed feet: no answer for any of %d runs.", f.Refused)
	}
	return fmt.Sprintf("Worth of 10 deg more pointed feet, a model estimate: %+.3f m/s from the exact motion; from the marks off by %.3f m/s (SD), on the mean by %+.3f (%d runs, %d without an answer).",
		f.True, f.RMS, f.Bias, f.N, f.Refused)
}

// printBars holds the figures against the bars of this way of marking.
func printBars(w io.Writer, m poolside.Marking) {
	if len(bars[m.Name]) == 0 {
		return
	}
	fmt.Fprint(w, "\n| bar | at most | reached | |\n|---|---|---|---|\n")
	for _, b := range bars[m.Name] {
		got := b.of(m.Total)
		switch {
		case math.IsNaN(got):
			fmt.Fprintf(w, "| %s | %g %s | - | no value |\n", b.name, b.most, b.unit)
		case got <= b.most:
			fmt.Fprintf(w, "| %s | %g %s | %.2f | held |\n", b.name, b.most, b.unit, got)
		default:
			fmt.Fprintf(w, "| %s | %g %s | %.2f | **missed** |\n", b.name, b.most, b.unit, got)
		}
	}
}
