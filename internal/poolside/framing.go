package poolside

import (
	"image"
	"image/color"
	"image/draw"

	xdraw "golang.org/x/image/draw"
	"golang.org/x/image/math/f64"

	"underkick/internal/drawing"
)

// framing puts the crop of a film's picture on another picture.
type framing struct {
	kernel xdraw.Transformer
	ground *image.Uniform // where the crop reaches beyond the film
}

// A still is looked at for itself and on light pages; the pictures of a clip are many and
// move on a dark slate, never black.
var (
	stillFraming = framing{xdraw.CatmullRom, image.NewUniform(color.RGBA{0x74, 0x80, 0x7c, 0xff})}
	clipFraming  = framing{quickly{}, image.NewUniform(color.RGBA{0x1b, 0x2a, 0x2f, 0xff})}
)

// fill fills dst with the crop of a picture. The crop counts in px of the whole picture,
// wholePx wide; film is that picture, or the same one smaller.
func (f framing) fill(dst *image.RGBA, film image.Image, c drawing.Crop, wholePx float64) {
	box := film.Bounds()
	shrink := float64(box.Dx()) / wholePx // px of film for a px of the whole picture
	if c.X < 0 || c.Y < 0 || (c.X+c.W)*shrink > float64(box.Dx()) || (c.Y+c.H)*shrink > float64(box.Dy()) {
		draw.Draw(dst, dst.Bounds(), f.ground, image.Point{}, draw.Src)
	}
	scale := float64(dst.Bounds().Dx()) / c.W // px of dst for a px of the whole picture
	sx, x0 := scale/shrink, -c.X*scale
	if c.Mirror {
		sx, x0 = -sx, (c.X+c.W)*scale
	}
	m := f64.Aff3{sx, 0, x0 + float64(dst.Rect.Min.X), 0, scale / shrink, -c.Y*scale + float64(dst.Rect.Min.Y)}
	f.kernel.Transform(dst, m, film, box, draw.Src, nil)
}
