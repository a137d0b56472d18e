package camera

import (
	"fmt"
	"math"
	"sort"
)

// Source tells what a view's scale rests on.
type Source uint8

// The sources of a scale, from the zero value on.
const (
	KnownLength Source = iota // a length in the picture, or a stated scale
	Rectangle                 // four or more points of the plane
	BodyHeight                // the swimmer's own height: doubtful, to be flagged
)

// String returns the source in plain words.
func (s Source) String() string {
	switch s {
	case KnownLength:
		return "known length"
	case Rectangle:
		return "points of a rectangle"
	case BodyHeight:
		return "body height"
	}
	return fmt.Sprintf("source(%d)", uint8(s))
}

// Errors says how far a view can be trusted.
type Errors struct {
	ScaleRel   float64 // relative standard error of every length
	Roll       float64 // standard error of the horizontal, rad
	ResidualPx float64 // root mean square distance between given points and their reprojection, px; 0 for a plain scale
	Source     Source  // what the scale rests on
	Mirrored   bool    // the given axes were the mirror image of the picture's and were turned to X right, Y up
	Note       string  // what was done about the given axes, in words; "" when nothing
}

// View maps picture points to the pool plane and back, possibly changing with
// time. The zero value is not usable; make one with FromScale, FromBodyHeight,
// FromPoints or Moving. It is immutable and safe for concurrent use.
type View struct {
	keys []key // in time order; one key = a camera that stands still
	errs Errors
	lens Lens // bends what the keys' straight picture shows
}

// key is a view at one time: the plane-to-picture matrix, scaled so that its
// third row gives a positive denominator for points in front of the camera,
// and its inverse.
type key struct {
	t            float64
	toPic, toPln matrix
}

// FromScale returns the view of a camera square to the swimmer's plane that
// shows metresPerPx metres in a pixel. The plane's origin is the picture's
// top-left corner; y is turned so that up is positive.
// It panics unless metresPerPx is finite and positive.
func FromScale(metresPerPx float64) View {
	if !(metresPerPx > 0) || math.IsInf(metresPerPx, 0) {
		panic("camera: scale must be finite and positive")
	}
	k := 1 / metresPerPx
	v := single(matrix{k, 0, 0, 0, -k, 0, 0, 0, 1})
	v.errs = Errors{ScaleRel: KnownLengthScaleRel, Roll: DefaultRoll, Source: KnownLength}
	return v
}

// FromBodyHeight returns a view whose scale rests on the swimmer's own body: a
// stretch of it that is lengthM metres long by the swimmer's height measures
// lengthPx pixels. It is the fallback where nothing of known length is in the
// picture, with BodyHeightScaleRel as its error, and has to be flagged.
// It panics unless both are finite and positive.
func FromBodyHeight(lengthM, lengthPx float64) View {
	v := FromScale(lengthM / lengthPx)
	v.errs.ScaleRel, v.errs.Source = BodyHeightScaleRel, BodyHeight
	return v
}

func single(h matrix) View {
	inv, ok := h.inverse()
	if !ok {
		panic("camera: singular view")
	}
	return View{keys: []key{{toPic: h, toPln: inv}}}
}

// KeyView is a view that holds at one time.
type KeyView struct {
	Time float64 // s
	View View    // one that does not itself move
}

// Moving returns the view of a moving camera, known at some times. Between two
// keys the plane-to-picture map is interpolated linearly in time (for a pan or
// a drift the picture position of every plane point moves on a straight line);
// before the first and after the last key it is held. All keys must use the
// same plane coordinates. Errors are the largest of the keys'.
func Moving(keys []KeyView) (View, error) {
	if len(keys) == 0 {
		return View{}, fmt.Errorf("camera: no key views given; a moving camera needs at least one")
	}
	sorted := append([]KeyView(nil), keys...)
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].Time < sorted[j].Time })
	var v View
	for i, k := range sorted {
		if math.IsNaN(k.Time) || math.IsInf(k.Time, 0) {
			return View{}, fmt.Errorf("camera: key view %d has no usable time", i+1)
		}
		if i > 0 && k.Time == sorted[i-1].Time {
			return View{}, fmt.Errorf("camera: two key views at %.4f s; keep one", k.Time)
		}
		if k.View.lens.Bends() {
			return View{}, fmt.Errorf("camera: key view at %.4f s has a lens of its own; give the lens to the moving view", k.Time)
		}
		if len(k.View.keys) != 1 {
			return View{}, fmt.Errorf("camera: key view at %.4f s is empty or itself moving", k.Time)
		}
		one := k.View.keys[0]
		one.t = k.Time
		v.keys = append(v.keys, one)
		v.errs = worse(v.errs, k.View.errs)
	}
	v.matchScales()
	return v, nil
}

// worse keeps the larger of every error and the weaker source.
func worse(a, b Errors) Errors {
	a.ScaleRel = math.Max(a.ScaleRel, b.ScaleRel)
	a.Roll = math.Max(a.Roll, b.Roll)
	a.ResidualPx = math.Max(a.ResidualPx, b.ResidualPx)
	a.Source = max(a.Source, b.Source)
	a.Mirrored = a.Mirrored || b.Mirrored
	if a.Note == "" {
		a.Note = b.Note
	}
	return a
}

// matchScales gives every key's matrix the same denominator, 1, at one point of
// the plane that the first key shows, so that interpolating their elements
// weighs both ends alike. A key that cannot show that point keeps its own scale.
func (v *View) matchScales() {
	x0, y0, ok := v.keys[0].toPln.apply(0, 0)
	if !ok {
		return
	}
	for i := range v.keys {
		h := &v.keys[i].toPic
		if w := h[6]*x0 + h[7]*y0 + h[8]; w > 0 {
			for j := range h {
				h[j] /= w
			}
		}
	}
}

// at returns the map that holds at time t.
func (v View) at(t float64) key {
	n := len(v.keys)
	if n == 0 {
		panic("camera: use of an empty View")
	}
	i := sort.Search(n, func(i int) bool { return v.keys[i].t > t })
	if n == 1 || i == 0 || i == n {
		return v.keys[min(max(i-1, 0), n-1)]
	}
	a, b := v.keys[i-1], v.keys[i]
	f := (t - a.t) / (b.t - a.t)
	var k key
	for j := range k.toPic {
		k.toPic[j] = (1-f)*a.toPic[j] + f*b.toPic[j]
	}
	var ok bool
	if k.toPln, ok = k.toPic.inverse(); !ok {
		return a
	}
	return k
}

// ToPool returns the plane position, m, of the picture point (xPx, yPx) at time
// t, s. It is (NaN, NaN) for a picture point on or beyond the plane's horizon
// and for NaN coordinates.
func (v View) ToPool(t, xPx, yPx float64) (x, y float64) {
	k := v.at(t)
	x, y, ok := k.toPln.apply(v.lens.Straight(xPx, yPx))
	if !ok || !k.inFront(x, y) {
		return math.NaN(), math.NaN()
	}
	return x, y
}

// ToPicture returns where the plane point (x, y), m, is seen at time t, s, in
// px. It is (NaN, NaN) for a point behind the camera and for NaN coordinates.
func (v View) ToPicture(t, x, y float64) (xPx, yPx float64) {
	k := v.at(t)
	xPx, yPx, ok := k.toPic.apply(x, y)
	if !ok || !k.inFront(x, y) {
		return math.NaN(), math.NaN()
	}
	return v.lens.Bent(xPx, yPx)
}

func (k key) inFront(x, y float64) bool {
	return k.toPic[6]*x+k.toPic[7]*y+k.toPic[8] > 0
}

// MetresPerPx returns the local scale at a picture point at time t: the square
// root of the plane area, m2, that a small square pixel there covers, m/px (the
// geometric mean of the two directions). NaN beyond the horizon.
func (v View) MetresPerPx(t, xPx, yPx float64) float64 {
	k := v.at(t)
	sx, sy := v.lens.Straight(xPx, yPx)
	x, y, ok := k.toPln.apply(sx, sy)
	if !ok || !k.inFront(x, y) {
		return math.NaN()
	}
	return math.Sqrt(math.Abs(k.toPln.jacobian(sx, sy)) * v.lens.area(xPx, yPx))
}

// WithLens returns the view of the same camera through a lens that bends straight
// lines: v maps the straight picture, the result the one that is seen. The lens's errors
// are added to those of scale and roll, and what its fit left to the residual. It
// panics if the view already has a lens.
func (v View) WithLens(l Lens) View {
	if v.lens.Bends() {
		panic("camera: the view already has a lens")
	}
	v.lens = l
	scale, turn := l.Errors()
	v.errs.ScaleRel = math.Hypot(v.errs.ScaleRel, scale)
	v.errs.Roll = math.Hypot(v.errs.Roll, turn)
	v.errs.ResidualPx = math.Hypot(v.errs.ResidualPx, l.ResidualPx)
	return v
}

// Lens returns the lens the view looks through; the zero Lens where none was given.
func (v View) Lens() Lens { return v.lens }

// Errors returns how far the view can be trusted and what it rests on.
func (v View) Errors() Errors { return v.errs }

// WithErrors returns the same view with other errors, for a caller who knows
// more about the filming (a measured lens, a residual drift, a repeated reading).
func (v View) WithErrors(e Errors) View {
	v.errs = e
	return v
}
