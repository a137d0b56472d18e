package demo

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/demo/render"
)

// scenery is where a clip is filmed.
type scenery uint8

const (
	baths scenery = iota // indoors
	lido                 // outdoors in the sun
)

// The measuring rod on the pool floor in the swimmer's plane.
const (
	rodLength  = 3.0 // m
	rodBand    = 0.5
	rodUpright = 0.5
	rodAbove   = 0.28 // of the floor
)

func (k *take) rod() render.Rod {
	depth := k.place.depth()
	r := render.Rod{X: -rodLength / 2, Y: -depth + rodAbove, Length: rodLength, Band: rodBand, Thick: 0.045}
	if k.uprights {
		r.Height = rodUpright
	}
	return r
}

func (p scenery) depth() float64 {
	if p == lido {
		return 2.55
	}
	return 2.40
}

func (p scenery) pool() render.Pool {
	if p == lido {
		return render.Pool{Depth: p.depth(), WallBehind: 4.2, Tile: 0.20, Joint: 0.007, LaneWidth: 2.5, Floor: render.RGB{0.56, 0.70, 0.76}, Wall: render.RGB{0.50, 0.66, 0.74}, Grout: render.RGB{0.70, 0.78, 0.80}, Line: render.RGB{0.02, 0.05, 0.16}, BandTop: 0.02, BandBottom: 0.17}
	}
	return render.Pool{Depth: p.depth(), WallBehind: 5, Tile: 0.25, Joint: 0.008, LaneWidth: 2.5, Floor: render.RGB{0.60, 0.70, 0.72}, Wall: render.RGB{0.52, 0.64, 0.68}, Grout: render.RGB{0.36, 0.46, 0.50}, Line: render.RGB{0.02, 0.035, 0.07}, BandTop: 0.05, BandBottom: 0.30}
}

func (p scenery) water() render.Water {
	if p == lido {
		return render.Water{Haze: render.RGB{0.05, 0.27, 0.47}, Absorb: render.RGB{0.075, 0.022, 0.012}, Scatter: 0.042, Light: render.RGB{1.12, 1.15, 1.08}, Ripple: 0.105, Caustic: 0.75, SunTilt: 0.45, Shimmer: 1.7}
	}
	return render.Water{Haze: render.RGB{0.06, 0.33, 0.42}, Absorb: render.RGB{0.07, 0.02, 0.018}, Scatter: 0.030, Light: render.RGB{0.95, 1.08, 1.06}, Ripple: 0.08, Caustic: 0.55, SunTilt: 0.15, Shimmer: 1.2}
}

func (p scenery) rope() render.Rope {
	if p == lido {
		return render.Rope{Z: -1.25, Pitch: 0.11, Radius: 0.07, Group: 6, A: render.RGB{0.03, 0.12, 0.50}, B: render.RGB{0.85, 0.70, 0.08}}
	}
	return render.Rope{Z: -1.25, Pitch: 0.10, Radius: 0.065, Group: 10, A: render.RGB{0.70, 0.08, 0.06}, B: render.RGB{0.80, 0.78, 0.70}}
}

func (k *take) sensor() render.Sensor {
	s := render.Sensor{Soft: 0.72, Vignette: 0.35, Exposure: 0.92, Noise: 2.2, Contrast: 0.45}
	if k.place == lido {
		s = render.Sensor{Soft: 0.78, Vignette: 0.30, Exposure: 0.86, Noise: 1.8, Contrast: 0.50}
	}
	if k.trueFPS > 0 { // a fast camera: softer, noisier
		s.Soft, s.Noise = 0.85, 2.8
	}
	if k.hard {
		s.Soft, s.Noise = hardSoft*s.Soft, hardNoise*s.Noise
	}
	return s
}

// scene puts everything together.
func (k *take) scene(m *motion) *render.Scene {
	s := &render.Scene{
		Width: k.w, Height: k.h, Seed: k.seed, Pool: k.place.pool(), Water: k.place.water(),
		Rod: k.rod(), Rope: k.place.rope(), Sensor: k.sensor(), Camera: k.camera, Still: !k.drift,
	}
	if k.hard {
		s.Water.Scatter *= hardScatter
	}
	subject := k.subject()
	s.Swimmer = render.Swimmer{
		Subject: subject, Chain: body.NewChain(subject, body.Lengths{}), Look: k.look,
		Near: m.posture, Far: m.farPosture, Place: k.toPool, Shutter: k.exposure, Samples: 6,
	}
	s.Bubbles = k.bubbles(m)
	return s
}

// bubbles leave the nose in bursts, and the feet and the suit for a while after the
// push-off.
func (k *take) bubbles(m *motion) []render.Bubble {
	source := func(l body.Landmark, dx, dy float64) func(t float64) (x, y, vx, vy float64) {
		at := func(t float64) (float64, float64) {
			p := m.landmarks(t)[l]
			return k.toPool(p.X+dx, p.Y+dy)
		}
		return func(t float64) (x, y, vx, vy float64) {
			const h = 1e-3
			x, y = at(t)
			x1, y1 := at(t + h)
			return x, y, (x1 - x) / h, (y1 - y) / h
		}
	}
	const before, after = -1.5, 6
	more := 1.0
	if k.hard {
		more = hardBubbles
	}
	nose := render.Breath{
		At: source(body.Head, -0.125, -0.115), Radius: 0.0032, Spread: 0.010, Z: 0.02,
		Rate: func(t float64) float64 {
			return more * (8 + 95*math.Pow(math.Max(0, math.Sin(2.1*t+float64(k.seed))), 3))
		},
	}
	feet := render.Breath{
		At: source(body.Toe, 0.03, 0.02), Radius: 0.0022, Spread: 0.025, Z: 0.05,
		Rate: func(t float64) float64 { return more * 40 * math.Exp(-(t+1.5)/1.1) },
	}
	suit := render.Breath{
		At: source(body.Hip, -0.05, 0.10), Radius: 0.0016, Spread: 0.03, Z: 0.08,
		Rate: func(t float64) float64 { return more * 26 * math.Exp(-(t+1.5)/1.4) },
	}
	list := nose.Bubbles(before, after, k.seed)
	list = append(list, feet.Bubbles(before, after, k.seed+1)...)
	return append(list, suit.Bubbles(before, after, k.seed+2)...)
}
