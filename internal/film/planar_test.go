package film

import (
	"image"
	"image/color"
	"math"
	"testing"
)

// TestPlanarIsBT709 compares with the formulas of ITU-R BT.709-6: items 3.2 (luma),
// 3.3 (colour differences, divided by 1.8556 and 1.5748) and 3.4 with 4.6 (8 bits:
// 16 to 235 and 16 to 240). 100 % colour bars and greys.
func TestPlanarIsBT709(t *testing.T) {
	for _, c := range []color.RGBA{
		{0, 0, 0, 255},
		{255, 255, 255, 255},
		{255, 0, 0, 255},
		{0, 255, 0, 255},
		{0, 0, 255, 255},
		{255, 255, 0, 255},
		{0, 255, 255, 255},
		{255, 0, 255, 255},
		{128, 128, 128, 255},
		{12, 88, 140, 255},
	} {
		img := image.NewRGBA(image.Rect(0, 0, 4, 2))
		for i := range 8 {
			img.SetRGBA(i%4, i/4, c)
		}
		frame := make([]byte, 12)
		Planar(frame, img)
		r, g, b := float64(c.R)/255, float64(c.G)/255, float64(c.B)/255
		y := 0.2126*r + 0.7152*g + 0.0722*b
		want := [3]float64{16 + 219*y, 128 + 224*(b-y)/1.8556, 128 + 224*(r-y)/1.5748}
		for i, got := range [3]byte{frame[5], frame[9], frame[11]} {
			if math.Abs(float64(got)-want[i]) > 0.75 {
				t.Errorf("%v: part %d is %d, want %.2f", c, i, got, want[i])
			}
		}
	}
}

// A part of a larger picture is taken from its own corner, row by row.
func TestPlanarOfAPart(t *testing.T) {
	img := image.NewRGBA(image.Rect(0, 0, 8, 6))
	for y := range 6 {
		for x := range 8 {
			img.SetRGBA(x, y, color.RGBA{uint8(20 * x), uint8(20 * x), uint8(20 * x), 255})
		}
	}
	frame := make([]byte, 12)
	Planar(frame, img.SubImage(image.Rect(2, 2, 6, 4)).(*image.RGBA))
	for x := range 4 {
		if want := 16 + 219*float64(20*(x+2))/255; math.Abs(float64(frame[4+x])-want) > 0.75 {
			t.Errorf("column %d is %d, want %.1f", x, frame[4+x], want)
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("an odd picture is taken")
		}
	}()
	Planar(frame, img.SubImage(image.Rect(0, 0, 3, 2)).(*image.RGBA))
}

func BenchmarkPlanar(b *testing.B) {
	img := image.NewRGBA(image.Rect(0, 0, 960, 540))
	frame := make([]byte, YUV420P.bytes(960, 540))
	b.ReportAllocs()
	for b.Loop() {
		Planar(frame, img)
	}
}
