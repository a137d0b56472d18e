package film

import (
	"image"
	"image/color"
	"math"
	"testing"
)

// TestRecolour checks the conversion on colours whose stored values follow from
// the standards' own equations: R, G, B to luma and colour differences by the
// film's matrix and range (ITU-R BT.709-6 items 3.2-3.5, BT.2020-2 tables 4-5,
// BT.601-7), then our conversion, then back to R, G, B by the standard
// library's JFIF conversion. Two roundings to 8 bits of luma and colour
// differences leave errors of up to 4 steps.
func TestRecolour(t *testing.T) {
	colours := [][3]float64{{1, 1, 1}, {0, 0, 0}, {0.5, 0.5, 0.5}, {0.9, 0.2, 0.1}, {0.1, 0.8, 0.3}, {0.2, 0.3, 0.9}, {0, 0.6, 0.7}}
	for matrix, k := range map[string][2]float64{"bt709": {0.2126, 0.0722}, "smpte170m": {0.299, 0.114}, "bt2020nc": {0.2627, 0.0593}} {
		for _, full := range []bool{false, true} {
			c := newRecolour(matrix, full)
			for _, rgb := range colours {
				y := k[0]*rgb[0] + (1-k[0]-k[1])*rgb[1] + k[1]*rgb[2]
				pb, pr := (rgb[2]-y)/(2*(1-k[1])), (rgb[0]-y)/(2*(1-k[0]))
				img := image.NewYCbCr(image.Rect(0, 0, 3, 3), image.YCbCrSubsampleRatio420)
				for i := range img.Y {
					img.Y[i] = stored(y, 0, 219, 16, full)
				}
				for i := range img.Cb {
					img.Cb[i], img.Cr[i] = stored(pb, 128, 224, 128, full), stored(pr, 128, 224, 128, full)
				}
				c.apply(img)
				got := color.RGBAModel.Convert(img.YCbCrAt(1, 2)).(color.RGBA)
				for ch, v := range [3]uint8{got.R, got.G, got.B} {
					if math.Abs(float64(v)-255*rgb[ch]) > 4 {
						t.Errorf("%s, full %v: %v became %v", matrix, full, rgb, got)
						break
					}
				}
			}
		}
	}
}

// stored is the byte of a fraction: 255 v + zeroFull in full range, else span v + zero.
func stored(v, zeroFull, span, zero float64, full bool) byte {
	if full {
		return byte(math.Round(math.Min(255, 255*v+zeroFull)))
	}
	return byte(math.Round(span*v + zero))
}

// TestEnginesShowTheSame compares the two ways to a JPEG picture: mean
// difference of the colours below two steps of 255.
func TestEnginesShowTheSame(t *testing.T) {
	nat := native(t)
	path := t.TempDir() + "/colour.mp4"
	err := nat.Encode(t.Context(), EncodeRequest{Width: 160, Height: 120, FPS: Ratio{25, 1}, CRF: 5}, path, bars(3))
	if err != nil {
		t.Fatal(err)
	}
	for _, width := range []int{0, 100} {
		a, err := nat.Still(t.Context(), path, 1, width)
		if err != nil {
			t.Fatal(err)
		}
		b, err := embedded(t).Still(t.Context(), path, 1, width)
		if err != nil {
			t.Fatal(err)
		}
		x, y := decodeJPEG(t, a), decodeJPEG(t, b)
		if x.Bounds() != y.Bounds() {
			t.Fatalf("sizes %v and %v", x.Bounds(), y.Bounds())
		}
		sum, n := [3]float64{}, 0
		for py := range x.Bounds().Dy() {
			for px := range x.Bounds().Dx() {
				r1, g1, b1, _ := x.At(px, py).RGBA()
				r2, g2, b2, _ := y.At(px, py).RGBA()
				for k, d := range [3]float64{float64(r1) - float64(r2), float64(g1) - float64(g2), float64(b1) - float64(b2)} {
					sum[k] += d / 257
				}
				n++
			}
		}
		for k, s := range sum {
			if math.Abs(s/float64(n)) > 2 {
				t.Errorf("width %d: channel %d differs by %.2f on average", width, k, s/float64(n))
			}
		}
	}
}
