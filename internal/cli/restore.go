package cli

import (
	"context"
	"fmt"

	"underkick/internal/poolside"
	"underkick/internal/store"
)

const restoreHelp = `
Makes a data folder from a backup FILE. The whole backup is checked first; a damaged one
changes nothing (exit code 3). A data folder that holds anything is left as it is unless
--replace is given; it is then moved aside, not deleted, and its new name is printed. A
restore that is cut off leaves the one or the other whole; the next start clears the rest.
The passphrase for the phone pages is not in a backup: set it again (underkick passphrase).`

func restoreCommand() command {
	c := command{name: "restore", usage: "restore FILE [options]", brief: "make a data folder from a backup"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runRestore(ctx, c, args, s) }
	return c
}

func runRestore(ctx context.Context, c command, args []string, s streams) error {
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` to make (or set UNDERKICK_DATA)")
	replace := f.Bool("replace", false, "move aside a data folder that holds something")
	names, err := f.parse(args, restoreHelp)
	if err != nil {
		return err
	}
	if len(names) != 1 {
		return usagef("give one backup FILE")
	}
	r, err := poolside.Restore(ctx, names[0], *data, store.BackupOptions{Replace: *replace, Progress: s.partsDone()})
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s now holds %s, as they stood at %s.\n", *data, contents(r.Manifest), r.Manifest.Created)
	if r.Aside != "" {
		fmt.Fprintf(s.out, "What was there before lies in %s.\n", r.Aside)
	}
	for _, file := range r.Manifest.Missing {
		fmt.Fprintf(s.err, "note: the film %s was missing or damaged when the backup was made\n", file)
	}
	return nil
}
