package cli

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"
	"text/tabwriter"

	"underkick/internal/body"
	"underkick/internal/poolside"
)

const guessHelp = `
Makes a first guess of the landmarks on every frame of a clip, so that a few
marked frames are enough. It needs one frame in which you point at the finger
tip and at the toe, and follows the swimmer from there in both directions.

  underkick guess CLIP --from 40 --to 240 --at 120 --fingertip 1004,412 --toe 298,371 --traces-out guess.csv
  underkick guess CLIP ... --marks marks.json --traces-out guess.csv

A guess is no measurement: the network behind it knows people on land. Every
point comes with its standard error. Marks on one frame take most of what is
steadily wrong away, five to ten frames most of the rest; spread them over the
kicks at different moments of the kick. It takes about half a second for each
frame looked at and core (50 frames a second are looked at); what was seen is
kept in the data folder's cache, where the pages keep theirs too, so that a stopped
run goes on where it was and the same start never runs twice. The table is one to look at and to mark against;
measured as it stands, its bands are too narrow (docs/methods/guess.md). The kicks are
measured about a guess by underkick measure --guess, whose bands know how a guess errs.`

func guessCommand() command {
	c := command{name: "guess", usage: "guess CLIP --from N --fingertip X,Y --toe X,Y [options]", brief: "guess the landmarks on a clip from two points on one frame"}
	c.run = func(ctx context.Context, args []string, s streams) error { return runGuess(ctx, c, args, s) }
	return c
}

// guessOptions are the options of one call.
type guessOptions struct {
	request   poolside.GuessRequest
	start     guessStart
	asJSON    bool
	tracesOut string
	film      filmOptions
}

// guessStart are the options of where a guess starts and how far it goes.
type guessStart struct {
	from, to, at   int
	fingertip, toe [2]float64
	pointed        [2]bool
	data           string
}

func (g *guessStart) register(f *flags) {
	f.IntVar(&g.from, "from", 0, "first frame `N` of the run")
	f.IntVar(&g.to, "to", 0, "last frame `N` of the run; without it as far as is read at once")
	f.IntVar(&g.at, "at", -1, "frame `N` in which you point; without it the first. The middle of the run is best")
	f.Func("fingertip", "where the finger tip is in that frame, `X,Y` in pixels of the upright picture", point(&g.fingertip, &g.pointed[0]))
	f.Func("toe", "where the toe is in that frame, `X,Y`", point(&g.toe, &g.pointed[1]))
	f.StringVar(&g.data, "data", defaultDataDir(), "data folder `DIR` in whose cache what was seen is kept (or set UNDERKICK_DATA)")
}

// check refuses what cannot be meant and takes the first frame where none is named to
// point in.
func (g *guessStart) check() error {
	switch {
	case !g.pointed[0] || !g.pointed[1]:
		return usagef("give --fingertip X,Y and --toe X,Y: where they are in one frame")
	case g.from < 0 || g.to < 0 || g.to > 0 && g.to <= g.from:
		return usagef("--from and --to are frames, the later one last")
	}
	if g.at < 0 {
		g.at = g.from
	}
	return nil
}

// cache is the folder in which what was seen is kept.
func (g *guessStart) cache() string { return filepath.Join(g.data, "cache") }

func (o *guessOptions) register(f *flags) {
	r := &o.request
	o.start.register(f)
	f.StringVar(&r.Marks, "marks", "", "marks `FILE` that put the guess right: our JSON, CSV, or COCO keypoints JSON")
	f.StringVar(&r.Mapping, "mapping", "", "mapping `FILE` for COCO keypoints: keypoint name to landmark")
	f.Float64Var(&r.TrueFPS, "true-fps", 0, "how many pictures per second `F` a slow-motion file was really filmed at")
	f.StringVar(&o.tracesOut, "traces-out", "", "write every landmark at every frame to `FILE`: frame,time_s,landmark,x_px,y_px,sd_px")
	f.BoolVar(&o.asJSON, "json", false, "print JSON")
	o.film.register(f)
}

// point reads "X,Y".
func point(to *[2]float64, given *bool) func(string) error {
	return func(text string) error {
		x, y, ok := strings.Cut(text, ",")
		var errX, errY error
		to[0], errX = strconv.ParseFloat(strings.TrimSpace(x), 64)
		to[1], errY = strconv.ParseFloat(strings.TrimSpace(y), 64)
		if !ok || errX != nil || errY != nil {
			return fmt.Errorf("a point is X,Y in pixels, such as 1004,412")
		}
		*given = true
		return nil
	}
}

func (o *guessOptions) check(names []string) error {
	r := &o.request
	if len(names) != 1 {
		return usagef("give one clip, not %d", len(names))
	}
	if err := o.start.check(); err != nil {
		return err
	}
	if r.TrueFPS < 0 || r.TrueFPS != r.TrueFPS {
		return usagef("--true-fps must be a positive number")
	}
	r.Clip, r.From, r.To, r.At = names[0], o.start.from, o.start.to, o.start.at
	r.Fingertip, r.Toe, r.CacheDir = o.start.fingertip, o.start.toe, o.start.cache()
	return nil
}

func runGuess(ctx context.Context, c command, args []string, s streams) error {
	var o guessOptions
	f := newFlags(c, s)
	o.register(f)
	names, err := f.parse(args, guessHelp)
	if err != nil {
		return err
	}
	if err := o.check(names); err != nil {
		return err
	}
	if o.request.Film, err = o.film.open(ctx, s); err != nil {
		return err
	}
	o.request.Progress = quarters(s.err, "looking at the frames")
	g, err := poolside.GuessFile(ctx, o.request)
	if err != nil {
		return err
	}
	if o.tracesOut != "" {
		if err := writeFile(o.tracesOut, g.WriteTraces); err != nil {
			return err
		}
	}
	if o.asJSON {
		return writeGuessJSON(s.out, g)
	}
	return printGuess(s.out, g)
}

// guessFacts is what guess --json tells; docs/formats.md describes it.
type guessFacts struct {
	FromFrame    int                `json:"from_frame"`
	ToFrame      int                `json:"to_frame"`
	LookedAt     int                `json:"frames_looked_at"`
	LostBefore   bool               `json:"lost_before"`
	LostAfter    bool               `json:"lost_after"`
	MarkedFrames int                `json:"marked_frames"`
	SDPx         map[string]float64 `json:"sd_px"`
	Warnings     []string           `json:"warnings"`
}

func writeGuessJSON(w io.Writer, g *poolside.Guessed) error {
	facts := guessFacts{
		FromFrame: g.From, ToFrame: g.To, LookedAt: g.LookedAt, LostBefore: g.LostBefore, LostAfter: g.LostAfter,
		MarkedFrames: g.MarkedFrames, SDPx: map[string]float64{}, Warnings: append([]string{}, g.Warnings...),
	}
	for l, sd := range g.SD() {
		facts.SDPx[l.String()] = sd
	}
	return writeJSON(w, facts)
}

func printGuess(w io.Writer, g *poolside.Guessed) error {
	fmt.Fprintf(w, "guessed on the frames %d to %d, from %d looked at, put right by marks on %d\n", g.From, g.To, g.LookedAt, g.MarkedFrames)
	t := tabwriter.NewWriter(w, 0, 4, 2, ' ', 0)
	sd := g.SD()
	for l := range body.Landmark(body.NumLandmarks) {
		if v, ok := sd[l]; ok {
			fmt.Fprintf(t, "  %v\tstandard error %.1f px\n", l, v)
		}
	}
	if err := t.Flush(); err != nil {
		return fmt.Errorf("print the guess: %w", err)
	}
	if g.LostBefore {
		fmt.Fprintf(w, "note: the swimmer was lost before frame %d. Mark those frames, or point again on one of them.\n", g.From)
	}
	if g.LostAfter {
		fmt.Fprintf(w, "note: the swimmer was lost after frame %d. Mark those frames, or point again on one of them.\n", g.To)
	}
	for _, text := range g.Warnings {
		fmt.Fprintln(w, "note: "+text)
	}
	return nil
}
