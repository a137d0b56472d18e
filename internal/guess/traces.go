package guess

import (
	"errors"
	"fmt"
	"math"

	"underkick/internal/body"
	"underkick/internal/trace"
)

// ErrTooShort: the swimmer was followed through too few frames to make traces.
var ErrTooShort = errors.New("the swimmer was followed through too few frames")

// fewestSights is the least number of frames to make traces from.
const fewestSights = 10

// standIn lends the fit a landmark for each place; the fit knows only those.
var standIn = [places]body.Landmark{
	knuckle: body.Fingertip, wrist: body.Wrist, elbow: body.Elbow, shoulder: body.Shoulder, ear: body.Head,
	hip: body.Hip, knee: body.Knee, ankle: body.Ankle, heel: body.Heel, toe: body.Toe,
}

// inside tells whether a point lies in the picture.
func (g *Guess) inside(p xy) bool {
	return p.x >= 0 && p.y >= 0 && p.x <= float64(g.width) && p.y <= float64(g.height)
}

// Motion returns the traces of all landmarks that can be guessed at the frames
// From to To-1, whose times (s) are given, in px with y down: what the network
// saw, smoothed, and corrected by the start's two points and by marks. Each
// point has its standard error per axis. A landmark is NaN where it would lie
// outside the picture, and nil when it was hardly ever inside. Marks outside the frames are left out.
func (g *Guess) Motion(times []float64, marks []body.Mark) (body.Motion, error) {
	if len(times) != g.To-g.From {
		panic("guess: Motion needs the times of the frames From to To-1")
	}
	if len(g.sights) < fewestSights {
		return body.Motion{}, fmt.Errorf("%w: %d, and %d are needed. Start on a frame where the swimmer is seen whole and clear", ErrTooShort, len(g.sights), fewestSights)
	}
	ready, err := trace.NewGuess(times, g.Seen(times))
	if errors.Is(err, trace.ErrUnseen) {
		return body.Motion{}, fmt.Errorf("%w: %w", ErrTooShort, err)
	}
	if err != nil {
		return body.Motion{}, err
	}
	var own []body.Mark
	for _, m := range marks {
		if i := m.Frame - g.From; i >= 0 && i < len(times) {
			m.Time = times[i]
			own = append(own, m)
		}
	}
	f, err := trace.Fit(times, own, trace.Options{Guess: ready})
	if err != nil {
		return body.Motion{}, fmt.Errorf("put the guess right by the marks: %w", err)
	}
	out := f.Motion()
	for l, p := range out.Paths {
		if p != nil {
			out.Paths[l] = g.withoutOutside(p)
		}
	}
	return out, nil
}

// withoutOutside makes NaN of what lies outside the picture.
func (g *Guess) withoutOutside(p *body.Path) *body.Path {
	for i := range p.X {
		if !g.inside(xy{p.X[i], p.Y[i]}) {
			p.X[i], p.Y[i], p.SD[i] = math.NaN(), math.NaN(), math.NaN()
		}
	}
	return p
}
