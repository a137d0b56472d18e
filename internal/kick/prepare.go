package kick

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"underkick/internal/body"
	"underkick/internal/series"
)

// ErrMotion is wrapped by every error about landmarks that cannot be measured at
// all: too few instants, times that do not rise, no toe and no ankle.
var ErrMotion = errors.New("the landmarks cannot be measured")

// Limits of the preparation.
const (
	minSamples  = 8    // instants in a motion, and in a stretch between gaps
	maxGrid     = 2e5  // samples of the uniform grid; more is not one run of kicks
	floorCutoff = 8.0  // Hz
	perTempo    = 3.6  // cut-off in kick frequencies
	quarterRate = 0.25 // highest cut-off in frame rates
)

// prepared is a run on the uniform grid in the body package's orientation.
type prepared struct {
	scene
	orient   body.Orientation
	sx, sy   float64                      // the mirroring that brought it there
	cutoff   float64                      // Hz
	filtered bool                         // a path came raw
	tempo    float64                      // first guess of the kick frequency, Hz; NaN if none is seen
	sd       [body.NumLandmarks][]float64 // SD on the grid, m; nil = not known
}

// prepare orients the motion, puts it on a uniform grid, fills short gaps,
// filters what came raw and differentiates.
func prepare(m body.Motion, supine bool) (*prepared, error) {
	if err := checkTimes(m.T); err != nil {
		return nil, err
	}
	oriented, o, err := body.Orient(m, supine)
	if err != nil {
		return nil, fmt.Errorf("measure kicks: %w", err)
	}
	p := &prepared{orient: o, sx: 1, sy: 1}
	if o.MirroredX {
		p.sx = -1
	}
	if o.MirroredY {
		p.sy = -1
	}
	if p.grid, err = uniform(m.T); err != nil {
		return nil, err
	}
	for l, path := range oriented.Paths {
		if path != nil {
			p.lm[l] = p.place(oriented.T, path)
			p.filtered = p.filtered || path.VX == nil
			if path.SD != nil {
				p.sd[l] = onGrid(oriented.T, path.SD, p.grid)
			}
		}
	}
	p.tempo = p.firstTempo()
	for l, path := range oriented.Paths {
		if path != nil && path.VX == nil {
			p.bridge(oriented.T, path.X, p.lm[l].x)
			p.bridge(oriented.T, path.Y, p.lm[l].y)
		}
	}
	p.cutoff = p.chooseCutoff()
	for l := range p.lm {
		if p.lm[l].x != nil && oriented.Paths[l].VX == nil {
			p.lm[l] = p.smooth(p.lm[l])
		}
	}
	return p, nil
}

func checkTimes(t []float64) error {
	if len(t) < minSamples {
		return fmt.Errorf("%w: %d pictures are too few to see a kick; at least %d are needed", ErrMotion, len(t), minSamples)
	}
	for i, v := range t {
		if math.IsNaN(v) || math.IsInf(v, 0) || (i > 0 && v <= t[i-1]) {
			return fmt.Errorf("%w: the times do not rise at picture %d", ErrMotion, i+1)
		}
	}
	return nil
}

// uniform returns the grid from the first to the last time whose step is close
// to the median step of t. Times that are uniform already are their own grid.
func uniform(t []float64) (grid, error) {
	steps := make([]float64, len(t)-1)
	for i := range steps {
		steps[i] = t[i+1] - t[i]
	}
	slices.Sort(steps)
	span := t[len(t)-1] - t[0]
	n := math.Round(span/steps[len(steps)/2]) + 1
	if n > maxGrid {
		return grid{}, fmt.Errorf("%w: the times span %.0f s, which is not one run of kicks", ErrMotion, span)
	}
	g := grid{t: make([]float64, int(n)), dt: span / (n - 1)}
	for i := range g.t {
		g.t[i] = t[0] + float64(i)*g.dt
	}
	g.t[len(g.t)-1] = t[len(t)-1]
	return g, nil
}

// firstTempo is the dominant frequency of the toe's (or ankle's) height.
func (p *prepared) firstTempo() float64 {
	foot := p.kicker()
	if foot == noLandmark {
		return math.NaN()
	}
	f, ok := series.DominantFrequency(p.lm[foot].y, p.hz(), 0.5, 5)
	if !ok {
		return math.NaN()
	}
	return f
}

// kicker is the landmark that kicks are found with: the toe, else the nearest
// to it; noLandmark if there is none.
func (s *scene) kicker() body.Landmark {
	for _, l := range [...]body.Landmark{body.Toe, body.Heel, body.Ankle} {
		if s.lm[l].x != nil {
			return l
		}
	}
	return noLandmark
}

// chooseCutoff applies the rule of measures.md: the largest of 8 Hz, 3.6 kick
// frequencies and the residual analysis of the toe's height, but at most a
// quarter of the frame rate.
func (p *prepared) chooseCutoff() float64 {
	c := floorCutoff
	if !math.IsNaN(p.tempo) {
		c = math.Max(c, perTempo*p.tempo)
	}
	if foot := p.kicker(); foot != noLandmark {
		if run := longestRun(p.lm[foot].y); len(run) >= 20 {
			c = math.Max(c, series.ResidualCutoff(run, p.hz()))
		}
	}
	return math.Min(c, quarterRate*p.hz())
}

// smooth filters a raw track stretch by stretch and differentiates it. Stretches
// too short to filter become gaps.
func (p *prepared) smooth(k track) track {
	k.x, k.vx = p.smoothCurve(k.x)
	k.y, k.vy = p.smoothCurve(k.y)
	return k
}

func (p *prepared) smoothCurve(x []float64) (smooth, rate []float64) {
	smooth, rate = nans(len(x)), nans(len(x))
	for _, r := range runs(x) {
		if r[1]-r[0] < minSamples {
			continue
		}
		part := series.LowPass(x[r[0]:r[1]], p.hz(), p.cutoff)
		copy(smooth[r[0]:], part)
		copy(rate[r[0]:], slope(part, p.dt))
	}
	return smooth, rate
}

// slope is the derivative of a filtered curve by the five-point formula
// (x[i-2] - 8 x[i-1] + 8 x[i+1] - x[i+2]) / (12 dt), by three points near the ends.
// At 60 pictures per second three points would take 3.5 % from what swings with
// twice the kick frequency; five take 0.2 %, and the filter has already removed
// the noise that they let through.
func slope(x []float64, dt float64) []float64 {
	d := series.Derivative(x, dt)
	for i := 2; i < len(x)-2; i++ {
		d[i] = (x[i-2] - 8*x[i-1] + 8*x[i+1] - x[i+2]) / (12 * dt)
	}
	return d
}

func nans(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.NaN()
	}
	return out
}
