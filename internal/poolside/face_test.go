package poolside

import (
	"math"
	"testing"

	"underkick/internal/demo"
	"underkick/internal/demo/render"
)

// TestTheFaceIsSoftenedAlone: on every picture of the demo clips in which the head is marked,
// the disc that is softened holds the whole head as it was drawn, with either side of it to
// the front, and is no larger than a head with its margin: neither hip, elbow nor hand is
// in it.
func TestTheFaceIsSoftenedAlone(t *testing.T) {
	skipShort(t)
	for _, name := range []string{"edda-november", "nilo-november"} {
		t.Run(name, func(t *testing.T) { coversTheHead(t, clipNamed(t, name)) })
	}
}

func coversTheHead(t *testing.T, c demo.Clip) {
	truth, err := c.Truth()
	if err != nil {
		t.Fatal(err)
	}
	marks, err := c.Marks()
	if err != nil {
		t.Fatal(err)
	}
	m := measureDemo(t, c, marks)
	largest := 0.0
	for i, frame := range m.frames {
		discs := m.softAt(i)
		if len(discs) != 1 || !m.FaceAt(i).Known {
			t.Fatalf("frame %d is softened at %+v", frame, discs)
		}
		d := discs[0]
		shoulder, crown := truth.Landmarks["shoulder"][frame], truth.Landmarks["head"][frame]
		ux, uy := crown[0]-shoulder[0], crown[1]-shoulder[1]
		for _, p := range render.HeadOutline() {
			for _, side := range []float64{-1, 1} {
				x, y := shoulder[0]+p[0]*ux-side*p[1]*uy, shoulder[1]+p[0]*uy+side*p[1]*ux
				largest = math.Max(largest, math.Hypot(x-d.X, y-d.Y)/d.R)
				if math.Hypot(x-d.X, y-d.Y) > d.R {
					t.Fatalf("frame %d: the head at (%.1f, %.1f) is %.1f px outside the disc", frame, x, y, math.Hypot(x-d.X, y-d.Y)-d.R)
				}
			}
		}
		for _, name := range []string{"hip", "elbow", "wrist", "fingertip", "knee", "rib"} {
			q := truth.Landmarks[name][frame]
			if math.Hypot(q[0]-d.X, q[1]-d.Y) < d.R {
				t.Fatalf("frame %d: the %s is softened too", frame, name)
			}
		}
	}
	t.Logf("%d pictures; the head reaches to %.2f of the disc", len(m.frames), largest)
	if largest < 0.7 {
		t.Errorf("the disc is %.1f times as large as the head", 1/largest)
	}
}

// TestTheDrawnHeadIsAHead holds the outline that the face test stands on against a published
// proportion: from chin to crown 0.130 of the height, which is 1.04 of the distance from
// shoulder to crown in this model (Drillis and Contini 1966, as printed by Winter,
// Biomechanics and Motor Control of Human Movement; the shoulder lies 0.818 of the height up).
// In a streamline the chin is tucked in, so the drawn head is shorter, not longer.
func TestTheDrawnHeadIsAHead(t *testing.T) {
	low, high, front := math.Inf(1), math.Inf(-1), 0.0
	for _, p := range render.HeadOutline() {
		low, high, front = math.Min(low, p[0]), math.Max(high, p[0]), math.Max(front, -p[1])
	}
	if length := high - low; length < 0.75 || length > 1.04 || front < 0.4 || front > 0.6 {
		t.Errorf("the head is %.2f long and reaches %.2f to the front, in distances from shoulder to crown", high-low, front)
	}
}
