package poolside

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/drawing"
	"underkick/internal/kick"
)

// StillView is one framed picture of a kick's key moment and what is drawn on it.
type StillView struct {
	Moment  string        // "set", "drive", "fastest", "finish", "set-up", "drive-up", "fastest-up", "finish-up"
	Upkick  bool          // belongs to the upkick
	Time    float64       // s
	Frame   int           // picture of the clip that is shown: the one nearest in time
	Crop    drawing.Crop  // part of the picture, px
	Scene   drawing.Scene // in px of the whole picture
	Facing  bool          // the part that faces back is known, and drawn where that layer is on
	Caption []string      // what the measures say of this moment, a line each
	Head    bool          // the head is traced here
	Soft    []Face        // what softening covers, on the whole picture; nil = nothing is known to cover
}

// Shape of a still: its width to its height, and its width in lengths of the body from
// shoulder to ankle. The last is the same for every still, so that every swimmer's
// body is equally large.
const (
	legsAspect, wholeAspect = 4.0 / 3, 16.0 / 9
	legsWidth, wholeWidth   = 1.05, 1.85
)

// smallPens is how many pens wide a small still is: a pen is about one CSS px of a still in
// a row of four on paper.
const smallPens = 180

// stillsFrame says how the stills of a kick are framed.
type stillsFrame struct {
	drawing.Frame // of every picture, but for crop and kick
	layers        drawing.Switches
	whole         bool // the whole body, not the legs alone
	small         bool // shown half as wide as other stills: the lines are twice as thick
	mirror        bool
	moments       []string // nil = all
}

// stills returns the framed pictures of one kick's key moments.
func (m *Measured) stills(k kick.Kick, f stillsFrame) []StillView {
	drawn, length := m.drawn(), m.bodyLength()
	var out []StillView
	for _, moment := range k.Moments.List() {
		if !f.wants(moment.Name) {
			continue
		}
		i := drawing.Nearest(m.motion.T, moment.T)
		s := StillView{
			Moment: moment.Name, Upkick: moment.Upkick, Time: m.motion.T[i], Frame: m.frames[i],
			Crop: m.crop(i, length, f), Facing: m.facingAt(i), Caption: m.caption(moment.Name), Head: m.FaceAt(i).Known, Soft: m.softAt(i),
		}
		f.Crop, f.Kick, f.Still = s.Crop, k.Number, true
		if f.small {
			f.Pen = s.Crop.W / smallPens
		}
		s.Scene = drawn.Scene(i, f.layers, f.Frame)
		out = append(out, s)
	}
	return out
}

func (f stillsFrame) wants(moment string) bool {
	for _, name := range f.moments {
		if name == moment {
			return true
		}
	}
	return f.moments == nil
}

// bodyLength is the length of the body from shoulder to ankle, m: the medians over the
// run of trunk, thigh and shank, as far as they are seen; 0 where none is.
func (m *Measured) bodyLength() float64 {
	lengths, sum := body.MeasuredLengths(m.motion), 0.0
	for _, g := range []body.Segment{body.Trunk, body.Thighs, body.Shanks} {
		sum += lengths[g]
	}
	return sum
}

// crop is the part of the i-th picture that a still shows: as large as the body at its
// place in the picture asks for, around the legs or the whole body, moved into the
// picture where it fits.
func (m *Measured) crop(i int, length float64, f stillsFrame) drawing.Crop {
	lo, hi := m.boxAt(i, f.whole)
	x, y := (lo[0]+hi[0])/2, (lo[1]+hi[1])/2
	width, aspect := legsWidth, legsAspect
	if f.whole {
		width, aspect = wholeWidth, wholeAspect
	}
	c := drawing.Crop{W: f.WidthPx, H: f.HeightPx, Mirror: f.mirror}
	if px := length / m.View.MetresPerPx(m.motion.T[i], x, y); px > 0 {
		c.W, c.H = width*px, width*px/aspect
	}
	c.X, c.Y = inside(x-c.W/2, c.W, f.WidthPx), inside(y-c.H/2, c.H, f.HeightPx)
	return c
}

// inside moves a stretch from lo of a length into 0..size; one that is longer is put in
// its middle.
func inside(lo, length, size float64) float64 {
	if length >= size {
		return (size - length) / 2
	}
	return math.Min(math.Max(lo, 0), size-length)
}

// Landmarks around which a still is framed.
var (
	legMarks  = []body.Landmark{body.Hip, body.Knee, body.Ankle, body.Heel, body.Toe}
	bodyMarks = append([]body.Landmark{body.Fingertip, body.Wrist, body.Head, body.Shoulder}, legMarks...)
)

// boxAt returns the corners of the box around the legs' or the body's landmarks on the
// i-th picture, px; the middle of nothing is the picture's corner.
func (m *Measured) boxAt(i int, whole bool) (lo, hi [2]float64) {
	marks, first := legMarks, true
	if whole {
		marks = bodyMarks
	}
	for _, l := range marks {
		p := m.motion.Paths[l]
		if p == nil {
			continue
		}
		x, y := m.View.ToPicture(m.motion.T[i], p.X[i], p.Y[i])
		if math.IsNaN(x) || math.IsNaN(y) {
			continue
		}
		if first {
			lo, hi, first = [2]float64{x, y}, [2]float64{x, y}, false
		}
		lo = [2]float64{math.Min(lo[0], x), math.Min(lo[1], y)}
		hi = [2]float64{math.Max(hi[0], x), math.Max(hi[1], y)}
	}
	return lo, hi
}

// facingAt reports whether the part of foot or shank that faces back is known on the i-th
// picture and the run's facing is not withheld.
func (m *Measured) facingAt(i int) bool {
	if f, ok := m.Result.Measure("facing"); !ok || !f.Known() {
		return false
	}
	foot, shank := m.Result.Signals.FacingAt(m.motion.T[i])
	return !math.IsNaN(foot) || !math.IsNaN(shank)
}
