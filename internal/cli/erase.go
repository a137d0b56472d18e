package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"strings"

	"underkick/internal/poolside"
)

const eraseHelp = `
Takes everything of one swimmer out of the data folder: records, films that no other
swimmer needs, visits at which nobody else was filmed, stills, guesses, and the copies of
the database made before upgrades. It cannot be taken back. Backups and exported files are
not touched; the backups made from this folder are listed. What others' notes say of
the swimmer in free text stays.

Without --yes the swimmer's name must be typed.`

func eraseCommand() command {
	c := command{name: "erase", usage: "erase --swimmer NAME|ID [options]", brief: "take everything of a swimmer out of the data folder"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runErase(ctx, c, args, s) }
	return c
}

func runErase(ctx context.Context, c command, args []string, s streams) error {
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	who := f.String("swimmer", "", "whole name or id `WHO` of the swimmer")
	yes := f.Bool("yes", false, "do not ask")
	names, err := f.parse(args, eraseHelp)
	if err != nil {
		return err
	}
	if len(names) > 0 || *who == "" {
		return usagef("give --swimmer NAME or --swimmer ID")
	}
	app, err := poolside.Open(ctx, poolside.Options{DataDir: *data})
	if err != nil {
		return err
	}
	return errors.Join(erase(ctx, app, *who, *yes, s), app.Close())
}

func erase(ctx context.Context, app *poolside.App, who string, yes bool, s streams) error {
	w, err := app.FindSwimmer(ctx, who)
	if err != nil {
		return err
	}
	if !yes {
		fmt.Fprintf(s.out, "Everything of %s will be gone for good. Type the name to go on: ", w.Name)
		line, _ := bufio.NewReader(s.in).ReadString('\n') // no line is no name
		if strings.TrimSpace(line) != w.Name {
			return usagef("that is not the name; nothing was erased")
		}
	}
	backups, err := app.EraseSwimmer(ctx, w.ID)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s is erased from %s.\n", w.Name, app.DataDir())
	for _, b := range backups {
		fmt.Fprintf(s.out, "A backup written %s may still hold the swimmer: %s\n", b.At, b.Path)
	}
	return nil
}
