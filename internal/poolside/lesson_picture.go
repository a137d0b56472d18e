package poolside

import (
	"bytes"
	"context"
	"encoding/base64"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"slices"

	"golang.org/x/image/draw"
	"golang.org/x/image/math/f64"

	"underkick/internal/body"
	"underkick/internal/compare"
	"underkick/internal/drawing"
	"underkick/internal/drawing/burn"
	"underkick/internal/record"
)

// LessonPicture names one picture of a lesson: a still at a moment, or a frame of a clip that
// plays.
type LessonPicture struct {
	LessonID string
	RunID    string
	Kick     int
	Moment   string // of a still
	Frame    int    // of a clip: index within the run
	Moving   bool   // a frame of a clip
}

// Widths of pictures, px. A still is at most 43 mm wide on paper: 560 px are 330 to the inch.
const (
	lessonStillPx  = 560
	lessonMovingPx = 480
	lessonQuality  = 86
)

// slowdown is how much slower than swum a clip plays.
const slowdown = 4

// clipPictures is the most pictures that a clip holds.
const clipPictures = 48

// LessonStill returns a picture of a lesson as JPEG: what the lesson shows and no more, with the
// face softened where the lesson asks for it. The lesson must show the run, and today's consents
// must allow it (ErrConsent).
func (a *App) LessonStill(ctx context.Context, p LessonPicture) ([]byte, error) {
	l, err := a.store.Lesson(ctx, p.LessonID)
	if err != nil {
		return nil, err
	}
	if !slices.Contains(l.RunIDs(), p.RunID) {
		return nil, fmt.Errorf("run %q in lesson %s: %w", p.RunID, l.ID, ErrNotFound)
	}
	if err := a.mayTeach(ctx, l.SquadID, l.Audience, []string{p.RunID}); err != nil {
		return nil, err
	}
	return a.framed(ctx, p, l.Soften)
}

// framed cuts a picture of a run out of its film.
func (a *App) framed(ctx context.Context, p LessonPicture, soften bool) ([]byte, error) {
	rc, err := a.store.RunWhole(ctx, p.RunID)
	if err != nil {
		return nil, err
	}
	in, err := a.chainInput(ctx, rc)
	if err != nil {
		return nil, err
	}
	m, _, err := a.measureRun(ctx, rc, in)
	if err != nil {
		return nil, err
	}
	if p.Moving {
		return a.movingPicture(ctx, m, rc.Clip, p, soften)
	}
	stills, _, err := a.lessonStills(m, rc.Clip, p.Kick)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(stills, func(s StillView) bool { return s.Moment == p.Moment })
	if i < 0 {
		return nil, fmt.Errorf("moment %q: %w", p.Moment, ErrNotFound)
	}
	s := stills[i]
	cut := cutting{frame: s.Frame, crop: s.Crop, widthPx: lessonStillPx}
	if cut.face, err = m.coveredFace(drawing.Nearest(m.motion.T, s.Time), soften); err != nil {
		return nil, err
	}
	img, err := a.cut(ctx, rc.Clip, cut)
	if err != nil {
		return nil, err
	}
	return asJPEG(img)
}

// lessonStills are the stills of a kick, or for 0 of the one most like the others, equally
// large and all to the right, with the number of that kick. A run without a whole kick has none.
func (a *App) lessonStills(m *Measured, clip record.Clip, number int) ([]StillView, int, error) {
	k := wholeKick(m.Result, number)
	if k == nil {
		k = wholeKick(m.Result, compare.Typical(m.Result))
	}
	if k == nil {
		return nil, 0, nil
	}
	f, err := m.lessonFrame(clip)
	return m.stills(*k, f), k.Number, err
}

// lessonFrame is how a lesson's pictures of a clip are framed.
func (m *Measured) lessonFrame(clip record.Clip) (stillsFrame, error) {
	f, err := pictureSize(clip)
	return stillsFrame{Frame: f, mirror: m.toTheLeft()}, err
}

// toTheLeft reports whether the swimmer goes to the left on the picture.
func (m *Measured) toTheLeft() bool {
	t, line := m.motion.T[0], m.Result.Line
	x0, _ := m.View.ToPicture(t, line.X, line.Y)
	x1, _ := m.View.ToPicture(t, line.X+line.Along[0], line.Y+line.Along[1])
	return x1 < x0
}

// clipFrames are the pictures of a kick, as indices within the run, and how long it took, s.
func clipFrames(m *Measured, number int) ([]int, float64) {
	k := wholeKick(m.Result, number)
	if k == nil {
		return nil, 0
	}
	var all []int
	for i, t := range m.motion.T {
		if t >= k.Start && t < k.End {
			all = append(all, i)
		}
	}
	step := (len(all) + clipPictures - 1) / clipPictures
	var list []int
	for i := 0; i < len(all); i += max(step, 1) {
		list = append(list, all[i])
	}
	return list, k.End - k.Start
}

// movingPicture is one picture of a clip that plays, with the drawing in it.
func (a *App) movingPicture(ctx context.Context, m *Measured, clip record.Clip, p LessonPicture, soften bool) ([]byte, error) {
	if p.Frame < 0 || p.Frame >= len(m.frames) {
		return nil, fmt.Errorf("frame %d of the run: %w", p.Frame, ErrNotFound)
	}
	f, err := m.lessonFrame(clip)
	if err != nil {
		return nil, err
	}
	f.whole, f.Kick = true, p.Kick
	cut := cutting{frame: m.frames[p.Frame], crop: m.crop(p.Frame, m.bodyLength(), f), widthPx: lessonMovingPx}
	if cut.face, err = m.coveredFace(p.Frame, soften); err != nil {
		return nil, err
	}
	img, err := a.cut(ctx, clip, cut)
	if err != nil {
		return nil, err
	}
	f.Crop = cut.crop
	scene := m.SceneAt(p.Frame, drawing.Only(drawing.LineLayer, drawing.BodyLayer, drawing.FacingLayer, drawing.PathLayer), f.Frame)
	burn.Scene(img, scene.Through(cut.crop, float64(img.Rect.Dx())))
	return asJPEG(img)
}

// How far a head that nobody marked is looked for: beyond the shoulder, on the line from the
// hip, in lengths of the trunk. Wide, since it is a guess: it covers the whole head of a swimmer
// with the arms up, whose head is about half a trunk long and lies between the arms.
const (
	unmarkedHead  = 0.2
	unmarkedReach = 0.42
)

// coveredFace is the face that is softened on the i-th picture; none where none is to be. Where
// the head is not marked it is looked for beyond the shoulder; where that is not known either,
// nothing can be softened and nothing is shown.
func (m *Measured) coveredFace(i int, soften bool) (Face, error) {
	if !soften {
		return Face{}, nil
	}
	if f := m.FaceAt(i); f.Known {
		return f, nil
	}
	shoulder, hip := m.motion.Paths[body.Shoulder], m.motion.Paths[body.Hip]
	if shoulder == nil || hip == nil {
		return Face{}, noFace("this moment")
	}
	t := m.motion.T[i]
	sx, sy := m.View.ToPicture(t, shoulder.X[i], shoulder.Y[i])
	hx, hy := m.View.ToPicture(t, hip.X[i], hip.Y[i])
	trunk := math.Hypot(sx-hx, sy-hy)
	if !(trunk > 0) {
		return Face{}, noFace("this moment")
	}
	return Face{Known: true, X: sx + unmarkedHead*(sx-hx), Y: sy + unmarkedHead*(sy-hy), R: unmarkedReach * trunk}, nil
}

// cutting is what is cut out of a film.
type cutting struct {
	frame   int // of the clip
	crop    drawing.Crop
	widthPx int  // at most
	face    Face // softened; not known = none
}

// around is the colour where a crop reaches beyond the picture.
var around = color.RGBA{0xcd, 0xd3, 0xd0, 0xff}

// cut takes a picture and returns the part of it that is shown. What lies outside is not in it.
func (a *App) cut(ctx context.Context, clip record.Clip, c cutting) (*image.RGBA, error) {
	text, err := a.Picture(ctx, clip.ID, c.frame)
	if err != nil {
		return nil, err
	}
	whole, err := jpeg.Decode(bytes.NewReader(text))
	if err != nil {
		return nil, fmt.Errorf("read picture %d of clip %s: %w", c.frame, clip.ID, err)
	}
	scale := float64(whole.Bounds().Dx()) / float64(clip.Facts.WidthPx)
	src := image.NewRGBA(whole.Bounds())
	draw.Draw(src, src.Rect, whole, whole.Bounds().Min, draw.Src)
	if c.face.Known {
		burn.Soften(src, c.face.X*scale, c.face.Y*scale, c.face.R*scale)
	}
	w := min(c.widthPx, int(math.Ceil(c.crop.W*scale)))
	w += w % 2
	h := int(math.Round(float64(w) * c.crop.H / c.crop.W))
	dst := image.NewRGBA(image.Rect(0, 0, max(w, 1), max(h, 1)))
	draw.Draw(dst, dst.Rect, image.NewUniform(around), image.Point{}, draw.Src)
	f := float64(w) / (c.crop.W * scale)
	to := f64.Aff3{f, 0, -c.crop.X * scale * f, 0, f, -c.crop.Y * scale * f}
	if c.crop.Mirror {
		to[0], to[2] = -f, (c.crop.X+c.crop.W)*scale*f
	}
	draw.CatmullRom.Transform(dst, to, src, src.Rect, draw.Over, nil)
	return dst, nil
}

func asJPEG(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: lessonQuality}); err != nil {
		return nil, fmt.Errorf("write a picture: %w", err)
	}
	return b.Bytes(), nil
}

// dataAddress is a JPEG as an address that holds it.
func dataAddress(picture []byte) string {
	return "data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(picture)
}

// held returns pictures as addresses that hold them, for a file of its own.
func (a *App) held(ctx context.Context, soften bool) LessonPictures {
	return func(p LessonPicture) (string, error) {
		text, err := a.framed(ctx, p, soften)
		if err != nil {
			return "", err
		}
		return dataAddress(text), nil
	}
}

