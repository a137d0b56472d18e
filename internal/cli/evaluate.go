package cli

import (
	"context"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/score"
)

const evaluateHelp = `
Says how good the measuring is on clips of which the truth is known: error of
every landmark, of every measure, and how often the 95 % bands hold the truth.

  underkick evaluate DIR     every NAME.truth.json in DIR, with NAME.marks.json
                             beside it where somebody marked the clip
  underkick evaluate --demo  the clips of the demo

Besides the marks that are there, simulated coaches mark full frames at phases
staggered from kick to kick, with click noise on every point and on the scale:
--per-kick and --frames say on how many; --asked has them follow the marking
page's one next frame until it says enough. With --guess they do so a second time
with a guess of every frame, started by two clicks in the middle of the run, and
--frames are then frames the page asks for. The film NAME.mp4 lies beside its
truth; what was seen of it is kept in the data folder's cache.

With --worth the physical model is asked, of every marked run and of the exact one,
what a foot pointed 10 degrees more would bring: how far the two answers lie apart
is how sure the worth of facing is with such marks.

docs/formats.md describes the truth.`

func evaluateCommand() command {
	c := command{name: "evaluate", usage: "evaluate DIR | --demo [options]", brief: "say how good the measuring is on clips with known truth"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runEvaluate(ctx, c, args, s) }
	return c
}

func runEvaluate(ctx context.Context, c command, args []string, s streams) error {
	var r poolside.EvaluateRequest
	f := newFlags(c, s)
	demo := f.Bool("demo", false, "the clips of the demo")
	asJSON := f.Bool("json", false, "print JSON")
	asMarkdown := f.Bool("markdown", false, "print the tables of docs/validation-landmarks.md")
	perKick := f.String("per-kick", "4,8", "simulated coaches: frames per kick, `N,N,...`; \"\" for none")
	frames := f.String("frames", "8,20", "simulated coaches: frames in all, `N,N,...`; \"\" for none")
	levels := f.String("asked", "1,2", "simulated coaches: as the marking page asks until enough for level 1 or 2, `N,N`; \"\" for none")
	f.Float64Var(&r.NoisePx, "noise", 2, "click noise of the coaches per axis, `PX`")
	f.IntVar(&r.Repeats, "repeats", 4, "coaches per clip and number, `N`")
	f.Uint64Var(&r.Seed, "seed", 1, "of the coaches' hands, `N`")
	withGuess := f.Bool("guess", false, "also with a guess of the landmarks, which looks at the clips' film once (minutes)")
	f.BoolVar(&r.Worth, "worth", false, "also how well the worth of facing is known (a second more for each run)")
	var engine filmOptions
	engine.register(f)
	names, err := f.parse(args, evaluateHelp)
	if err != nil {
		return err
	}
	switch {
	case len(names) == 1 && !*demo:
		r.Dir = names[0]
	case len(names) != 0 || !*demo:
		return usagef("give one folder, or --demo")
	case *asJSON && *asMarkdown:
		return usagef("--json and --markdown exclude each other")
	}
	if !(r.NoisePx > 0) || r.NoisePx > 100 || r.Repeats < 1 {
		return usagef("--noise is between 0 and 100 px and --repeats at least 1")
	}
	if r.PerKick, err = numbers(*perKick); err != nil {
		return usagef("--per-kick: %v", err)
	}
	counts, err := numbers(*frames)
	if err != nil {
		return usagef("--frames: %v", err)
	}
	for _, n := range counts {
		r.Frames = append(r.Frames, int(n))
	}
	if counts, err = numbers(*levels); err != nil {
		return usagef("--asked: %v", err)
	}
	for _, n := range counts {
		if n > 2 {
			return usagef("--asked is 1, 2 or both, not %g", n)
		}
		r.Levels = append(r.Levels, int(n))
	}
	if *withGuess {
		if r.Guess.Film, err = engine.open(ctx, s); err != nil {
			return err
		}
		r.Guess.CacheDir = filepath.Join(defaultDataDir(), "cache")
	}
	e, err := poolside.Evaluate(ctx, r, func(doing string) { fmt.Fprintln(s.err, doing) })
	switch {
	case err != nil:
		return err
	case *asJSON:
		return writeEvaluation(s.out, e)
	case *asMarkdown:
		return evaluationPage(s.out, e, r)
	}
	return printEvaluation(s.out, e)
}

// numbers reads a list of positive numbers.
func numbers(text string) ([]float64, error) {
	var all []float64
	for word := range strings.SplitSeq(text, ",") {
		if word == "" {
			continue
		}
		x, err := strconv.ParseFloat(word, 64)
		if err != nil || !(x >= 1) || x > 1e4 {
			return nil, fmt.Errorf("%q is not a number from 1 to 10000", word)
		}
		all = append(all, x)
	}
	return all, nil
}

// writeEvaluation prints JSON; docs/formats.md describes it.
func writeEvaluation(w io.Writer, e *poolside.Evaluation) error {
	type landmark struct {
		ID       string   `json:"id"`
		Points   int      `json:"points"`
		Traced   *float64 `json:"traced"`
		RMSPx    *float64 `json:"rms_px"`
		RMSBL    *float64 `json:"rms_body"`
		P95BL    *float64 `json:"p95_body"`
		StatedBL *float64 `json:"stated_body"`
		Held     *float64 `json:"held"`
	}
	type measure struct {
		ID       string   `json:"id"`
		Unit     string   `json:"unit"`
		Relative bool     `json:"relative"`
		N        int      `json:"n"`
		Withheld int      `json:"withheld"`
		Bias     *float64 `json:"bias"`
		RMS      *float64 `json:"rms"`
		Width    *float64 `json:"half_width"`
		Held     *float64 `json:"held"`
	}
	type worth struct {
		N       int      `json:"n"`
		Refused int      `json:"refused"`
		True    *float64 `json:"true_mps"`
		Bias    *float64 `json:"bias_mps"`
		RMS     *float64 `json:"rms_mps"`
	}
	type scored struct {
		Clip      string     `json:"clip,omitempty"`
		Problem   string     `json:"problem,omitempty"`
		Runs      int        `json:"runs"`
		Frames    float64    `json:"frames_per_run"`
		Marks     float64    `json:"marks_per_run"`
		Landmarks []landmark `json:"landmarks"`
		FootDeg   *float64   `json:"foot_deg"`
		ToeSpeed  *float64   `json:"toe_speed"`
		Measures  []measure  `json:"measures"`
		BandsHeld int        `json:"bands_held"`
		BandsOf   int        `json:"bands_of"`
		Worth     *worth     `json:"facing_worth,omitempty"`
	}
	type marking struct {
		Name  string   `json:"name"`
		Total scored   `json:"total"`
		Clips []scored `json:"clips"`
	}
	convert := func(s poolside.Scored) scored {
		out := scored{Runs: s.Runs, Frames: s.Frames, Marks: s.Marks, FootDeg: finite(s.FootDeg), ToeSpeed: finite(s.ToeSpeed), BandsHeld: s.BandsHeld, BandsOf: s.BandsOf, Landmarks: []landmark{}, Measures: []measure{}}
		if w := s.Worth; w != nil {
			out.Worth = &worth{w.N, w.Refused, finite(w.True), finite(w.Bias), finite(w.RMS)}
		}
		for _, l := range s.Landmarks {
			out.Landmarks = append(out.Landmarks, landmark{l.Landmark.String(), l.Points, finite(l.Traced), finite(l.RMSPx), finite(l.RMS), finite(l.P95), finite(l.Stated), finite(l.Held)})
		}
		for _, m := range s.Measures {
			out.Measures = append(out.Measures, measure{m.ID, m.Unit, m.Relative, m.N, m.Withheld, finite(m.Bias), finite(m.RMS), finite(m.Width), finite(m.Held)})
		}
		return out
	}
	all := []marking{}
	for _, m := range e.Markings {
		row := marking{Name: m.Name, Total: convert(m.Total)}
		for _, c := range m.Clips {
			one := convert(c.Scored)
			one.Clip, one.Problem = c.Clip, c.Problem
			row.Clips = append(row.Clips, one)
		}
		all = append(all, row)
	}
	return writeJSON(w, map[string]any{"markings": all})
}

func finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// errorText writes a measure's error: per cent of the truth, or its own unit.
func errorText(m score.Measure, x float64) string {
	switch {
	case math.IsNaN(x):
		return "-"
	case m.Relative:
		return fmt.Sprintf("%.2f %%", 100*x)
	case m.Unit == "deg":
		return fmt.Sprintf("%.2f deg", x)
	}
	return fmt.Sprintf("%.3f", x)
}

func share(x float64) string {
	if math.IsNaN(x) {
		return "-"
	}
	return fmt.Sprintf("%.0f %%", 100*x)
}
