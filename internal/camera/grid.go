package camera

import (
	"fmt"
	"math"
)

// GridLine is a line of the plane's grid as the picture shows it.
type GridLine struct {
	Metres  float64      // its X or Y from the grid's origin, m
	Upright bool         // a line of one X; else of one Y
	Whole   bool         // at whole metres (at whole steps of two where steps are longer than a metre)
	Px      [][2]float64 // polyline, px, within the picture
}

// Grid is lines of the plane laid on a picture.
type Grid struct {
	Step          float64 // m between neighbouring lines
	Width, Height float64 // of the plane that the picture shows along its middle lines, m
	Lines         []GridLine
}

// gridSteps are the distances between lines, m; the first that leaves leastApart px is taken.
var gridSteps = []float64{0.5, 1, 5, 10, 50, 100, 1000}

const (
	leastApart  = 14.0 // px between lines
	mostLines   = 200  // of one direction
	gridSamples = 48   // of each line, which a lens bends
)

// GridOn returns the grid of the view's plane at time t, s, on a picture of width by
// height px: every half metre, wider apart where the picture is small. Its lines count from the
// plane point (x0, y0), m. A view of which the picture shows nothing has no lines.
func (v View) GridOn(t, width, height, x0, y0 float64) Grid {
	g := Grid{Width: v.between(t, [2]float64{0, height / 2}, [2]float64{width, height / 2}), Height: v.between(t, [2]float64{width / 2, 0}, [2]float64{width / 2, height})}
	perPx := v.MetresPerPx(t, width/2, height/2)
	if !(perPx > 0) {
		return g
	}
	for _, g.Step = range gridSteps {
		if g.Step/perPx >= leastApart {
			break
		}
	}
	lo, hi := v.seen(t, width, height)
	inside := func(p [2]float64) bool { return p[0] >= 0 && p[0] <= width && p[1] >= 0 && p[1] <= height }
	for axis, origin := range [2]float64{x0, y0} {
		first, last := math.Ceil((lo[axis]-origin)/g.Step), math.Floor((hi[axis]-origin)/g.Step)
		for k := first; k <= min(last, first+mostLines); k++ {
			at := [2][2]float64{lo, hi}
			at[0][axis], at[1][axis] = origin+k*g.Step, origin+k*g.Step
			for _, px := range v.drawn(t, at, inside) {
				whole := math.Mod(k*g.Step, 1) == 0 && (g.Step < 1 || math.Mod(k, 2) == 0)
				g.Lines = append(g.Lines, GridLine{Metres: k * g.Step, Upright: axis == 0, Whole: whole, Px: px})
			}
		}
	}
	return g
}

// between is the distance of two picture points in the plane, m.
func (v View) between(t float64, a, b [2]float64) float64 {
	x0, y0 := v.ToPool(t, a[0], a[1])
	x1, y1 := v.ToPool(t, b[0], b[1])
	return math.Hypot(x1-x0, y1-y0)
}

// seen is the part of the plane that the picture shows, by places all over it.
func (v View) seen(t, width, height float64) (lo, hi [2]float64) {
	lo, hi = [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for i := range 17 {
		for j := range 17 {
			x, y := v.ToPool(t, width*float64(i)/16, height*float64(j)/16)
			if !math.IsNaN(x) {
				lo, hi = [2]float64{min(lo[0], x), min(lo[1], y)}, [2]float64{max(hi[0], x), max(hi[1], y)}
			}
		}
	}
	return lo, hi
}

// drawn returns the parts of a straight stretch of the plane that the picture shows,
// each to the picture's edge within a fraction of a pixel.
func (v View) drawn(t float64, ends [2][2]float64, inside func([2]float64) bool) (parts [][][2]float64) {
	at := func(f float64) [2]float64 {
		u, w := v.ToPicture(t, ends[0][0]+f*(ends[1][0]-ends[0][0]), ends[0][1]+f*(ends[1][1]-ends[0][1]))
		return [2]float64{u, w}
	}
	edge := func(in, out float64) [2]float64 {
		for range 30 {
			if m := (in + out) / 2; inside(at(m)) {
				in = m
			} else {
				out = m
			}
		}
		return at(in)
	}
	var part [][2]float64
	was := false
	for i := 0; i <= gridSamples; i++ {
		f, back := float64(i)/gridSamples, float64(i-1)/gridSamples
		p := at(f)
		is := inside(p)
		switch {
		case is && !was && i > 0:
			part = append(part, edge(f, back), p)
		case is:
			part = append(part, p)
		case was:
			parts, part = append(parts, append(part, edge(back, f))), nil
		}
		was = is
	}
	if len(part) > 1 {
		parts = append(parts, part)
	}
	return parts
}

// Words tells how much of the plane the picture shows and how far apart the lines are.
func (g Grid) Words() string {
	if len(g.Lines) == 0 && !(g.Width > 0) {
		return "The picture shows nothing of the plane."
	}
	return fmt.Sprintf("By this scale the picture shows %.3g m by %.3g m; the lines are %g m apart.", g.Width, g.Height, g.Step)
}
