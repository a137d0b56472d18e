package cli

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"slices"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

const filmCardHelp = `
Works out, before anything is filmed, what a camera will see of a swimmer under
water and what that leaves of the measures: width seen, whole kicks, pixels per
foot, blur of the fastest toe, timing, the expected 95 % band of every measure,
and the one change of the set-up that would help most.

  underkick film-card --equivalent 28 --fps 120 --distance 5 --height 1.65 --level club
  underkick film-card --preset phone-wide --light dim
  underkick film-card --presets

What is not given gets a usual value, which the answer names. The swimmer is a
reference kick at the level's usual speed and tempo, not yours. The lens is taken
to draw straight lines straight. docs/methods/filming.md explains.`

func filmCardCommand() command {
	c := command{name: "film-card", usage: "film-card [options]", brief: "say how to film so that the numbers hold"}
	c.run = func(ctx context.Context, args []string, s streams) error {
		f := newFlags(c, s)
		var o filmCardOptions
		o.register(f)
		names, err := f.parse(args, filmCardHelp)
		if err != nil {
			return err
		}
		if len(names) > 0 {
			return usagef("%q is no option; film-card takes options only", names[0])
		}
		return o.run(ctx, f, args, s)
	}
	return c
}

type filmCardOptions struct {
	in                     poolside.FilmingInput
	preset, shutter, level string
	presets, brief, asJSON bool
}

func (o *filmCardOptions) register(f *flags) {
	in := &o.in
	f.StringVar(&o.preset, "preset", "", "begin with the set-up `ID`; --presets lists them")
	f.BoolVar(&o.presets, "presets", false, "list the set-ups")
	f.Float64Var(&in.FieldDeg, "field", 0, "horizontal angle of view in air, `DEG` degrees")
	f.Float64Var(&in.EquivalentMM, "equivalent", 0, "or the 35 mm equivalent focal length, `MM` (28)")
	f.Float64Var(&in.FocalMM, "focal", 0, "or the focal length `MM`, with --sensor")
	f.Float64Var(&in.SensorMM, "sensor", 0, "width of the sensor as far as it films, `MM`")
	f.IntVar(&in.WidthPx, "width", 0, "width of the picture, `PX` (1920)")
	f.IntVar(&in.HeightPx, "height-px", 0, "height of the picture, `PX` (9/16 of the width)")
	f.Float64Var(&in.FPS, "fps", 0, "frames per second `F` (60)")
	f.StringVar(&o.shutter, "shutter", "", "shutter `TIME` such as 1/500; without it from --light")
	f.StringVar(&in.Light, "light", "", "`LIGHT` where the swimmer is: sun, bright, hall, dim (hall)")
	f.StringVar(&in.Housing, "housing", "", "`HOUSING` before the lens: flat, dome, window (flat)")
	f.Float64Var(&in.DistanceM, "distance", 0, "water between housing or window and swimmer, `M` (4)")
	f.Float64Var(&in.BehindM, "behind", 0, "air between lens and window, `M`")
	f.Float64Var(&in.PaneM, "pane", 0, "width of the window, `M` (wider than the view)")
	f.Float64Var(&in.CameraDepthM, "camera-depth", 0, "depth of the camera, `M` (the swimmer's)")
	f.Float64Var(&in.SwimmerDepthM, "swimmer-depth", 0, "depth of the swimmer, `M` (1)")
	f.Float64Var(&in.PoolDepthM, "pool-depth", 0, "depth of the pool, `M` (2, or as deep as camera and swimmer)")
	f.Float64Var(&in.HeightM, "height", 0, "the swimmer's standing height, `M` (1.75)")
	f.StringVar(&o.level, "level", "", "`LEVEL`: beginner, club, regional, national, international (club)")
	f.Float64Var(&in.SpeedMPS, "speed", 0, "speed under water `V` in m/s, where known")
	f.Float64Var(&in.TempoHz, "tempo", 0, "kicks per second `F`, where known")
	f.StringVar(&in.Scale, "scale", "", "what the scale will rest on, `SCALE`: length, rectangle, height (length)")
	f.Float64Var(&in.DistanceSD, "distance-sd", 0, "standard error of the swimmer's distance, `M` (0.07)")
	f.IntVar(&in.Marked, "marked", 0, "frames that will be marked per run, `N` (four a kick)")
	f.BoolVar(&o.brief, "brief", false, "leave out the bands and the changes")
	f.BoolVar(&o.asJSON, "json", false, "print JSON")
}

// filmCard is the JSON of film-card; docs/formats.md describes it.
type filmCard struct {
	poolside.FilmingCard
	Expected *poolside.FilmingBands `json:"expected,omitempty"`
}

func (o *filmCardOptions) run(ctx context.Context, f *flags, args []string, s streams) error {
	if o.presets {
		for _, p := range poolside.FilmingPresets() {
			fmt.Fprintf(s.out, "%-12s %s\n", p.ID, p.Words)
		}
		return nil
	}
	if err := o.complete(f, args); err != nil {
		return err
	}
	var faults record.Faults
	card, err := poolside.PlanFilming(o.in)
	if errors.As(err, &faults) {
		return usagef("%v", asOptions(faults))
	}
	if err != nil {
		return err
	}
	out := filmCard{FilmingCard: card}
	if !o.brief {
		bands, err := poolside.ExpectBands(ctx, o.in)
		if err != nil {
			return err
		}
		out.Expected = &bands
	}
	if o.asJSON {
		return writeJSON(s.out, out)
	}
	out.print(s.out)
	return nil
}

// complete puts the options given over those of the preset.
func (o *filmCardOptions) complete(f *flags, args []string) error {
	if o.preset != "" {
		known := false
		for _, p := range poolside.FilmingPresets() {
			if p.ID == o.preset {
				o.in, known = p.Input, true
			}
		}
		if !known {
			return usagef("there is no set-up %q; --presets lists them", o.preset)
		}
		if _, err := f.parse(args, filmCardHelp); err != nil {
			return err
		}
		o.oneLens(f)
	}
	o.in.Level = record.Level(o.level)
	if o.shutter != "" {
		x, err := shutterTime(o.shutter)
		if err != nil {
			return usageError{err.Error()}
		}
		o.in.ShutterS = x
	}
	return nil
}

// oneLens lets a lens that was given stand in place of the preset's.
func (o *filmCardOptions) oneLens(f *flags) {
	given := map[string]bool{}
	f.Visit(func(g *flag.Flag) { given[g.Name] = true })
	switch in := &o.in; {
	case given["field"]:
	case given["equivalent"]:
		in.FieldDeg = 0
	case given["focal"]:
		in.FieldDeg, in.EquivalentMM = 0, 0
	}
}

func (c filmCard) print(w io.Writer) {
	for _, l := range c.Lines() {
		fmt.Fprintf(w, "%-24s %s\n", l.Name, l.Text)
	}
	printChecks(w, c.Checks)
	if c.Expected != nil {
		printExpected(w, c.Expected)
	}
	fmt.Fprintln(w)
	for _, text := range poolside.FilmingCautions() {
		fmt.Fprintln(w, "caution: "+text)
	}
}

func printExpected(w io.Writer, b *poolside.FilmingBands) {
	if b.Problem != "" {
		fmt.Fprintln(w, "note: "+b.Problem)
	}
	for _, m := range b.Bands {
		if m.Primary {
			fmt.Fprintf(w, "%-24s %s\n", "expected "+strings.ToLower(m.Name), m.Text())
		}
	}
	fmt.Fprintln(w, b.Advice())
	for _, c := range b.Changes {
		fmt.Fprintf(w, "  %-60s %s\n", c.Words, c.Effect())
	}
}

// unitEnds are the ends of a field's name that its option goes without.
var unitEnds = []string{"_deg", "_mm", "_m_s", "_m", "_hz", "_frames", "_s"}

// asOptions names the options in place of the fields of the form.
func asOptions(faults record.Faults) record.Faults {
	out := slices.Clone(faults)
	for i := range out {
		name := out[i].Field
		for _, end := range unitEnds {
			if bare, found := strings.CutSuffix(name, end); found {
				name = bare
				break
			}
		}
		if name == "width_px" {
			name = "width"
		}
		out[i].Field = "--" + strings.ReplaceAll(name, "_", "-")
	}
	return out
}
