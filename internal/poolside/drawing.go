package poolside

import (
	"context"
	"math"

	"underkick/internal/body"
	"underkick/internal/drawing"
	"underkick/internal/record"
)

// layersSetting keeps which layers are drawn on stills.
const layersSetting = "drawing-layers"

// Layers returns which layers a person wants drawn on film; the usual ones until
// somebody chose.
func (a *App) Layers(ctx context.Context) (drawing.Switches, error) {
	text, _, err := a.store.Setting(ctx, layersSetting)
	if err != nil {
		return 0, err
	}
	sw, err := drawing.ParseSwitches(text)
	if err != nil {
		return 0, nil //nolint:nilerr // a layer that this version does not know: the usual ones are drawn
	}
	return sw, nil
}

// SetLayers keeps which layers are drawn on film.
func (a *App) SetLayers(ctx context.Context, sw drawing.Switches) error {
	return a.store.SetSetting(ctx, layersSetting, sw.String())
}

// SceneAt draws the i-th picture of the run; see drawing.Run.Scene.
func (m *Measured) SceneAt(i int, sw drawing.Switches, f drawing.Frame) drawing.Scene {
	return m.drawn().Scene(i, sw, f)
}

// drawn is the run as package drawing takes it.
func (m *Measured) drawn() *drawing.Run {
	return &drawing.Run{Motion: m.motion, View: m.View, Result: m.Result, Marked: m.markedOn}
}

// markedOn reports whether a person placed a landmark on the i-th picture.
func (m *Measured) markedOn(i int, l body.Landmark) bool { return m.marked[i]&(1<<l) != 0 }

// markedOf notes, for every picture of the run, which landmarks are marked on it.
func markedOf(in chainInput) []uint16 {
	at := make(map[int]int, len(in.Frames))
	for i, f := range in.Frames {
		at[f] = i
	}
	marked := make([]uint16, len(in.Frames))
	for _, m := range in.Marks {
		if i, ok := at[m.Frame]; ok {
			marked[i] |= 1 << m.Landmark
		}
	}
	return marked
}

// pictureSize is the size of a clip's upright picture.
func pictureSize(c record.Clip) (drawing.Frame, error) {
	f := drawing.Frame{WidthPx: float64(c.Facts.WidthPx), HeightPx: float64(c.Facts.HeightPx)}
	if !(f.WidthPx > 0 && f.HeightPx > 0) {
		return f, inputf("the size of the pictures of clip %s is not known; read the clip again", c.ID)
	}
	return f, nil
}

// Face is where a swimmer's face is seen on a picture.
type Face struct {
	Known   bool
	X, Y, R float64 // middle and radius, px
}

// faceReach is how far a softened face reaches from the middle between crown and
// shoulder, in parts of the distance between the two: the whole head, which reaches to 0.55,
// and a margin for where a coach puts the crown.
const faceReach = 0.70

// FaceAt returns where the face is on the i-th picture: between the crown of the head
// and the shoulder. It is not known where the head was not marked.
func (m *Measured) FaceAt(i int) Face {
	head, shoulder := m.motion.Paths[body.Head], m.motion.Paths[body.Shoulder]
	if head == nil || shoulder == nil {
		return Face{}
	}
	t := m.motion.T[i]
	hx, hy := m.View.ToPicture(t, head.X[i], head.Y[i])
	sx, sy := m.View.ToPicture(t, shoulder.X[i], shoulder.Y[i])
	reach := faceReach * math.Hypot(hx-sx, hy-sy)
	if !(reach > 0) {
		return Face{}
	}
	return Face{Known: true, X: (hx + sx) / 2, Y: (hy + sy) / 2, R: reach}
}

// noFace says why a face cannot be softened and what to do.
func noFace(moment string) error {
	return inputf("neither head nor shoulder is marked, so the face at %s cannot be softened. Mark the head on some frames of the run, or leave this swimmer's pictures inside the squad", moment)
}
