package burn

import (
	"image"
	"image/draw"
	"math"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"underkick/internal/drawing"
)

// lettering is the typeface: bold, because it is read on moving water.
var lettering = sync.OnceValue(func() *opentype.Font {
	f, err := opentype.Parse(gobold.TTF)
	if err != nil {
		panic("burn: the font inside the program is damaged: " + err.Error())
	}
	return f
})

// face is the lettering at one size, with the glyphs drawn so far.
type face struct {
	font   font.Face
	halo   int // px around each glyph that its casing fills
	glyphs map[rune]glyph
}

// glyph is one letter as a mask, and as a wider mask for its casing.
type glyph struct {
	mask, casing *image.Alpha
	at           image.Point // top-left corner of mask from the pen
	advance      float64     // px
}

// faceOf returns the lettering at a size, px from one line to the next.
func (b *Burner) faceOf(sizePx int) *face {
	if f := b.faces[sizePx]; f != nil {
		return f
	}
	if b.faces == nil {
		b.faces = map[int]*face{}
	}
	drawn, err := opentype.NewFace(lettering(), &opentype.FaceOptions{Size: float64(sizePx), DPI: 72, Hinting: font.HintingFull})
	if err != nil {
		panic("burn: size of letters: " + err.Error())
	}
	f := &face{font: drawn, halo: max(1, int(math.Round(drawing.TextCasing/2*float64(sizePx)))), glyphs: map[rune]glyph{}}
	b.faces[sizePx] = f
	return f
}

func (f *face) glyph(r rune) glyph {
	if g, ok := f.glyphs[r]; ok {
		return g
	}
	box, mask, from, advance, ok := f.font.Glyph(fixed.Point26_6{}, r)
	if !ok {
		if r == '?' {
			return glyph{}
		}
		g := f.glyph('?')
		f.glyphs[r] = g
		return g
	}
	g := glyph{mask: image.NewAlpha(image.Rectangle{Max: box.Size()}), at: box.Min, advance: float64(advance) / 64}
	draw.Draw(g.mask, g.mask.Bounds(), mask, from, draw.Src)
	g.casing = widened(g.mask, f.halo)
	f.glyphs[r] = g
	return g
}

// widened is a mask grown by n px to every side, as a disc grows it; its corner is
// n px before that of the mask.
func widened(m *image.Alpha, n int) *image.Alpha {
	size := m.Bounds().Size()
	out := image.NewAlpha(image.Rect(0, 0, size.X+2*n, size.Y+2*n))
	for dy := -n; dy <= n; dy++ {
		for dx := -n; dx <= n; dx++ {
			if dx*dx+dy*dy > n*n {
				continue
			}
			for y := range size.Y {
				for x := range size.X {
					o := &out.Pix[(y+n+dy)*out.Stride+x+n+dx]
					*o = max(*o, m.Pix[y*m.Stride+x])
				}
			}
		}
	}
	return out
}

// textWidth is how far a text reaches, px.
func (b *Burner) textWidth(text string, sizePx int) float64 {
	f, w := b.faceOf(sizePx), 0.0
	for _, r := range text {
		w += f.glyph(r).advance
	}
	return w
}

// text sets a text with its baseline's left end at a place, with a casing around
// the letters.
func (b *Burner) text(at drawing.Point, text string, sizePx int, ink, casing *image.Uniform) {
	if !finite(at) || math.Abs(at.X) > 1<<20 || math.Abs(at.Y) > 1<<20 {
		return
	}
	f := b.faceOf(sizePx)
	b.letters(f, at, text, casing, true)
	b.letters(f, at, text, ink, false)
}

func (b *Burner) letters(f *face, at drawing.Point, text string, c *image.Uniform, casing bool) {
	pen := at.X
	for _, r := range text {
		g := f.glyph(r)
		mask, corner := g.mask, image.Pt(int(math.Round(pen)), int(math.Round(at.Y))).Add(g.at)
		if casing {
			mask, corner = g.casing, corner.Sub(image.Pt(f.halo, f.halo))
		}
		if mask != nil {
			draw.DrawMask(b.img, mask.Bounds().Add(corner), c, image.Point{}, mask, image.Point{}, draw.Over)
		}
		pen += g.advance
	}
}
