package cli

import (
	"context"
	"errors"
	"fmt"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

const putRightHelp = `
Puts right where something belongs. A clip (--clip ID) goes to another swimmer, day or pool, with
its marks and results; a run (--run ID) to another swimmer, or it is set aside, left out of lists,
trends and verdicts, until it counts again; all clips of the visit of a clip
(--visit-of ID) to another day or pool; a squad (--squad NAME) gets another name. What depends on
the swimmer's height, mass or sex is measured again, earlier results are kept. The same command
puts it back.

  underkick put-right --clip 4ve42c2kaa7p --swimmer "Mira Tallow" --day 2026-10-24
  underkick put-right --run k3j2m1n0p9q8 --swimmer "Joren August"
  underkick put-right --run k3j2m1n0p9q8 --aside "hit the lane rope"
  underkick put-right --run k3j2m1n0p9q8 --count
  underkick put-right --visit-of 4ve42c2kaa7p --day 2026-10-25 --pool "Lake Hall"
  underkick put-right --squad "Lake Lane Juniors" --name "Lake Lane Youth"`

func putRightCommand() command {
	c := command{name: "put-right", usage: "put-right [options]", brief: "give a clip, a run or a visit to the swimmer, day or pool it belongs to; rename a squad"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runPutRight(ctx, c, args, s) }
	return c
}

// rightOptions is what the command line says.
type rightOptions struct {
	clip, run, visitOf, squad string // what is put right, one of them
	swimmer, day, pool, name  string
	aside                     string
	poolGiven, count          bool
}

func runPutRight(ctx context.Context, c command, args []string, s streams) error {
	var o rightOptions
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	f.StringVar(&o.clip, "clip", "", "the clip of this `ID`")
	f.StringVar(&o.run, "run", "", "the run of this `ID`")
	f.StringVar(&o.visitOf, "visit-of", "", "the visit of the clip of this `ID`")
	f.StringVar(&o.squad, "squad", "", "the squad, `NAME` or id")
	f.StringVar(&o.swimmer, "swimmer", "", "belongs to this swimmer, `NAME` or id")
	f.StringVar(&o.day, "day", "", "was filmed on this `DAY`, YYYY-MM-DD")
	f.Func("pool", "was filmed at this `POOL`, may be empty", func(text string) error {
		o.pool, o.poolGiven = text, true
		return nil
	})
	f.StringVar(&o.aside, "aside", "", "set the run aside because of `WHY`")
	f.BoolVar(&o.count, "count", false, "let the run count again")
	f.StringVar(&o.name, "name", "", "new `NAME` of the squad")
	names, err := f.parse(args, putRightHelp)
	if err != nil {
		return err
	}
	if len(names) > 0 {
		return usagef("takes no file names")
	}
	if err := o.check(); err != nil {
		return err
	}
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: *data})
	if err != nil {
		return err
	}
	return errors.Join(o.do(ctx, app, s), app.Close())
}

// check refuses what does not go together.
func (o rightOptions) check() error {
	what := one(o.clip != "", o.run != "", o.visitOf != "", o.squad != "")
	moved := o.day != "" || o.poolGiven
	switch {
	case what != 1:
		return usagef("say what is put right: one of --clip, --run, --visit-of, --squad")
	case o.clip != "" && o.swimmer == "" && !moved:
		return usagef("say what is right: --swimmer, --day, --pool")
	case o.run != "" && (moved || one(o.swimmer != "", o.aside != "", o.count) != 1):
		return usagef("a run goes to another --swimmer, or --aside, or it may --count again")
	case o.run == "" && (o.aside != "" || o.count):
		return usagef("--aside and --count go with --run")
	case o.visitOf != "" && (!moved || o.swimmer != ""):
		return usagef("a visit gets another --day or --pool")
	case o.squad != "" && (o.name == "" || moved || o.swimmer != ""):
		return usagef("a squad gets another --name")
	case o.squad == "" && o.name != "":
		return usagef("--name goes with --squad")
	}
	return nil
}

// one counts what is given; one of several is meant.
func one(given ...bool) (n int) {
	for _, g := range given {
		if g {
			n++
		}
	}
	return n
}

func (o rightOptions) do(ctx context.Context, app *poolside.App, s streams) error {
	err := o.act(ctx, app)
	var faults record.Faults
	switch {
	case errors.As(err, &faults):
		return usagef("%v", faults)
	case errors.Is(err, poolside.ErrNotFound):
		return unusablef(err, "there is no clip or run of that id in this folder; a swimmer's page links to them")
	case err != nil:
		return err
	}
	fmt.Fprintln(s.err, "Put right. What depends on it is measured again.")
	return app.FinishWork(ctx)
}

func (o rightOptions) act(ctx context.Context, app *poolside.App) error {
	switch {
	case o.squad != "":
		return o.rename(ctx, app)
	case o.aside != "" || o.count:
		return app.SetAside(ctx, o.run, o.aside)
	case o.run != "":
		w, err := app.FindSwimmer(ctx, o.swimmer)
		if err != nil {
			return err
		}
		return app.MoveRun(ctx, o.run, w.ID)
	case o.visitOf != "":
		view, err := app.PutRight(ctx, o.visitOf)
		if err != nil {
			return err
		}
		v := view.Visit
		v.On, v.Pool = o.place(v)
		return app.UpdateVisit(ctx, v)
	}
	view, err := app.PutRight(ctx, o.clip)
	if err != nil {
		return err
	}
	w := view.Owner
	if o.swimmer != "" {
		if w, err = app.FindSwimmer(ctx, o.swimmer); err != nil {
			return err
		}
	}
	on, pool := o.place(view.Visit)
	return app.MoveClip(ctx, o.clip, w.ID, on, pool)
}

// place is the day and the pool as they are right.
func (o rightOptions) place(v record.Visit) (record.Date, string) {
	if o.day != "" {
		v.On = record.Date(o.day)
	}
	if o.poolGiven {
		v.Pool = o.pool
	}
	return v.On, v.Pool
}

func (o rightOptions) rename(ctx context.Context, app *poolside.App) error {
	q, err := app.FindSquad(ctx, o.squad)
	if err != nil {
		return err
	}
	q.Name = o.name
	return app.UpdateSquad(ctx, q)
}
