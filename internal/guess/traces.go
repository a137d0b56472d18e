package guess

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"underkick/internal/body"
	"underkick/internal/trace"
)

// ErrTooShort: the swimmer was followed through too few frames to make traces.
var ErrTooShort = errors.New("the swimmer was followed through too few frames")

// fewestSights is the least number of frames to make traces from.
const fewestSights = 10

// smooth is what the network saw, smoothed over time: for each place a path
// over the frames, px with y down.
type smooth struct {
	times  []float64
	paths  [places]*body.Path
	period float64
	length float64 // of the body, px, median
}

// standIn lends the fit a landmark for each place; the fit knows only those.
var standIn = [places]body.Landmark{
	knuckle: body.Fingertip, wrist: body.Wrist, elbow: body.Elbow, shoulder: body.Shoulder, ear: body.Head,
	hip: body.Hip, knee: body.Knee, ankle: body.Ankle, heel: body.Heel, toe: body.Toe,
}

// smoothed fits the sights; times are those of the frames g.From to g.To-1.
func (g *Guess) smoothed(times []float64) (*smooth, error) {
	if len(g.sights) < fewestSights {
		return nil, fmt.Errorf("%w: %d, and %d are needed. Start on a frame where the swimmer is seen whole and clear", ErrTooShort, len(g.sights), fewestSights)
	}
	var lengths []float64
	var marks []body.Mark
	for i := range g.sights {
		lengths = append(lengths, g.sights[i].length())
	}
	slices.Sort(lengths)
	s := &smooth{times: times, length: lengths[len(lengths)/2]}
	for i := range g.sights {
		v := &g.sights[i]
		for p := range places {
			at := v.merged(place(p))
			if !g.inside(at) {
				continue // what is seen beyond the picture is made up
			}
			marks = append(marks, body.Mark{Frame: v.Frame, Time: times[v.Frame-g.From], Landmark: standIn[p], X: at.x, Y: at.y, SD: seenSD * s.length})
		}
	}
	fit, err := trace.Fit(times, marks, trace.Options{})
	if err != nil {
		return nil, fmt.Errorf("smooth the guess: %w", err)
	}
	s.period = fit.Period
	m := fit.Motion()
	for p := range places {
		s.paths[p] = m.Paths[standIn[p]]
	}
	return s, nil
}

// inside tells whether a point lies in the picture.
func (g *Guess) inside(p xy) bool {
	return p.x >= 0 && p.y >= 0 && p.x <= float64(g.width) && p.y <= float64(g.height)
}

// has tells whether what a landmark is guessed from was seen often enough.
func (s *smooth) has(src source) bool {
	return s.paths[src.place] != nil && s.paths[src.from] != nil && s.paths[src.to] != nil
}

// axes returns the unit vector along a source's segment at frame i. The one
// across it is (-y, x).
func (s *smooth) axes(src source, i int) (ex, ey float64) {
	a, b := s.paths[src.from], s.paths[src.to]
	dx, dy := b.X[i]-a.X[i], b.Y[i]-a.Y[i]
	l := math.Hypot(dx, dy)
	return dx / l, dy / l
}

// Motion returns the traces of all landmarks that can be guessed at the frames
// From to To-1, whose times (s) are given, in px with y down: what the network
// saw, smoothed, and corrected by the start's two points and by marks. Each
// point has its standard error per axis. Velocities are not given. A landmark is
// NaN where it would lie outside the picture, and nil when it was hardly ever
// inside. Marks outside the frames are left out.
func (g *Guess) Motion(times []float64, marks []body.Mark) (body.Motion, error) {
	if len(times) != g.To-g.From {
		panic("guess: Motion needs the times of the frames From to To-1")
	}
	s, err := g.smoothed(times)
	if err != nil {
		return body.Motion{}, err
	}
	known := g.differences(s, marks)
	all := map[body.Landmark]*correction{}
	for l, src := range sources {
		if s.has(src) {
			all[l] = newCorrection(src, known[l])
		}
	}
	out, wide := body.Motion{T: times}, stretch(all)
	for l, c := range all {
		out.Paths[l] = g.withoutOutside(s.corrected(c, wide))
	}
	return out, nil
}

// corrected returns a landmark's path: its place's, moved by what the
// correction expects.
func (s *smooth) corrected(c *correction, wide float64) *body.Path {
	n := len(s.times)
	p := &body.Path{X: make([]float64, n), Y: make([]float64, n), SD: make([]float64, n)}
	base := s.paths[c.src.place]
	for i, t := range s.times {
		ex, ey := s.axes(c.src, i)
		along, across, variance := c.at(t / s.period)
		p.X[i] = base.X[i] + s.length*(along*ex-across*ey)
		p.Y[i] = base.Y[i] + s.length*(along*ey+across*ex)
		p.SD[i] = math.Hypot(wide*s.length*math.Sqrt(variance), base.SD[i])
	}
	return p
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

// differences turns marks, and the start's points where they are not marked,
// into differences from the guess.
func (g *Guess) differences(s *smooth, marks []body.Mark) map[body.Landmark][]difference {
	known := map[body.Landmark][]difference{}
	started := map[body.Landmark]bool{}
	add := func(m body.Mark) {
		src, ok := sources[m.Landmark]
		i := m.Frame - g.From
		if !ok || i < 0 || i >= len(s.times) || !s.has(src) {
			return
		}
		ex, ey := s.axes(src, i)
		base := s.paths[src.place]
		dx, dy := (m.X-base.X[i])/s.length, (m.Y-base.Y[i])/s.length
		d := difference{kicks: s.times[i] / s.period, along: dx*ex + dy*ey, across: dy*ex - dx*ey, sd: m.SD / s.length}
		if d.sd == 0 {
			d.sd = clickSD
		}
		if !math.IsNaN(d.along + d.across) {
			known[m.Landmark] = append(known[m.Landmark], d)
			started[m.Landmark] = started[m.Landmark] || m.Frame == g.start.Frame
		}
	}
	for _, m := range marks {
		add(m)
	}
	for l, p := range map[body.Landmark]xy{body.Fingertip: g.start.fingertip(), body.Toe: g.start.toe()} {
		if !started[l] {
			add(body.Mark{Frame: g.start.Frame, Landmark: l, X: p.x, Y: p.y, SD: startSD * s.length})
		}
	}
	return known
}
