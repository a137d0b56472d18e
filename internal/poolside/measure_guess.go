package poolside

import (
	"context"
	"errors"
	"fmt"

	"underkick/internal/film"
	"underkick/internal/guess"
	"underkick/internal/table"
	"underkick/internal/trace"
)

// FileGuess asks for a guess of the landmarks beside the marks of a FileRequest, or in
// their place.
type FileGuess struct {
	CacheDir       string // where what was seen is kept
	From, To       int    // first and last frame of the run; To = 0: as far as is read at once
	At             int    // frame on which finger tip and toe were pointed at, px
	Fingertip, Toe [2]float64
	Progress       func(done, total int)
}

// Unmarked is the warning of a run that stands on a guess which nobody put right.
const Unmarked = "This run is unmarked: every number stands on a guess of the landmarks by a network that knows people on land. Read it as a first look, and decide nothing by it; toe, ankle, knee and hip marked on one frame make it a measurement (--marks)."

// measureGuessed measures a clip about a guess. The marks, where there are any, put it
// right. Without them the numbers say that they are unmarked, and a run through which the
// swimmer was not followed is refused.
func measureGuessed(ctx context.Context, req FileRequest) (*Measured, error) {
	ask := GuessRequest{
		Clip: req.Clip, Film: req.Film, CacheDir: req.Guess.CacheDir, From: req.Guess.From, To: req.Guess.To,
		At: req.Guess.At, Fingertip: req.Guess.Fingertip, Toe: req.Guess.Toe, TrueFPS: req.TrueFPS, Progress: req.Guess.Progress,
	}
	index, factor, err := timedIndex(ctx, req.Film, req.Clip, req.TrueFPS)
	if err != nil {
		return nil, err
	}
	if err := ask.settleRange(index); err != nil {
		return nil, err
	}
	marks, err := tableOnFilm(index, req.Marks, req.Mapping)
	if err != nil {
		return nil, err
	}
	in := chainInput{Subject: req.Subject, Supine: req.Supine, Shutter: req.Shutter}
	in.Frames, in.Times = framesOf(frameTimes(index), ask.From, ask.To, factor)
	in.Clip.FrameRate = index.Info.FPS / factor
	in.takeMarks(marks.Marks)
	warnings, err := in.scaleOrSteady(ctx, req, marks)
	if err != nil {
		return nil, err
	}
	if err := in.lookFor(ctx, ask, index, factor); err != nil {
		return nil, err
	}
	out, err := measure(ctx, in)
	if err != nil {
		return nil, err
	}
	if in.unchecked() {
		out.Result.Warnings = append([]string{Unmarked}, out.Result.Warnings...)
	}
	for _, w := range index.Info.Warnings {
		warnings = append(warnings, w.Text)
	}
	out.Result.Warnings = append(out.Result.Warnings, append(warnings, marks.Warnings...)...)
	return out, nil
}

// lookFor puts the guess into in. It refuses one that lost the swimmer where no marks
// show how far it can be trusted.
func (in *chainInput) lookFor(ctx context.Context, ask GuessRequest, index *film.Index, factor float64) error {
	g, err := ask.look(ctx, index, factor)
	if errors.Is(err, guess.ErrStart) {
		return inputError{err}
	}
	if err != nil {
		return fmt.Errorf("guess the landmarks: %w", err)
	}
	first := g.From - ask.From
	in.Guess, err = planeGuess(g.Seen(in.Times[first:first+g.To-g.From]), in.Times, viewOr(in.View))
	unseen := errors.Is(err, trace.ErrUnseen)
	if err != nil && !unseen {
		return err
	}
	if lost := g.LostBack || g.LostOn || unseen; lost && (len(in.Marks) == 0 || in.unchecked()) {
		return inputf("the guess followed the swimmer through the frames %d to %d only, of %d to %d, and nobody marked the run: nothing can be measured. Give those frames with --from and --to where they hold whole kicks, point on another frame (--at), or mark the run (--marks)",
			g.From, g.To-1, ask.From, ask.To)
	}
	return nil
}

// tableOnFilm reads a marks file and puts it on the film; an empty table without a file.
func tableOnFilm(index *film.Index, path, mapping string) (*table.Table, error) {
	if path == "" {
		return &table.Table{}, nil
	}
	t, err := readTable(path, mapping)
	if err != nil {
		return nil, err
	}
	placed, err := t.OnFilm(frameTimes(index))
	if err != nil {
		return nil, inputf("put the marks of %s on %s: %w", path, index.Info.Name, err)
	}
	return placed, outsidePicture(placed, index.Info.Width, index.Info.Height)
}
