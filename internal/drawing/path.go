package drawing

import (
	"math"
	"sort"

	"underkick/internal/body"
)

// Sizes of the toe path, pens.
const (
	pathWidth = 1.6
	restWidth = 1
	restDash  = 4
)

// PensPerSpeed is the width of the speed ribbon, pens for every m/s of foot speed,
// the same in every run so that ribbons can be compared.
const PensPerSpeed = 2.5

// toePath draws the toe's way through the water in this kick up to this picture. The
// way lies in the swimmer's plane and is seen as this picture's camera sees it, so
// that it stays in the water when the camera moves.
func (d *drawn) toePath() []Shape {
	from, to, ok := d.soFar()
	if !ok {
		return nil
	}
	return d.pieces(d.way(from, to), Line{Role: Path, Width: pathWidth * d.pen})
}

// pathRest draws the way that the toe still goes in this kick.
func (d *drawn) pathRest() []Shape {
	if d.kick == nil || d.Motion.Paths[body.Toe] == nil {
		return nil
	}
	from, to := max(d.i, d.index(d.kick.Start)), d.index(d.kick.End)
	return d.pieces(d.way(from, to), Line{Role: Path, Width: restWidth * d.pen, Dash: restDash * d.pen})
}

// soFar is the stretch of pictures of the toe's way up to this one, false where
// there is none.
func (d *drawn) soFar() (from, to int, ok bool) {
	if d.kick == nil || d.Motion.Paths[body.Toe] == nil {
		return 0, 0, false
	}
	from, to = d.index(d.kick.Start), min(d.i, d.index(d.kick.End))
	return from, to, to > from
}

// index is the picture nearest to a time.
func (d *drawn) index(t float64) int { return Nearest(d.Motion.T, t) }

// Nearest returns the index of the time nearest to t; times rise, and there is at
// least one.
func Nearest(times []float64, t float64) int {
	i := sort.SearchFloat64s(times, t)
	switch {
	case i == len(times):
		return i - 1
	case i > 0 && t-times[i-1] < times[i]-t:
		return i - 1
	}
	return i
}

// way is the toe's path from one picture to another, both included, on this picture.
func (d *drawn) way(from, to int) []Point {
	toe := d.Motion.Paths[body.Toe]
	points := make([]Point, 0, max(0, to-from+1))
	for j := from; j <= to; j++ {
		points = append(points, d.onPicture(toe.X[j], toe.Y[j]))
	}
	return points
}

// pieces draws a line through the points, broken where one is not known.
func (d *drawn) pieces(points []Point, like Line) []Shape {
	var below, above []Shape
	for from := 0; from < len(points); {
		to := from
		for to < len(points) && points[to].known() {
			to++
		}
		if to-from >= 2 {
			like.Points = points[from:to]
			both := d.cased(like)
			below, above = append(below, both[0]), append(above, both[1])
		}
		from = to + 1
	}
	return append(below, above...)
}

// speedRibbon draws a ribbon along the toe's way up to this picture, as wide as the
// foot is fast against the hip: filled in the downkick, outlined in the upkick.
// Nothing is drawn where the clip does not support speeds of the foot.
func (d *drawn) speedRibbon() []Shape {
	from, to, ok := d.soFar()
	if m, has := d.Result.Measure("foot_path"); !ok || !has || !m.Known() {
		return nil
	}
	turn := to
	if !math.IsNaN(d.kick.Bottom) {
		turn = min(to, max(from, d.index(d.kick.Bottom)))
	}
	var shapes []Shape
	for _, outline := range d.ribbon(from, turn) {
		shapes = append(shapes,
			Line{Role: Casing, Points: outline, Closed: true, Width: 1.6 * d.pen},
			Area{Role: Speed, Points: outline})
	}
	for _, outline := range d.ribbon(turn, to) {
		shapes = append(shapes, d.cased(Line{Role: Speed, Points: outline, Closed: true, Width: d.pen})...)
	}
	return shapes
}

// ribbon returns the outlines of the ribbon over a stretch of pictures.
func (d *drawn) ribbon(from, to int) [][]Point {
	if to <= from {
		return nil
	}
	way := d.way(from, to)
	width := make([]float64, len(way))
	for j := range width {
		width[j] = PensPerSpeed * d.pen * d.Result.Signals.FootSpeedAt(d.Motion.T[from+j])
	}
	return ribbonOutlines(way, width)
}

// ribbonOutlines returns the closed outline of a path of given full widths, one for
// every stretch on which both are known.
func ribbonOutlines(way []Point, width []float64) [][]Point {
	var out [][]Point
	for from := 0; from < len(way); {
		to := from
		for to < len(way) && way[to].known() && !math.IsNaN(width[to]) {
			to++
		}
		if to-from >= 2 {
			out = append(out, ribbonOutline(way[from:to], width[from:to]))
		}
		from = to + 1
	}
	return out
}

func ribbonOutline(way []Point, width []float64) []Point {
	n := len(way)
	out := make([]Point, 2*n)
	normal := Point{0, 1}
	for i := range n {
		if u, ok := way[max(0, i-1)].towards(way[min(n-1, i+1)]); ok { // a toe that stands still keeps the last direction
			normal = Point{-u.Y, u.X}
		}
		out[i], out[2*n-1-i] = way[i].plus(normal, width[i]/2), way[i].plus(normal, -width[i]/2)
	}
	return out
}
