package poolside

import (
	"bytes"
	"context"
	"encoding/base64"
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"slices"

	"underkick/internal/drawing"
	"underkick/internal/drawing/burn"
	"underkick/internal/kick"
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
	opt, err := a.lessonStills(ctx, l, p.RunID, p.Kick)
	if err != nil {
		return nil, err
	}
	return a.framed(ctx, p, opt)
}

// lessonStills is how a lesson's stills of a run are made: equally large, all to the right.
// It is an error where the run may not be shown on it today.
func (a *App) lessonStills(ctx context.Context, l record.Lesson, runID string, number int) (StillsOptions, error) {
	rc, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return StillsOptions{}, err
	}
	return StillsOptions{
		Kick: number, Moments: []string{"all"}, Swims: ToRight, Small: true,
		Soften: l.Soften, Outside: leavesSquad(l, rc.Swimmer),
	}, a.mayBeOn(ctx, l, rc.Swimmer)
}

// framed makes a picture of a run.
func (a *App) framed(ctx context.Context, p LessonPicture, opt StillsOptions) ([]byte, error) {
	if p.Moving {
		return a.movingPicture(ctx, p, opt)
	}
	data, _, err := a.StillPicture(ctx, p.RunID, StillPictureOptions{StillsOptions: opt, Moment: p.Moment, WidthPx: lessonStillPx})
	return data, err
}

// clipFrames are the pictures of a kick, as indices within the run.
func clipFrames(m *Measured, k kick.Kick) []int {
	var all []int
	for i, t := range m.motion.T {
		if t >= k.Start && t < k.End {
			all = append(all, i)
		}
	}
	step := max((len(all)+clipPictures-1)/clipPictures, 1)
	var list []int
	for i := 0; i < len(all); i += step {
		list = append(list, all[i])
	}
	return list
}

// movingPicture is one picture of a clip that plays, with the drawing in it.
func (a *App) movingPicture(ctx context.Context, p LessonPicture, opt StillsOptions) ([]byte, error) {
	rc, err := a.store.RunWhole(ctx, p.RunID)
	if err != nil {
		return nil, err
	}
	m, _, err := a.measureKept(ctx, rc)
	if err != nil {
		return nil, err
	}
	if p.Frame < 0 || p.Frame >= len(m.frames) {
		return nil, fmt.Errorf("frame %d of the run: %w", p.Frame, ErrNotFound)
	}
	f, err := pictureSize(rc.Clip)
	if err != nil {
		return nil, err
	}
	framing := stillsFrame{Frame: f, whole: true}
	framing.mirror, _ = m.mirrors(opt.Swims)
	f.Crop, f.Kick = m.crop(p.Frame, m.bodyLength(), framing), p.Kick
	img, err := a.movingFilm(ctx, rc.Clip, m.frames[p.Frame], f.Crop)
	if err != nil {
		return nil, err
	}
	if opt.Soften {
		soft := m.softAt(p.Frame)
		if len(soft) == 0 && opt.Outside {
			return nil, noFace("this moment")
		}
		soften(soft, f.Crop, lessonMovingPx/f.Crop.W, func(x, y, r float64) { burn.Soften(img, x, y, r) })
	}
	scene := m.SceneAt(p.Frame, drawing.Only(drawing.LineLayer, drawing.BodyLayer, drawing.FacingLayer, drawing.PathLayer), f)
	burn.Scene(img, scene.Through(f.Crop, lessonMovingPx))
	data, _, err := encodeStill(img, false)
	return data, err
}

// movingFilm is the crop of a clip's picture as a clip shows it.
func (a *App) movingFilm(ctx context.Context, clip record.Clip, frame int, c drawing.Crop) (*image.RGBA, error) {
	text, err := a.Picture(ctx, clip.ID, frame)
	if err != nil {
		return nil, err
	}
	film, err := jpeg.Decode(bytes.NewReader(text))
	if err != nil {
		return nil, fmt.Errorf("read picture %d of clip %s: %w", frame, clip.ID, err)
	}
	img := image.NewRGBA(image.Rect(0, 0, lessonMovingPx, int(math.Round(lessonMovingPx*c.H/c.W))))
	clipFraming.fill(img, film, c, float64(clip.Facts.WidthPx))
	return img, nil
}

// dataAddress is a JPEG as an address that holds it.
func dataAddress(picture []byte) string {
	return "data:image/jpeg;base64," + base64.StdEncoding.EncodeToString(picture)
}

// held returns a lesson's pictures as addresses that hold them, for a file of its own.
func (a *App) held(ctx context.Context, l record.Lesson) LessonPictures {
	return func(p LessonPicture) (string, error) {
		opt, err := a.lessonStills(ctx, l, p.RunID, p.Kick)
		if err != nil {
			return "", err
		}
		text, err := a.framed(ctx, p, opt)
		if err != nil {
			return "", err
		}
		return dataAddress(text), nil
	}
}
