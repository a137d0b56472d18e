package cli

import (
	"context"
	"fmt"
	"io"
	"os"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// doOwn keeps, prints, retires and brings back own drills.
func (o *practiceOptions) doOwn(ctx context.Context, app *poolside.App, act string, s streams) error {
	switch act {
	case "own-list":
		return app.WriteDrills(ctx, s.out)
	case "retire":
		return o.sayRetired(s.out, o.retire, "retired", app.RetireDrill(ctx, o.retire, true, o.by))
	case "bring-back":
		return o.sayRetired(s.out, o.bringBack, "back on the lists", app.RetireDrill(ctx, o.bringBack, false, o.by))
	}
	kept, err := o.takeOwn(ctx, app, s.in)
	if err != nil {
		return err
	}
	if o.asJSON {
		ids := []string{}
		for _, d := range kept {
			ids = append(ids, d.ID)
		}
		return writeJSON(s.out, map[string]any{"kept": ids, "cautions": poolside.PracticeCautions()})
	}
	printCautions(s.out, poolside.PracticeCautions())
	for _, d := range kept {
		fmt.Fprintf(s.out, "kept %s, version %d: %s\n", d.ID, d.Seq, d.Title)
	}
	return nil
}

func (o *practiceOptions) sayRetired(w io.Writer, id, now string, err error) error {
	if err == nil {
		fmt.Fprintf(w, "%s is %s; what was given stays.\n", id, now)
	}
	return err
}

func (o *practiceOptions) takeOwn(ctx context.Context, app *poolside.App, in io.Reader) (kept []record.OwnDrill, err error) {
	if o.own != "-" {
		f, err := os.Open(o.own)
		if err != nil {
			return nil, unusablef(err, "the drills cannot be read: %v", err)
		}
		defer func() { _ = f.Close() }() // read only: nothing to lose
		in = f
	}
	return app.TakeDrills(ctx, in, o.by)
}
