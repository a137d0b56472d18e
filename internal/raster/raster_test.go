package raster

import (
	"math"
	"testing"
)

// plane is a picture whose brightness is a + b x + c y, which bilinear sampling,
// smoothing, halving and gradients all keep exactly away from the edge.
func plane(w, h int, a, b, c float64) *Grey {
	g := New(w, h)
	for y := range h {
		for x := range w {
			g.Pix[y*w+x] = float32(a + b*(float64(x)+0.5) + c*(float64(y)+0.5))
		}
	}
	return g
}

func TestASlopeIsKeptByEverything(t *testing.T) {
	g := plane(40, 30, 10, 0.5, -0.25)
	want := func(x, y float64) float64 { return 10 + 0.5*x - 0.25*y }
	for _, p := range [][2]float64{{5, 5}, {12.3, 7.9}, {30.5, 20.5}, {38.9, 28.7}} {
		near(t, "sampled", g.At(p[0], p[1]), want(p[0], p[1]))
		near(t, "smoothed", g.Smooth().At(p[0]-1, p[1]-1), want(p[0]-1, p[1]-1))
	}
	half := g.Halve()
	if half.W != 20 || half.H != 15 {
		t.Fatalf("half of 40 by 30 is %d by %d", half.W, half.H)
	}
	near(t, "halved", half.At(6.15, 3.95), want(12.3, 7.9)) // half the size, half the coordinates
	gx, gy := g.Gradient()
	near(t, "slope along x", gx.At(12, 12), 0.5)
	near(t, "slope along y", gy.At(12, 12), -0.25)
}

func TestOutsideTakesTheEdge(t *testing.T) {
	g := FromBytes(2, 1, []byte{10, 30})
	for _, c := range [][2]float64{{-5, 10}, {0.5, 10}, {1, 20}, {1.5, 30}, {9, 30}} {
		near(t, "at", g.At(c[0], 0.2), c[1])
	}
	if g.Inside(1, 0.5, 1) || !g.Inside(1, 0.5, 0.5) || g.Inside(math.NaN(), 0.5, 0) {
		t.Error("inside is wrong")
	}
}

func TestMisuseIsRefused(t *testing.T) {
	for name, bad := range map[string]func(){
		"no pixels": func() { New(0, 3) }, "wrong bytes": func() { FromBytes(2, 2, make([]byte, 3)) },
		"half of a line": func() { New(5, 1).Halve() },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			bad()
		}()
	}
}

func TestWindowMeanIsTheMeanOfTheWindow(t *testing.T) {
	g := New(12, 11)
	for i := range g.Pix {
		g.Pix[i] = float32((i * 37) % 101)
	}
	m := g.windowMean(2)
	for _, c := range [][2]int{{2, 2}, {5, 6}, {9, 8}} {
		sum := 0.0
		for y := c[1] - 2; y <= c[1]+2; y++ {
			for x := c[0] - 2; x <= c[0]+2; x++ {
				sum += float64(g.Pix[y*12+x])
			}
		}
		if got := float64(m.Pix[c[1]*12+c[0]]); math.Abs(got-sum/25) > 1e-4 {
			t.Errorf("mean at %v is %g, want %g", c, got, sum/25)
		}
	}
}

// The corners of a bright square are its corners, not its edges.
func TestCornersOfASquare(t *testing.T) {
	g := New(60, 50)
	for y := 15; y < 35; y++ {
		for x := 20; x < 40; x++ {
			g.Pix[y*60+x] = 200
		}
	}
	found := Corners(g, 60, 10, 1)
	if len(found) != 4 {
		t.Fatalf("%d corners, want 4: %+v", len(found), found)
	}
	for _, c := range found {
		dx := min(math.Abs(c.X-20), math.Abs(c.X-40))
		dy := min(math.Abs(c.Y-15), math.Abs(c.Y-35))
		if dx > 2.5 || dy > 2.5 {
			t.Errorf("a corner at (%g, %g)", c.X, c.Y)
		}
	}
	if again := Corners(g, 60, 1, 1); len(again) != 1 {
		t.Errorf("%d corners from a cell that may give one", len(again))
	}
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) < 1e-4) {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}
