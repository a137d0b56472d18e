package poolside

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"underkick/internal/body"
	"underkick/internal/film"
	"underkick/internal/score"
	"underkick/internal/trace"
)

// EvaluateGuess has the clips' film looked at, so that the coaches need fewer marks.
type EvaluateGuess struct {
	Film     *film.Engine // nil: no guess
	CacheDir string       // what was seen is kept there
}

// see has a guess made of every clip, each started by two clicks.
func (e *evaluator) see(ctx context.Context) error {
	tmp, err := os.MkdirTemp("", "underkick-evaluate")
	if err != nil {
		return fmt.Errorf("make room for the clips: %w", err)
	}
	defer func() { _ = os.RemoveAll(tmp) }() // copies of what the program holds
	for i, k := range e.clips {
		e.progress(k.name + ", looking at the frames")
		s, err := k.see(ctx, e.req.Guess, tmp, score.NewHand(e.req.NoisePx, e.req.Seed+uint64(i)))
		if err != nil {
			return fmt.Errorf("guess the landmarks of %s: %w", k.name, err)
		}
		e.seen = append(e.seen, s)
	}
	return nil
}

// see looks at the clip's film, started where the hand clicks finger tip and toe in
// the middle of the run. Copies are written to the folder tmp.
func (k *knownClip) see(ctx context.Context, how EvaluateGuess, tmp string, hand *score.Hand) (trace.Seen, error) {
	path, err := k.film(tmp)
	if err != nil {
		return trace.Seen{}, err
	}
	at := (k.first + k.last) / 2
	clicks := hand.Click(k.px, at, []body.Landmark{body.Fingertip, body.Toe}, k.widthPx, k.high)
	if len(clicks) < 2 {
		return trace.Seen{}, inputf("finger tip and toe are not both in the picture in the middle of the run, frame %d", at)
	}
	req := GuessRequest{
		Clip: path, Film: how.Film, CacheDir: how.CacheDir, From: k.first, To: k.last, At: at,
		Fingertip: [2]float64{clicks[0].X, clicks[0].Y}, Toe: [2]float64{clicks[1].X, clicks[1].Y},
		TrueFPS: float64(len(k.times)-1) / (k.times[len(k.times)-1] - k.times[0]),
	}
	index, factor, err := timedIndex(ctx, req.Film, req.Clip, req.TrueFPS)
	if err != nil {
		return trace.Seen{}, err
	}
	if n := len(index.Frames); n != len(k.times) {
		return trace.Seen{}, inputf("its film has %d frames, its truth %d", n, len(k.times))
	}
	g, err := req.look(ctx, index, factor)
	if err != nil {
		return trace.Seen{}, err
	}
	return g.Seen(k.times[g.From:g.To]), nil
}

// filmBeside is the film of a truth file in a folder.
func filmBeside(dir, name string) func(string) (string, error) {
	return func(string) (string, error) {
		for _, ending := range []string{".mp4", ".mov", ".m4v", ".mkv", ".webm", ".avi"} {
			path := filepath.Join(dir, name+ending)
			if _, err := os.Stat(path); err == nil {
				return path, nil
			}
		}
		return "", inputf("%s holds no film of that name beside the truth", dir)
	}
}

// filmInside writes film held by the program to a folder.
func filmInside(name string, read func() ([]byte, error)) func(string) (string, error) {
	return func(tmp string) (string, error) {
		text, err := read()
		if err != nil {
			return "", err
		}
		path := filepath.Join(tmp, name)
		return path, os.WriteFile(path, text, 0o600)
	}
}

// guessed are the ways of marking with a guess: none, so many full frames where the
// marking page asks, and what it asks for until it says enough.
func (e *evaluator) guessed() []way {
	ways := []way{{name: "the guess alone", repeats: e.req.Repeats, guess: true, marks: func(int, uint64) []body.Mark {
		return []body.Mark{}
	}}}
	for _, n := range e.req.Frames {
		ways = append(ways, way{
			name: fmt.Sprintf("guess, %d frames asked for", n), repeats: e.req.Repeats, guess: true,
			marks: func(i int, seed uint64) []body.Mark {
				return e.follow(i, seed, true, n, func(in chainInput) (*trace.Ask, []body.Landmark) {
					ask := nextAsk(in, beyondLevels)
					return ask, score.CoachLandmarks
				})
			},
		})
	}
	for _, level := range e.req.Levels {
		w := e.asked(level, true)
		w.name = "guess, " + w.name
		ways = append(ways, w)
	}
	return ways
}
