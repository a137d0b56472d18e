package steady

import "math"

// adjustment carries a picture's map from the background into the swimmer's plane:
// a turn and a zoom about the plane's points in that picture, and a shift.
type adjustment struct {
	dx, dy float64 // px
	zoom   float64 // factor minus 1
	turn   float64 // rad, as in picture axes
}

// of returns the plane's map for the background's; (x, y) is the middle of the
// plane's points in the base picture.
func (a adjustment) of(background Transform, x, y float64) Transform {
	u, v := background.At(x, y)
	c, s := 1+a.zoom, a.turn
	m := Transform{c, -s, u - c*u + s*v + a.dx, s, c, v - s*u - c*v + a.dy, 0, 0, 1}
	return m.After(background)
}

// plus adds a further small adjustment.
func (a adjustment) plus(b adjustment) adjustment {
	return adjustment{a.dx + b.dx, a.dy + b.dy, a.zoom + b.zoom, a.turn + b.turn}
}

// Prior standard deviations of zoom and turn. In the plane against the background: a
// plane 8 m away that comes or goes by a tenth of a metre against one 50 % farther
// zooms by less; the turn is the same for all planes and only the background's error
// is to be taken out. By the relief from one picture to the next: a camera that is
// held or panned hardly does either.
const (
	planePrior  = 0.01
	reliefPrior = 0.0005
)

// besideSegments reports whether a point is within reach px of the lines that join
// the points one after the other, the last with the first where there are more than
// two.
func besideSegments(points [][2]float64, x, y, reach float64) bool {
	n := len(points)
	for i := range n {
		j := (i + 1) % n
		if n == 2 && i == 1 {
			break
		}
		if toSegment(points[i], points[j], x, y) <= reach {
			return true
		}
	}
	return false
}

func toSegment(a, b [2]float64, x, y float64) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	d := dx*dx + dy*dy
	f := 0.0
	if d > 0 {
		f = min(max(((x-a[0])*dx+(y-a[1])*dy)/d, 0), 1)
	}
	return math.Hypot(x-a[0]-f*dx, y-a[1]-f*dy)
}
