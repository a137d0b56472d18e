package burn

import (
	"image"
	"image/color"
	"math"

	"underkick/internal/drawing"
)

// Scene draws a scene on a picture. Layers that are off are left out. The scene's
// coordinates count from the picture's top-left corner, whatever its bounds; a
// scene for a part of the picture goes through its Crop first.
func Scene(img *image.RGBA, s drawing.Scene) {
	var b Burner
	b.Scene(img, s)
}

// Scene is the function Scene with the working memory of b.
func (b *Burner) Scene(img *image.RGBA, s drawing.Scene) {
	b.use(img)
	for _, l := range s.Layers {
		if l.Off {
			continue
		}
		for _, shape := range l.Shapes {
			b.shape(shape)
		}
	}
}

// Words writes one line of words in the colours of labels, as a scene's Text is
// written.
func (b *Burner) Words(img *image.RGBA, t drawing.Text) {
	b.use(img)
	b.words(t)
}

// use makes img the picture that is drawn on, counted from its top-left corner.
func (b *Burner) use(img *image.RGBA) {
	b.own = *img
	b.own.Rect = img.Rect.Sub(img.Rect.Min)
	b.img = &b.own
}

func (b *Burner) shape(shape drawing.Shape) {
	switch s := shape.(type) {
	case drawing.Line:
		b.line(s)
	case drawing.Area:
		b.fill(s.Points, b.ink(s.Role))
	case drawing.Disc:
		b.circle(s)
	case drawing.Text:
		b.words(s)
	}
}

func (b *Burner) line(l drawing.Line) {
	pts := l.Points
	if l.Closed && len(pts) > 1 {
		b.closed = append(append(b.closed[:0], pts...), pts[0])
		pts = b.closed
	}
	if l.Dash > 0 {
		b.dashed(pts, l.Width, l.Dash, b.ink(l.Role))
		return
	}
	b.stroke(pts, l.Width, b.ink(l.Role))
}

func (b *Burner) circle(d drawing.Disc) {
	if d.Width == 0 {
		b.disc(d.At, d.R, b.ink(d.Role))
		return
	}
	if !finite(d.At) || !(d.R > 0) || math.IsInf(d.R, 0) {
		return
	}
	n := corners(d.R)
	b.closed = b.closed[:0]
	for i := range n + 1 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		b.closed = append(b.closed, pt(d.At.X+d.R*cos, d.At.Y+d.R*sin))
	}
	if d.Dash > 0 {
		b.dashed(b.closed, d.Width, d.Dash, b.ink(d.Role))
		return
	}
	b.stroke(b.closed, d.Width, b.ink(d.Role))
}

// Sizes of letters that are set, px.
const (
	leastLetters = 8
	mostLetters  = 200
)

func (b *Burner) words(t drawing.Text) {
	size := min(max(int(math.Round(t.Size)), leastLetters), mostLetters)
	at := t.At
	switch t.Anchor {
	case drawing.Middle:
		at.X -= b.textWidth(t.Words, size) / 2
	case drawing.End:
		at.X -= b.textWidth(t.Words, size)
	}
	b.text(at, t.Words, size, b.ink(t.Role), b.ink(drawing.Casing))
}

// ink is a role's colour as pictures hold it, its opacity multiplied in.
func (b *Burner) ink(r drawing.Role) *image.Uniform {
	if u := b.inks[r]; u != nil {
		return u
	}
	if b.inks == nil {
		b.inks = map[drawing.Role]*image.Uniform{}
	}
	c := r.Colour()
	part := func(v uint8) uint8 { return uint8((int(v)*int(c.A) + 127) / 255) }
	u := image.NewUniform(color.RGBA{R: part(c.R), G: part(c.G), B: part(c.B), A: c.A})
	b.inks[r] = u
	return u
}
