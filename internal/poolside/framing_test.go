package poolside

import (
	"image"
	"math"
	"testing"

	xdraw "golang.org/x/image/draw"

	"underkick/internal/drawing"
)

// patterned is a picture as a JPEG of a film decodes: luma that changes from px to px, and
// colour at half the size.
func patterned(w, h int) *image.YCbCr {
	img := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	for y := range h {
		for x := range w {
			img.Y[img.YOffset(x, y)] = byte(120 + 60*math.Sin(float64(x)/7)*math.Cos(float64(y)/9))
			c := img.COffset(x, y)
			img.Cb[c], img.Cr[c] = byte(140+20*math.Sin(float64(x+y)/40)), byte(100+20*math.Cos(float64(x-y)/30))
		}
	}
	return img
}

func BenchmarkFraming(b *testing.B) {
	film, dst := patterned(960, 540), image.NewRGBA(image.Rect(0, 0, 960, 540))
	for name, f := range map[string]framing{"clip": clipFraming, "still": stillFraming} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				f.fill(dst, film, drawing.Crop{X: 100, Y: 80, W: 1000, H: 562.5, Mirror: true}, 1280)
			}
		})
	}
}

// TestQuickFraming holds the quick kernel against x/image's bilinear one, upright and
// mirrored, larger and smaller, with crops that reach beyond the film: luma agrees within
// rounding, and beyond the film lies the ground.
func TestQuickFraming(t *testing.T) {
	film := patterned(240, 136)
	slow := framing{xdraw.BiLinear, clipFraming.ground}
	for _, c := range []drawing.Crop{
		{W: 1280, H: 720}, {X: 200, Y: 100, W: 640, H: 360}, {X: 200, Y: 100, W: 640, H: 360, Mirror: true}, {X: -100, Y: -50, W: 1600, H: 900}, {X: 900, Y: 600, W: 800, H: 450, Mirror: true},
	} {
		got, want := image.NewRGBA(image.Rect(0, 0, 320, 180)), image.NewRGBA(image.Rect(0, 0, 320, 180))
		clipFraming.fill(got, film, c, 1280)
		slow.fill(want, film, c, 1280)
		sum, n, far := 0.0, 0, 0
		for i := 0; i < len(got.Pix); i += 4 {
			luma := func(p []byte) float64 {
				return 0.299*float64(p[0]) + 0.587*float64(p[1]) + 0.114*float64(p[2])
			}
			d := math.Abs(luma(got.Pix[i:]) - luma(want.Pix[i:]))
			sum, n = sum+d, n+1
			if d > 24 {
				far++
			}
			if got.Pix[i+3] != 0xff {
				t.Fatalf("%+v: a hole at %d", c, i/4)
			}
		}
		if mean := sum / float64(n); mean > 1.5 || far > n/100 {
			t.Errorf("%+v: luma is %.2f off on average, far off at %d of %d px", c, mean, far, n)
		}
	}
	// A picture within another one is filled alone.
	whole := image.NewRGBA(image.Rect(0, 0, 100, 40))
	clipFraming.fill(whole.SubImage(image.Rect(50, 0, 100, 40)).(*image.RGBA), film, drawing.Crop{W: 1280, H: 1024}, 1280)
	if whole.RGBAAt(20, 20).A != 0 || whole.RGBAAt(70, 20).A != 0xff {
		t.Error("the left half was drawn on, or the right one was not")
	}
}
