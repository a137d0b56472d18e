package cli

import (
	"context"
	"errors"
	"fmt"

	"underkick/internal/poolside"
	"underkick/internal/store"
)

const backupHelp = `
Writes everything in the data folder, records and films, into one FILE: a zip archive
with a list of its parts and their SHA-256 sums. It is read back before it gets its name.
A FILE that is there already is left as it is unless --replace is given. Keep it on
another disk, and as safe as the films themselves. Where backups were written is noted, so
that erasing a swimmer can name them.

While underkick serve runs it has the data folder, and this command stops with exit code 5:
the page Keep makes the backup then. The passphrase for the phone pages is not in a backup.

underkick restore brings a backup back. docs/formats.md describes the file.`

func backupCommand() command {
	c := command{name: "backup", usage: "backup FILE [options]", brief: "write all records and films into one file"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runBackup(ctx, c, args, s) }
	return c
}

func runBackup(ctx context.Context, c command, args []string, s streams) error {
	f := newFlags(c, s)
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	replace := f.Bool("replace", false, "replace FILE if it is there already")
	check := f.Bool("check", false, "only read FILE and say whether it is whole")
	names, err := f.parse(args, backupHelp)
	if err != nil {
		return err
	}
	if len(names) != 1 {
		return usagef("give one FILE to write")
	}
	if *check {
		m, err := poolside.CheckBackup(ctx, names[0])
		if err != nil {
			return err
		}
		fmt.Fprintf(s.out, "%s is whole: %s, written %s.\n", names[0], contents(m), m.Created)
		return nil
	}
	ctx, app, err := s.openOrPage(ctx, *data)
	if err != nil {
		return err
	}
	m, err := app.Backup(ctx, names[0], store.BackupOptions{Replace: *replace, Progress: s.partsDone()})
	if err := errors.Join(err, app.Close()); err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s: %s, read back and whole.\n", names[0], contents(m))
	for _, file := range m.Missing {
		fmt.Fprintf(s.err, "note: the film %s is missing in the data folder or is not what was brought in; its records are in the backup\n", file)
	}
	return nil
}

func contents(m store.Manifest) string {
	return fmt.Sprintf("the records and %d films, %.1f MB", len(m.Parts)-1, float64(m.Bytes())/1e6)
}

// partsDone tells the part and the tenth of a copy of more than 100 MB.
func (s streams) partsDone() func(store.BackupProgress) {
	var last store.BackupProgress
	tenths := int64(-1)
	return func(p store.BackupProgress) {
		if p.Doing != last.Doing {
			tenths = -1
		}
		last = p
		if now := p.Done * 10 / max(p.Total, 1); p.Total > 100e6 && now > tenths {
			tenths = now
			fmt.Fprintf(s.err, "%s: part %d of %d (%s), %d %%\n", p.Doing, p.Number, p.Parts, p.Part, now*10)
		}
	}
}
