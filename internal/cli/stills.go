package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"underkick/internal/drawing"
	"underkick/internal/poolside"
)

const stillsHelp = `
Writes the framed pictures of one kick of a kept run, one file for each key moment, or
with --html one page that holds them all. The body is equally large in the stills of
every run, so that pictures of several runs and swimmers go side by side. A run's id is
the end of its page's address.

--kick takes a number, best (least standard error of the legs at the key moments) or
average (nearest to the mean of the run's kicks).
--moments takes down, up, all, or a list of set, drive, fastest, finish, set-up,
drive-up, fastest-up, finish-up.
--layers takes usual, all, none, or a list of body, facing, body-line, toe-path,
toe-path-rest, speed, lead-angle, count, clock.
--for says who will see them: me, squad or outside. The consent for that is asked for, and
the pictures are refused without it; --for outside with --soften also refuses a face that
cannot be found. --outside is --for outside.
The files carry no name.`

func stillsCommand() command {
	c := command{name: "stills", usage: "stills RUN -o DIR [options]", brief: "framed pictures of a kick's key moments"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runStills(ctx, c, args, s) }
	return c
}

// stillsArgs are the options of the command as they are typed.
type stillsArgs struct {
	data, out, kick, moments, layers, swims string
	audience                                string
	whole, soften, outside                  bool
	png, svg, html                          bool
	width                                   int
}

func runStills(ctx context.Context, c command, args []string, s streams) error {
	var a stillsArgs
	f := newFlags(c, s)
	f.StringVar(&a.out, "o", "", "folder `DIR` for the files; made if it is not there")
	f.StringVar(&a.kick, "kick", "best", "`WHICH` kick: best, average or a number")
	f.StringVar(&a.moments, "moments", "down", "`WHICH` moments")
	f.StringVar(&a.layers, "layers", "usual", "`WHAT` is drawn")
	f.StringVar(&a.swims, "swims", "", "mirror so that the swimmer swims to the `SIDE`: right or left")
	f.BoolVar(&a.whole, "body", false, "show the whole body, not the legs alone")
	f.BoolVar(&a.soften, "soften", false, "make the face unrecognisable")
	f.StringVar(&a.audience, "for", "me", "`WHO` will see them: me, squad or outside; consent is asked")
	f.BoolVar(&a.outside, "outside", false, "the pictures leave the squad: ask for consent")
	f.BoolVar(&a.png, "png", false, "PNG files with the drawing in them (what is written if nothing else is asked for)")
	f.BoolVar(&a.svg, "svg", false, "SVG files with the picture within, the drawing as vectors")
	f.BoolVar(&a.html, "html", false, "one HTML file with all stills and their captions")
	f.IntVar(&a.width, "width", 1280, "width of PNG files, `PX`")
	f.StringVar(&a.data, "data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	names, err := f.parse(args, stillsHelp)
	if err != nil {
		return err
	}
	if len(names) != 1 {
		return usagef("takes one run")
	}
	opt, err := a.options()
	if err != nil {
		return err
	}
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: a.data})
	if err != nil {
		return err
	}
	files, err := a.write(ctx, app, names[0], opt)
	if errors.Is(err, poolside.ErrNotFound) {
		err = unusablef(err, "there is no run %s in %s; its page's address ends in its id", names[0], a.data)
	}
	if err := errors.Join(err, app.Close()); err != nil {
		return err
	}
	for _, name := range files {
		fmt.Fprintln(s.out, name)
	}
	return nil
}

// options turns what was typed into what package poolside takes.
func (a stillsArgs) options() (poolside.StillsOptions, error) {
	opt := poolside.StillsOptions{Whole: a.whole, Soften: a.soften, Outside: a.outside, Swims: poolside.Swims(a.swims)}
	switch opt.Swims {
	case poolside.AsFilmed, poolside.ToRight, poolside.ToLeft:
	default:
		return opt, usagef("--swims takes right or left, not %q", a.swims)
	}
	switch a.audience {
	case "me":
	case "squad":
		opt.Squad = true
	case "outside":
		opt.Outside = true
	default:
		return opt, usagef("--for is me, squad or outside, not %q", a.audience)
	}
	switch {
	case a.out == "":
		return opt, usagef("-o DIR says where the files go")
	case a.width < 16 || a.width > 4096:
		return opt, usagef("--width is %d; 16 to 4096 px can be written", a.width)
	}
	switch a.kick {
	case "best":
	case "average":
		opt.Average = true
	default:
		n, err := strconv.Atoi(a.kick)
		if err != nil || n < 1 {
			return opt, usagef("--kick takes best, average or a number from 1, not %q", a.kick)
		}
		opt.Kick = n
	}
	var err error
	if opt.Moments, err = momentsOf(a.moments); err != nil {
		return opt, err
	}
	layers := a.layers
	if layers == "usual" {
		layers = ""
	}
	if opt.Layers, err = drawing.ParseSwitches(layers); err != nil {
		return opt, usagef("--layers: %v", err)
	}
	return opt, nil
}

// momentsOf reads the list of --moments.
func momentsOf(text string) ([]string, error) {
	all := poolside.AllMoments()
	switch text {
	case "down":
		return all[:len(all)/2], nil
	case "up":
		return all[len(all)/2:], nil
	case "all":
		return all, nil
	}
	var out []string
	for name := range strings.SplitSeq(text, ",") {
		name = strings.TrimSpace(name)
		known := false
		for _, m := range all {
			known = known || m == name
		}
		if !known {
			return nil, usagef("--moments: there is no moment %q; the moments are %s", name, strings.Join(all, ", "))
		}
		out = append(out, name)
	}
	return out, nil
}

// write makes the files and returns their names. The view is asked for first, so that
// nothing is written of a run that cannot give them.
func (a stillsArgs) write(ctx context.Context, app *poolside.App, run string, opt poolside.StillsOptions) ([]string, error) {
	view, err := app.Stills(ctx, run, opt)
	if err != nil {
		return nil, err
	}
	asked := opt
	opt.Kick = view.Kick
	if err := os.MkdirAll(a.out, 0o755); err != nil {
		return nil, fmt.Errorf("make the folder for the stills: %w", err)
	}
	var files []string
	keep := func(name string, data []byte, err error) error {
		if err != nil {
			return err
		}
		path := filepath.Join(a.out, name)
		if err := os.WriteFile(path, data, 0o644); err != nil {
			return fmt.Errorf("write a still: %w", err)
		}
		files = append(files, path)
		return nil
	}
	for _, still := range view.Stills {
		one := poolside.StillPictureOptions{StillsOptions: opt, Moment: still.Moment}
		if a.png || !a.svg && !a.html {
			picture := one
			picture.PNG, picture.Drawn, picture.WidthPx = true, true, a.width
			data, _, err := app.StillPicture(ctx, run, picture)
			if err := keep(poolside.StillName(run, view.Kick, still.Moment, "png"), data, err); err != nil {
				return files, err
			}
		}
		if a.svg {
			data, err := app.StillSVG(ctx, run, one)
			if err := keep(poolside.StillName(run, view.Kick, still.Moment, "svg"), data, err); err != nil {
				return files, err
			}
		}
	}
	if a.html {
		data, err := app.StillsPage(ctx, run, asked)
		if err := keep(fmt.Sprintf("stills-%s-kick-%d.html", run, view.Kick), data, err); err != nil {
			return files, err
		}
	}
	return files, nil
}
