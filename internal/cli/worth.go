package cli

import (
	"context"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"underkick/internal/limit/worth"
	"underkick/internal/poolside"
	"underkick/internal/report"
)

func worthHelp() string {
	var b strings.Builder
	b.WriteString(`
Estimates what facing, sweep, build and tempo are worth to this swimmer in speed.

  underkick worth CLIP --marks FILE (--metres-per-px S | --plane FILE) --height M ...
  underkick worth --traces FILE.csv [--fps N] (--metres-per-px S | --plane FILE) --height M ...

Every number is a model's estimate for comparing kicks of one swimmer, none is a
measurement. With --against the kick is held against a better run of the same
swimmer (four steady kicks or more; several are pooled), and a limiter may be
named. Without it only fixed steps are tried.

--against OTHER[,marks=FILE][,fps=N][,metres-per-px=S][,plane=FILE]
OTHER is a landmark table, or a clip where marks= is given. Frame rate, scale and
plane are those of the run unless given. May be repeated, or followed by more.

--change NAME=AMOUNT, may be repeated; several are answered one by one and together:
`)
	for _, k := range worth.Kinds() {
		fmt.Fprintf(&b, "  %-17s %-4s %s\n", k.Name, k.Unit, k.Words)
	}
	b.WriteString("\ndocs/methods/worth.md explains the model, docs/formats.md the JSON.")
	return b.String()
}

func worthCommand() command {
	c := command{name: "worth", usage: "worth [CLIP] [options]", brief: "estimate what each quality of the kick is worth in speed"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runWorth(ctx, c, args, s) }
	return c
}

// worthOptions are the options of one call.
type worthOptions struct {
	runOptions
	against     []string
	changes     []worth.Change
	sameMarking bool
	touched     string
	depth       float64
	asJSON      bool
}

func runWorth(ctx context.Context, c command, args []string, s streams) error {
	var o worthOptions
	f := newFlags(c, s)
	o.register(f)
	f.Func("against", "reference run `OTHER` of the same swimmer, see above", func(text string) error {
		o.against = append(o.against, text)
		return nil
	})
	f.BoolVar(&o.sameMarking, "same-marking", false, "all runs were marked alike, by one person side by side")
	f.Func("change", "what-if `NAME=AMOUNT`, see above", func(text string) error {
		change, err := parseChange(text)
		o.changes = append(o.changes, change)
		return err
	})
	f.StringVar(&o.touched, "touched", "", "what the swimmer touched during the kicks: `surface, wall` or none; then there is no estimate")
	f.Float64Var(&o.depth, "depth", 0, "depth of the hip below the surface in `M`; too little gives no estimate")
	f.BoolVar(&o.asJSON, "json", false, "print JSON")
	names, err := f.parse(args, worthHelp())
	if err != nil {
		return err
	}
	if names, err = o.more(names); err != nil {
		return err
	}
	if err := o.check(names); err != nil {
		return err
	}
	if o.touched != "" && o.touched != "none" && o.touched != "surface" && o.touched != "wall" {
		return usagef("--touched is surface, wall or none, not %q", o.touched)
	}
	if !(o.depth >= 0 && o.depth <= 20) {
		return usagef("--depth is 0 to 20 m, not %g", o.depth)
	}
	return o.run(ctx, s)
}

// more takes the further values of --change and --against, which stand among the file
// names, out of them: all but the clip.
func (o *worthOptions) more(names []string) (clip []string, err error) {
	for _, name := range names {
		switch {
		case len(o.changes) > 0 && isChange(name):
			change, err := parseChange(name)
			if err != nil {
				return nil, usageError{err.Error()}
			}
			o.changes = append(o.changes, change)
		case len(o.against) > 0 && (o.request.Traces != "" || len(clip) > 0):
			o.against = append(o.against, name)
		default:
			clip = append(clip, name)
		}
	}
	return clip, nil
}

func isChange(text string) bool {
	name, _, ok := strings.Cut(text, "=")
	for _, k := range worth.Kinds() {
		if ok && k.Name == name {
			return true
		}
	}
	return false
}

func parseChange(text string) (worth.Change, error) {
	name, amount, ok := strings.Cut(text, "=")
	v, err := strconv.ParseFloat(amount, 64)
	if !ok || err != nil {
		return worth.Change{}, fmt.Errorf("a change is NAME=AMOUNT, such as foot=10, not %q", text)
	}
	c := worth.Change{Name: name, Amount: v}
	return c, c.Check()
}

// reference turns an --against value into the request for that run: the run's own with
// other files.
func (o *worthOptions) reference(text string) (poolside.FileRequest, error) {
	r := o.request
	name, settings := cutSettings(text)
	r.Marks, r.Traces, r.Clip = "", name, ""
	for _, s := range settings {
		key, value, _ := strings.Cut(s, "=")
		var err error
		switch key {
		case "marks":
			r.Clip, r.Marks, r.Traces = name, value, ""
		case "plane":
			r.Plane, r.MetresPerPx = value, 0
		case "metres-per-px":
			r.MetresPerPx, err = positive(value)
			r.Plane = ""
		case "fps":
			r.FPS, err = positive(value)
			r.TrueFPS = r.FPS
		}
		if err != nil {
			return r, usagef("--against %s: %s is a positive number, not %q", name, key, value)
		}
	}
	if r.Clip == "" { // a table has no slow motion and no pictures to steady
		r.TrueFPS, r.Steady = 0, false
	}
	if r.Clip != "" && o.request.Clip == "" {
		return r, usagef("--against %s: a clip goes with a clip; give the landmark table of that run", name)
	}
	return r, nil
}

func positive(text string) (float64, error) {
	v, err := strconv.ParseFloat(text, 64)
	if err == nil && !(v > 0 && v < 1e6) {
		err = strconv.ErrRange
	}
	return v, err
}

// cutSettings splits OTHER,key=value,... at the keys it knows, so that file names may
// hold commas.
func cutSettings(text string) (name string, settings []string) {
	parts := strings.Split(text, ",")
	name = parts[0]
	for _, p := range parts[1:] {
		key, _, ok := strings.Cut(p, "=")
		switch {
		case ok && (key == "marks" || key == "fps" || key == "metres-per-px" || key == "plane"):
			settings = append(settings, p)
		case len(settings) > 0:
			settings[len(settings)-1] += "," + p
		default:
			name += "," + p
		}
	}
	return name, settings
}

// tellDraws writes how far the error draws are, once a second.
func tellDraws(w io.Writer) func(done, total int) {
	last := time.Now()
	return func(done, total int) {
		if now := time.Now(); now.Sub(last) > time.Second && done < total {
			last = now
			fmt.Fprintf(w, "error draws: %d of %d\n", done, total)
		}
	}
}

func (o *worthOptions) run(ctx context.Context, s streams) error {
	req := poolside.WorthRequest{SameMarking: o.sameMarking, Changes: o.changes, Touched: o.touched, Depth: o.depth}
	for _, text := range o.against {
		r, err := o.reference(text)
		if err != nil {
			return err
		}
		req.Against = append(req.Against, r)
	}
	if err := o.openFilm(ctx, s); err != nil {
		return err
	}
	req.Run, req.Progress = o.request, tellDraws(s.err)
	for i := range req.Against {
		req.Against[i].Film = o.request.Film
	}
	w, err := poolside.WorthOfFiles(ctx, req)
	if err != nil {
		return err
	}
	if o.asJSON {
		return report.WriteWorthJSON(s.out, w.Result, w.Warnings)
	}
	return printWorth(s.out, w)
}
