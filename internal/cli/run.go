package cli

import (
	"context"
	"fmt"
	"io"

	"underkick/internal/body"
	"underkick/internal/poolside"
)

// runOptions are the options that name one run: a clip with marks or a landmark table,
// its scale and its swimmer.
type runOptions struct {
	request poolside.FileRequest
	sex     string
	film    filmOptions
}

func (o *runOptions) register(f *flags) {
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
	f.Func("shutter", "how long the shutter was open, `1/N` or seconds: says how far the toe smears", func(text string) (err error) {
		r.Shutter, err = shutterTime(text)
		return err
	})
	f.BoolVar(&r.Steady, "steady", false, "follow a moving camera by what stands still in the picture; the scale then holds for one picture (the plane's \"frame\", else the first marked)")
	o.film.register(f)
}

// check refuses combinations that cannot be meant.
func (o *runOptions) check(names []string) error {
	r := &o.request
	switch {
	case len(names) > 1:
		return usagef("give one clip, not %d", len(names))
	case len(names) == 1 && r.Traces != "":
		return usagef("give a clip with --marks, or --traces without a clip")
	case len(names) == 0 && r.Traces == "":
		return usagef("give a clip with --marks FILE, or --traces FILE")
	case len(names) == 1 && r.Marks == "" && r.Guess == nil:
		return usagef("%s needs --marks FILE", names[0])
	case r.Guess != nil && r.Traces != "":
		return usagef("--guess needs the film: give a clip")
	case r.Traces != "" && r.Marks != "":
		return usagef("--marks goes with a clip, --traces without one")
	case r.MetresPerPx != 0 && r.Plane != "":
		return usagef("give --metres-per-px or --plane, not both")
	case r.Traces != "" && r.TrueFPS != 0:
		return usagef("--true-fps goes with a clip; use --fps with --traces")
	case r.Traces != "" && r.Steady:
		return usagef("--steady needs the film: give a clip with --marks")
	case r.Steady && r.MetresPerPx == 0 && r.Plane == "":
		return usagef("--steady needs a scale that holds for one picture: give --plane or --metres-per-px")
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

// openFilm starts the film engine if a clip is to be read.
func (o *runOptions) openFilm(ctx context.Context, s streams) error {
	if o.request.Clip == "" {
		return nil
	}
	if o.request.Steady {
		o.request.Progress = quarters(s.err, "following the camera")
	}
	engine, err := o.film.open(ctx, s)
	o.request.Film = engine
	return err
}

// quarters says what is being done at every quarter of it.
func quarters(w io.Writer, doing string) func(done, total int) {
	said := 0
	return func(done, total int) {
		if q := 4 * done / max(total, 1); q > said {
			said = q
			fmt.Fprintf(w, "%s: %d %% of %d pictures\n", doing, 25*q, total)
		}
	}
}

// shutterTime reads "1/500" or "0.002", s.
func shutterTime(text string) (float64, error) {
	x, err := poolside.ParseShutter(text)
	if err != nil {
		return 0, fmt.Errorf("--shutter: %w", err)
	}
	return x, nil
}
