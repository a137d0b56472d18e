package cli

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"underkick/internal/body"
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
files, docs/methods/ the measures.`

func measureCommand() command {
	c := command{name: "measure", usage: "measure [CLIP] [options]", brief: "measure the kicks on a clip or in a landmark table"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runMeasure(ctx, c, args, s) }
	return c
}

// measureOptions are the options of one call.
type measureOptions struct {
	request         poolside.FileRequest
	sex             string
	asJSON          bool
	csvDir, fitFile string
	film            filmOptions
}

func runMeasure(ctx context.Context, c command, args []string, s streams) error {
	var o measureOptions
	f := newFlags(c, s)
	r := &o.request
	f.StringVar(&r.Marks, "marks", "", "marks `FILE`: our JSON, CSV, or COCO keypoints JSON")
	f.StringVar(&r.Mapping, "mapping", "", "mapping `FILE` for COCO keypoints: keypoint name to landmark")
	f.StringVar(&r.Traces, "traces", "", "landmark table `FILE` (CSV) to measure without film")
	f.Float64Var(&r.FPS, "fps", 0, "pictures per second `N` of a table without time_s")
	f.Float64Var(&r.TrueFPS, "true-fps", 0, "how many pictures per second `F` a slow-motion file was really filmed at")
	f.Float64Var(&r.MetresPerPx, "metres-per-px", 0, "scale `S`: metres in the swimmer's plane per pixel")
	f.StringVar(&r.Plane, "plane", "", "plane `FILE`: points in the picture and where they are in metres")
	f.Float64Var(&r.Subject.Height, "height", 0, "standing height `M` in metres")
	f.Float64Var(&r.Subject.Mass, "mass", 0, "body mass `KG`")
	f.StringVar(&o.sex, "sex", "", "`m|f`: table of body segments; unknown uses m and says so")
	f.BoolVar(&r.Supine, "supine", false, "the swimmer lies on the back")
	f.BoolVar(&o.asJSON, "json", false, "print JSON")
	f.StringVar(&o.csvDir, "csv", "", "write summary.csv, kicks.csv and signals.csv into `DIR`")
	f.StringVar(&o.fitFile, "traces-out", "", "write every landmark at every frame to `FILE`: frame,time_s,landmark,x_px,y_px,sd_px")
	o.film.register(f)
	names, err := f.parse(args, measureHelp)
	if err != nil {
		return err
	}
	if err := o.check(names); err != nil {
		return err
	}
	return o.run(ctx, s)
}

// check refuses combinations that cannot be meant.
func (o *measureOptions) check(names []string) error {
	r := &o.request
	switch {
	case len(names) > 1:
		return usagef("give one clip, not %d", len(names))
	case len(names) == 1 && r.Traces != "":
		return usagef("give a clip with --marks, or --traces without a clip")
	case len(names) == 0 && r.Traces == "":
		return usagef("give a clip with --marks FILE, or --traces FILE")
	case len(names) == 1 && r.Marks == "":
		return usagef("%s needs --marks FILE", names[0])
	case r.Traces != "" && r.Marks != "":
		return usagef("--marks goes with a clip, --traces without one")
	case r.MetresPerPx != 0 && r.Plane != "":
		return usagef("give --metres-per-px or --plane, not both")
	case r.Traces != "" && r.TrueFPS != 0:
		return usagef("--true-fps goes with a clip; use --fps with --traces")
	case r.Traces == "" && r.FPS != 0:
		return usagef("--fps goes with --traces; a clip has its own times (--true-fps for slow motion)")
	}
	for name, v := range map[string]float64{"--fps": r.FPS, "--true-fps": r.TrueFPS, "--metres-per-px": r.MetresPerPx, "--height": r.Subject.Height, "--mass": r.Subject.Mass} {
		if v < 0 || v != v || v > 1e6 {
			return usagef("%s must be a positive number", name)
		}
	}
	if h := r.Subject.Height; h != 0 && (h < 0.8 || h > 2.6) {
		return usagef("--height is in metres (0.8 to 2.6), not %g", h)
	}
	if m := r.Subject.Mass; m != 0 && (m < 15 || m > 250) {
		return usagef("--mass is in kilograms (15 to 250), not %g", m)
	}
	if r.MetresPerPx == 0 && r.Plane == "" && r.Subject.Height == 0 {
		return usagef("pixels need a scale: give --metres-per-px, --plane, or at least --height")
	}
	switch o.sex {
	case "":
	case "m":
		r.Subject.Sex = body.Male
	case "f":
		r.Subject.Sex = body.Female
	default:
		return usagef("--sex is m or f, not %q", o.sex)
	}
	if len(names) == 1 {
		r.Clip = names[0]
	}
	return nil
}

func (o *measureOptions) run(ctx context.Context, s streams) error {
	if o.request.Clip != "" {
		engine, err := o.film.open(ctx, s)
		if err != nil {
			return err
		}
		o.request.Film = engine
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

// writeFile writes through a temporary file beside path, so that a failure
// leaves no half-written file and an older one stands until the new is whole.
func writeFile(path string, write func(io.Writer) error) (err error) {
	tmp, err := os.CreateTemp(filepath.Dir(path), ".underkick-*")
	if err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	defer func() {
		if err != nil {
			_ = os.Remove(tmp.Name()) // best effort: the first error is the one to tell
			err = fmt.Errorf("write %s: %w", path, err)
		}
	}()
	if err := write(tmp); err != nil {
		_ = tmp.Close()
		return err
	}
	if err := tmp.Sync(); err != nil {
		_ = tmp.Close()
		return err
	}
	if err := tmp.Close(); err != nil {
		return err
	}
	return os.Rename(tmp.Name(), path)
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
