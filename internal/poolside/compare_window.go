package poolside

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/drawing"
	"underkick/internal/record"
	"underkick/internal/store"
)

// FilmWindow is a run's film as comparisons show it: a window that goes along the travel
// line with the swimmer, as large as the body at its place in the picture asks for, so
// that every swimmer is equally large, and mirrored where the swimmer swims to the left.
// Nobody is turned over: Front says which way the front side points.
type FilmWindow struct {
	WidthPx, HeightPx int       // of the whole picture
	Frames            []int     // pictures of the clip
	Times             []float64 // their true times, s
	X, Y              []float64 // middle of the window on each, px
	W                 []float64 // its width, px; its height is W / WindowAspect
	Mirror            bool
	Front             string // "down", "up", "towards or away from the camera"

	Figure map[string]FigurePath // landmarks over Signals.T, by name
}

// FigurePath is a landmark seen from the hip, in lengths of the body: along the travel
// line and across it towards the back side.
type FigurePath struct{ X, Y []float64 }

// WindowAspect is the width of the window to its height.
const WindowAspect = 2.0

// The windows in lengths of the body from shoulder to ankle: width, and how far the
// middle lies in front of the hip. An arms-up body is 1.71 such lengths long, of which
// 0.92 lie in front of the hip (lengths of segments of package body).
const (
	wholeWindow, wholeAhead = 1.95, 0.06
	legsWindow, legsAhead   = 1.15, -0.33
)

// usualBody is the body from shoulder to ankle against the standing height (trunk,
// thigh and shank of body.Lengths), for runs in which one of them is not marked.
const usualBody = 0.78

// window places the film's window on every picture.
func (m *Measured) window(rc store.Whole, legs bool) FilmWindow {
	length := m.bodyScale()
	width, ahead := wholeWindow*length, wholeAhead*length
	if legs {
		width, ahead = legsWindow*length, legsAhead*length
	}
	w := FilmWindow{
		WidthPx: rc.Clip.Facts.WidthPx, HeightPx: rc.Clip.Facts.HeightPx, Frames: m.frames, Times: m.motion.T,
		Mirror: m.swimsLeft(), Front: frontOf(rc.Run.Position), Figure: m.figure(length),
	}
	line, origin := m.Result.Line, m.origin()
	for i, t := range m.motion.T {
		x, y, px := math.NaN(), math.NaN(), math.NaN()
		if origin != nil {
			s := (origin.X[i]-line.X)*line.Along[0] + (origin.Y[i]-line.Y)*line.Along[1] + ahead
			x, y = m.View.ToPicture(t, line.X+s*line.Along[0], line.Y+s*line.Along[1])
			px = width / m.View.MetresPerPx(t, x, y)
		}
		w.X, w.Y, w.W = append(w.X, x), append(w.Y, y), append(w.W, px)
	}
	w.hold()
	return w
}

// hold fills pictures without a place from their neighbours; without any the whole
// picture is shown.
func (w *FilmWindow) hold() {
	for _, list := range [][]float64{w.X, w.Y, w.W} {
		last := math.NaN()
		for pass := range 2 { // forwards, then backwards for the first ones
			for k := range list {
				i := k
				if pass == 1 {
					i = len(list) - 1 - k
				}
				if math.IsNaN(list[i]) {
					list[i] = last
				}
				last = list[i]
			}
		}
	}
	for i := range w.X {
		if math.IsNaN(w.X[i] + w.Y[i] + w.W[i]) {
			w.X[i], w.Y[i], w.W[i] = float64(w.WidthPx)/2, float64(w.HeightPx)/2, float64(w.WidthPx)
		}
	}
}

// crop is the window on the i-th picture.
func (w FilmWindow) crop(i int) drawing.Crop {
	h := w.W[i] / WindowAspect
	return drawing.Crop{X: w.X[i] - w.W[i]/2, Y: w.Y[i] - h/2, W: w.W[i], H: h, Mirror: w.Mirror}
}

// bodyScale is the length of the body from shoulder to ankle, m; from the height where
// one of its parts is not marked.
func (m *Measured) bodyScale() float64 {
	if length := m.bodyLength(); length > 0 && m.motion.Has(body.Shoulder) && m.motion.Has(body.Ankle) {
		return length
	}
	if m.Result.Height > 0 {
		return usualBody * m.Result.Height
	}
	return usualBody * usualHeight
}

// origin is the path that the window goes along with: the hip, else a landmark beside it.
func (m *Measured) origin() *body.Path {
	for _, l := range []body.Landmark{body.Hip, body.Knee, body.Shoulder, body.Ankle, body.Toe} {
		if p := m.motion.Paths[l]; p != nil {
			return p
		}
	}
	return nil
}

// swimsLeft reports whether the swimmer moves to the left on the picture.
func (m *Measured) swimsLeft() bool {
	line, t := m.Result.Line, m.motion.T[len(m.motion.T)/2]
	x0, _ := m.View.ToPicture(t, line.X, line.Y)
	x1, _ := m.View.ToPicture(t, line.X+line.Along[0], line.Y+line.Along[1])
	return x1 < x0
}

// frontOf says which way the swimmer's front side points on the film.
func frontOf(p record.Position) string {
	switch p {
	case record.Supine:
		return "up"
	case record.Side:
		return "towards the camera or away from it"
	}
	return "down"
}

// figure is the body over time as seen from the hip, in lengths of the body.
func (m *Measured) figure(length float64) map[string]FigurePath {
	out := map[string]FigurePath{}
	for l, p := range m.Result.Signals.Points {
		if p == nil {
			continue
		}
		f := FigurePath{X: make([]float64, len(p.X)), Y: make([]float64, len(p.Y))}
		for i := range p.X {
			f.X[i], f.Y[i] = p.X[i]/length, p.Y[i]/length
		}
		out[body.Landmark(l).String()] = f
	}
	return out
}
