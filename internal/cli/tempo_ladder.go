package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"text/tabwriter"

	"underkick/internal/poolside"
	"underkick/internal/wall"
)

const ladderHelp = `
Reads a tempo ladder: runs at stepped kick tempo, each with its speed. Says which tempos are not
shown to be slower than the fastest, whether the distance per kick held, and what to train.

  underkick tempo-ladder 1.8:1.34 1.8:1.31 2.1:1.42 2.1:1.45 2.4:1.40 2.4:1.43
  underkick tempo-ladder --in FILE.json
  underkick tempo-ladder --data DIR --swimmer ID --run ID --run ID ... [--keep NAME]
  underkick tempo-ladder --click-track click.wav --tempo 2.1

Steps are TEMPO:SPEED, kicks per second and m/s. Four runs at three tempos at least, best two at
each. The click track is a WAV file with one click per kick, as the downkick begins, and lower
clicks that count in; without --tempo it takes the middle of the ladder's best range.
docs/methods/walls.md explains the fit, docs/formats.md the JSON.`

func tempoLadderCommand() command {
	c := command{name: "tempo-ladder", usage: "tempo-ladder [TEMPO:SPEED ...] [options]", brief: "find the best kick tempo from runs at stepped tempo; write a click track"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runLadder(ctx, c, args, s) }
	return c
}

// ladderOptions are the options of one call.
type ladderOptions struct {
	in                                    poolside.LadderInput
	file, track, data, ladder, of, keepAs string
	runs                                  []string // measured runs of the swimmer
	click                                 wall.Click
	asJSON                                bool
}

func runLadder(ctx context.Context, c command, args []string, s streams) error {
	var o ladderOptions
	f := newFlags(c, s)
	f.StringVar(&o.file, "in", "", "read the runs from `FILE`, JSON as docs/formats.md has it; - = standard input")
	f.StringVar(&o.track, "click-track", "", "write a click track to `FILE` (WAV)")
	f.Float64Var(&o.click.Tempo, "tempo", 0, "of the click track, `F` kicks per second")
	f.Float64Var(&o.click.Seconds, "seconds", 8, "length `S` of the click track after the counting-in, at most 30")
	f.IntVar(&o.click.CountIn, "count-in", 4, "beats `N` of counting-in, -1 = none")
	f.Float64Var(&o.click.Volume, "volume", 0.5, "of the click track, `V` above 0 to 1; 1 is half of full scale")
	f.StringVar(&o.data, "data", "", "data folder `DIR` for --ladder, --swimmer (default: the pages' own)")
	f.StringVar(&o.ladder, "ladder", "", "show the kept ladder `ID`")
	f.StringVar(&o.of, "swimmer", "", "kept swimmer `ID` whose runs they are, for --run and --keep")
	f.Func("run", "take measured run `ID` of --swimmer as a step; may be repeated", func(id string) error {
		o.runs = append(o.runs, id)
		return nil
	})
	f.StringVar(&o.keepAs, "keep", "", "keep it under `NAME`")
	f.BoolVar(&o.asJSON, "json", false, "print JSON")
	names, err := f.parse(args, ladderHelp)
	if err != nil {
		return err
	}
	if err := o.complete(names); err != nil {
		return err
	}
	return o.run(ctx, s)
}

func (o *ladderOptions) complete(names []string) error {
	for _, name := range names {
		numbers, err := numbersOf(name, ":")
		if err != nil || len(numbers) != 2 {
			return usagef("a run is TEMPO:SPEED such as 2.1:1.42, not %q", name)
		}
		o.in.Steps = append(o.in.Steps, wall.Step{Tempo: numbers[0], Speed: numbers[1]})
	}
	sources := 0
	for _, given := range []bool{len(names) > 0 || len(o.runs) > 0, o.file != "", o.ladder != ""} {
		if given {
			sources++
		}
	}
	switch {
	case sources > 1:
		return usagef("runs, --in and --ladder do not go together")
	case sources == 0 && o.track == "":
		return usagef("give runs as TEMPO:SPEED, --in FILE, or --click-track FILE with --tempo F")
	case sources == 0 && o.click.Tempo == 0:
		return usagef("--click-track without runs needs --tempo F")
	case o.track == "" && o.click.Tempo != 0:
		return usagef("--tempo is the click track's; give --click-track FILE")
	case o.of == "" && (o.keepAs != "" || len(o.runs) > 0):
		return usagef("--keep and --run need --swimmer ID")
	case o.of != "" && o.keepAs == "" && len(o.runs) == 0:
		return usagef("--swimmer goes with --run or --keep")
	case o.click.Volume <= 0:
		return usagef("--volume lies above 0, up to 1, not %s", strconv.FormatFloat(o.click.Volume, 'g', -1, 64))
	case o.click.Seconds <= 0:
		return usagef("--seconds lies above 0, up to %g", wall.MostClickSeconds)
	case o.data != "" && o.ladder == "" && o.of == "":
		return usagef("--data goes with --ladder, or with --swimmer and --keep")
	}
	if o.click.CountIn == 0 {
		o.click.CountIn = -1
	}
	if o.track != "" && o.click.Tempo != 0 {
		if err := o.click.Check(); err != nil {
			return usageError{err.Error()}
		}
	}
	return nil
}

func (o *ladderOptions) run(ctx context.Context, s streams) error {
	if o.file != "" {
		text, err := readInput(s, o.file)
		if err != nil {
			return err
		}
		if o.in, err = poolside.ReadLadderInput(text); err != nil {
			return err
		}
	}
	var answer *poolside.LadderAnswer
	var err error
	switch {
	case o.ladder != "" || o.of != "":
		answer, err = o.stored(ctx, s)
	case len(o.in.Steps) > 0 || o.file != "":
		answer, err = poolside.ClimbLadder(o.in)
		if err != nil {
			err = asInput(err)
		}
	}
	if err != nil {
		return err
	}
	if o.track != "" {
		if err := o.writeTrack(s, answer); err != nil {
			return err
		}
	}
	switch {
	case answer == nil:
		printCautions(s.out, poolside.BreathCautions())
		return nil
	case o.asJSON:
		return writeJSON(s.out, answer)
	}
	return printLadder(s.out, answer)
}

// stored shows a kept ladder or keeps this one.
func (o *ladderOptions) stored(ctx context.Context, s streams) (_ *poolside.LadderAnswer, err error) {
	ctx, app, err := openData(ctx, s, o.data)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, app.Close()) }()
	if o.ladder == "" {
		if err := o.takeRuns(ctx, app); err != nil {
			return nil, err
		}
		answer, err := poolside.ClimbLadder(o.in)
		if err != nil {
			return nil, asInput(err)
		}
		if o.keepAs == "" {
			return answer, nil
		}
		id, err := app.KeepLadder(ctx, o.of, "", o.keepAs, o.in)
		if err != nil {
			return nil, notThere(err, "swimmer", o.of)
		}
		fmt.Fprintf(s.err, "kept as ladder %s\n", id)
		return answer, nil
	}
	v, err := app.Ladder(ctx, o.ladder)
	if err != nil {
		return nil, notThere(err, "ladder", o.ladder)
	}
	if v.Answer == nil {
		return nil, asInput(errors.New(v.Problem))
	}
	return v.Answer, nil
}

// takeRuns adds the measured runs that were named to the steps.
func (o *ladderOptions) takeRuns(ctx context.Context, app *poolside.App) error {
	v, err := app.NewLadder(ctx, o.of, poolside.LadderInput{})
	if err != nil {
		return notThere(err, "swimmer", o.of)
	}
	for _, id := range o.runs {
		i := slices.IndexFunc(v.Runs, func(r poolside.KickSource) bool { return r.Key == "run:"+id })
		if i < 0 {
			return asInput(fmt.Errorf("the swimmer has no measured run %q", id))
		}
		o.in.Steps = append(o.in.Steps, wall.Step{Tempo: v.Runs[i].Tempo.Value, Speed: v.Runs[i].Speed.Value, Run: v.Runs[i].Key})
	}
	return nil
}

func (o *ladderOptions) writeTrack(s streams, answer *poolside.LadderAnswer) error {
	if o.click.Tempo == 0 {
		o.click.Tempo = answer.Tempo.Value
	}
	if err := o.click.Check(); err != nil {
		return usageError{err.Error()}
	}
	if err := writeFile(o.track, o.click.WriteWAV); err != nil {
		return err
	}
	fmt.Fprintf(s.err, "click track at %.2f kicks per second: %s\n", o.click.Tempo, o.track)
	return nil
}

func printLadder(w io.Writer, a *poolside.LadderAnswer) error {
	fmt.Fprintln(w, a.Words)
	fmt.Fprintln(w, a.Train)
	t := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	fmt.Fprintln(t, "  kicks per second\tspeed, m/s\tdistance per kick, m")
	for _, s := range a.Steps {
		fmt.Fprintf(t, "  %.2f\t%.2f\t%.2f\n", s.Tempo, s.Speed, s.Speed/s.Tempo)
	}
	if err := t.Flush(); err != nil {
		return fmt.Errorf("print the ladder: %w", err)
	}
	fmt.Fprintf(w, "best range %.2f to %.2f kicks per second, %.2f ± %.2f m/s there\n", a.Best[0], a.Best[1], a.Top.Value, 1.96*a.Top.SD)
	fmt.Fprintf(w, "distance per kick: %s, %s %% for 1 %% more tempo\n", a.Held, band(a.Length, 2))
	for _, r := range a.Reasons {
		fmt.Fprintln(w, "note: "+r.Text)
	}
	printCautions(w, a.Cautions)
	return nil
}
