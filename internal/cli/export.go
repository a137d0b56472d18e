package cli

import (
	"context"
	"errors"
	"fmt"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

const exportHelp = `
Writes the records of one swimmer or of everybody into the folder DIR: CSV tables, the
same as data.json, and datapackage.json, which describes every column (Frictionless Data
Package). Films are not in it. A folder that holds anything is left as it is.`

func exportCommand() command {
	c := command{name: "export", usage: "export --swimmer NAME|ID DIR, or export --squad DIR", brief: "write records as CSV and JSON with their description"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runExport(ctx, c, args, s) }
	return c
}

func runExport(ctx context.Context, c command, args []string, s streams) error {
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	who := f.String("swimmer", "", "whole name or id `WHO` of one swimmer")
	all := f.Bool("squad", false, "everybody")
	names, err := f.parse(args, exportHelp)
	if err != nil {
		return err
	}
	if len(names) != 1 || (*who == "") != *all {
		return usagef("give one folder DIR, and either --swimmer or --squad")
	}
	app, err := poolside.Open(ctx, poolside.Options{DataDir: *data})
	if err != nil {
		return err
	}
	n, err := export(ctx, app, *who, names[0])
	if err := errors.Join(err, app.Close()); err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s holds the records of %d swimmers. Keep it as safe as the films.\n", names[0], n)
	return nil
}

func export(ctx context.Context, app *poolside.App, who, dir string) (int, error) {
	if who == "" {
		list, err := app.AllSwimmers(ctx)
		if err != nil {
			return 0, err
		}
		return len(list), app.Export(ctx, dir, list)
	}
	w, err := app.FindSwimmer(ctx, who)
	if err != nil {
		return 0, err
	}
	return 1, app.Export(ctx, dir, []record.Swimmer{w})
}
