package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"

	"underkick/internal/demo"
	"underkick/internal/film"
	"underkick/internal/poolside"
)

const demoHelp = `
Opens the pages with an invented squad. Its clips are rendered, not filmed, so
the truth is known. What you mark there is kept in the demo's own folder.

--print runs the whole chain on the demo's clips, prints the findings and exits.
--render draws the clips again (some minutes); with --hard in murky water, with a
long shutter, noise and bubbles, for underkick evaluate.`

func demoCommand() command {
	c := command{name: "demo", usage: "demo [--print] [--data DIR] [--port N]", brief: "try everything on an invented squad"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runDemo(ctx, c, args, s) }
	return c
}

func runDemo(ctx context.Context, c command, args []string, s streams) error {
	f := newFlags(c, s)
	asText := f.Bool("print", false, "measure every demo clip, print the findings and exit")
	dir := f.String("data", "", "data folder `DIR` (default: a folder of the demo's own; with --print one that is removed again)")
	port := f.Int("port", defaultPort, "port `N` on this machine; 0 picks a free one")
	render := f.String("render", "", "render the clips into folder `DIR` and exit")
	var how demo.RenderOptions
	f.BoolVar(&how.Hard, "hard", false, "with --render: the same swims filmed badly, for evaluate")
	f.StringVar(&how.Only, "only", "", "with --render: the clip of this `NAME` alone")
	var engine filmOptions
	engine.register(f)
	names, err := f.parse(args, demoHelp)
	switch {
	case err != nil:
		return err
	case len(names) > 0:
		return usagef("takes no file names")
	case *render != "":
		return renderDemo(ctx, *render, how, engine, s)
	case *asText:
		return printDemo(ctx, *dir, engine, s)
	}
	return serveDemo(ctx, *dir, *port, engine, s)
}

func serveDemo(ctx context.Context, dir string, port int, engine filmOptions, s streams) error {
	if dir == "" {
		dir = defaultDemoDir()
	}
	listener, err := listen(here, port)
	if err != nil {
		return err
	}
	log := slog.New(slog.NewTextHandler(s.err, &slog.HandlerOptions{Level: slog.LevelWarn}))
	app, err := openDemo(ctx, dir, engine, log, s)
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	fmt.Fprintln(s.out, "the demo asks for no session: its people are invented. Keep your own in underkick serve")
	return serve(ctx, app, doors{here: listener}, log, s)
}

// openDemo opens a data folder with the demo's squad in it.
func openDemo(ctx context.Context, dir string, engine filmOptions, log *slog.Logger, s streams) (*poolside.App, error) {
	app, err := poolside.Open(ctx, poolside.Options{DataDir: dir, Film: engine.choice, Log: log})
	if err != nil {
		return nil, err
	}
	if err := app.LoadDemo(ctx, progressTo(s.err)); err != nil {
		return nil, errors.Join(err, app.Close())
	}
	return app, nil
}

// progressTo shows one line per thing being done.
func progressTo(w io.Writer) func(doing string) {
	return func(doing string) { fmt.Fprintln(w, doing) }
}

// printDemo runs the whole chain and prints what a coach would read.
func printDemo(ctx context.Context, dir string, engine filmOptions, s streams) (err error) {
	if dir == "" {
		if dir, err = os.MkdirTemp("", "underkick-demo-"); err != nil {
			return fmt.Errorf("make a folder for the demo: %w", err)
		}
		defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	}
	app, err := openDemo(ctx, dir, engine, slog.New(slog.DiscardHandler), s)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, app.Close()) }()
	if ctx, err = s.hide(ctx, app); err != nil {
		return err
	}
	squads, err := app.Squad(ctx)
	if err != nil {
		return err
	}
	for _, squad := range squads.Squads {
		for _, row := range squad.Rows {
			if err := printSwimmer(ctx, s.out, app, row.ID); err != nil {
				return err
			}
		}
	}
	return nil
}

func printSwimmer(ctx context.Context, w io.Writer, app *poolside.App, id string) error {
	swimmer, err := app.Swimmer(ctx, id)
	if err != nil {
		return err
	}
	for _, visit := range swimmer.Visits {
		for _, clip := range visit.Clips {
			for _, run := range clip.Runs {
				view, err := app.Estimated(ctx, run.Run.ID)
				if err != nil {
					return err
				}
				fmt.Fprintf(w, "\n%s, %s, %s\n", swimmer.Swimmer.Name, visit.Visit.On, clip.Clip.Name)
				if err := printKick(w, view); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// renderDemo draws the demo's clips again.
func renderDemo(ctx context.Context, dir string, how demo.RenderOptions, engine filmOptions, s streams) error {
	e, err := film.Open(ctx, film.Options{Prefer: engine.choice, CacheDir: engineCache()})
	if err != nil {
		return err
	}
	err = demo.Render(ctx, e, dir, how, progressTo(s.err))
	if errors.Is(err, demo.ErrNoClip) {
		return usagef("--only: %v", err)
	}
	return err
}
