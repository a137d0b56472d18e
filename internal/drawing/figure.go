package drawing

import (
	"math"

	"underkick/internal/body"
)

// chain is the order in which landmarks are joined on the picture.
var chain = []body.Landmark{
	body.Fingertip, body.Wrist, body.Elbow, body.Shoulder, body.Rib, body.Hip, body.Knee, body.Ankle, body.Toe,
}

// Sizes on the picture, pens.
const (
	bodyWidth  = 1.4
	discRadius = 2.4
	ringRadius = 3
	ringWidth  = 1.3
	tickLength = 8
	travelDash = 6
	haloDash   = 3
)

// DoubtfulSD is the standard error of a landmark that nobody marked above which it
// is doubtful, in parts of the body's length on the picture: the coarser of the two
// levels to which marking is good enough.
const DoubtfulSD = 0.015

// halfBand is the half width of a 95 % band in standard errors.
const halfBand = 1.96

// bodyLine draws the line through the hip that is parallel to the travel line, from
// edge to edge of the crop.
func (d *drawn) bodyLine() []Shape {
	hip, ok := d.known(body.Hip)
	if !ok {
		return nil
	}
	reach := d.crop.W + d.crop.H
	return d.cased(Line{
		Role: Travel, Points: []Point{hip.plus(d.lineDir, -reach), hip.plus(d.lineDir, reach)},
		Width: d.pen, Dash: travelDash * d.pen,
	})
}

// body draws segments and landmarks.
func (d *drawn) body() []Shape {
	line := d.joined()
	var shapes []Shape
	if len(line) > 1 {
		shapes = append(shapes, d.cased(Line{Role: Body, Points: line, Width: bodyWidth * d.pen})...)
	}
	if ankle, ok := d.known(body.Ankle); ok {
		if heel, ok := d.known(body.Heel); ok {
			shapes = append(shapes, d.cased(Line{Role: Body, Points: []Point{ankle, heel}, Width: bodyWidth * d.pen})...)
		}
	}
	length := extent(line)
	for l := range d.at {
		if p, ok := d.known(body.Landmark(l)); ok {
			shapes = d.landmark(shapes, body.Landmark(l), p, length)
		}
	}
	return shapes
}

// joined are the places of the chain's landmarks that are known.
func (d *drawn) joined() []Point {
	line := make([]Point, 0, len(chain))
	for _, l := range chain {
		if p, ok := d.known(l); ok {
			line = append(line, p)
		}
	}
	return line
}

// extent is the largest distance between two points.
func extent(points []Point) float64 {
	most := 0.0
	for i, p := range points {
		for _, q := range points[i+1:] {
			most = math.Max(most, math.Hypot(p.X-q.X, p.Y-q.Y))
		}
	}
	return most
}

// landmark appends a landmark: a filled disc with a tick along its segment where it
// was marked, else an open ring, with 95 % of its error around it where that is seen.
func (d *drawn) landmark(shapes []Shape, l body.Landmark, p Point, length float64) []Shape {
	if d.Marked != nil && d.Marked(d.i, l) {
		if u, ok := p.towards(d.next(l)); ok {
			shapes = append(shapes, d.cased(Line{Role: Body, Points: []Point{p, p.plus(u, tickLength*d.pen)}, Width: 2 * d.pen})...)
		}
		return append(shapes,
			Disc{Role: Casing, At: p, R: (discRadius + 1.1) * d.pen},
			Disc{Role: Body, At: p, R: discRadius * d.pen})
	}
	sd := d.sd(l, p)
	if halo := halfBand * sd; halo > (ringRadius+2)*d.pen {
		ring := Disc{Role: Halo, At: p, R: halo, Width: 0.8 * d.pen}
		if sd > DoubtfulSD*length {
			ring.Dash, ring.Width = haloDash*d.pen, 1.4*d.pen
		}
		below := ring
		below.Role, below.Width = Casing, ring.Width+1.6*d.pen
		shapes = append(shapes, below, ring)
	}
	return append(shapes,
		Disc{Role: Casing, At: p, R: ringRadius * d.pen, Width: 3 * d.pen},
		Disc{Role: Body, At: p, R: ringRadius * d.pen, Width: ringWidth * d.pen})
}

// sd is the standard error of a landmark, px; 0 where it is not known.
func (d *drawn) sd(l body.Landmark, p Point) float64 {
	path := d.Motion.Paths[l]
	if path == nil || path.SD == nil || math.IsNaN(path.SD[d.i]) {
		return 0
	}
	if px := path.SD[d.i] / d.View.MetresPerPx(d.t, p.X, p.Y); !math.IsNaN(px) {
		return px
	}
	return 0
}

// next is the place along the segment to which a landmark's tick points: the next
// known landmark towards the toes, else the one before.
func (d *drawn) next(l body.Landmark) Point {
	if l == body.Heel {
		return d.at[body.Ankle]
	}
	after, before := false, Point{math.NaN(), math.NaN()}
	for _, other := range chain {
		p, ok := d.known(other)
		switch {
		case other == l:
			after = true
		case ok && after:
			return p
		case ok:
			before = p
		}
	}
	if !after { // the crown of the head lies on no segment
		return Point{math.NaN(), math.NaN()}
	}
	return before
}
