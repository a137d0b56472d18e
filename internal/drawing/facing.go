package drawing

import (
	"math"

	"underkick/internal/body"
)

// Sizes of the hatched strip, pens.
const (
	stripBreadth = 10
	hatchStep    = 5.5
	edgeWidth    = 1.2
	hatchWidth   = 1.3
)

// facing hatches the backward-facing part of shank and foot. Nothing is drawn of a
// run whose facing is withheld.
func (d *drawn) facing() []Shape {
	if m, ok := d.Result.Measure("facing"); !ok || !m.Known() {
		return nil
	}
	foot, shank := d.Result.Signals.FacingAt(d.t)
	shapes := d.faces(nil, body.Knee, body.Ankle, shank)
	return d.faces(shapes, body.Ankle, body.Toe, foot)
}

// faces appends the hatching of one segment: from its toe end, as long as the part
// of it that faces back, on the side that faces away from the swimming direction.
func (d *drawn) faces(shapes []Shape, from, to body.Landmark, part float64) []Shape {
	a, ok1 := d.known(from)
	b, ok2 := d.known(to)
	if !ok1 || !ok2 || !(part > 0) {
		return shapes
	}
	corners, ok := facingStrip(a, b, part, d.lineDir, stripBreadth*d.pen)
	if !ok {
		return shapes
	}
	edge := Line{Role: Hatch, Points: corners[:], Closed: true, Width: edgeWidth * d.pen}
	lines := hatching(corners, hatchStep*d.pen)
	below := edge
	below.Role, below.Width = Casing, 2.6*d.pen
	shapes = append(shapes, below)
	for _, points := range lines {
		shapes = append(shapes, Line{Role: Casing, Points: points, Width: 2.6 * d.pen})
	}
	shapes = append(shapes, edge)
	for _, points := range lines {
		shapes = append(shapes, Line{Role: Hatch, Points: points, Width: hatchWidth * d.pen})
	}
	return shapes
}

// facingStrip returns the corners of the hatched strip: along the segment from its
// toe end, then back at the given breadth on the side that faces away from the
// swimming direction; false for a segment without length.
func facingStrip(from, to Point, part float64, swims Point, breadth float64) ([4]Point, bool) {
	u, ok := to.towards(from)
	if !ok {
		return [4]Point{}, false
	}
	n := Point{-u.Y, u.X}
	if n.X*swims.X+n.Y*swims.Y > 0 {
		n = Point{-n.X, -n.Y}
	}
	end := to.plus(u, math.Min(part, 1)*math.Hypot(from.X-to.X, from.Y-to.Y))
	return [4]Point{to, end, end.plus(n, breadth), to.plus(n, breadth)}, true
}

// hatching returns slanting lines across a strip, one every step px.
func hatching(strip [4]Point, step float64) [][]Point {
	length := math.Hypot(strip[1].X-strip[0].X, strip[1].Y-strip[0].Y)
	breadth := math.Hypot(strip[3].X-strip[0].X, strip[3].Y-strip[0].Y)
	along, ok1 := strip[0].towards(strip[1])
	across, ok2 := strip[0].towards(strip[3])
	if !ok1 || !ok2 || !(step > 0) {
		return nil
	}
	n := int(math.Ceil((length+breadth)/step)) - 1
	if n <= 0 {
		return nil
	}
	points, lines := make([]Point, 0, 2*n), make([][]Point, 0, n)
	for k := range n {
		s := float64(k+1) * step
		low := strip[0].plus(along, math.Min(s, length)).plus(across, math.Max(0, s-length))
		high := strip[0].plus(along, math.Max(0, s-breadth)).plus(across, math.Min(s, breadth))
		points = append(points, low, high)
		lines = append(lines, points[2*k:2*k+2:2*k+2])
	}
	return lines
}
