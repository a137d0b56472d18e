package guess

import (
	"image"
	"image/color"
	"math"
	"testing"

	"underkick/internal/guess/network"
)

const side = network.Side

// slope is a picture whose red rises along x and whose green rises along y.
func slope(width, height int) picture {
	p := picture{width: width, height: height, pix: make([]uint8, 3*width*height)}
	for y := range height {
		for x := range width {
			k := 3 * (y*width + x)
			p.pix[k], p.pix[k+1], p.pix[k+2] = uint8(x/4), uint8(y/4), 200
		}
	}
	return p
}

// TestSwimmerStandsUprightInTheCrop: the fingertip lies above the toe on the
// crop's middle line, whichever way the swimmer lies in the picture.
func TestSwimmerStandsUprightInTheCrop(t *testing.T) {
	for _, deg := range []float64{0, 10, 90, 135, 180, 270} {
		for _, mirror := range []bool{false, true} {
			s, c := math.Sincos(deg * math.Pi / 180)
			toe := xy{400, 300}
			tip := xy{400 + 200*c, 300 + 200*s}
			cut := around(tip, toe, mirror)
			half := 0.5 * side
			up := cut.toPicture(half, half-(1-cropMiddle)*side/cropSide)
			down := cut.toPicture(half, half+cropMiddle*side/cropSide)
			for _, d := range [...][2]xy{{up, tip}, {down, toe}} {
				if math.Hypot(d[0].x-d[1].x, d[0].y-d[1].y) > 1e-9 {
					t.Errorf("%g deg, mirror %v: %v should be %v", deg, mirror, d[0], d[1])
				}
			}
			// Right in the crop is clockwise from up in the picture, and left in the mirror.
			right := cut.toPicture(half+10, half)
			turn := (tip.x-toe.x)*(right.y-cut.y) - (tip.y-toe.y)*(right.x-cut.x)
			if turn > 0 == mirror {
				t.Errorf("%g deg, mirror %v: right lies on the wrong side", deg, mirror)
			}
		}
	}
}

// TestCutShowsWhatLiesThere compares with the picture's own slope, which a
// mean over any square leaves as it is.
func TestCutShowsWhatLiesThere(t *testing.T) {
	p := slope(1000, 800)
	for _, c := range []crop{around(xy{700, 420}, xy{300, 380}, false), around(xy{300, 420}, xy{620, 300}, true)} {
		out := make([]float32, side*side*3)
		c.cut(p, out)
		for _, uv := range [...][2]int{{128, 128}, {40, 100}, {200, 60}, {100, 220}} {
			at := c.toPicture(float64(uv[0])+0.5, float64(uv[1])+0.5)
			k := 3 * (uv[1]*side + uv[0])
			for i, want := range [...]float64{(at.x - 2) / 4 / 255, (at.y - 2) / 4 / 255, 200.0 / 255} {
				if d := math.Abs(float64(out[k+i]) - want); d > 0.5/255 {
					t.Errorf("at %v colour %d is %g, want %g", uv, i, out[k+i], want)
				}
			}
		}
	}
}

func TestOutsideThePictureIsBlack(t *testing.T) {
	out := make([]float32, side*side*3)
	around(xy{10, 10}, xy{10, 210}, false).cut(slope(400, 400), out)
	if out[0] != 0 || out[2] != 0 {
		t.Errorf("the corner outside is %v", out[:3])
	}
	if k := 3 * (128*side + 128); out[k+2] == 0 {
		t.Error("the middle is black")
	}
}

// TestPicturesKeepTheirColours compares with the standard library's conversion.
func TestPicturesKeepTheirColours(t *testing.T) {
	img := image.NewYCbCr(image.Rect(0, 0, 32, 16), image.YCbCrSubsampleRatio420)
	for i := range img.Y {
		img.Y[i] = uint8(7 * i)
	}
	for i := range img.Cb {
		img.Cb[i], img.Cr[i] = uint8(90+i), uint8(170-i)
	}
	p, err := newPicture(img)
	if err != nil {
		t.Fatal(err)
	}
	for y := range 16 {
		for x := range 32 {
			want := color.RGBAModel.Convert(img.At(x, y)).(color.RGBA)
			got := p.pix[3*(y*32+x):]
			for i, w := range [...]uint8{want.R, want.G, want.B} {
				if d := int(got[i]) - int(w); d < -1 || d > 1 {
					t.Fatalf("(%d, %d): %v, want %v", x, y, got[:3], want)
				}
			}
		}
	}
	gray := image.NewGray(image.Rect(0, 0, 20, 20))
	gray.Pix[21] = 99
	if p, err := newPicture(gray); err != nil || p.pix[63] != 99 || p.pix[65] != 99 {
		t.Errorf("grey: %v, %v", p.pix[63:66], err)
	}
	for _, bad := range []image.Image{image.NewGray(image.Rect(0, 0, 4, 4)), image.NewRGBA(image.Rect(0, 0, 40, 40))} {
		if _, err := newPicture(bad); err == nil {
			t.Errorf("%T of %v was taken", bad, bad.Bounds())
		}
	}
}
