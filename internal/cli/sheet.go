package cli

import (
	"context"
	"errors"
	"io"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

const sheetHelp = `
Prints the one page for a swimmer and parents: what was seen on the RUN, one number, one thing
to do, why, and the cautions, in plain words. --html FILE writes it with its picture as one
file that asks nothing of any network, --pdf FILE prints it with an installed browser of the
Chromium family. A run's page has its id at the end of its address.`

func sheetCommand() command {
	c := command{name: "sheet", usage: "sheet RUN [--pdf FILE] [--html FILE] [options]", brief: "one page for a swimmer and parents"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runSheet(ctx, c, args, s) }
	return c
}

func runSheet(ctx context.Context, c command, args []string, s streams) error {
	f := newFlags(c, s)
	html := f.String("html", "", "write the sheet as one HTML file to `FILE`; - is standard output")
	pdf := f.String("pdf", "", "print the sheet to the PDF `FILE`")
	size := f.String("paper", "A4", "`A4|letter`")
	data := f.String("data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	runs, err := f.parse(args, sheetHelp)
	switch {
	case err != nil:
		return err
	case len(runs) != 1:
		return usagef("needs the id of one run")
	case *size != string(record.A4) && *size != string(record.Letter):
		return usagef("--paper is A4 or letter, not %q", *size)
	case *pdf == "-":
		return usagef("--pdf needs a file")
	}
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: *data})
	if err != nil {
		return err
	}
	err = writeSheet(ctx, app, sheetOptions{runs[0], record.Paper(*size), *html, *pdf}, s)
	if errors.Is(err, poolside.ErrNotFound) {
		err = unusablef(err, "there is no run %s in %s; its page's address ends in its id", runs[0], *data)
	}
	return errors.Join(err, app.Close())
}

// sheetOptions say what is written of which run.
type sheetOptions struct {
	run       string
	paper     record.Paper
	html, pdf string
}

func writeSheet(ctx context.Context, app *poolside.App, o sheetOptions, s streams) error {
	if o.html != "" {
		if err := writeOut(o.html, s.out, func(w io.Writer) error { return app.WriteSheet(ctx, o.run, o.paper, w) }); err != nil {
			return err
		}
	}
	if o.pdf != "" {
		return app.PrintSheet(ctx, o.run, o.paper, o.pdf)
	}
	if o.html != "" {
		return nil
	}
	view, err := app.Sheet(ctx, o.run, o.paper, func(poolside.SheetPicture) (string, error) { return "", nil })
	if err != nil {
		return err
	}
	if view.Problem != "" {
		return unusablef(nil, "there is no sheet yet. %s", view.Problem)
	}
	return view.Sheet.WriteText(s.out)
}
