package cli

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"underkick/internal/kick"
	"underkick/internal/poolside"
	"underkick/internal/report"
)

const measureHelp = `
Measures the kicks on one clip, or in a landmark table without film.

  underkick measure CLIP --marks FILE (--metres-per-px S | --plane FILE) ...
  underkick measure --traces FILE.csv [--fps N] (--metres-per-px S | --plane FILE) --height M ...

Marks are our marks file (JSON), a CSV table with the columns frame (or time_s),
landmark, x_px, y_px, or COCO keypoints JSON with --mapping. With film, a mark's
frame addresses the picture and its time_s is only checked; without film time_s
wins and --fps is only needed where it is absent. The plane file holds
{"points_px": [[x,y],...], "points_m": [[X,Y],...]} with two points for a plain
scale or four or more of a rectangle, or a list of those with "frame" for a
moving camera. Without a scale the swimmer's height is used and flagged.
The swimming direction is found from the data. docs/formats.md describes the
files, docs/methods/ the measures.

  underkick measure CLIP --guess --from N --to N --at N --fingertip X,Y --toe X,Y ... [--marks FILE]

With --guess the landmarks are guessed on every frame from two points on one
(underkick guess tells how), and the marks put the guess right: a few frames are
then enough. Without --marks the numbers stand on the guess alone. They say that
the run is unmarked, their bands are wide, and nothing should be decided by them;
the pages do not show such numbers. A run through which the swimmer could not be
followed is refused while no frame has toe, ankle, knee and hip marked. With
--steady and no "frame" in the plane, the scale holds for the first frame of the run.`

func measureCommand() command {
	c := command{name: "measure", usage: "measure [CLIP] [options]", brief: "measure the kicks on a clip or in a landmark table"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runMeasure(ctx, c, args, s) }
	return c
}

// measureOptions are the options of one call.
type measureOptions struct {
	runOptions
	asJSON          bool
	csvDir, fitFile string
	guess           bool
	start           guessStart
}

func runMeasure(ctx context.Context, c command, args []string, s streams) error {
	var o measureOptions
	f := newFlags(c, s)
	o.register(f)
	f.BoolVar(&o.guess, "guess", false, "guess the landmarks from two points on one frame (--fingertip, --toe); the marks, if any, put the guess right")
	o.start.register(f)
	f.BoolVar(&o.asJSON, "json", false, "print JSON")
	f.StringVar(&o.csvDir, "csv", "", "write summary.csv, kicks.csv and signals.csv into `DIR`")
	f.StringVar(&o.fitFile, "traces-out", "", "write every landmark at every frame to `FILE`: frame,time_s,landmark,x_px,y_px,sd_px")
	names, err := f.parse(args, measureHelp)
	if err != nil {
		return err
	}
	if err := o.takeGuess(s); err != nil {
		return err
	}
	if err := o.check(names); err != nil {
		return err
	}
	return o.run(ctx, s)
}

// takeGuess puts the start of a guess into the request.
func (o *measureOptions) takeGuess(s streams) error {
	g := &o.start
	if !o.guess {
		if g.pointed[0] || g.pointed[1] || g.at >= 0 || g.from != 0 || g.to != 0 {
			return usagef("--from, --to, --at, --fingertip and --toe go with --guess")
		}
		return nil
	}
	if err := g.check(); err != nil {
		return err
	}
	o.request.Guess = &poolside.FileGuess{
		CacheDir: g.cache(), From: g.from, To: g.to, At: g.at, Fingertip: g.fingertip, Toe: g.toe,
		Progress: quarters(s.err, "looking at the frames"),
	}
	return nil
}

func (o *measureOptions) run(ctx context.Context, s streams) error {
	if err := o.openFilm(ctx, s); err != nil {
		return err
	}
	measured, err := poolside.MeasureFiles(ctx, o.request)
	if err != nil {
		return err
	}
	if o.fitFile != "" {
		if err := writeFile(o.fitFile, measured.WriteTraces); err != nil {
			return err
		}
	}
	if o.csvDir != "" {
		if err := writeCSVs(o.csvDir, measured.Result); err != nil {
			return err
		}
	}
	if o.asJSON {
		return report.WriteJSON(s.out, measured.Result)
	}
	return printMeasured(s.out, measured)
}

// writeCSVs writes the summary, the kicks and the curves into a folder.
func writeCSVs(dir string, r *kick.Result) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("make the folder %s: %w", dir, err)
	}
	for _, f := range []struct {
		name  string
		write func(io.Writer, *kick.Result) error
	}{
		{"summary.csv", report.WriteSummaryCSV}, {"kicks.csv", report.WriteKicksCSV}, {"signals.csv", report.WriteSignalsCSV},
	} {
		if err := writeFile(filepath.Join(dir, f.name), func(w io.Writer) error { return f.write(w, r) }); err != nil {
			return err
		}
	}
	return nil
}
