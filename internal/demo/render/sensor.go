package render

import (
	"math"
	"math/rand/v2"
)

// Sensor is the camera behind its glass.
type Sensor struct {
	Soft     float64 // blur of the optics, px
	Vignette float64 // darkening at the corners, 0 to 1
	Exposure float64 // factor on the light
	Noise    float64 // of a mid grey, in steps of 255
	Contrast float64 // 0 = plain; the tone curve's bend
	Saturate float64 // colour strength; 0 = 1
}

const toneSteps = 4096

// developer turns linear light into the bytes of a film frame.
type developer struct {
	sensor Sensor
	tone   [toneSteps]float32
	shade  []float32 // vignetting times exposure
	noise  []float32
	luma   []float32
}

func newDeveloper(s Sensor, w, h int, seed uint64) *developer {
	d := &developer{sensor: s, shade: make([]float32, w*h), noise: make([]float32, 1<<16), luma: make([]float32, w*h)}
	for i := range d.tone {
		x := float64(i) / (toneSteps - 1) * 1.5
		x = 1.06 * x / (1 + 0.10*x*x*x) // highlights roll off
		y := math.Pow(math.Min(x, 1), 1/2.2)
		y += s.Contrast * (smooth(0, 1, y) - y)
		d.tone[i] = float32(y)
	}
	corner := float64(w*w+h*h) / 4
	for y := range h {
		for x := range w {
			u, v := float64(x)+0.5-float64(w)/2, float64(y)+0.5-float64(h)/2
			r := (u*u + v*v) / corner
			d.shade[y*w+x] = float32(s.Exposure * (1 - s.Vignette*r*(0.4+0.6*r)))
		}
	}
	rng := rand.New(rand.NewPCG(seed, 31))
	for i := range d.noise {
		d.noise[i] = float32(rng.NormFloat64())
	}
	return d
}

func (d *developer) curve(x float32) float32 {
	i := int(x * (toneSteps - 1) / 1.5)
	return d.tone[min(max(i, 0), toneSteps-1)]
}

// bytes writes the picture as YUV 4:2:0 in the range of BT.709 video: the planes of
// luma and of the two colour differences one after the other.
func (d *developer) bytes(p *picture, frame int, seed uint64, dst []byte) {
	rng := rand.New(rand.NewPCG(seed, uint64(frame)+1))
	n := p.w * p.h
	sat := float32(1)
	if d.sensor.Saturate > 0 {
		sat = float32(d.sensor.Saturate)
	}
	for i := range n {
		k := d.shade[i]
		p.r[i], p.g[i], p.b[i] = d.curve(p.r[i]*k), d.curve(p.g[i]*k), d.curve(p.b[i]*k)
		d.luma[i] = 0.2126*p.r[i] + 0.7152*p.g[i] + 0.0722*p.b[i]
	}
	amount := float32(d.sensor.Noise / 255)
	var pool uint64
	for i, y := range d.luma {
		if i&3 == 0 {
			pool = rng.Uint64()
		}
		grain := d.noise[pool&0xffff] * amount * (0.6 + 0.8*y)
		pool >>= 16
		dst[i] = video(16+219*(y+grain), 16, 235)
	}
	d.chroma(p, rng, sat, amount, dst[n:])
}

func (d *developer) chroma(p *picture, rng *rand.Rand, sat, amount float32, dst []byte) {
	w2, h2 := p.w/2, p.h/2
	var pool uint64
	for y := range h2 {
		for x := range w2 {
			i := 2*y*p.w + 2*x
			r := (p.r[i] + p.r[i+1] + p.r[i+p.w] + p.r[i+p.w+1]) / 4
			g := (p.g[i] + p.g[i+1] + p.g[i+p.w] + p.g[i+p.w+1]) / 4
			b := (p.b[i] + p.b[i+1] + p.b[i+p.w] + p.b[i+p.w+1]) / 4
			l := 0.2126*r + 0.7152*g + 0.0722*b
			if x&1 == 0 {
				pool = rng.Uint64()
			}
			nb, nr := d.noise[pool&0xffff]*amount*0.5, d.noise[pool>>16&0xffff]*amount*0.5
			pool >>= 32
			j := y*w2 + x
			dst[j] = video(128+224*(sat*(b-l)/1.8556+nb), 16, 240)
			dst[w2*h2+j] = video(128+224*(sat*(r-l)/1.5748+nr), 16, 240)
		}
	}
}

func video(x, lo, hi float32) byte { return byte(min(max(x, lo), hi) + 0.5) }
