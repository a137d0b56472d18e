package render

import (
	"testing"

	"underkick/internal/body"
)

func BenchmarkDraw(b *testing.B) {
	for name, still := range map[string]bool{"still": true, "drifting": false} {
		b.Run(name, func(b *testing.B) {
			s := testScene(1280, 720)
			s.Still = still
			desk := NewStudio(s).NewDesk()
			buf := make([]byte, s.FrameBytes())
			for b.Loop() {
				desk.Draw(0.3, 1, buf)
			}
		})
	}
}

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
