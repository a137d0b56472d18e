package poolside

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"sync"

	"underkick/internal/body"
	"underkick/internal/guess"
	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/trace"
)

// guesses keeps the last guesses in memory, so that a mark does not wait for one to
// be read and smoothed.
type guesses struct {
	mu    sync.Mutex
	bySee map[string]*seenGuess // by job
	order []string              // jobs, oldest first

	waiting sync.RWMutex // read-locked by whoever a person waits for
}

// seenGuess is what a job saw, and what was made of it for the scale used last.
type seenGuess struct {
	guessLeft
	raw *guess.Guess

	key  string // of made
	made *trace.Guess
	err  error
}

// first lets work that a person waits for go before a guess that is under way, until
// done is called.
func (c *guesses) first() (done func()) {
	c.waiting.RLock()
	return c.waiting.RUnlock
}

// giveWay returns when no such work is under way.
func (c *guesses) giveWay() {
	c.waiting.Lock()
	defer c.waiting.Unlock()
}

// guessesKept is how many are kept: some runs that are marked in turn.
const guessesKept = 8

// seen returns what a job that ended well saw, from memory or from the cache folder.
func (c *guesses) seen(a *App, rc store.Whole, j record.Job) (*seenGuess, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if g := c.bySee[j.ID]; g != nil {
		return g, nil
	}
	left, start, err := leftOf(j)
	if err != nil {
		return nil, err
	}
	raw, err := guess.Run(context.Background(), a.guessRequest(rc, start, left)) // reads a file; nothing to wait for
	if err != nil {
		return nil, err
	}
	if c.bySee == nil {
		c.bySee = map[string]*seenGuess{}
	}
	if c.order = append(c.order, j.ID); len(c.order) > guessesKept {
		delete(c.bySee, c.order[0])
		c.order = c.order[1:]
	}
	g := &seenGuess{guessLeft: left, raw: raw}
	c.bySee[j.ID] = g
	return g, nil
}

// ready returns the guess at the times and in the view of in.
func (c *guesses) ready(g *seenGuess, in chainInput, film filmTimes, scale record.Scale) (*trace.Guess, error) {
	key, err := in.guessKey(scale)
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if g.key != key {
		g.key = key
		g.made, g.err = planeGuess(g.on(in, film), in.Times, viewOr(in.View))
	}
	return g.made, g.err
}

// guessKey names what a guess is made ready for: the times and the view, which hangs on
// the scale and, of a camera that moved, on how it was found to move.
func (in chainInput) guessKey(scale record.Scale) (string, error) {
	text, err := json.Marshal(struct {
		Times  []float64
		Kind   record.ScaleKind
		Scale  record.Scale
		Steady string
	}{in.Times, scale.Kind, scale, in.steadied.found})
	if err != nil {
		return "", fmt.Errorf("name the guess: %w", err)
	}
	return string(text), nil
}

// filmTimes are the times of all frames of a clip as it plays, s, and the factor to
// true time.
type filmTimes struct {
	film   []float64
	factor float64
}

// on returns what was seen on the run's frames; the run may have been changed since.
func (g *seenGuess) on(in chainInput, film filmTimes) trace.Seen {
	first, last := in.Frames[0], in.Frames[len(in.Frames)-1]
	_, times := framesOf(film.film, g.raw.From, g.raw.To-1, film.factor)
	s := g.raw.Seen(times)
	outside := func(m body.Mark) bool { return m.Frame < first || m.Frame > last }
	s.Points, s.Pointed = slices.DeleteFunc(s.Points, outside), slices.DeleteFunc(s.Pointed, outside)
	return s
}

// takeGuess puts the run's guess into in, where there is one. Without one, or when it
// cannot be used, the marks alone serve: that is no error.
func (a *App) takeGuess(ctx context.Context, rc store.Whole, in *chainInput, film filmTimes) error {
	if state, err := a.guessBarred(ctx); err != nil || state != "" {
		return err
	}
	list, err := a.guessJobs(ctx, rc.Run.ID)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(list, func(j record.Job) bool { return j.State == record.Done })
	if i < 0 {
		return nil
	}
	g, err := a.guesses.seen(a, rc, list[i])
	if err == nil {
		in.Guess, err = a.guesses.ready(g, *in, film, rc.Run.Scale)
	}
	if err != nil {
		if !errors.Is(err, guess.ErrNotKept) && !errors.Is(err, trace.ErrUnseen) {
			a.log.Warn("guess not used", "run", rc.Run.ID, "err", err)
		}
		return nil
	}
	in.guessed = hashOf([]string{guess.Method, string(list[i].Args), string(list[i].Outcome)})
	return nil
}

// unchecked reports whether a guess stands beside marks that do not show yet what its
// habits are on this swimmer: then nothing is measured.
func (in chainInput) unchecked() bool {
	if in.Guess == nil {
		return false
	}
	on := map[int]int{}
	for _, m := range in.Marks {
		switch m.Landmark {
		case body.Toe, body.Ankle, body.Knee, body.Hip:
			on[m.Frame]++
		}
	}
	for _, n := range on {
		if n == 4 {
			return false
		}
	}
	return true
}
