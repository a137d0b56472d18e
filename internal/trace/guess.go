package trace

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"underkick/internal/body"
)

// Habit is how what was seen of a landmark tends to lie off the place where a hand
// puts it, in axes along and across a segment of the body and in lengths of the body
// from toe to finger tip. The standard errors are per axis.
type Habit struct {
	From, To body.Landmark // ends of the segment, as seen
	Along    float64       // usual difference, in the direction from From to To
	Steady   float64       // standard error of what stays the same through the run
	Kick     float64       // of what comes back at the same moment of every kick
	Drift    float64       // of the rest, which lasts a part of a kick
}

// Seen is a guess of the landmarks: what something that is no hand saw on many
// frames, and what it was started with.
type Seen struct {
	Points []body.Mark // SD 0 = 0.6 % of the body's length
	// Pointed are the places that a person pointed at to start the guess. They count
	// as marks with their SD, but a frame that has them does not count as marked.
	Pointed []body.Mark
	Habits  [body.NumLandmarks]*Habit // nil for landmarks that are not guessed
	Length  float64                   // of the body from toe to finger tip; 0 = as the points have it
}

// seenSD is the usual scatter of seen points, as a share of the body's length.
const seenSD = 0.006

// Guess is a guess made ready for Fit: the seen points smoothed over time, about
// which the differences from the marks are fitted. It is not changed after it was
// made and may be used by several goroutines.
type Guess struct {
	times   []float64
	clock   clock
	length  float64 // of the body as seen, toe to finger tip
	foot    float64 // ankle to toe
	pointed []body.Mark
	bases   [body.NumLandmarks]*base
}

// ErrUnseen is wrapped by the error of NewGuess when too little was seen.
var ErrUnseen = errors.New("too little was seen of the swimmer")

// LeastSeen is the share of the run's frames that a guess must cover to be used.
const LeastSeen = 0.35

const (
	fewestSeen = 10         // frames a landmark must be seen on
	mostlySeen = 0.8        // of the run; below it the swimmer was lost
	surelySeen = sweepLimit // standard error beyond which nothing was seen: marking is done to get below it
)

// NewGuess smooths what was seen and lays it over times (s, strictly rising, the
// ones Fit will be given). Landmarks seen well on less than LeastSeen of the run are
// left out and have to be marked. The error wraps ErrUnseen when none remains; other errors
// are those of Fit about times and points.
func NewGuess(times []float64, s Seen) (*Guess, error) {
	length := s.Length
	if length == 0 {
		length = together(s.Points).apart(body.Fingertip, body.Toe)
	}
	if !(length > 0) {
		return nil, fmt.Errorf("%w: finger tip and toe were not seen together", ErrUnseen)
	}
	points := slices.Clone(s.Points)
	for i := range points {
		if points[i].SD == 0 {
			points[i].SD = seenSD * length
		}
	}
	// What is seen errs alike over several frames; a landmark whose own course were
	// learnt from it would follow those errors.
	f, err := Fit(times, points, Options{alike: true})
	if errors.Is(err, ErrTooFewMarks) {
		return nil, fmt.Errorf("%w: no landmark is seen on %d frames", ErrUnseen, Fewest)
	}
	if err != nil {
		return nil, fmt.Errorf("smooth what was seen: %w", err)
	}
	g := &Guess{times: times, clock: f.clock, length: length, pointed: snap(s.Pointed, times)}
	g.foot = together(points).apart(body.Ankle, body.Toe)
	m := f.Motion()
	any := false
	for l, h := range s.Habits {
		if h == nil || f.Landmarks[l] == nil || f.Landmarks[l].Marks < fewestSeen {
			continue
		}
		g.bases[l] = newBase(m, body.Landmark(l), *h, length)
		any = any || g.bases[l] != nil
	}
	if !any {
		return nil, fmt.Errorf("%w: no landmark is seen well on %.0f %% of the frames", ErrUnseen, 100*LeastSeen)
	}
	return g, nil
}

// base is the path about which a guessed landmark's differences are fitted. Unit of
// the marks.
type base struct {
	times  []float64
	path   *body.Path
	ex, ey []float64 // unit vector along the segment at each frame; across is (-ey, ex)
	turn   []float64 // its rate of turning, rad/s

	steady, kick, drift float64
	scatter             float64 // root mean square standard error of the smoothed path
	covers              float64 // share of the frames on which it is known
}

// newBase returns nil where too little of the landmark or of its segment is known.
func newBase(m body.Motion, l body.Landmark, h Habit, length float64) *base {
	from, to := m.Paths[h.From], m.Paths[h.To]
	if from == nil || to == nil || m.Paths[l] == nil {
		return nil
	}
	n := len(m.T)
	b := &base{
		times: m.T, ex: blank(n), ey: blank(n), turn: blank(n),
		path:   &body.Path{X: blank(n), Y: blank(n), VX: blank(n), VY: blank(n), SD: blank(n)},
		steady: h.Steady * length, kick: h.Kick * length, drift: h.Drift * length,
	}
	along, known := h.Along*length, 0
	p := m.Paths[l]
	for i := range n {
		dx, dy := to.X[i]-from.X[i], to.Y[i]-from.Y[i]
		d := math.Hypot(dx, dy)
		if !(d > 0) || !(p.SD[i] <= surelySeen*length) { // also where the place is not known
			continue
		}
		ex, ey := dx/d, dy/d
		turn := (dx*(to.VY[i]-from.VY[i]) - dy*(to.VX[i]-from.VX[i])) / (d * d)
		b.ex[i], b.ey[i], b.turn[i] = ex, ey, turn
		b.path.X[i], b.path.Y[i] = p.X[i]+along*ex, p.Y[i]+along*ey
		b.path.VX[i], b.path.VY[i] = p.VX[i]-along*turn*ey, p.VY[i]+along*turn*ex
		b.path.SD[i] = p.SD[i]
		b.scatter += p.SD[i] * p.SD[i]
		known++
	}
	if b.covers = float64(known) / float64(n); b.covers < LeastSeen {
		return nil
	}
	b.scatter = math.Sqrt(b.scatter / float64(known))
	return b
}

// difference returns where a mark lies against the path, along and across the
// segment; ok is false where the path is not known.
func (b *base) difference(s *spot) (along, across float64, ok bool) {
	k, found := slices.BinarySearch(b.times, s.t)
	x, y, ex, ey := math.NaN(), math.NaN(), math.NaN(), math.NaN()
	switch {
	case found:
		x, y, ex, ey = b.path.X[k], b.path.Y[k], b.ex[k], b.ey[k]
	case k > 0 && k < len(b.times):
		h := b.times[k] - b.times[k-1]
		u := (s.t - b.times[k-1]) / h
		x, _ = hermite(u, h, b.path.X[k-1], b.path.VX[k-1], b.path.X[k], b.path.VX[k])
		y, _ = hermite(u, h, b.path.Y[k-1], b.path.VY[k-1], b.path.Y[k], b.path.VY[k])
		ex, ey = b.ex[k-1]+u*(b.ex[k]-b.ex[k-1]), b.ey[k-1]+u*(b.ey[k]-b.ey[k-1])
	}
	dx, dy := s.x-x, s.y-y
	along, across = dx*ex+dy*ey, dy*ex-dx*ey
	return along, across, !math.IsNaN(along + across)
}

// place adds a difference and its rate to the path at frame i.
func (b *base) place(p *body.Path, i int, along, across, alongRate, acrossRate float64) {
	ex, ey, w := b.ex[i], b.ey[i], b.turn[i]
	p.X[i] = b.path.X[i] + along*ex - across*ey
	p.Y[i] = b.path.Y[i] + along*ey + across*ex
	p.VX[i] = b.path.VX[i] + (alongRate-across*w)*ex - (acrossRate+along*w)*ey
	p.VY[i] = b.path.VY[i] + (alongRate-across*w)*ey + (acrossRate+along*w)*ex
}

// known tells whether the path is known at frame i.
func (b *base) known(i int) bool { return !math.IsNaN(b.path.X[i]) }

// guessHarmonics is the number of harmonics of what comes back in every kick.
const guessHarmonics = 3

// kickShare is how the variance of what comes back in every kick is spread over a
// constant and the harmonics: those of the periodic covariance exp(-(2 sin(pi d) /
// 1.1)^2 / 2), d in kicks, whose Fourier coefficients are I0(a) e^-a and 2 Ik(a) e^-a
// with a = 1/1.1^2 (Abramowitz and Stegun, Handbook of Mathematical Functions, 9.6.34).
var kickShare = [guessHarmonics + 1]float64{0.515, 0.393, 0.078, 0.011}

// priors returns the prior variances of the basis columns of a guessed landmark's
// differences: steady, a slow trend over the run, and what comes back in every kick.
func (b *base) priors(u tuning, size float64) []float64 {
	steady, kick := size*u.habit*b.steady, size*u.habit*b.kick
	p := []float64{
		steady*steady + kickShare[0]*kick*kick, steady * steady / 9, steady * steady / 36, steady * steady / 100,
	}
	for _, share := range kickShare[1:] {
		p = append(p, share*kick*kick, share*kick*kick)
	}
	return p
}

// startGuess is where learning starts for differences from a guess: sizes relative
// to the habits', times relative to the period.
var startGuess = tuning{habit: 1, slowSize: 0.25, slowTime: 1, restSize: 1, restTime: 0.25, noise: 1}
