package steady

import (
	"errors"
	"fmt"
	"math"

	"underkick/internal/raster"
)

// Options of a Steadier. The zero value steadies on the background alone.
type Options struct {
	// Plane are points of the swimmer's plane in the base picture, px, such as the
	// ends of a measuring rod or the corners of a rectangle. What is seen along the
	// lines that join them is taken to lie in the plane as far as most of it agrees.
	Plane [][2]float64
}

// Numbers of the following, px of the pictures handed in.
const (
	cornerCell     = 40   // corners are taken from cells of this size,
	perCell        = 3    // so many at most from each
	leastCorner    = 1.0  // strength of the weakest corner, brightness2/px2
	patchRadius    = 7    // of the neighbourhood that is found again
	reach          = 6.0  // of the fine search
	coarsePatches  = 60   // looked for at a quarter of the size first
	alike          = 0.5  // correlation below which a find is not believed
	keyLeft        = 0.5  // share of a key's patches still in view below which a new key is made
	dragged        = 0.03 // share of the way by which wandering light may drag the relief along
	fewestCoarse   = 8    // found ones among them below which their shift is not believed
	levels         = 2    // halvings for the coarse search
	coarseness     = 1 << levels
	mostBackground = 350  // patches of a key
	mostLost       = 0.25 // share of lost pictures above which the result is refused
)

// ErrNothingStill is wrapped when there is too little in the picture to hold on to.
var ErrNothingStill = errors.New("the camera's motion cannot be found")

// Steadier follows the camera through pictures handed in one after the other.
type Steadier struct {
	opt    Options
	centre [2]float64
	size   float64
	keys   []*key
	last   Transform // background, base picture to the last one
	before Transform // the same one picture earlier
	frames []Frame
	strip  *strip     // nil without points of the plane
	adjust adjustment // of the plane against the background in the last picture
}

// key is a picture whose patches are looked for in others.
type key struct {
	background Transform // base picture to this one
	mean       *mean     // of all pictures laid on this one
	patches    []patch
	relief     *strip // where its mean is steep
	small      *strip // the same at a quarter of the size
	age        int    // pictures laid on since the patches were taken
}

type patch struct {
	fine   raster.Patch
	coarse *raster.Patch
}

// Frame is how the camera stood in one picture.
type Frame struct {
	Map        Transform  // base picture to this one, for points of the swimmer's plane
	Lost       bool       // too little was found again; Map is that of the picture before
	Background int        // patches that agree on the background's motion; 0 where lines and light had to do
	InPlane    float64    // share of the points along the plane's lines that were found again
	Random     float64    // standard error of the map from halves of the patches, px
	Bend       float64    // rms misfit of the plane's left and right half after the fit, px; 0 without plane points
	Parallax   [2]float64 // shift of the plane's points against the background, px
}

// New returns a Steadier whose base picture is g. The error wraps ErrNothingStill
// where g has too little structure.
func New(g *raster.Grey, opt Options) (*Steadier, error) {
	s := &Steadier{opt: opt, centre: [2]float64{float64(g.W) / 2, float64(g.H) / 2}, size: float64(g.W) / 2, last: identity, before: identity}
	pyramid := raster.Pyramid(g, levels)
	k := s.newKey(pyramid[0], identity)
	s.keys = append(s.keys, k)
	if n := len(k.patches); n < 2*fewest {
		return nil, fmt.Errorf("%w: only %d points of the picture stand out from what is around them; film where tiles, lines or a wall are seen", ErrNothingStill, n)
	}
	if len(opt.Plane) > 1 {
		s.strip = newStrip(pyramid[0], opt.Plane)
	}
	s.frames = append(s.frames, Frame{Map: identity, Background: len(k.patches)})
	return s, nil
}

// newKey makes a key of a smoothed picture.
func (s *Steadier) newKey(g *raster.Grey, background Transform) *key {
	k := &key{background: background, mean: newMean(g)}
	s.takePatches(k)
	return k
}

// takePatches takes the corners of a key's mean picture.
func (s *Steadier) takePatches(k *key) {
	g := k.mean.picture
	small := g.Halve().Halve()
	back := k.background.Inverse()
	k.patches, k.age = k.patches[:0], 0
	k.relief, k.small = newRelief(g), newRelief(small)
	for _, c := range raster.Corners(g, cornerCell, perCell, leastCorner) {
		if x, y := back.At(c.X, c.Y); besideSegments(s.opt.Plane, x, y, stripReach) {
			continue
		}
		fine, ok := raster.Cut(g, c.X, c.Y, patchRadius)
		if !ok {
			continue
		}
		p := patch{fine: fine}
		if len(k.patches) < coarsePatches {
			if q, ok := raster.Cut(small, c.X/coarseness, c.Y/coarseness, patchRadius); ok {
				p.coarse = &q
			}
		}
		if k.patches = append(k.patches, p); len(k.patches) == mostBackground {
			break
		}
	}
}

// Add follows the camera into the next picture, which must have the base's size.
func (s *Steadier) Add(g *raster.Grey) {
	pyramid := raster.Pyramid(g, levels)
	// The camera goes on as it went: the same step once more.
	expected := s.last.After(s.before.Inverse()).After(s.last)
	k := s.choose(expected, g)
	pairs, rel, agree := s.find(k, pyramid, expected)
	prev := s.frames[len(s.frames)-1]
	if prev.Lost {
		for _, other := range s.keys { // anywhere the camera has been
			if agree < fewest {
				k = other
				pairs, rel, agree = s.find(k, pyramid, k.background)
			}
		}
	}
	var f Frame
	var now Transform
	var fit stripFit
	switch {
	case agree >= fewest:
		now = rel.After(k.background)
		f = Frame{Map: now, Background: agree}
		s.intoPlane(&f, pyramid[0], now)
		f.Random = s.random(pairs, rel, k, f.InPlane > 0)
	case s.byRelief(k, pyramid, expected, &fit):
		now = fit.of(expected.After(k.background.Inverse()), k.relief.middle[0], k.relief.middle[1]).After(k.background)
		rel = now.After(k.background.Inverse())
		f = Frame{Map: now, Random: math.Hypot(fit.bend, dragged*s.way(now))}
		s.intoPlane(&f, pyramid[0], now)
	default:
		s.frames = append(s.frames, Frame{Map: prev.Map, Lost: true, Background: agree})
		s.before = s.last
		return
	}
	s.frames = append(s.frames, f)
	s.before, s.last = s.last, now
	s.learn(k, pyramid[0], rel)
	if s.left(k, now, g) < keyLeft {
		s.keys = append(s.keys, s.newKey(pyramid[0], now))
	}
}

// byRelief looks for a key by the brightness of its steep places, which include lines
// without corners: for the small picture first, then in full. It is what is left where
// too few corners are found.
func (s *Steadier) byRelief(k *key, pyramid []*raster.Grey, expected Transform, fit *stripFit) (ok bool) {
	fromKey := expected.After(k.background.Inverse())
	var start adjustment
	if len(pyramid) > levels {
		if fit, ok := k.small.find(pyramid[levels], fromKey.Resized(1.0/coarseness), adjustment{}); ok {
			start = fit.adjustment
			start.dx, start.dy = coarseness*start.dx, coarseness*start.dy
		}
	}
	*fit, ok = k.relief.find(pyramid[0], fromKey, start)
	return ok
}

// find looks for a key in a picture: the pairs, the map from the key to the picture
// and how many agree on it.
func (s *Steadier) find(k *key, pyramid []*raster.Grey, expected Transform) ([]pair, Transform, int) {
	fromKey := s.coarse(k, pyramid, expected.After(k.background.Inverse()))
	pairs := s.findAll(k, pyramid[0], fromKey)
	rel, agree := fitTransform(pairs, s.centre, s.size)
	return pairs, rel, agree
}

// learn lays a picture on its key, and takes the patches anew now and then: what
// does not stand still fades from the mean, what does stays.
func (s *Steadier) learn(k *key, g *raster.Grey, rel Transform) {
	k.mean.add(g, rel)
	k.age++
	if k.age >= min(4+k.mean.n/2, 25) {
		s.takePatches(k)
	}
}

// way is how far the picture's middle has gone from the base, px.
func (s *Steadier) way(m Transform) float64 {
	x, y := m.At(s.centre[0], s.centre[1])
	return math.Hypot(x-s.centre[0], y-s.centre[1])
}

// choose returns the oldest key of which enough should be in view.
func (s *Steadier) choose(expected Transform, g *raster.Grey) *key {
	for _, k := range s.keys {
		if s.left(k, expected, g) >= keyLeft {
			return k
		}
	}
	return s.keys[len(s.keys)-1]
}

// intoPlane moves a frame's map from the background into the swimmer's plane.
func (s *Steadier) intoPlane(f *Frame, g *raster.Grey, background Transform) {
	if s.strip == nil {
		return
	}
	fit, ok := s.strip.find(g, background, s.adjust)
	if !ok { // once more from the background itself
		fit, ok = s.strip.find(g, background, adjustment{})
	}
	middle := s.strip.middle
	if ok {
		s.adjust = fit.adjustment
		s.strip.learn(g, s.adjust.of(background, middle[0], middle[1]))
		f.InPlane, f.Bend = fit.used, fit.bend
	}
	f.Map = s.adjust.of(background, middle[0], middle[1]) // out of view: as last seen
	f.Parallax = [2]float64{s.adjust.dx, s.adjust.dy}
}
