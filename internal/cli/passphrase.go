package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"underkick/internal/door"
)

const passphraseHelp = `
Sets the passphrase that the phone pages ask for (underkick serve --lan), in place
of any other. It is read as one line from standard input; what you type is shown.
It needs 12 characters or more; four words that do not belong together do well.
Kept is a slow hash, from which the passphrase cannot be read back. An underkick
that is running takes a new one when it is started again.`

func passphraseCommand() command {
	c := command{name: "passphrase", usage: "passphrase [--data DIR]", brief: "set the passphrase of the phone pages"}
	c.run = func(_ context.Context, args []string, s streams) error {
		f := newFlags(c, s)
		dir := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
		names, err := f.parse(args, passphraseHelp)
		if err != nil {
			return err
		}
		if len(names) > 0 {
			return usagef("takes no passphrase as an argument, where others would see it; it is read from standard input")
		}
		return setPassphrase(*dir, bufio.NewReader(s.in), s)
	}
	return c
}

// setPassphrase reads one line and keeps it as the passphrase.
func setPassphrase(dir string, in *bufio.Reader, s streams) error {
	fmt.Fprint(s.err, "new passphrase, 12 characters or more, shown as you type: ")
	line, err := in.ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return fmt.Errorf("read the passphrase: %w", err)
	}
	pass, err := door.NewPassphrase(strings.TrimRight(line, "\r\n"))
	if err != nil {
		return err
	}
	if err := pass.Keep(dir); err != nil {
		return err
	}
	fmt.Fprintln(s.err, "\nthe passphrase is set")
	return nil
}
