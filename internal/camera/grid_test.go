package camera

import (
	"math"
	"testing"
)

// Every point of every line is where the view puts a plane point of that X or Y.
func TestGridLinesLieOnTheirMetres(t *testing.T) {
	plane, err := FromPoints([][2]float64{{150, 600}, {1100, 650}, {1050, 120}, {200, 90}}, [][2]float64{{0, 0}, {5, 0}, {5, 2.5}, {0, 2.5}})
	if err != nil {
		t.Fatal(err)
	}
	for name, v := range map[string]View{"plane": plane, "scale": FromScale(0.005), "lens": plane.WithLens(mustLens(t, 0.15, 0.03))} {
		g := v.GridOn(0, 1280, 720, 1, -0.25)
		if len(g.Lines) < 10 || g.Step != 0.5 {
			t.Fatalf("%s: %d lines, %g m apart", name, len(g.Lines), g.Step)
		}
		for _, l := range g.Lines {
			if got := math.Mod(l.Metres, 1) == 0; got != l.Whole {
				t.Errorf("%s: the line at %g m is whole: %v", name, l.Metres, l.Whole)
			}
			for _, p := range l.Px {
				x, y := v.ToPool(0, p[0], p[1])
				off := y + 0.25 - l.Metres
				if l.Upright {
					off = x - 1 - l.Metres
				}
				if !(math.Abs(off) < 1e-6) || p[0] < 0 || p[0] > 1280 || p[1] < 0 || p[1] > 720 {
					t.Fatalf("%s: the line at %g m passes %v, %g m off", name, l.Metres, p, off)
				}
			}
		}
	}
}

func TestGridOfAPlainScale(t *testing.T) {
	g := FromScale(0.005).GridOn(0, 1280, 720, 0, 0)
	if !near(g.Width, 6.4, 1e-9) || !near(g.Height, 3.6, 1e-9) {
		t.Errorf("%g by %g m", g.Width, g.Height)
	}
	upright := 0
	for _, l := range g.Lines {
		if l.Upright {
			upright++
		}
	}
	if upright != 13 || len(g.Lines)-upright != 8 { // 0..6 m and 0..-3.5 m by half metres
		t.Errorf("%d upright lines of %d", upright, len(g.Lines))
	}
	if wide := FromScale(0.5).GridOn(0, 1280, 720, 0, 0); wide.Step != 10 {
		t.Errorf("a picture of 640 m has lines every %g m", wide.Step)
	}
}

func BenchmarkGridOn(b *testing.B) {
	v, err := FromPoints([][2]float64{{150, 600}, {1100, 650}, {1050, 120}, {200, 90}}, [][2]float64{{0, 0}, {5, 0}, {5, 2.5}, {0, 2.5}})
	if err != nil {
		b.Fatal(err)
	}
	v = v.WithLens(mustLens(b, 0.15, 0.03))
	for b.Loop() {
		v.GridOn(0, 1280, 720, 0, 0)
	}
}
