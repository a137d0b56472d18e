package drawing

import (
	"fmt"
	"math"

	"underkick/internal/body"
)

// Sizes of words and of the angle, pens.
const (
	textSize  = 12
	textRoom  = 8  // from the crop's edge
	arcRadius = 34 // of the feet-ahead angle
	leadDash  = 4
)

// How long around the finish the feet-ahead angle is drawn, in parts of the kick, so
// that it can be read in a slowed clip.
const (
	leadBefore = 0.06
	leadAfter  = 0.10
)

// atFinish reports whether the feet-ahead angle is drawn on this picture.
func (d *drawn) atFinish() bool {
	finish, period := d.kick.Moments.Finish, d.kick.End-d.kick.Start
	if d.still {
		return d.i == d.index(finish)
	}
	return d.t >= finish-leadBefore*period && d.t <= finish+leadAfter*period
}

// leadAngle draws, around the finish of the downkick, the trunk line carried on beyond
// the hip, the line from hip to ankle, and the arc between them. The angle of one kick
// has no band, so no number stands in the picture: the run's, with its band, is in the
// captions.
func (d *drawn) leadAngle() []Shape {
	if d.kick == nil || d.kick.Number == 0 {
		return nil
	}
	value, ok := d.kick.Values["end_lead"]
	if !ok || math.IsNaN(value) || !d.atFinish() {
		return nil
	}
	hip, ankle, shoulder := d.at[body.Hip], d.at[body.Ankle], d.at[body.Shoulder]
	leg, ok1 := hip.towards(ankle)
	trunk, ok2 := shoulder.towards(hip)
	if !ok1 || !ok2 {
		return nil
	}
	reach := math.Hypot(ankle.X-hip.X, ankle.Y-hip.Y)
	shapes := d.cased(Line{Role: Lead, Points: []Point{hip, hip.plus(trunk, reach)}, Width: d.pen, Dash: leadDash * d.pen})
	shapes = append(shapes, d.cased(Line{Role: Lead, Points: []Point{hip, ankle}, Width: d.pen})...)
	arc := arcBetween(hip, trunk, leg, math.Min(arcRadius*d.pen, reach/2))
	shapes = append(shapes, d.cased(Line{Role: Lead, Points: arc, Width: 1.6 * d.pen})...)
	return append(shapes, d.label(d.besideArc(hip, trunk, leg), Start, "feet ahead")...)
}

// besideArc is where the angle's words go: on the far side of the trunk line from the
// leg, near the hip, inside the crop.
func (d *drawn) besideArc(hip, trunk, leg Point) Point {
	n := Point{-trunk.Y, trunk.X}
	if n.X*leg.X+n.Y*leg.Y > 0 {
		n = Point{-n.X, -n.Y}
	}
	p := hip.plus(trunk, 14*d.pen).plus(n, 2.2*textSize*d.pen)
	words := 6 * textSize * d.pen // generous width of the words
	lo, hi := d.crop.X+textRoom*d.pen, d.crop.X+d.crop.W-textRoom*d.pen-words
	if d.crop.Mirror { // words run to the other side of the point
		lo, hi = lo+words, hi+words
	}
	p.X = math.Min(math.Max(p.X, lo), hi)
	p.Y = math.Min(math.Max(p.Y, d.crop.Y+2*textSize*d.pen), d.crop.Y+d.crop.H-textSize*d.pen)
	return p
}

// arcBetween returns points on the shorter arc about a centre from one direction to
// another, one every three degrees or so.
func arcBetween(centre, from, to Point, radius float64) []Point {
	a := math.Atan2(from.Y, from.X)
	turn := body.Wrap(math.Atan2(to.Y, to.X) - a)
	n := 1 + int(math.Ceil(math.Abs(turn)/(math.Pi/60)))
	points := make([]Point, n+1)
	for i := range points {
		sin, cos := math.Sincos(a + turn*float64(i)/float64(n))
		points[i] = centre.plus(Point{cos, sin}, radius)
	}
	return points
}

// count writes the number of the kick and its phase at the crop's top left.
func (d *drawn) count() []Shape {
	k := d.kick
	if k == nil {
		return nil
	}
	words := "part of a kick"
	if k.Number > 0 {
		words = fmt.Sprintf("kick %d of %d", k.Number, d.wholeKicks())
	}
	switch turn := k.Bottom + d.halfStep(); {
	case d.t <= turn:
		words += ", downkick"
	case d.t > turn:
		words += ", upkick"
	}
	return d.label(d.crop.at(textRoom*d.pen, (textRoom+textSize)*d.pen), Start, words)
}

// halfStep is half the time to the next picture: the picture nearest to the end of the
// downkick still belongs to it.
func (d *drawn) halfStep() float64 {
	t := d.Motion.T
	if len(t) < 2 {
		return 0
	}
	i := min(d.i, len(t)-2)
	return (t[i+1] - t[i]) / 2
}

func (r *Run) wholeKicks() int {
	n := 0
	for _, k := range r.Result.Kicks {
		if k.Number > 0 {
			n++
		}
	}
	return n
}

// clock writes the film's time in true seconds at the crop's top right.
func (d *drawn) clock() []Shape {
	return d.label(d.crop.at(d.crop.W-textRoom*d.pen, (textRoom+textSize)*d.pen), End, fmt.Sprintf("%.2f s", d.t))
}

// label writes words; anchor is as they are read, mirrored or not.
func (d *drawn) label(at Point, anchor Anchor, words string) []Shape {
	if d.crop.Mirror {
		anchor = End - anchor
	}
	return []Shape{Text{Role: Label, At: at, Size: textSize * d.pen, Anchor: anchor, Words: words}}
}
