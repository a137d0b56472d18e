package cli

import (
	"context"
	"errors"
	"fmt"

	"underkick/internal/poolside"
)

const exportHelp = `
Writes the records of one swimmer, of one squad or of everybody into the new folder DIR:
a CSV table for each kind of record, the same rows as data.json, and datapackage.json,
which gives type, unit and meaning of every column (Frictionless Data Package). DIR
appears when it is whole; a folder that holds anything is left as it is.

--films adds the films themselves, but for those that also show a swimmer who is not in
the export. The notes of a squad and of its visits, its lessons, the coach's own drills
and the markers' errors go only with a whole squad. docs/formats.md describes the files.`

func exportCommand() command {
	c := command{name: "export", usage: "export --swimmer NAME|ID DIR, or export --squad[=NAME|ID] DIR", brief: "write records as CSV and JSON with their description"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runExport(ctx, c, args, s) }
	return c
}

// squadFlag is --squad for everybody, --squad=NAME for one squad.
type squadFlag struct {
	set bool
	who string
}

func (f *squadFlag) String() string { return "" }

// IsBoolFlag lets the flag stand without a value.
func (f *squadFlag) IsBoolFlag() bool { return true }

// Set implements flag.Value.
func (f *squadFlag) Set(text string) error {
	if text == "" { // an empty variable of a script must not export everybody
		return errors.New("name a squad after =, or leave = out for everybody")
	}
	f.set = true
	if text != "true" {
		f.who = text
	}
	return nil
}

func runExport(ctx context.Context, c command, args []string, s streams) error {
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	who := f.String("swimmer", "", "whole name or id `WHO` of one swimmer")
	var squad squadFlag
	f.Var(&squad, "squad", "everybody; --squad=WHO: the squad of a whole name or id")
	films := f.Bool("films", false, "the films too")
	names, err := f.parse(args, exportHelp)
	if err != nil {
		return err
	}
	if len(names) != 1 || (*who == "") != squad.set {
		return usagef("give one folder DIR, and either --swimmer or --squad")
	}
	ctx, app, err := s.openOrPage(ctx, *data)
	if err != nil {
		return err
	}
	out, err := export(ctx, app, *who, squad.who, names[0], poolside.ExportRequest{Films: *films})
	if err := errors.Join(err, app.Close()); err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s holds the records of %s%s. Keep it as safe as the films.\n", names[0], plural(out.Swimmers, "swimmer", "swimmers"), withFilms(*films, out.Films))
	for _, l := range out.Left {
		fmt.Fprintf(s.err, "note: the film of %s was left out: %s\n", l.Clip, l.Why)
	}
	return nil
}

func withFilms(asked bool, n int) string {
	if !asked {
		return ""
	}
	return " and " + plural(n, "film", "films")
}

func export(ctx context.Context, app *poolside.App, who, squad, dir string, req poolside.ExportRequest) (poolside.Exported, error) {
	if who != "" {
		w, err := app.FindSwimmer(ctx, who)
		if err != nil {
			return poolside.Exported{}, err
		}
		req.SwimmerID = w.ID
	}
	if squad != "" {
		q, err := app.FindSquad(ctx, squad)
		if err != nil {
			return poolside.Exported{}, err
		}
		req.SquadID = q.ID
	}
	return app.Export(ctx, dir, req)
}
