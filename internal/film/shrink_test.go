package film

import (
	"math"
	"testing"
)

// TestShrink checks the averages on pictures whose means are known: a plane
// a + bx + cy sampled at pixel centres keeps its values at the same places.
func TestShrink(t *testing.T) {
	for _, c := range []struct{ sw, sh, dw, dh int }{{64, 48, 32, 24}, {64, 48, 48, 36}, {321, 181, 100, 56}, {7, 5, 7, 5}, {9, 9, 1, 1}} {
		src := make([]byte, c.sw*c.sh)
		plane := func(x, y, w, h float64) float64 { return 20 + 100*x/w + 110*y/h }
		for y := range c.sh {
			for x := range c.sw {
				src[y*c.sw+x] = byte(math.Round(plane(float64(x)+0.5, float64(y)+0.5, float64(c.sw), float64(c.sh))))
			}
		}
		dst := make([]byte, c.dw*c.dh)
		newShrinker(c.sw, c.sh, c.dw, c.dh).shrink(dst, src)
		for y := range c.dh {
			for x := range c.dw {
				want := plane(float64(x)+0.5, float64(y)+0.5, float64(c.dw), float64(c.dh))
				if got := float64(dst[y*c.dw+x]); math.Abs(got-want) > 1.01 { // two roundings
					t.Fatalf("%v: pixel %d,%d is %g, want %.2f", c, x, y, got, want)
				}
			}
		}
	}
}

// TestShrinkMean checks the exact average on noise: at one half each new pixel
// is the rounded mean of four, at two thirds the first is 4/9, 2/9, 2/9 and 1/9
// of the four it covers.
func TestShrinkMean(t *testing.T) {
	src := noise(12 * 6)
	at := func(x, y int) int { return int(src[y*12+x]) }
	half := make([]byte, 6*3)
	newShrinker(12, 6, 6, 3).shrink(half, src)
	for y := range 3 {
		for x := range 6 {
			want := (at(2*x, 2*y) + at(2*x+1, 2*y) + at(2*x, 2*y+1) + at(2*x+1, 2*y+1) + 2) / 4
			if int(half[y*6+x]) != want {
				t.Fatalf("pixel %d,%d is %d, want %d", x, y, half[y*6+x], want)
			}
		}
	}
	third := make([]byte, 8*4)
	newShrinker(12, 6, 8, 4).shrink(third, src)
	want := math.Round(float64(4*at(0, 0)+2*at(1, 0)+2*at(0, 1)+at(1, 1)) / 9)
	if float64(third[0]) != want {
		t.Fatalf("first pixel is %d, want %g", third[0], want)
	}
}

func BenchmarkShrink(b *testing.B) {
	src := noise(1920 * 1080)
	for _, w := range []int{960, 1280} {
		b.Run(map[int]string{960: "half", 1280: "two thirds"}[w], func(b *testing.B) {
			z := newShrinker(1920, 1080, w, w*9/16)
			dst := make([]byte, w*w*9/16)
			b.ReportAllocs()
			for b.Loop() {
				z.shrink(dst, src)
			}
		})
	}
}
