package burn

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"
)

// texture is a picture with detail at every size down to single pixels.
func texture(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	rng := rand.New(rand.NewPCG(1, 2))
	for y := range h {
		for x := range w {
			v := 128 + 50*math.Sin(float64(x)/3) + 50*math.Cos(float64(y)/5) + 40*(rng.Float64()-0.5)
			o := img.PixOffset(x, y)
			img.Pix[o], img.Pix[o+1], img.Pix[o+2], img.Pix[o+3] = uint8(v), uint8(v*0.8), uint8(v*0.6), 255
		}
	}
	return img
}

// detail is the mean square of the difference of each pixel inside a circle from the
// mean of those s px left, right, above and below: what a picture holds of detail of
// about that size.
func detail(img *image.RGBA, cx, cy, r float64, s int) float64 {
	sum, n := 0.0, 0
	at := func(x, y int) float64 { return float64(img.Pix[img.PixOffset(x, y)+1]) }
	for y := s; y < img.Rect.Dy()-s; y++ {
		for x := s; x < img.Rect.Dx()-s; x++ {
			if math.Hypot(float64(x)+0.5-cx, float64(y)+0.5-cy) > r-float64(s)*1.5 {
				continue
			}
			d := at(x, y) - (at(x-s, y)+at(x+s, y)+at(x, y-s)+at(x, y+s))/4
			sum, n = sum+d*d, n+1
		}
	}
	return sum / float64(n)
}

// TestSoftenTakesTheDetail: inside, at most a hundredth of the energy of detail up to
// an eighth of the radius is left; outside, no pixel is touched.
func TestSoftenTakesTheDetail(t *testing.T) {
	for _, c := range []struct{ x, y, r float64 }{{100, 80, 40}, {100.3, 79.6, 25.7}, {60, 60, 14}} {
		img, was := texture(200, 160), texture(200, 160)
		Soften(img, c.x, c.y, c.r)
		for s := 1; s <= max(1, int(c.r/8)); s++ {
			before, after := detail(was, c.x, c.y, c.r, s), detail(img, c.x, c.y, c.r, s)
			if after > before/100 {
				t.Errorf("radius %g: detail of %d px has energy %.2f, was %.1f", c.r, s, after, before)
			}
		}
		for y := range 160 {
			for x := range 200 {
				outside := math.Hypot(float64(x)+0.5-c.x, float64(y)+0.5-c.y) > c.r
				if outside && img.RGBAAt(x, y) != was.RGBAAt(x, y) {
					t.Fatalf("pixel (%d, %d) outside radius %g was changed", x, y, c.r)
				}
			}
		}
	}
}

// What is softened hangs on sixteen colours: two pictures that agree in the means of
// the cells come out alike, however much their detail differs.
func TestSoftenedPicturesTellOnlyMeans(t *testing.T) {
	a, b := image.NewRGBA(image.Rect(0, 0, 96, 96)), image.NewRGBA(image.Rect(0, 0, 96, 96))
	for y := range 96 {
		for x := range 96 {
			v := uint8(100 + 60*((x+y)%2)) // a chequerboard of single pixels
			w := uint8(100 + 60*((x/2+y/2)%2))
			for k, p := range []*image.RGBA{a, b} {
				o := p.PixOffset(x, y)
				u := []uint8{v, w}[k]
				p.Pix[o], p.Pix[o+1], p.Pix[o+2], p.Pix[o+3] = u, u, u, 255
			}
		}
	}
	Soften(a, 48, 48, 32)
	Soften(b, 48, 48, 32)
	for y := range 96 {
		for x := range 96 {
			if math.Hypot(float64(x)+0.5-48, float64(y)+0.5-48) > 31 {
				continue
			}
			if d := int(a.RGBAAt(x, y).R) - int(b.RGBAAt(x, y).R); d < -1 || d > 1 {
				t.Fatalf("pixel (%d, %d): %v and %v", x, y, a.RGBAAt(x, y), b.RGBAAt(x, y))
			}
		}
	}
}

func TestSoftenAtTheEdgeAndOffIt(t *testing.T) {
	img, was := texture(60, 60), texture(60, 60)
	for _, c := range []struct{ x, y, r float64 }{{-50, 30, 20}, {30, 30, 0}, {30, 30, -3}, {math.NaN(), 3, 10}, {30, 30, math.NaN()}, {30, 30, math.Inf(1)}} {
		Soften(img, c.x, c.y, c.r)
	}
	if string(img.Pix) != string(was.Pix) {
		t.Error("discs that are nowhere changed the picture")
	}
	Soften(img, 0, 0, 30) // three quarters of it outside
	if before, after := detail(was, 0, 0, 30, 2), detail(img, 0, 0, 30, 2); after > before/100 {
		t.Errorf("at the corner detail has energy %.2f, was %.1f", after, before)
	}
	part := img.SubImage(image.Rect(30, 30, 60, 60)).(*image.RGBA)
	Soften(part, 15, 15, 15) // a part counts from its own corner
	if d := detail(img, 45, 45, 15, 1); d > detail(was, 45, 45, 15, 1)/100 {
		t.Errorf("a part was not softened: %g", d)
	}
}
