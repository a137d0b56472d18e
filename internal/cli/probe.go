package cli

import (
	"context"
	"fmt"
	"io"

	"underkick/internal/film"
	"underkick/internal/poolside"
)

const probeHelp = `
Says what a clip is: picture size, frames, times, and what about it a result
would depend on (slow motion, damage, uneven frames).

--runs looks for swimmers who cross the picture and proposes where to measure:
first and last frame, direction, whole kicks; and it judges the filming: blur of
the feet by their edges, size in the picture, whole kicks. Whether they swim on the front or
on the back cannot be told from that and is not.`

func probeCommand() command {
	c := command{name: "probe", usage: "probe CLIP [--runs] [--height M] [--true-fps F] [--json]", brief: "say what a clip is and what is doubtful about it"}
	c.run = func(ctx context.Context, args []string, s streams) error {
		f := newFlags(c, s)
		asJSON := f.Bool("json", false, "print JSON")
		runs := f.Bool("runs", false, "look for swimmers and propose runs (decodes the clip)")
		trueFPS := f.Float64("true-fps", 0, "how many pictures per second `F` a slow-motion file was really filmed at")
		height := f.Float64("height", 0, "the swimmer's standing height `M`, for the scale and the blur")
		var engine filmOptions
		engine.register(f)
		names, err := f.parse(args, probeHelp)
		if err != nil {
			return err
		}
		if len(names) != 1 {
			return usagef("give one clip, not %d", len(names))
		}
		e, err := engine.open(ctx, s)
		if err != nil {
			return err
		}
		index, err := poolside.IndexFile(ctx, e, names[0])
		if err != nil {
			return err
		}
		facts := clipFacts(index)
		var look *poolside.LookView
		if *runs {
			look, err = poolside.LookFile(ctx, e, names[0], *trueFPS, quarters(s.err, "looking for swimmers"))
			if err != nil {
				return err
			}
			facts.takeRuns(look)
		}
		facts.takeChecks(*trueFPS, *height, look)
		if *asJSON {
			return writeJSON(s.out, facts)
		}
		return facts.print(s.out)
	}
	return c
}

// facts is what probe tells; docs/formats.md describes it.
type facts struct {
	Name       string               `json:"name"`
	Bytes      int64                `json:"bytes"`
	Container  string               `json:"container"`
	Codec      string               `json:"codec"`
	WidthPx    int                  `json:"width_px"`  // of the upright picture
	HeightPx   int                  `json:"height_px"` // with square pixels
	Rotation   int                  `json:"rotation_deg"`
	Frames     int                  `json:"frames"`
	DurationS  float64              `json:"duration_s"`
	FPS        float64              `json:"fps"`
	NominalFPS float64              `json:"nominal_fps"`
	CaptureFPS *float64             `json:"capture_fps"` // null when the file does not say
	Variable   bool                 `json:"variable_rate"`
	FieldOrder string               `json:"field_order"` // "" for progressive film
	Warnings   []factsNote          `json:"warnings"`
	Checks     []poolside.ClipCheck `json:"checks"`
	Runs       *runsFound           `json:"runs,omitempty"` // with --runs
}

type factsNote struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

func clipFacts(index *film.Index) facts {
	i := &index.Info
	out := facts{
		Name: i.Name, Bytes: i.Size, Container: i.Container, Codec: i.Codec,
		WidthPx: i.Width, HeightPx: i.Height, Rotation: i.Rotation,
		Frames: len(index.Frames), DurationS: i.Duration, FPS: i.FPS, NominalFPS: i.NominalFPS,
		Variable: i.Variable, FieldOrder: i.FieldOrder, Warnings: []factsNote{},
	}
	if i.CaptureFPS > 0 {
		out.CaptureFPS = &i.CaptureFPS
	}
	for _, w := range i.Warnings {
		out.Warnings = append(out.Warnings, factsNote{string(w.Code), w.Text})
	}
	return out
}

func (f facts) print(w io.Writer) error {
	fmt.Fprintf(w, "%s: %s, %d x %d px, %d frames in %.3f s, %.4g per second", f.Name, f.Codec, f.WidthPx, f.HeightPx, f.Frames, f.DurationS, f.FPS)
	if f.Variable {
		fmt.Fprint(w, " (unevenly spaced)")
	}
	fmt.Fprintln(w)
	if f.Rotation != 0 {
		fmt.Fprintf(w, "turned upright by %d degrees\n", f.Rotation)
	}
	for _, n := range f.Warnings {
		fmt.Fprintln(w, "note: "+n.Text)
	}
	f.Runs.print(w)
	printChecks(w, f.Checks)
	return nil
}
