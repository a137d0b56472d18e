package burn

import (
	"image"
	"image/color"
	"math"
	"testing"

	"underkick/internal/drawing"
)

// water is a picture of one colour.
func water(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for i := 0; i < len(img.Pix); i += 4 {
		copy(img.Pix[i:], []byte{20, 90, 140, 255})
	}
	return img
}

// amount sums how much of the solid colour is on the picture, in px: the share of each
// pixel on the way from water to it, by red.
func amount(img *image.RGBA) float64 {
	sum := 0.0
	for i := 0; i < len(img.Pix); i += 4 {
		sum += (float64(img.Pix[i]) - 20) / (220 - 20)
	}
	return sum
}

var solid = image.NewUniform(color.RGBA{220, 220, 220, 255})

// TestAreasAreRight compares what is inked with plane geometry: a rectangle, a
// circle, a straight stroke (width by length), one with round ends, and dashes.
// The rasteriser knows a pixel's share to about one part in 256.
func TestAreasAreRight(t *testing.T) {
	for name, c := range map[string]struct {
		draw func(b *Burner)
		want float64
	}{
		"rectangle": {func(b *Burner) {
			b.fill([]drawing.Point{pt(10.25, 10.5), pt(60.75, 10.5), pt(60.75, 40), pt(10.25, 40)}, solid)
		}, 50.5 * 29.5},
		"turned the other way": {func(b *Burner) {
			b.fill([]drawing.Point{pt(10.25, 40), pt(60.75, 40), pt(60.75, 10.5), pt(10.25, 10.5)}, solid)
		}, 50.5 * 29.5},
		"disc":   {func(b *Burner) { b.disc(pt(60, 50), 30, solid) }, math.Pi * 900},
		"stroke": {func(b *Burner) { b.stroke([]drawing.Point{pt(20, 20), pt(80, 60)}, 6, solid) }, 6*math.Hypot(60, 40) + math.Pi*9},
		"bend":   {func(b *Burner) { b.stroke([]drawing.Point{pt(20, 50), pt(60, 50), pt(60, 20)}, 8, solid) }, 8*70 - 16 + math.Pi*16 + 4*math.Pi},
		"dashes": {func(b *Burner) { b.dashed([]drawing.Point{pt(10, 50), pt(110, 50)}, 4, 10, solid) }, 4 * 50},
		"dashes round a corner": {func(b *Burner) {
			b.dashed([]drawing.Point{pt(10, 20), pt(45, 20), pt(45, 85)}, 4, 10, solid)
		}, 4 * 50},
		"cut by the edge": {func(b *Burner) {
			b.fill([]drawing.Point{pt(-1e7, 30), pt(1e7, 30), pt(1e7, 40), pt(-1e7, 40)}, solid)
		}, 120 * 10},
		"a line from far outside": {func(b *Burner) { b.stroke([]drawing.Point{pt(-1e8, 50), pt(1e8, 50)}, 4, solid) }, 120 * 4},
	} {
		b, img := Burner{}, water(120, 100)
		b.use(img)
		c.draw(&b)
		if got := amount(img); math.Abs(got-c.want) > 0.01*c.want+1 {
			t.Errorf("%s: %.1f px are inked, want %.1f", name, got, c.want)
		}
	}
}

func TestWhatIsNoPlaceIsLeftOut(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	img, same := water(60, 60), water(60, 60)
	Scene(img, drawing.Scene{Layers: []drawing.Layer{
		{Shapes: []drawing.Shape{
			drawing.Area{Role: drawing.Body, Points: []drawing.Point{pt(nan, 0), pt(50, 0), pt(50, 50)}},
			drawing.Disc{Role: drawing.Body, At: pt(nan, 30), R: 10},
			drawing.Disc{Role: drawing.Body, At: pt(30, 30), R: nan, Width: 2},
			drawing.Line{Role: drawing.Body, Points: []drawing.Point{pt(inf, 0), pt(nan, 3)}, Width: 3},
			drawing.Line{Role: drawing.Body, Width: 3, Dash: 4, Closed: true},
			drawing.Text{Role: drawing.Label, At: pt(nan, 10), Size: 12, Words: "kick"},
			drawing.Disc{Role: drawing.Body, At: pt(900, 30), R: 10},
		}},
		{Off: true, Shapes: []drawing.Shape{drawing.Disc{Role: drawing.Body, At: pt(30, 30), R: 10}}},
	}})
	for i := range img.Pix {
		if img.Pix[i] != same.Pix[i] {
			t.Fatalf("byte %d was changed", i)
		}
	}
}

// TestRolesHaveTheirColours draws a disc of every role: its middle holds the
// palette's colour, laid over the water by its opacity.
func TestRolesHaveTheirColours(t *testing.T) {
	for _, r := range []drawing.Role{drawing.Casing, drawing.Body, drawing.Halo, drawing.Travel, drawing.Hatch, drawing.Path, drawing.Speed, drawing.Lead, drawing.Label} {
		img := water(40, 40)
		Scene(img, drawing.Scene{Layers: []drawing.Layer{{Shapes: []drawing.Shape{drawing.Disc{Role: r, At: pt(20, 20), R: 9}}}}})
		c, at := r.Colour(), img.RGBAAt(20, 20)
		over := func(c, below uint8, a uint8) float64 {
			return (float64(c)*float64(a) + float64(below)*(255-float64(a))) / 255
		}
		for i, want := range []float64{over(c.R, 20, c.A), over(c.G, 90, c.A), over(c.B, 140, c.A)} {
			if got := float64([]uint8{at.R, at.G, at.B}[i]); math.Abs(got-want) > 1.5 {
				t.Errorf("%s: part %d is %g, want %.1f", r, i, got, want)
			}
		}
	}
}

// lopsided is how much brighter a picture is left of its middle than right of it.
func lopsided(img *image.RGBA) float64 {
	sum, w := 0.0, img.Rect.Dx()
	for y := range img.Rect.Dy() {
		for x := range w {
			if v := float64(img.RGBAAt(x, y).R); x < w/2 {
				sum += v
			} else {
				sum -= v
			}
		}
	}
	return sum
}

// TestWordsAreNeverMirrored writes an L, whose foot points right, on a picture and
// through a mirrored crop of it: both times more ink is on the left, and the
// letters are alike.
func TestWordsAreNeverMirrored(t *testing.T) {
	s := drawing.Scene{Layers: []drawing.Layer{{Shapes: []drawing.Shape{
		drawing.Text{Role: drawing.Label, At: pt(50, 70), Size: 60, Anchor: drawing.Middle, Words: "L"},
	}}}}
	plain, mirrored := water(100, 100), water(100, 100)
	Scene(plain, s)
	Scene(mirrored, s.Through(drawing.Crop{W: 100, H: 100, Mirror: true}, 0))
	if l := lopsided(plain); l < 1000 {
		t.Fatalf("the L's stem is not on the left: %g", l)
	}
	for i := range plain.Pix {
		if plain.Pix[i] != mirrored.Pix[i] {
			t.Fatalf("mirrored words differ at pixel %d", i/4)
		}
	}
}

func TestWordsStandAtTheirAnchor(t *testing.T) {
	for anchor, want := range map[drawing.Anchor]float64{drawing.Start: 1, drawing.End: -1, drawing.Middle: 0} {
		img := water(200, 60)
		var b Burner
		b.Words(img, drawing.Text{Role: drawing.Label, At: pt(100, 40), Size: 20, Anchor: anchor, Words: "HHHH"})
		l := lopsided(img)
		switch {
		case want > 0 && l > -20000, want < 0 && l < 20000, want == 0 && math.Abs(l) > 3000:
			t.Errorf("anchor %d: %g more ink on the left", anchor, l)
		}
	}
	// An unknown sign is written as another, not left out.
	a, b := water(60, 40), water(60, 40)
	var w Burner
	w.Words(a, drawing.Text{Role: drawing.Label, At: pt(5, 30), Size: 20, Words: "\U0001F3CA"})
	w.Words(b, drawing.Text{Role: drawing.Label, At: pt(5, 30), Size: 20, Words: "?"})
	if string(a.Pix) != string(b.Pix) {
		t.Error("an unknown sign is not shown as a question mark")
	}
}

// A part of a picture is drawn on from its own corner.
func TestPartsOfAPicture(t *testing.T) {
	s := drawing.Scene{Layers: []drawing.Layer{{Shapes: []drawing.Shape{drawing.Disc{Role: drawing.Body, At: pt(20, 20), R: 8}}}}}
	whole, alone := water(120, 60), water(60, 60)
	Scene(whole.SubImage(image.Rect(60, 0, 120, 60)).(*image.RGBA), s)
	Scene(alone, s)
	for y := range 60 {
		for x := range 60 {
			if whole.RGBAAt(60+x, y) != alone.RGBAAt(x, y) || whole.RGBAAt(x, y) != (color.RGBA{20, 90, 140, 255}) {
				t.Fatalf("pixel (%d, %d) differs", x, y)
			}
		}
	}
}
