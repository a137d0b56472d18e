package drawing

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/camera"
	"underkick/internal/kick"
)

// Run is what the pictures of a run are drawn from. It is not changed by
// drawing and may be used by several goroutines.
type Run struct {
	Motion body.Motion  // traces in plane metres, one sample per picture of the run
	View   camera.View  // plane to picture and back
	Result *kick.Result // what was measured of Motion

	// Marked reports whether a person placed a landmark on the i-th picture of the
	// run; nil = nowhere.
	Marked func(i int, l body.Landmark) bool
}

// Frame says how a picture is shown.
type Frame struct {
	WidthPx, HeightPx float64 // of the whole picture
	Crop              Crop    // part that is shown; zero = all of it
	Pen               float64 // px of the picture that the thinnest line takes; 0 = one 320th of the crop's width
	Kick              int     // number of the kick whose path and count are drawn; 0 = the one that the picture lies in
	Still             bool    // a picture on its own: what is shown for some pictures around a moment is shown on the nearest alone
	KeepOff           bool    // layers that are off are drawn too and marked Off, for a page that switches
}

// drawn is one picture being drawn.
type drawn struct {
	*Run
	i       int     // index of the picture within the run
	t       float64 // its time, s
	pen     float64 // px
	crop    Crop
	at      [body.NumLandmarks]Point // px; NaN where not known
	lineDir Point                    // swimming direction on the picture, unit vector
	kick    *kick.Kick               // nil outside kicks
	still   bool
}

// Scene draws the i-th picture of the run. It panics unless 0 <= i < len(Motion.T)
// and the frame has a size.
func (r *Run) Scene(i int, sw Switches, f Frame) Scene {
	if !(f.WidthPx > 0 && f.HeightPx > 0) {
		panic("drawing: a frame needs the picture's size")
	}
	d := r.picture(i, f)
	var s Scene
	for _, part := range parts {
		on := sw.On(part.id)
		if !on && !f.KeepOff {
			continue
		}
		s.Layers = append(s.Layers, Layer{
			ID: part.id, Words: layers[indexOf(part.id)].Words, Off: !on, Shapes: part.draw(d),
		})
	}
	return s
}

// parts are the layers from the bottom up.
var parts = []struct {
	id   LayerID
	draw func(*drawn) []Shape
}{
	{LineLayer, (*drawn).bodyLine},
	{RestLayer, (*drawn).pathRest},
	{PathLayer, (*drawn).toePath},
	{SpeedLayer, (*drawn).speedRibbon},
	{BodyLayer, (*drawn).body},
	{FacingLayer, (*drawn).facing},
	{LeadLayer, (*drawn).leadAngle},
	{CountLayer, (*drawn).count},
	{ClockLayer, (*drawn).clock},
}

// stillPens is how many pens wide a still is: a pen is one CSS px of a still that a
// page shows 320 px wide.
const stillPens = 320

func (r *Run) picture(i int, f Frame) *drawn {
	d := &drawn{Run: r, i: i, t: r.Motion.T[i], crop: f.Crop, pen: f.Pen, still: f.Still}
	if d.crop.W == 0 {
		d.crop = Crop{W: f.WidthPx, H: f.HeightPx, Mirror: f.Crop.Mirror}
	}
	if d.pen == 0 {
		d.pen = d.crop.W / stillPens
	}
	for l, p := range r.Motion.Paths {
		d.at[l] = Point{math.NaN(), math.NaN()}
		if p != nil {
			d.at[l] = d.onPicture(p.X[i], p.Y[i])
		}
	}
	d.lineDir = d.direction()
	d.kick = r.kickOf(d.t, f.Kick)
	return d
}

// onPicture returns where a point of the plane is seen on this picture.
func (d *drawn) onPicture(x, y float64) Point {
	px, py := d.View.ToPicture(d.t, x, y)
	return Point{px, py}
}

// direction is the travel line's on the picture.
func (d *drawn) direction() Point {
	line := d.Result.Line
	a := d.onPicture(line.X, line.Y)
	b := d.onPicture(line.X+line.Along[0], line.Y+line.Along[1])
	if u, ok := a.towards(b); ok {
		return u
	}
	return Point{1, 0}
}

// kickOf returns the kick of this number, or for 0 the one that t lies in; nil
// where there is none.
func (r *Run) kickOf(t float64, number int) *kick.Kick {
	for i := range r.Result.Kicks {
		k := &r.Result.Kicks[i]
		if number > 0 && k.Number == number || number == 0 && t >= k.Start && t < k.End {
			return k
		}
	}
	return nil
}

// known reports whether a landmark is seen on the picture, and where.
func (d *drawn) known(l body.Landmark) (Point, bool) {
	p := d.at[l]
	return p, p.known()
}

func (p Point) known() bool { return !math.IsNaN(p.X) && !math.IsNaN(p.Y) }

// towards returns the unit vector from p to q, false where they lie together or
// are not known.
func (p Point) towards(q Point) (Point, bool) {
	dx, dy := q.X-p.X, q.Y-p.Y
	n := math.Hypot(dx, dy)
	if !(n > 0) || math.IsInf(n, 0) {
		return Point{}, false
	}
	return Point{dx / n, dy / n}, true
}

// plus returns p moved by s times u.
func (p Point) plus(u Point, s float64) Point { return Point{p.X + u.X*s, p.Y + u.Y*s} }

// cased returns a line with its casing below.
func (d *drawn) cased(l Line) []Shape {
	below := l
	below.Role, below.Width = Casing, l.Width+2.2*d.pen
	return []Shape{below, l}
}
