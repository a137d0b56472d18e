package poolside

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"math"

	"underkick/internal/drawing"
	"underkick/internal/drawing/burn"
)

// StillPictureOptions say how one still's picture is made. The zero value is a JPEG
// without drawing, as wide as the crop.
type StillPictureOptions struct {
	StillsOptions
	Moment  string // "" = set
	WidthPx int    // of the picture; 0 = the crop's own width, at most maxStillPx
	Drawn   bool   // the layers are drawn into it
	PNG     bool
}

// maxStillPx is the largest width of a still's picture.
const maxStillPx = 4096

// StillPicture returns one still as a picture: cropped, mirrored where asked, softened
// where asked, with the drawing in it where asked. kind is its media type. It is refused
// where Stills is.
func (a *App) StillPicture(ctx context.Context, runID string, opt StillPictureOptions) (data []byte, kind string, err error) {
	if opt.Moment == "" {
		opt.Moment = downkickMoments[0]
	}
	opt.Moments = []string{opt.Moment}
	made, err := a.stillsOf(ctx, runID, opt.StillsOptions)
	if err != nil {
		return nil, "", err
	}
	img, err := a.stillImage(ctx, made, 0, opt)
	if err != nil {
		return nil, "", err
	}
	return encodeStill(img, opt.PNG)
}

func encodeStill(img image.Image, asPNG bool) (data []byte, kind string, err error) {
	var out bytes.Buffer
	if asPNG {
		kind, err = "image/png", png.Encode(&out, img)
	} else {
		kind, err = "image/jpeg", jpeg.Encode(&out, img, &jpeg.Options{Quality: 90})
	}
	if err != nil {
		return nil, "", fmt.Errorf("write a still: %w", err)
	}
	return out.Bytes(), kind, nil
}

// stillImage makes the picture of the i-th still.
func (a *App) stillImage(ctx context.Context, made madeStills, i int, opt StillPictureOptions) (*image.RGBA, error) {
	still := made.view.Stills[i]
	film, err := a.fullPicture(ctx, made, still.Frame)
	if err != nil {
		return nil, err
	}
	width := opt.WidthPx
	if width <= 0 {
		width = int(math.Round(still.Crop.W))
	}
	width = min(max(width, 16), maxStillPx)
	scale := float64(width) / still.Crop.W
	img := image.NewRGBA(image.Rect(0, 0, width, max(1, int(math.Round(still.Crop.H*scale)))))
	stillFraming.fill(img, film, still.Crop, made.view.WidthPx)
	if opt.Soften {
		soften(still.Soft, still.Crop, scale, func(x, y, r float64) { burn.Soften(img, x, y, r) })
	}
	if opt.Drawn {
		burn.Scene(img, still.Scene.Through(still.Crop, float64(width)))
	}
	return img, nil
}

// soften has the face, or whatever holds it, made unrecognisable on a crop of scale px per
// px of the whole picture: by is given middle and radius of a disc on it.
func soften(faces []Face, c drawing.Crop, scale float64, by func(x, y, r float64)) {
	for _, f := range faces {
		at := c.Place(drawing.Point{X: f.X, Y: f.Y}, scale)
		by(at.X, at.Y, f.R*scale)
	}
}

// fullPicture is a picture of the run's clip as large as the film gives it.
func (a *App) fullPicture(ctx context.Context, made madeStills, frame int) (image.Image, error) {
	engine, err := a.engine(ctx)
	if err != nil {
		return nil, err
	}
	var data []byte
	if clip := made.rc.Clip; clip.Facts.WidthPx <= PictureWidth {
		data, err = a.cache.Picture(ctx, engine, a.filmClip(clip), PictureWidth, frame)
	} else {
		data, err = engine.Still(ctx, a.store.ClipPath(clip), frame, 0)
	}
	if err != nil {
		return nil, fmt.Errorf("cut a still from frame %d: %w", frame, err)
	}
	img, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("cut a still from frame %d: %w", frame, err)
	}
	return img, nil
}
