package poolside

import (
	"math"
	"sort"

	"underkick/internal/body"
	"underkick/internal/kick"
)

// stills returns the framed pictures of one kick's key moments. All have one
// size, so that the body is equally large in each.
func (m *Measured) stills(k kick.Kick, widthPx, heightPx int) []StillView {
	var out []StillView
	for _, moment := range k.Moments.List() {
		i := nearest(m.motion.T, moment.T)
		s := StillView{
			Moment: moment.Name, Upkick: moment.Upkick,
			Time: m.motion.T[i], Frame: m.frames[i],
			Points: m.pointsAt(i), LineDeg: m.lineDeg(i),
		}
		foot, shank := m.Result.Signals.FacingAt(m.motion.T[i])
		s.Facing = facingViews(s.Points, foot, shank)
		out = append(out, s)
	}
	frameLegs(out, float64(widthPx), float64(heightPx))
	return out
}

// nearest returns the index of the time nearest to t; times rise.
func nearest(times []float64, t float64) int {
	i := sort.SearchFloat64s(times, t)
	switch {
	case i == len(times):
		return i - 1
	case i > 0 && t-times[i-1] < times[i]-t:
		return i - 1
	}
	return i
}

// pointsAt returns the known landmarks on the i-th picture of the run, px.
func (m *Measured) pointsAt(i int) map[string]PointView {
	points := map[string]PointView{}
	t := m.motion.T[i]
	for l, p := range m.motion.Paths {
		if p == nil {
			continue
		}
		x, y := m.View.ToPicture(t, p.X[i], p.Y[i])
		if math.IsNaN(x) || math.IsNaN(y) {
			continue
		}
		sd := 0.0
		if p.SD != nil && !math.IsNaN(p.SD[i]) {
			sd = p.SD[i] / m.View.MetresPerPx(t, x, y)
		}
		points[body.Landmark(l).String()] = PointView{XPx: x, YPx: y, SDPx: sd}
	}
	return points
}

// lineDeg returns the direction of the travel line on the i-th picture, degrees
// clockwise from +x as the picture is seen.
func (m *Measured) lineDeg(i int) float64 {
	t, line := m.motion.T[i], m.Result.Line
	x0, y0 := m.View.ToPicture(t, line.X, line.Y)
	x1, y1 := m.View.ToPicture(t, line.X+line.Along[0], line.Y+line.Along[1])
	if d := math.Atan2(y1-y0, x1-x0) * 180 / math.Pi; !math.IsNaN(d) {
		return d
	}
	return 0
}

// facingViews lists shank and foot with the part that faces back, where both
// ends are on the picture.
func facingViews(points map[string]PointView, foot, shank float64) []FacingView {
	var out []FacingView
	for _, f := range []FacingView{
		{Segment: "shank", From: body.Knee.String(), To: body.Ankle.String(), Part: shank},
		{Segment: "foot", From: body.Ankle.String(), To: body.Toe.String(), Part: foot},
	} {
		_, from := points[f.From]
		_, to := points[f.To]
		if from && to && !math.IsNaN(f.Part) {
			out = append(out, f)
		}
	}
	return out
}

// Shape of a still: its width to its height, and the room around the legs.
const (
	stillAspect = 4.0 / 3
	stillRoom   = 1.35
)

// frameLegs gives every still the same crop size, around hip, knee, ankle and
// toe, inside a picture of w by h px.
func frameLegs(stills []StillView, w, h float64) {
	var needW, needH float64
	centres := make([][2]float64, len(stills))
	for i, s := range stills {
		lo, hi := legBox(s.Points)
		centres[i] = [2]float64{(lo[0] + hi[0]) / 2, (lo[1] + hi[1]) / 2}
		needW, needH = math.Max(needW, hi[0]-lo[0]), math.Max(needH, hi[1]-lo[1])
	}
	cw := math.Max(needW, needH*stillAspect) * stillRoom
	cw = math.Min(math.Max(cw, 64), math.Min(w, h*stillAspect))
	ch := cw / stillAspect
	for i := range stills {
		stills[i].Crop = Rect{
			X: math.Min(math.Max(centres[i][0]-cw/2, 0), w-cw),
			Y: math.Min(math.Max(centres[i][1]-ch/2, 0), h-ch),
			W: cw, H: ch,
		}
	}
}

// legBox returns the corners of the box around the leg's landmarks; the middle
// of nothing is the picture's corner.
func legBox(points map[string]PointView) (lo, hi [2]float64) {
	first := true
	for _, l := range []body.Landmark{body.Hip, body.Knee, body.Ankle, body.Heel, body.Toe} {
		p, ok := points[l.String()]
		if !ok {
			continue
		}
		if first {
			lo, hi, first = [2]float64{p.XPx, p.YPx}, [2]float64{p.XPx, p.YPx}, false
		}
		lo = [2]float64{math.Min(lo[0], p.XPx), math.Min(lo[1], p.YPx)}
		hi = [2]float64{math.Max(hi[0], p.XPx), math.Max(hi[1], p.YPx)}
	}
	return lo, hi
}
