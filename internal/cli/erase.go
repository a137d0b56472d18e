package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"underkick/internal/poolside"
)

const eraseHelp = `
Takes everything of one swimmer out of the data folder: records, films that no other
swimmer needs, visits at which nobody else was filmed, stills, guesses, made clips, and the
copies of the database made before upgrades that hold the swimmer. It cannot be taken back;
what is cut off goes on at the next start. What goes and what stays is listed first.

It does not reach backups, exported files and films on other disks: the backups made from
this folder are listed. A film in which another swimmer swims stays. What others' notes say
of the swimmer in free text stays.

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
	keep := f.Bool("keep-copies", false, "leave the copies of the database made before upgrades")
	list := f.Bool("list", false, "only list what would go and what would stay")
	names, err := f.parse(args, eraseHelp)
	if err != nil {
		return err
	}
	if len(names) > 0 || *who == "" {
		return usagef("give --swimmer NAME or --swimmer ID")
	}
	ctx, app, err := s.openOrPage(ctx, *data)
	if err != nil {
		return err
	}
	w, err := app.FindSwimmer(ctx, *who)
	if err == nil {
		req := poolside.EraseRequest{SwimmerID: w.ID, KeepCopies: *keep, Progress: func(_ float64, doing string) { fmt.Fprintf(s.err, "%s\n", doing) }}
		err = erase(ctx, app, req, *yes, *list, s)
	}
	return errors.Join(err, app.Close())
}

func erase(ctx context.Context, app *poolside.App, req poolside.EraseRequest, yes, list bool, s streams) error {
	v, err := app.WhatGoes(ctx, req.SwimmerID)
	if err != nil {
		return err
	}
	sayWhatGoes(s.out, v, req.KeepCopies)
	if list {
		return nil
	}
	if !yes {
		fmt.Fprintf(s.out, "Everything of %s will be gone for good. Type the name to go on: ", v.Swimmer.Name)
		line, _ := bufio.NewReader(s.in).ReadString('\n') // no line is no name
		if !v.TypedName(line) {
			return usagef("that is not the name; nothing was erased")
		}
	}
	out, err := app.EraseSwimmer(ctx, req)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s is erased from %s.\n", v.Swimmer.Name, app.DataDir())
	for _, b := range out.Backups {
		fmt.Fprintf(s.out, "A backup written %s may still hold the swimmer: %s\n", b.At, b.Path)
	}
	for _, c := range out.Copies {
		fmt.Fprintf(s.out, "A copy of the database still holds the swimmer: %s\n", filepath.Join(app.DataDir(), "backups", c.Name))
	}
	for _, c := range out.Shared {
		fmt.Fprintf(s.out, "The film of %s still shows the swimmer; it also shows %s.\n", c.Name, strings.Join(c.With, ", "))
	}
	return nil
}

func sayWhatGoes(w io.Writer, v poolside.EraseView, keepCopies bool) {
	fmt.Fprintf(w, "%s: %s (%.1f MB), %s with %s and %s, %s, %s, %s given.\n",
		v.Swimmer.Name, plural(v.Clips, "clip", "clips"), float64(v.FilmBytes)/1e6, plural(v.Runs, "run", "runs"), plural(v.Marks, "mark", "marks"), plural(v.Results, "result", "results"),
		plural(v.Plans, "plan", "plans"), plural(v.Consents, "consent", "consents"), plural(v.Given, "practice", "practices"))
	fate := "goes too"
	if keepCopies {
		fate = "stays"
	}
	for _, c := range v.HoldingCopies() {
		fmt.Fprintf(w, "The copy of the database %s, made before an upgrade, holds the swimmer and %s.\n", c.Name, fate)
	}
	for _, m := range v.Mentions {
		fmt.Fprintf(w, "The name stands in %s (%s) and stays there; change it by hand.\n", m.Of, m.ID)
	}
	for _, c := range v.Shared {
		fmt.Fprintf(w, "The film of %s stays: it also shows %s.\n", c.Name, strings.Join(c.With, ", "))
	}
	for _, b := range v.Backups {
		fmt.Fprintf(w, "The backup written %s stays as it is: %s\n", b.At, b.Path)
	}
}
