package render

import (
	"math"
	"math/rand/v2"
)

// Bubble is a sphere of air, released somewhere and rising.
type Bubble struct {
	Born       float64 // s
	X, Y, Z    float64 // where, m
	VX, VY     float64 // speed it is released with, lost within drag time, m/s
	Rise       float64 // final speed upwards, m/s
	Radius     float64 // m
	Swing      float64 // sideways swing, m
	SwingPhase float64
}

const bubbleDrag = 0.12 // s

// at returns where the bubble is; ok is false before its release and once it has reached
// the surface.
func (b *Bubble) at(t float64) (vec, bool) {
	age := t - b.Born
	if age < 0 {
		return vec{}, false
	}
	slowed := bubbleDrag * (1 - math.Exp(-age/bubbleDrag))
	swing := b.Swing * math.Sin(9*age+b.SwingPhase) * clamp(4*age, 0, 1)
	y := b.Y + b.VY*slowed + b.Rise*(age-slowed)
	return vec{b.X + b.VX*slowed + swing, y, b.Z + 0.6*swing}, y < -b.Radius
}

// Breath is a source of bubbles: where it is and how it moves at a time, and how many
// it releases per second.
type Breath struct {
	At     func(t float64) (x, y, vx, vy float64)
	Rate   func(t float64) float64
	Radius float64 // median, m
	Spread float64 // of the place of release, m
	Z      float64
}

// Bubbles releases the bubbles of a source between two times.
func (b Breath) Bubbles(from, to float64, seed uint64) []Bubble {
	rng := rand.New(rand.NewPCG(seed, 23))
	var out []Bubble
	const step = 1.0 / 240
	for t := from; t < to; t += step {
		if rng.Float64() > b.Rate(t)*step {
			continue
		}
		x, y, vx, vy := b.At(t)
		out = append(out, Bubble{
			Born: t, X: x + b.Spread*rng.NormFloat64(), Y: y + b.Spread*rng.NormFloat64(), Z: b.Z + 2*b.Spread*rng.NormFloat64(),
			VX: 0.7*vx + 0.2*rng.NormFloat64(), VY: 0.7*vy + 0.2*rng.NormFloat64(), Rise: 0.16 + 0.12*rng.Float64(),
			Radius: b.Radius * math.Exp(0.5*rng.NormFloat64()), Swing: 0.012 * rng.Float64(), SwingPhase: 2 * math.Pi * rng.Float64(),
		})
	}
	return out
}

// paintBubbles draws the bubbles behind (z < 0) or before the swimmer.
func (s *Scene) paintBubbles(img *picture, l *lens, t float64, before bool) {
	for i := range s.Bubbles {
		b := &s.Bubbles[i]
		p, ok := b.at(t)
		if !ok || (p.z >= 0) != before {
			continue
		}
		px, py, depth := l.project(p)
		r := math.Max(0.35, b.Radius*l.focal/depth)
		seen, veil := s.through(depth, vec{0, 0, -1})
		bright := s.lightAt(p.y).times(seen).add(veil)
		weight := math.Min(1, b.Radius*l.focal/depth/0.35)
		s.paintBubble(img, px, py, r, bright, weight*weight)
	}
}

// paintBubble draws a silvery sphere: clear in the middle, bright at the rim and on top.
func (s *Scene) paintBubble(img *picture, px, py, r float64, bright vec, weight float64) {
	for y := int(py - r - 1); y <= int(py+r+1); y++ {
		for x := int(px - r - 1); x <= int(px+r+1); x++ {
			if x < 0 || y < 0 || x >= img.w || y >= img.h {
				continue
			}
			u, v := float64(x)+0.5-px, float64(y)+0.5-py
			d := math.Hypot(u, v)
			share := clamp(r-d+0.5, 0, 1)
			if share == 0 {
				continue
			}
			rim := clamp(d/r, 0, 1)
			lightness := 0.25 + 0.45*rim*rim + 0.5*clamp(-v/r, 0, 1)
			img.blend(y*img.w+x, bright.scale(0.45+0.75*lightness), weight*share*(0.25+0.55*rim))
		}
	}
}
