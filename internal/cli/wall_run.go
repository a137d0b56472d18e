package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

func (o *wallOptions) run(ctx context.Context, s streams) error {
	if o.file != "" {
		text, err := readInput(s, o.file)
		if err != nil {
			return err
		}
		if o.in, err = poolside.ReadWallInput(text); err != nil {
			return err
		}
	}
	if o.plan != "" || o.swimmer != "" || o.squad {
		return o.runStored(ctx, s)
	}
	answer, err := poolside.PlanWalls(ctx, o.in, o.who)
	if err != nil {
		return asInput(err)
	}
	return o.print(s, answer)
}

// readInput reads a file whole, - = standard input; at most 1 MB.
func readInput(s streams, name string) ([]byte, error) {
	r := s.in
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, asInput(fmt.Errorf("read the input: %w", err))
		}
		defer func() { _ = f.Close() }() // only read
		r = f
	}
	const most = 1 << 20
	text, err := io.ReadAll(io.LimitReader(r, most+1))
	if err != nil {
		return nil, fmt.Errorf("read the input: %w", err)
	}
	if len(text) > most {
		return nil, asInput(fmt.Errorf("%s is larger than 1 MB; it is not one of ours", name))
	}
	return text, nil
}

// asInput marks what a person gave as what cannot be used: exit code 3.
func asInput(err error) error {
	if errors.Is(err, context.Canceled) || errors.Is(err, poolside.ErrInput) {
		return err
	}
	return unusablef(err, "%v", err)
}

// openData opens the data folder that the pages use, or --data.
func openData(ctx context.Context, s streams, dir string) (context.Context, *poolside.App, error) {
	if dir == "" {
		dir = defaultDataDir()
	}
	return s.open(ctx, poolside.Options{DataDir: dir})
}

func (o *wallOptions) runStored(ctx context.Context, s streams) (err error) {
	ctx, app, err := openData(ctx, s, o.data)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, app.Close()) }()
	switch {
	case o.squad:
		return o.printSquad(ctx, app, s)
	case o.turn != "":
		p, err := app.TurnPlan(ctx, o.plan, turns[o.turn])
		if err != nil {
			return notThere(err, "plan", o.plan)
		}
		state := fmt.Sprintf("%d to undo, %d to redo", p.Undos, p.Redos)
		if p.Removed {
			state = "removed; undo puts it back"
		}
		fmt.Fprintf(s.out, "%s: %s\n", p.Name, state)
		return nil
	case o.plan != "":
		v, err := app.WallPlan(ctx, o.plan)
		if err != nil {
			return notThere(err, "plan", o.plan)
		}
		if v.Answer == nil {
			return asInput(errors.New(v.Problem))
		}
		return o.print(s, v.Answer)
	}
	if err := o.in.Validate(); err != nil { // a page may ask with an empty form, a command may not
		return asInput(err)
	}
	v, err := app.NewWalls(ctx, o.swimmer, o.in)
	if err != nil {
		return notThere(err, "swimmer", o.swimmer)
	}
	if o.keep != "" {
		id, err := app.KeepWalls(ctx, o.swimmer, "", o.keep, o.in)
		if err != nil {
			return notThere(err, "swimmer", o.swimmer)
		}
		fmt.Fprintf(s.err, "kept as plan %s\n", id)
	}
	return o.print(s, v.Answer)
}

// notThere says that an id is none, and marks other faults of the input.
func notThere(err error, what, id string) error {
	var faults record.Faults
	switch {
	case errors.Is(err, poolside.ErrNotFound):
		return asInput(fmt.Errorf("there is no %s %q in the data folder", what, id))
	case errors.As(err, &faults):
		return asInput(err)
	}
	return err
}

func (o *wallOptions) print(s streams, a *poolside.WallAnswer) error {
	if o.asJSON {
		return writeJSON(s.out, a)
	}
	return printWalls(s.out, a)
}
