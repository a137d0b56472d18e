package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

const markersHelp = `
Lists who marks how exactly: each marker's offset of a clip and scatter of one click,
with 95 % bands, from the frames that were marked again without their first marks
and from runs that were marked together (on the pages). Millimetres are standard
errors per axis on a body of 1.80 m. docs/methods/marker.md explains them.

A frame marked again can be discarded and restored by its id; nothing is deleted.`

func markersCommand() command {
	c := command{name: "markers", usage: "markers [--data DIR] [options]", brief: "list and export how exactly people mark"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runMarkers(ctx, c, args, s) }
	return c
}

// markersOptions are the options of one call.
type markersOptions struct {
	data, name, csvFile, discard, restore string
	asJSON                                bool
}

func runMarkers(ctx context.Context, c command, args []string, s streams) error {
	var o markersOptions
	f := newFlags(c, s)
	f.StringVar(&o.data, "data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	f.StringVar(&o.name, "name", "", "keep `NAME` as who marks at this computer from now on")
	f.StringVar(&o.csvFile, "csv", "", "write every landmark placed twice to `FILE`")
	f.StringVar(&o.discard, "discard", "", "let the frame marked again with this `ID` not count")
	f.StringVar(&o.restore, "restore", "", "let the frame marked again with this `ID` count again")
	f.BoolVar(&o.asJSON, "json", false, "print JSON")
	names, err := f.parse(args, markersHelp)
	if err != nil {
		return err
	}
	if len(names) > 0 {
		return usagef("takes no file names")
	}
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: o.data})
	if err != nil {
		return err
	}
	return errors.Join(o.run(ctx, app, s), app.Close())
}

func (o markersOptions) run(ctx context.Context, app *poolside.App, s streams) error {
	if o.name != "" {
		if err := app.SetMarkerName(ctx, o.name); err != nil {
			return usagef("--name %v", err)
		}
	}
	for id, word := range map[string]record.RemarkWord{o.discard: record.DiscardRemark, o.restore: record.RestoreRemark} {
		if id == "" {
			continue
		}
		if err := app.JudgeRemark(ctx, id, word); err != nil {
			return fmt.Errorf("%s %s: %w", word, id, err)
		}
	}
	if o.csvFile != "" {
		if err := writeFile(o.csvFile, func(w io.Writer) error { return app.WriteMarkers(ctx, w) }); err != nil {
			return err
		}
	}
	view, err := app.Markers(ctx)
	if err != nil {
		return err
	}
	if o.asJSON {
		return writeJSON(s.out, view)
	}
	return printMarkers(s.out, view)
}

func printMarkers(w io.Writer, v poolside.MarkersView) error {
	fmt.Fprintf(w, "Marks made at this computer are kept as those of %s.\n", v.Name)
	fmt.Fprintf(w, "Assumed of anybody: offset of a clip %.1f mm, one click %.1f mm.\n\n", v.Assumed.OffsetMM, v.Assumed.SpreadMM)
	if len(v.Markers) == 0 {
		_, err := fmt.Fprintln(w, "Nobody has marked a frame again yet; the marking page asks for one.")
		return err
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "marker\toffset, mm\t95 % band\tone click, mm\t95 % band\tframes\tpoints\tlater")
	for _, m := range v.Markers {
		held := ""
		if m.Held {
			held = " held"
		}
		fmt.Fprintf(t, "%s\t%.1f%s\t%.1f to %.1f\t%.1f\t%.1f to %.1f\t%d\t%d\t%d\n",
			m.Name, m.OffsetMM, held, m.OffsetMin, m.OffsetMax, m.SpreadMM, m.SpreadMin, m.SpreadMax, m.Frames, m.Marks, m.Later)
	}
	fmt.Fprintln(t, "\t\t\t\t\t\t\t")
	fmt.Fprintln(t, "id\tday\tmarker\trun\tpoints\tlargest, mm\tstate\t")
	for _, r := range v.Sittings {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%d\t%.1f %s\t%s\t\n", orDash(r.RemarkID), r.At.Format("2006-01-02"), r.By, r.RunID, r.Marks, r.LargestMM, r.Largest, stateWords(r))
	}
	return t.Flush()
}

func orDash(id string) string {
	if id == "" {
		return "-"
	}
	return id
}

func stateWords(r poolside.RemarkSitting) string {
	var words []string
	if r.RemarkID == "" {
		words = append(words, "two runs marked alike")
	}
	if !r.Finished {
		words = append(words, "not finished")
	}
	if r.Discarded {
		words = append(words, "discarded")
	}
	return strings.Join(words, ", ")
}
