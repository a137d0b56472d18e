package poolside

import (
	"bytes"
	"context"
	"fmt"
	"image/jpeg"
	"math"
	"slices"

	"underkick/internal/film"
	"underkick/internal/kick"
	"underkick/internal/raster"
	"underkick/internal/record"
	"underkick/internal/sight"
)

// SmearView is how far the feet are drawn out by the shutter, measured at their edges.
type SmearView struct {
	Px float64 `json:"px"` // at least, of the clip's own picture
}

// seeSmear measures the edges of the feet in the run with the most kicks and leaves it
// in the look. It is only done where the camera stands, and where it cannot be done
// nothing is said.
func (a *App) seeSmear(ctx context.Context, e *film.Engine, clip record.Clip, look *LookView) {
	if look == nil || e.Slow() {
		return
	}
	err := look.measureSmear(clip.Facts.WidthPx, func(frame int) (*raster.Grey, error) { return a.greyPicture(ctx, e, clip, frame) })
	if err != nil && ctx.Err() == nil {
		a.log.Warn("blur not measured", "clip", clip.ID, "err", err)
	}
}

// bestRaw is the run with the most kicks as it was seen, with its feet, in px of the
// pictures that were looked at; ok is false where no smear can be measured.
func (v *LookView) bestRaw() (best sight.Run, ok bool) {
	if v.raw == nil || v.Moved {
		return best, false
	}
	for _, r := range v.raw.Runs {
		if len(r.Feet) > 0 && (!ok || r.Kicks > best.Kicks) {
			best, ok = r, true
		}
	}
	best.LengthPx *= v.raw.scale
	return best, ok
}

// measureSmear fills Smear from pictures at most PictureWidth wide of a clip widthPx wide.
func (v *LookView) measureSmear(widthPx int, picture func(frame int) (*raster.Grey, error)) error {
	run, ok := v.bestRaw()
	if !ok || widthPx <= 0 {
		return nil
	}
	wide := float64(widthPx)
	s, ok, err := sight.MeasureSmear(run, min(wide, PictureWidth)/(wide*v.raw.scale), picture)
	if ok && err == nil {
		v.Smear = &SmearView{Px: math.Round(10*s.Px*max(wide/PictureWidth, 1)) / 10}
	}
	return err
}

// LookFile looks through a film file for runs and measures the smear of the feet, as
// bringing in does. trueFPS as in FindRuns.
func LookFile(ctx context.Context, e *film.Engine, path string, trueFPS float64, progress func(done, total int)) (*LookView, error) {
	seen, err := FindRuns(ctx, e, path, trueFPS, progress)
	if err != nil {
		return nil, err
	}
	index, err := e.Index(ctx, path, nil)
	if err != nil {
		return nil, err
	}
	v := lookView(seen, index)
	best, ok := v.bestRaw()
	if !ok {
		return v, nil
	}
	width, wanted := min(index.Info.Width, PictureWidth), map[int][]byte{}
	for _, n := range sight.SmearFrames(best) {
		wanted[n] = nil
	}
	height := 0
	_, err = e.Decode(ctx, path, film.Request{From: best.First, To: best.Last + 1, Width: width}, func(p film.Picture) error {
		if _, ok := wanted[p.N]; ok {
			wanted[p.N], height = slices.Clone(p.Data), p.Height
		}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("measure the blur in %s: %w", index.Info.Name, err)
	}
	return v, v.measureSmear(index.Info.Width, func(frame int) (*raster.Grey, error) {
		return raster.FromBytes(width, height, wanted[frame]), nil
	})
}

// greyPicture is one picture as pages show it, its brightness.
func (a *App) greyPicture(ctx context.Context, e *film.Engine, clip record.Clip, n int) (*raster.Grey, error) {
	data, err := a.cache.Picture(ctx, e, a.filmClip(clip), PictureWidth, n)
	if err != nil {
		return nil, err
	}
	img, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("read the picture of frame %d: %w", n, err)
	}
	b := img.Bounds()
	g := raster.New(b.Dx(), b.Dy())
	for y := range g.H {
		for x := range g.W {
			r, gr, bl, _ := img.At(b.Min.X+x, b.Min.Y+y).RGBA()
			g.Pix[y*g.W+x] = float32(299*r+587*gr+114*bl) / (1000 * 257)
		}
	}
	return g, nil
}

// Smear in foot lengths: what the edges can tell from none, and what costs something
// although it is only the least that it can be.
const (
	leastSmear = 0.15
	muchSmear  = 0.25
)

// checkEdges judges the smear of the feet in foot lengths: at least so much by their
// edges, at most so much if the shutter is open all the time between pictures.
func checkEdges(least, most float64) ClipCheck {
	switch {
	case least < leastSmear:
		c := CheckBlur(most, 0)
		c.Finding = fmt.Sprintf("the edges of the feet show no smear of %.2f foot lengths or more; the frame rate allows up to %.2f", leastSmear, most)
		if most > kick.MaxBlur {
			c.Cost = "Look whether the fastest foot is sharp; give the shutter time where it is known."
		}
		return c
	case least < muchSmear:
		return check("toe-blur", fmt.Sprintf("the feet smear over at least %.2f foot lengths where they are fastest, by their edges", least), "")
	}
	return check("toe-blur", fmt.Sprintf("the feet smear over at least %.2f foot lengths where they are fastest, by their edges, and may over %.2f", least, max(least, most)),
		"Facing may be doubtful. Film with a shorter shutter time.")
}
