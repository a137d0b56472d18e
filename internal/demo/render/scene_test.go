package render

import (
	"bytes"
	"math"
	"testing"

	"underkick/internal/body"
)

// testScene is a swimmer lying stretched in a plain pool.
func testScene(w, h int) *Scene {
	subject := body.Subject{Height: 1.8, Mass: 75, Sex: body.Male}
	lie := func(t float64) body.Posture {
		return body.Posture{Hip: body.Point{X: -0.3 + 1.5*t, Y: -1.2}, Joints: [body.NumJoints]float64{0, 0.1, 0.4, 0.5}}
	}
	return &Scene{
		Width: w, Height: h, Seed: 7, Still: true,
		Pool:   Pool{Depth: 2.4, WallBehind: 5, Tile: 0.25, Joint: 0.008, LaneWidth: 2.5, Floor: RGB{0.6, 0.7, 0.72}, Wall: RGB{0.52, 0.64, 0.68}, Grout: RGB{0.36, 0.46, 0.5}, Line: RGB{0.02, 0.03, 0.07}},
		Water:  Water{Haze: RGB{0.06, 0.33, 0.42}, Absorb: RGB{0.07, 0.02, 0.018}, Scatter: 0.03, Light: RGB{0.95, 1.08, 1.06}, Ripple: 0.08, Caustic: 0.5, Shimmer: 1},
		Rod:    Rod{X: -1.5, Y: -2.1, Length: 3, Band: 0.5, Thick: 0.045, Height: 0.5},
		Rope:   Rope{Z: -1.25, Pitch: 0.1, Radius: 0.065, Group: 10, A: RGB{0.7, 0.08, 0.06}, B: RGB{0.8, 0.78, 0.7}},
		Sensor: Sensor{Soft: 0.7, Vignette: 0.3, Exposure: 0.9, Noise: 2, Contrast: 0.4},
		Camera: func(float64) Camera { return Camera{Y: -1.2, Z: 8, FocalPx: float64(w) / 6 * 8} },
		Swimmer: Swimmer{
			Subject: subject, Chain: body.NewChain(subject, body.Lengths{}), Near: lie, Far: lie, Shutter: 1.0 / 250, Samples: 6,
			Place: func(x, y float64) (float64, float64) { return x, y },
			Look:  Look{Skin: RGB{0.7, 0.45, 0.32}, Suit: RGB{0.02, 0.03, 0.07}, Trim: RGB{0.6, 0.1, 0.1}, Cap: RGB{0.8, 0.8, 0.78}, Lens: RGB{0.03, 0.04, 0.06}},
		},
	}
}

// Equal scenes give equal bytes, whatever was drawn before and on whichever desk.
func TestDrawIsDeterministic(t *testing.T) {
	s := testScene(192, 108)
	st := NewStudio(s)
	a, b := st.NewDesk(), NewStudio(testScene(192, 108)).NewDesk()
	first, again, other := make([]byte, s.FrameBytes()), make([]byte, s.FrameBytes()), make([]byte, s.FrameBytes())
	a.Draw(0.1, 3, first)
	a.Draw(0.2, 4, other)
	b.Draw(0.5, 9, again)
	b.Draw(0.1, 3, again)
	if !bytes.Equal(first, again) {
		t.Error("the same frame differs when drawn again")
	}
	if bytes.Equal(first, other) {
		t.Error("two frames of a moving scene are alike")
	}
}

// A camera that stands still draws the same pool as one that is looked through anew
// for each frame.
func TestStillCameraIsAShortcut(t *testing.T) {
	s, moving := testScene(160, 90), testScene(160, 90)
	moving.Still = false
	a, b := make([]byte, s.FrameBytes()), make([]byte, s.FrameBytes())
	NewStudio(s).NewDesk().Draw(0.1, 1, a)
	NewStudio(moving).NewDesk().Draw(0.1, 1, b)
	if !bytes.Equal(a, b) {
		t.Error("the pictures differ")
	}
}

// The drawn body ends where its finger tips and toes are, and covers its joints.
func TestBodyStandsOnItsLandmarks(t *testing.T) {
	s := testScene(1280, 720)
	l := s.Camera(0).lens(s.Width, s.Height)
	g := figure{outlines: bodyOutlines(false)}
	p := s.pose(0, false)
	g.frameUp(newPicture(s.Width, s.Height), s, &l, &p)
	g.sample(s, &l, 0, 0, 0)
	left, right := math.Inf(1), math.Inf(-1)
	for i, f := range g.canvas.frag {
		if f.hit {
			x := float64(g.canvas.x0+i%g.canvas.w) + 0.5
			left, right = min(left, x), max(right, x)
		}
	}
	at := func(l body.Landmark) (x, y float64) {
		return s.Camera(0).ToPicture(s.Width, s.Height, p.at[l].X, p.at[l].Y)
	}
	toe, _ := at(body.Toe)
	tip, _ := at(body.Fingertip)
	if math.Abs(left-toe) > 2 || math.Abs(right-tip) > 2 {
		t.Errorf("drawn from %.1f to %.1f px, toe and finger tip are at %.1f and %.1f", left, right, toe, tip)
	}
	for _, m := range []body.Landmark{body.Wrist, body.Elbow, body.Shoulder, body.Rib, body.Hip, body.Knee, body.Ankle} {
		x, y := at(m)
		if !g.canvas.frag[(int(y)-g.canvas.y0)*g.canvas.w+int(x)-g.canvas.x0].hit {
			t.Errorf("the %v lies outside the drawn body", m)
		}
	}
}

// A camera square to the swimmer's plane shows it at focal length over distance, in px
// per metre; rolling it turns the picture the other way.
func TestCamera(t *testing.T) {
	c := Camera{X: 1, Y: -1, Z: 8, FocalPx: 1600}
	if x, y := c.ToPicture(1280, 720, 1.5, -0.5); math.Abs(x-740) > 1e-9 || math.Abs(y-260) > 1e-9 {
		t.Errorf("(%.3f, %.3f), want (740, 260)", x, y)
	}
	c.Roll = 0.1
	if x, y := c.ToPicture(1280, 720, 2, -1); math.Abs(x-640-200*math.Cos(0.1)) > 1e-9 || math.Abs(y-360-200*math.Sin(0.1)) > 1e-9 {
		t.Errorf("rolled: (%.3f, %.3f)", x, y)
	}
	c = Camera{Z: 5, FocalPx: 1000, Yaw: 0.2, Pitch: -0.1, Roll: 0.05}
	l := c.lens(1280, 720)
	p := vec{0.7, -0.4, 0}
	x, y, depth := l.project(p)
	back := l.at.add(l.ray(x, y).scale(depth / l.ray(x, y).dot(l.out)))
	if d := back.sub(p); d.dot(d) > 1e-18 {
		t.Errorf("a ray through the picture of a point misses it by %v", d)
	}
}
