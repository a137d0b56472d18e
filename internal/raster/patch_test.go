package raster_test

import (
	"math"
	"testing"

	"underkick/internal/raster"
	"underkick/internal/raster/rastertest"
)

func shifted(dx, dy float64) raster.Place {
	return func(x, y float64) (float64, float64) { return x + dx, y + dy }
}

// A patch must be found to a few hundredths of a pixel where the other picture is
// turned, zoomed, shifted, darker and noisy.
func TestPatchIsFoundBetweenPixels(t *testing.T) {
	scene := rastertest.NewScene(500, -50, -50, 250, 200, 3)
	base := scene.Draw(200, 150, shifted(0, 0), 1, 1).Smooth()
	sin, cos := math.Sincos(0.02)
	forth := func(x, y float64) (float64, float64) { // base to other
		x, y = x-100, y-75
		return 100 + 1.01*(cos*x-sin*y) + 2.37, 75 + 1.01*(sin*x+cos*y) - 1.61
	}
	back := func(u, v float64) (float64, float64) {
		u, v = (u-100-2.37)/1.01, (v-75+1.61)/1.01
		return 100 + cos*u + sin*v, 75 - sin*u + cos*v
	}
	other := scene.Draw(200, 150, back, 1, 2).Smooth()
	for i := range other.Pix {
		other.Pix[i] = 0.7*other.Pix[i] + 20
	}
	found, square := 0, 0.0
	corners := raster.Corners(base, 40, 2, 1)
	for _, c := range corners {
		p, ok := raster.Cut(base, c.X, c.Y, 7)
		if !ok {
			continue
		}
		f, ok := p.Find(other, shifted(0, 0), 6)
		if !ok {
			continue
		}
		found++
		x, y := forth(c.X, c.Y)
		square += math.Pow(f.X-x, 2) + math.Pow(f.Y-y, 2)
		if f.Alike < 0.8 {
			t.Errorf("correlation %.2f at (%.0f, %.0f)", f.Alike, c.X, c.Y)
		}
	}
	rms := math.Sqrt(square / float64(found))
	t.Logf("%d of %d found, rms %.3f px", found, len(corners), rms)
	if found < len(corners)*3/4 || rms > 0.15 {
		t.Errorf("%d of %d found, rms %.3f px", found, len(corners), rms)
	}
}

func TestPatchIsNotFoundWhereItIsNot(t *testing.T) {
	a := rastertest.NewScene(300, 0, 0, 200, 150, 5).Draw(200, 150, shifted(0, 0), 1, 1).Smooth()
	b := rastertest.NewScene(300, 0, 0, 200, 150, 6).Draw(200, 150, shifted(0, 0), 1, 2).Smooth()
	wrong, n := 0, 0
	for _, c := range raster.Corners(a, 40, 2, 1) {
		p, ok := raster.Cut(a, c.X, c.Y, 7)
		if !ok {
			continue
		}
		n++
		if f, ok := p.Find(b, shifted(0, 0), 6); ok && f.Alike > 0.8 {
			wrong++
		}
	}
	if n == 0 || wrong > n/20 {
		t.Errorf("%d of %d patches found in another scene", wrong, n)
	}
	if _, ok := raster.Cut(raster.New(50, 50), 25, 25, 7); ok {
		t.Error("a patch without structure was cut")
	}
	if _, ok := raster.Cut(a, 3, 60, 7); ok {
		t.Error("a patch beyond the edge was cut")
	}
}
