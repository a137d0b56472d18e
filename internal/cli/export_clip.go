package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"underkick/internal/drawing"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

const exportClipHelp = `
Makes a film of a kept run to show to others: slowed, with the drawing in it. Two runs stand
side by side, equally large, both swimming to the right, and the second shows at every
picture the same phase of the kick as the first; each has its own clock. A run's id is the
end of its page's address; RUN:3 starts at kick 3.

Every picture keeps its own time, so a clip of uneven rate stays uneven. The film is MP4
with H.264 where ffmpeg has an encoder for it. With the built-in engine it is at most 960 px
wide and slower to make. What was made is said; the file gets the ending that goes with it.

--for squad and --for outside ask for each swimmer's consent. --soften makes heads
unrecognisable; where the head is not traced, arms and shoulders too. Other people in the
picture are not softened.

The layers are: %s.`

func exportClipCommand() command {
	c := command{name: "export-clip", usage: "export-clip RUN[:KICK] [RUN[:KICK]] -o FILE.mp4 [options]", brief: "make a slowed film of one run or two, with the drawing in it"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runExportClip(ctx, c, args, s) }
	return c
}

// exportClip is what the command line asks for.
type exportClip struct {
	spec   poolside.ClipSpec
	data   string
	out    string
	layers string
	frames string
	who    string
	kicks  int
	film   filmOptions
	json   bool
}

func (o *exportClip) register(f *flags) {
	f.StringVar(&o.data, "data", defaultDataDir(), "data folder `DIR` (or set UNDERKICK_DATA)")
	f.StringVar(&o.out, "o", "", "film `FILE` to write; one of that name is replaced")
	f.IntVar(&o.kicks, "kicks", 0, "how many kicks `N`; 0 = all from the first on")
	f.StringVar(&o.frames, "frames", "", "frames `A-B` of the clip instead of kicks, for one run")
	f.IntVar(&o.spec.Slow, "slow", 4, "show it `N` times as long: 1, 2, 4 or 8")
	f.StringVar(&o.layers, "layers", "", "what is drawn: `LIST` of layers divided by commas, all, or none; the usual ones if not given")
	f.BoolVar(&o.spec.Follow, "follow", false, "the picture goes with the swimmer")
	f.BoolVar(&o.spec.Legs, "legs", false, "it goes with the legs alone, which are larger then")
	f.BoolVar(&o.spec.Above, "above", false, "two runs one above the other, not side by side")
	f.BoolVar(&o.spec.Soften, "soften", false, "make heads unrecognisable")
	f.IntVar(&o.spec.WidthPx, "width", 960, "width `PX` of the film")
	f.StringVar(&o.who, "for", "me", "who will see it, `me|squad|outside`")
	f.BoolVar(&o.json, "json", false, "print what was made as JSON")
	o.film.register(f)
}

// read turns the words of the command line into a spec.
func (o *exportClip) read(runs []string) error {
	if len(runs) < 1 || len(runs) > 2 {
		return usagef("give the id of one run, or of two to show side by side")
	}
	if o.out == "" {
		return usagef("give the film to write: -o FILE.mp4")
	}
	for _, text := range runs {
		id, kick, named := strings.Cut(text, ":")
		r := poolside.ClipRun{RunID: id, Kicks: o.kicks}
		if named {
			n, err := strconv.Atoi(kick)
			if err != nil || n < 1 {
				return usagef("%q: after the colon stands the number of a kick, from 1", text)
			}
			r.Kick = n
		}
		o.spec.Runs = append(o.spec.Runs, r)
	}
	if o.frames != "" {
		r := &o.spec.Runs[0]
		if n, err := fmt.Sscanf(o.frames, "%d-%d", &r.From, &r.To); n != 2 || err != nil || r.Kick > 0 || r.Kicks > 0 {
			return usagef("--frames is FIRST-LAST, such as 120-180, and goes without kicks")
		}
	}
	var err error
	if o.spec.Layers, err = drawing.ParseSwitches(o.layers); err != nil {
		return usagef("--layers: %v", err)
	}
	o.spec.Follow = o.spec.Follow || o.spec.Legs
	switch o.who {
	case "me":
	case "squad", "outside":
		o.spec.Audience = record.Audience(o.who)
	default:
		return usagef("--for is me, squad or outside, not %q", o.who)
	}
	return nil
}

func runExportClip(ctx context.Context, c command, args []string, s streams) error {
	f := newFlags(c, s)
	var o exportClip
	o.register(f)
	runs, err := f.parse(args, fmt.Sprintf(exportClipHelp, strings.ReplaceAll(drawing.All().String(), ",", ", ")))
	if err != nil {
		return err
	}
	if err := o.read(runs); err != nil {
		return err
	}
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: o.data, Film: o.film.choice, NoGuess: true})
	if err != nil {
		return err
	}
	path, note, err := app.WriteClip(ctx, o.spec, o.out, tenths(s.err))
	if errors.Is(err, poolside.ErrNotFound) {
		err = unusablef(err, "there is no such run in %s; a run's id is the end of its page's address", o.data)
	}
	if err := errors.Join(err, app.Close()); err != nil {
		return err
	}
	if o.json {
		return writeJSON(s.out, struct {
			File string `json:"file"`
			Note string `json:"note"`
		}{path, note})
	}
	fmt.Fprintf(s.out, "%s: %s\n", path, note)
	return nil
}

// tenths says what is being done at every tenth of it.
func tenths(w io.Writer) func(done float64, doing string) {
	said := 0
	return func(done float64, doing string) {
		if q := int(10 * done); q > said {
			said = q
			fmt.Fprintf(w, "%3d %%  %s\n", 10*q, doing)
		}
	}
}
