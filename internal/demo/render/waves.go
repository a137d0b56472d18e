package render

import (
	"math"
	"math/rand/v2"
)

// The pattern of waves and of the light they throw repeats every patch metres.
const (
	patch      = 5.0
	causticN   = 320  // cells of the light pattern across a patch
	photonN    = 640  // rays sent down across a patch
	bendPerRad = 0.25 // sideways bend of a ray for a slope of 1, rad: 1 - 1/1.33
	gravity    = 9.81
)

type wave struct {
	kx, kz       float64 // rad/m
	slope        float64 // largest slope
	phase, omega float64
}

// waves returns a seeded sea of ripples whose slopes have the given root mean square.
func waves(rms float64, seed uint64) []wave {
	rng := rand.New(rand.NewPCG(seed, 11))
	var list []wave
	sum := 0.0
	for len(list) < 18 {
		i, j := rng.IntN(29)-14, rng.IntN(29)-14
		r := math.Hypot(float64(i), float64(j))
		if r < 2 || r > 14 {
			continue
		}
		w := wave{kx: 2 * math.Pi * float64(i) / patch, kz: 2 * math.Pi * float64(j) / patch, phase: 2 * math.Pi * rng.Float64()}
		w.omega = math.Sqrt(gravity * math.Hypot(w.kx, w.kz))
		w.slope = (0.5 + rng.Float64()) / math.Sqrt(r)
		sum += w.slope * w.slope / 2
		list = append(list, w)
	}
	for i := range list {
		list[i].slope *= rms / math.Sqrt(sum)
	}
	return list
}

// caustics is the brightness that the waves throw on a level plane, mean 1.
type caustics struct {
	cell []float32 // causticN squared
	sx   []float64
	sz   []float64
	soft []float32
}

func newCaustics() *caustics {
	return &caustics{
		cell: make([]float32, causticN*causticN), soft: make([]float32, causticN*causticN),
		sx: make([]float64, photonN), sz: make([]float64, photonN),
	}
}

// fill computes the pattern at a time by sending rays down through the surface and
// counting where they land at a depth.
func (c *caustics) fill(list []wave, t, depth float64) {
	clear(c.cell)
	const step = patch / photonN
	throw := depth * bendPerRad * causticN / patch
	for j := range photonN {
		c.slopes(list, t, float64(j)*step)
		zj := float64(j) * causticN / photonN
		for i := range photonN {
			c.land(float64(i)*causticN/photonN+throw*c.sx[i], zj+throw*c.sz[i])
		}
	}
	c.blur()
}

// slopes fills the slopes along one row of rays; each wave's sine goes on by a fixed
// turn from ray to ray.
func (c *caustics) slopes(list []wave, t, z float64) {
	clear(c.sx)
	clear(c.sz)
	const step = patch / photonN
	for _, w := range list {
		k := math.Hypot(w.kx, w.kz)
		s, co := math.Sincos(w.kz*z - w.omega*t + w.phase)
		ds, dc := math.Sincos(w.kx * step)
		ax, az := w.slope*w.kx/k, w.slope*w.kz/k
		for i := range c.sx {
			c.sx[i] += ax * co
			c.sz[i] += az * co
			s, co = s*dc+co*ds, co*dc-s*ds
		}
	}
}

func (c *caustics) land(x, z float64) {
	fx, fz := math.Floor(x), math.Floor(z)
	u, v := float32(x-fx), float32(z-fz)
	i, j := wrapCell(int(fx)), wrapCell(int(fz))
	i1, j1 := wrapCell(i+1), wrapCell(j+1)
	c.cell[j*causticN+i] += (1 - u) * (1 - v)
	c.cell[j*causticN+i1] += u * (1 - v)
	c.cell[j1*causticN+i] += (1 - u) * v
	c.cell[j1*causticN+i1] += u * v
}

func wrapCell(i int) int {
	i %= causticN
	if i < 0 {
		i += causticN
	}
	return i
}

// blur softens the pattern a little and brings its mean to 1.
func (c *caustics) blur() {
	const mean = float32(photonN*photonN) / (causticN * causticN)
	for j := range causticN {
		for i := range causticN {
			row := c.cell[j*causticN:]
			c.soft[j*causticN+i] = (row[wrapCell(i-1)] + 2*row[i] + row[wrapCell(i+1)]) / (4 * mean)
		}
	}
	for j := range causticN {
		up, down := wrapCell(j-1)*causticN, wrapCell(j+1)*causticN
		for i := range causticN {
			c.cell[j*causticN+i] = min(4, (c.soft[up+i]+2*c.soft[j*causticN+i]+c.soft[down+i])/4)
		}
	}
}

// at returns the brightness at a place, m.
func (c *caustics) at(x, z float32) float32 {
	const k = causticN / patch
	x, z = x*k, z*k
	fx, fz := float32(math.Floor(float64(x))), float32(math.Floor(float64(z)))
	u, v := x-fx, z-fz
	i, j := wrapCell(int(fx)), wrapCell(int(fz))
	i1, j1 := i+1, j+1
	if i1 == causticN {
		i1 = 0
	}
	if j1 == causticN {
		j1 = 0
	}
	a, b := c.cell[j*causticN:], c.cell[j1*causticN:]
	top, low := a[i]+u*(a[i1]-a[i]), b[i]+u*(b[i1]-b[i])
	return top + v*(low-top)
}

// sineTable serves the many sines of the water surface; steps of a thousandth of a
// turn are finer than a picture shows.
const sineSteps = 4096

var sineTable = func() (t [sineSteps]float64) {
	for i := range t {
		t[i] = math.Sin(2 * math.Pi * float64(i) / sineSteps)
	}
	return t
}()

func quickCos(a float64) float64 {
	return sineTable[uint(int(a*(sineSteps/(2*math.Pi))+1e6*sineSteps)+sineSteps/4)%sineSteps]
}

// tilt returns the slopes of the water surface at a place, with the ripples finer than
// the footprint (m along x and z) faded out.
func tilt(list []wave, t, x, z, footX, footZ float64) (sx, sz float64) {
	for i := range list {
		w := &list[i]
		fade := 1 - (w.kx*w.kx*footX*footX+w.kz*w.kz*footZ*footZ)/10
		if fade <= 0 {
			continue
		}
		k := math.Hypot(w.kx, w.kz)
		c := fade * w.slope / k * quickCos(w.kx*x+w.kz*z-w.omega*t+w.phase)
		sx += c * w.kx
		sz += c * w.kz
	}
	return sx, sz
}
