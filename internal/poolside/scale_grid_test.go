package poolside

import (
	"errors"
	"math"
	"testing"

	"underkick/internal/camera"
	"underkick/internal/record"
)

func TestGridViewKeepsTheLines(t *testing.T) {
	g := camera.FromScale(0.005).GridOn(0, 1280, 720, 0, 0)
	v := gridView(g)
	if len(v.Lines) != len(g.Lines) || v.Words != g.Words() {
		t.Fatalf("%d lines of %d, %q", len(v.Lines), len(g.Lines), v.Words)
	}
	for _, l := range v.Lines {
		want := l.Metres / 0.005
		for _, p := range l.Px {
			at := p[0]
			if !l.Upright {
				at = -p[1]
			}
			if math.Abs(at-want) > 0.051 {
				t.Fatalf("the line at %g m is drawn at %g px, want %g", l.Metres, at, want)
			}
		}
	}
}

func TestGridOfAWrongRunOrScale(t *testing.T) {
	a := openApp(t)
	if _, err := a.ScaleGrid(t.Context(), "nothing", 0, record.Scale{}); !errors.Is(err, ErrNotFound) {
		t.Errorf("no run: %v", err)
	}
}
