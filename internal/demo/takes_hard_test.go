package demo

import (
	"math"
	"testing"

	"underkick/internal/demo/render"
)

// A hard clip shows the same swimmer at the same place with less contrast, and its shutter
// never stays open longer than a picture lasts.
func TestHardClipsAreHarder(t *testing.T) {
	for i := range takes {
		plain, hard := takes[i], takes[i]
		hard.harden()
		if hard.exposure <= plain.exposure || hard.exposure > 1/hard.fps() {
			t.Errorf("%s: shutter %.4f s, %.4f when hard", plain.name, plain.exposure, hard.exposure)
		}
	}
	plain, hard := takes[0], takes[0]
	hard.harden()
	a, b := spreadOfLuma(t, &plain), spreadOfLuma(t, &hard)
	if !(b < 0.8*a) {
		t.Errorf("luma around the swimmer has an SD of %.1f, %.1f when hard", a, b)
	}
}

// spreadOfLuma is the SD of brightness in a box around the swimmer on one frame.
func spreadOfLuma(t *testing.T, k *take) float64 {
	t.Helper()
	truth, err := k.truth()
	if err != nil {
		t.Fatal(err)
	}
	m, err := k.motion()
	if err != nil {
		t.Fatal(err)
	}
	s := k.scene(m)
	frame := (truth.InView[0] + truth.InView[1]) / 2
	luma := make([]byte, s.FrameBytes())
	render.NewStudio(s).NewDesk().Draw(k.trueTime(frame), frame, luma)
	hip := truth.Landmarks["hip"][frame]
	n, sum, squares := 0.0, 0.0, 0.0
	for y := int(hip[1]) - 60; y < int(hip[1])+60; y++ {
		for x := int(hip[0]) - 200; x < int(hip[0])+200; x++ {
			v := float64(luma[y*s.Width+x])
			n, sum, squares = n+1, sum+v, squares+v*v
		}
	}
	return math.Sqrt(squares/n - sum*sum/(n*n))
}
