package steady

import (
	"math"
	"slices"

	"underkick/internal/raster"
)

// strip is what is seen along the lines between the plane's points: the places in
// the base picture and the mean brightness there.
type strip struct {
	points [][2]float64
	values []float64
	count  float64
	middle [2]float64
	stiff  float64 // prior standard deviation of zoom and turn; the noise of its points goes together in groups of many
}

// Numbers of the strip, px.
const (
	stripReach = 4.0 // of the strip to both sides of the lines
	stripEdge  = 2.0 // from the picture's edge
	stripSteps = 12
	leastSeen  = 0.5 // share of the strip's points that must be in view
	leastAgree = 0.4 // share of those that must agree
	steep      = 1.5 // slope of a point of the relief, brightness per px
	together   = 50  // points whose errors are one and the same wandering light
	leastAlike = 0.7 // correlation of brightness below which a strip is not believed
)

// newStrip takes the points beside the lines of the plane.
func newStrip(g *raster.Grey, plane [][2]float64) *strip {
	return pointsOf(g, 1, func(x, y float64) bool { return besideSegments(plane, x, y, stripReach) }).stiffened(planePrior)
}

// newRelief takes the points, of every second row and column, where the picture is
// steep: lines count there, and not corners alone.
func newRelief(g *raster.Grey) *strip {
	return pointsOf(g, 2, func(x, y float64) bool {
		sx, sy := slope(g, x, y)
		return sx*sx+sy*sy >= steep*steep
	}).stiffened(reliefPrior)
}

func (s *strip) stiffened(prior float64) *strip {
	s.stiff = prior
	return s
}

// pointsOf takes the points that are wanted of every step-th row and column.
func pointsOf(g *raster.Grey, step int, wanted func(x, y float64) bool) *strip {
	s := &strip{count: 1}
	for row := 0; row < g.H; row += step {
		for c := 0; c < g.W; c += step {
			x, y := float64(c)+0.5, float64(row)+0.5
			if g.Inside(x, y, stripEdge) && wanted(x, y) {
				s.points = append(s.points, [2]float64{x, y})
				s.values = append(s.values, g.At(x, y))
				s.middle[0] += x
				s.middle[1] += y
			}
		}
	}
	n := max(float64(len(s.points)), 1)
	s.middle = [2]float64{s.middle[0] / n, s.middle[1] / n}
	return s
}

// slope is the brightness's derivative at a point.
func slope(g *raster.Grey, x, y float64) (sx, sy float64) {
	return (g.At(x+1, y) - g.At(x-1, y)) / 2, (g.At(x, y+1) - g.At(x, y-1)) / 2
}

// stripFit is where the strip was found in a picture.
type stripFit struct {
	adjustment
	used  float64 // share of the points that agree
	bend  float64 // rms shift left of either half, px
	alike float64 // correlation of the brightnesses, outliers left out
}

// find looks for the strip in a picture whose background map is known, from the
// adjustment of the picture before, by Gauss-Newton on the brightnesses with Tukey's
// weights. ok is false where too much of the strip is out of view or too little of
// it agrees.
func (s *strip) find(g *raster.Grey, background Transform, from adjustment) (fit stripFit, ok bool) {
	a := from
	for range stripSteps {
		v := s.view(g, a.of(background, s.middle[0], s.middle[1]))
		if float64(len(v.at)) < leastSeen*float64(len(s.points)) {
			return fit, false
		}
		step, solved := v.step(s.stiff)
		if !solved || math.Hypot(step.dx, step.dy) > stripReach {
			return fit, false
		}
		a = a.plus(step)
		if math.Hypot(step.dx, step.dy) < 0.005 {
			break
		}
	}
	v := s.view(g, a.of(background, s.middle[0], s.middle[1]))
	fit = stripFit{adjustment: a, used: v.agree(), bend: v.bend(), alike: v.alike()}
	return fit, fit.used > leastAgree && fit.alike > leastAlike
}

// stripView is the strip under a map: for each point in view its place, slope and
// brightness error.
type stripView struct {
	at     [][2]float64 // in the picture
	middle [2]float64   // of the strip, in the picture
	slopes [][2]float64
	errors []float64
	model  []float64 // brightness expected, mean taken out
	spread float64
}

func (s *strip) view(g *raster.Grey, m Transform) *stripView {
	v := &stripView{}
	v.middle[0], v.middle[1] = m.At(s.middle[0], s.middle[1])
	var now, was []float64
	for i, p := range s.points {
		x, y := m.At(p[0], p[1])
		if !g.Inside(x, y, stripEdge) {
			continue
		}
		sx, sy := slope(g, x, y)
		v.at = append(v.at, [2]float64{x, y})
		v.slopes = append(v.slopes, [2]float64{sx, sy})
		now, was = append(now, g.At(x, y)), append(was, s.values[i])
	}
	gain, base := levelsOf(now, was)
	var sizes []float64
	for i := range now {
		e := now[i] - gain*was[i] - base
		v.errors, v.model = append(v.errors, e), append(v.model, gain*was[i])
		sizes = append(sizes, math.Abs(e))
	}
	if len(sizes) > 0 {
		slices.Sort(sizes)
		v.spread = max(1.4826*sizes[len(sizes)/2], 0.5)
	}
	return v
}

// levelsOf returns gain and base of the brightness since the strip was learnt, by
// least squares.
func levelsOf(now, was []float64) (gain, base float64) {
	n := float64(len(now))
	var a, b, ab, bb float64
	for i := range now {
		a, b, ab, bb = a+now[i], b+was[i], ab+now[i]*was[i], bb+was[i]*was[i]
	}
	gain = min(max((ab-a*b/n)/max(bb-b*b/n, 1e-9), 0.5), 2)
	return gain, (a - gain*b) / n
}

// step is the adjustment that brings the brightnesses into agreement.
func (v *stripView) step(stiff float64) (adjustment, bool) {
	var eq equations
	for i, e := range v.errors {
		w := weight(math.Abs(e), v.spread) / (v.spread * v.spread)
		if w == 0 {
			continue
		}
		sx, sy := v.slopes[i][0], v.slopes[i][1]
		x, y := v.at[i][0]-v.middle[0], v.at[i][1]-v.middle[1]
		eq.add(w, [8]float64{sx, sy, sx*x + sy*y, sy*x - sx*y}, -e)
	}
	eq.add(together/(stiff*stiff), [8]float64{2: 1}, 0)
	eq.add(together/(stiff*stiff), [8]float64{3: 1}, 0)
	for i := 4; i < 8; i++ {
		eq.a[i][i] = 1 // the solver wants all eight
	}
	x, ok := eq.solve()
	return adjustment{x[0], x[1], x[2], x[3]}, ok
}

// agree is the share of the points in view whose brightness agrees.
func (v *stripView) agree() float64 {
	n := 0.0
	for _, e := range v.errors {
		if math.Abs(e) < tukey*v.spread {
			n++
		}
	}
	return n / float64(max(len(v.errors), 1))
}

// alike is the correlation between expected and seen brightness of the points that
// agree: the root of the part of the variance that is explained.
func (v *stripView) alike() float64 {
	var n, sum, square, left float64
	for i, e := range v.errors {
		if math.Abs(e) < tukey*v.spread {
			n, sum, square, left = n+1, sum+v.model[i], square+v.model[i]*v.model[i], left+e*e
		}
	}
	explained := square - sum*sum/max(n, 1)
	return math.Sqrt(explained / max(explained+left, 1e-9))
}

// bend is the rms shift that the left and the right half still want, each half by
// itself.
func (v *stripView) bend() float64 {
	total := 0.0
	for side := range 2 {
		var xx, xy, yy, bx, by float64
		for i, e := range v.errors {
			if (v.at[i][0] > v.middle[0]) != (side == 1) {
				continue
			}
			w := weight(math.Abs(e), v.spread)
			sx, sy := v.slopes[i][0], v.slopes[i][1]
			xx, xy, yy = xx+w*sx*sx, xy+w*sx*sy, yy+w*sy*sy
			bx, by = bx-w*sx*e, by-w*sy*e
		}
		if det := xx*yy - xy*xy; det > 1e-9 {
			dx, dy := (yy*bx-xy*by)/det, (xx*by-xy*bx)/det
			total += (dx*dx + dy*dy) / 2
		}
	}
	return math.Sqrt(total)
}

// learn mixes the picture into the strip's mean.
func (s *strip) learn(g *raster.Grey, m Transform) {
	s.count = min(s.count+1, mostLaid)
	for i, p := range s.points {
		x, y := m.At(p[0], p[1])
		if g.Inside(x, y, stripEdge) {
			s.values[i] += (g.At(x, y) - s.values[i]) / s.count
		}
	}
}
