package poolside

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"math"
	"os"
	"sync"

	"underkick/internal/body"
	"underkick/internal/film"
	"underkick/internal/guess"
	"underkick/internal/table"
)

// GuessRequest asks for a first guess of the landmarks on a clip, past the store.
type GuessRequest struct {
	Clip     string
	Film     *film.Engine // reads Clip
	CacheDir string       // where what was seen is kept, so that it need not be seen again
	From, To int          // first and last frame; To = 0: as far as is read at once
	// At is a frame among them on which finger tip and toe were pointed at, px.
	At             int
	Fingertip, Toe [2]float64
	Marks          string  // file of marks on Clip that put the guess right, "" for none
	Mapping        string  // keypoint map of COCO marks, "" for none
	TrueFPS        float64 // at which a slow-motion clip was really filmed; 0 = as the file plays
	Progress       func(done, total int)
}

// Guessed is a first guess of the landmarks, in px.
type Guessed struct {
	From, To              int  // first and last frame with a guess
	LookedAt              int  // frames the guess was made from; the others lie between them
	LostBefore, LostAfter bool // the swimmer was lost before From, after To
	MarkedFrames          int  // that put the guess right
	Warnings              []string

	motion body.Motion
}

// GuessFile guesses the landmarks on a clip and puts the guess right by the
// marks there are. Errors about the files wrap ErrInput or are the reader's own
// (*table.Problems, film.ErrRefused).
func GuessFile(ctx context.Context, req GuessRequest) (*Guessed, error) {
	index, factor, err := timedIndex(ctx, req.Film, req.Clip, req.TrueFPS)
	if err != nil {
		return nil, err
	}
	if err := req.settleRange(index); err != nil {
		return nil, err
	}
	marks, warnings, err := req.marks(index)
	if err != nil {
		return nil, err
	}
	g, err := req.look(ctx, index, factor)
	if errors.Is(err, guess.ErrStart) {
		return nil, inputError{err}
	}
	if err != nil {
		return nil, fmt.Errorf("guess the landmarks: %w", err)
	}
	_, times := framesOf(frameTimes(index), g.From, g.To-1, factor)
	out := &Guessed{
		From: g.From, To: g.To - 1, LookedAt: len(g.Frames()), LostBefore: g.LostBack, LostAfter: g.LostOn, Warnings: warnings,
	}
	for i := range marks {
		if i == 0 || marks[i].Frame != marks[i-1].Frame {
			out.MarkedFrames++
		}
	}
	if out.motion, err = g.Motion(times, marks); errors.Is(err, guess.ErrTooShort) {
		return nil, inputError{err}
	}
	if err != nil {
		return nil, fmt.Errorf("guess the landmarks: %w", err)
	}
	return out, nil
}

// settleRange fills in the last frame and refuses frames the clip does not have.
func (r *GuessRequest) settleRange(index *film.Index) error {
	n := len(index.Frames)
	if r.From < 0 || r.From >= n || r.To >= n || r.To < 0 {
		return inputf("%s has the frames 0 to %d, not %d to %d", index.Info.Name, n-1, r.From, r.To)
	}
	longest := index.Longest(r.From) - 1
	if r.To == 0 {
		r.To = longest
	}
	if r.To > longest {
		return inputf("the frames %d to %d are more than are read at once; from %d on it goes to %d", r.From, r.To, r.From, longest)
	}
	return nil
}

// marks reads the marks file and puts it on the film.
func (r *GuessRequest) marks(index *film.Index) ([]body.Mark, []string, error) {
	placed, err := tableOnFilm(index, r.Marks, r.Mapping)
	if err != nil {
		return nil, nil, err
	}
	return placed.Marks, placed.Warnings, nil
}

// look has the frames looked at that were not looked at before.
func (r *GuessRequest) look(ctx context.Context, index *film.Index, factor float64) (*guess.Guess, error) {
	hash, err := hashFile(r.Clip)
	if err != nil {
		return nil, err
	}
	fps := index.Info.FPS / factor
	step := guess.StepAt(fps)
	reel := &reel{engine: r.Film, clip: r.Clip, from: r.From, to: r.To + 1, width: min(index.Info.Width, reelWidth)}
	reel.wanted = func(n int) bool { return (n-r.At)%step == 0 }
	return guess.Run(ctx, guess.Request{
		Clip: hash, Width: index.Info.Width, Height: index.Info.Height, Pictures: reel.picture,
		Start: guess.Start{Frame: r.At, FingertipX: r.Fingertip[0], FingertipY: r.Fingertip[1], ToeX: r.Toe[0], ToeY: r.Toe[1]},
		From:  r.From, To: r.To + 1, Step: step, CacheDir: r.CacheDir, Progress: r.Progress,
	})
}

func hashFile(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", openError(path, err)
	}
	defer func() { _ = f.Close() }() // read only: nothing to lose
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", openError(path, err)
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// reelWidth is wide enough for the guess, which sees the swimmer 200 px long.
const reelWidth = 1280

// reel holds the wanted pictures of a range as JPEG files in memory, about
// 0.1 MB each and some hundreds of them. They are decoded at the first need:
// when everything was looked at before, there is none.
type reel struct {
	engine   *film.Engine
	clip     string
	from, to int
	width    int
	wanted   func(frame int) bool

	mu    sync.Mutex
	files map[int][]byte
}

func (r *reel) picture(ctx context.Context, frame int) (image.Image, error) {
	file, err := r.file(ctx, frame)
	if err != nil {
		return nil, err
	}
	return jpeg.Decode(bytes.NewReader(file))
}

func (r *reel) file(ctx context.Context, frame int) ([]byte, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.files == nil {
		files := map[int][]byte{}
		req := film.Request{From: r.from, To: r.to, Format: film.JPEG, Width: r.width}
		_, err := r.engine.Decode(ctx, r.clip, req, func(p film.Picture) error {
			if r.wanted(p.N) {
				files[p.N] = bytes.Clone(p.Data)
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
		r.files = files
	}
	return r.files[frame], nil
}

// Traces lists the guess as trace points, frame by frame, in px.
func (g *Guessed) Traces() []body.Mark {
	var out []body.Mark
	for i, t := range g.motion.T {
		for l, p := range g.motion.Paths {
			if p != nil && !math.IsNaN(p.X[i]) {
				out = append(out, body.Mark{Frame: g.From + i, Time: t, Landmark: body.Landmark(l), X: p.X[i], Y: p.Y[i], SD: p.SD[i]})
			}
		}
	}
	return out
}

// WriteTraces writes every guessed landmark at every frame as CSV.
func (g *Guessed) WriteTraces(w io.Writer) error { return table.WriteCSV(w, g.Traces()) }

// SD returns the mean standard error of each landmark over the frames, px.
func (g *Guessed) SD() map[body.Landmark]float64 {
	sum, n := map[body.Landmark]float64{}, map[body.Landmark]float64{}
	for _, m := range g.Traces() {
		sum[m.Landmark] += m.SD
		n[m.Landmark]++
	}
	for l := range sum {
		sum[l] /= n[l]
	}
	return sum
}
