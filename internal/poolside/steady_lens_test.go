package poolside

import (
	"math"
	"testing"

	"underkick/internal/camera"
	"underkick/internal/raster"
)

// A picture whose brightness rises evenly across the straight picture is seen bent by
// the lens; before the camera is followed it must be even again.
func TestSteadyingUndoesTheLens(t *testing.T) {
	lens, err := camera.NewLens(1280, 720, 0.2, 0.03)
	if err != nil {
		t.Fatal(err)
	}
	view := camera.FromScale(0.005).WithLens(lens)
	k := &steadying{req: steadyRequest{view: view}, scale: 4}
	g := raster.New(320, 180)
	for i := range g.Pix {
		x, _ := lens.Straight((float64(i%320)+0.5)*4, (float64(i/320)+0.5)*4)
		g.Pix[i] = float32(x / 8)
	}
	off := func(g *raster.Grey) (worst float64) {
		for i, p := range g.Pix {
			worst = max(worst, math.Abs(float64(p)-(float64(i%320)+0.5)/2))
		}
		return worst
	}
	if seen := off(g); seen < 10 {
		t.Fatalf("the lens changes the picture by %.2f only; the test shows nothing", seen)
	}
	if left := off(k.straight(g)); left > 0.1 {
		t.Errorf("a brightness is off by %.3f", left)
	}
	plain := &steadying{req: steadyRequest{view: camera.FromScale(0.005)}, scale: 4}
	if plain.straight(g) != g {
		t.Error("a picture without a lens was touched")
	}
}
