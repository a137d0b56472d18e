package cli

import (
	"context"
	"errors"
	"fmt"

	"underkick/internal/poolside"
)

const namesHelp = `
Hides the names of swimmers, or shows them again; without a word it tells which. While they
are hidden, every page, every file saved from the pages and all that this command line prints
shows the pseudonym, or a number where none was given. The files of an export and of a backup
hold the real names. Swimmers are found by either name. Faces on film are not hidden.`

func namesCommand() command {
	c := command{name: "names", usage: "names [hide|show] [--data DIR]", brief: "hide the names of swimmers while others look on"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runNames(ctx, c, args, s) }
	return c
}

func runNames(ctx context.Context, c command, args []string, s streams) error {
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	words, err := f.parse(args, namesHelp)
	if err != nil {
		return err
	}
	if len(words) > 1 || len(words) == 1 && words[0] != "hide" && words[0] != "show" {
		return usagef("takes hide or show")
	}
	app, err := poolside.Open(ctx, poolside.Options{DataDir: *data, Existing: true})
	if err != nil {
		return err
	}
	if len(words) == 1 {
		err = app.SetPseudonyms(ctx, words[0] == "hide")
	}
	hidden := app.Pseudonyms(ctx)
	if err := errors.Join(err, app.Close()); err != nil {
		return err
	}
	if hidden {
		fmt.Fprintln(s.out, "Names are hidden.")
	} else {
		fmt.Fprintln(s.out, "Names are shown.")
	}
	return nil
}
