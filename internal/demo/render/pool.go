package render

import "math"

// RGB is a colour in linear light, 0 to 1.
type RGB [3]float64

func (c RGB) vec() vec { return vec{c[0], c[1], c[2]} }

// Pool is the basin. Its floor lies level, its far wall stands behind the swimmer.
type Pool struct {
	Depth      float64 // of the water, m
	WallBehind float64 // distance of the far wall behind the swimmer's plane, m
	Tile       float64 // side of a tile, m
	Joint      float64 // width of the joint between tiles, m
	LaneWidth  float64 // distance of the dark lines on the floor, m; one lies under the swimmer
	Floor      RGB
	Wall       RGB
	Grout      RGB
	Line       RGB
	BandTop    float64 // dark band along the wall from here ...
	BandBottom float64 // ... to here, m below the surface; none if alike
}

// Water is the water and the light in it.
type Water struct {
	Haze    RGB     // colour of the water seen against nothing
	Absorb  RGB     // loss of light per metre
	Scatter float64 // contrast lost per metre
	Light   RGB     // light falling in from above
	Ripple  float64 // root mean square slope of the surface
	Caustic float64 // share of the light that comes in the moving pattern, 0 to 1
	SunTilt float64 // sideways shift of the pattern per metre of depth along x
	Shimmer float64 // brightness of glints under the surface
}

// what a picture point shows behind everything else.
type kind uint8

const (
	atFloor kind = iota
	atWall
	atSurface
)

// spot is what one picture point shows of the pool: base + gain * pattern(u, v).
type spot struct {
	base, gain [3]float32
	u, v       float32
	kind       kind
}

// backdrop is the pool seen by one camera.
type backdrop struct {
	lens  lens
	w, h  int
	spots []spot
}

// fill looks at the pool through l.
func (b *backdrop) fill(s *Scene, l lens) {
	b.lens = l
	for y := range b.h {
		for x := range b.w {
			b.spots[y*b.w+x] = s.look(&l, float64(x)+0.5, float64(y)+0.5)
		}
	}
}

// look finds what the picture point (x, y) shows.
func (s *Scene) look(l *lens, x, y float64) spot {
	d := l.ray(x, y)
	hit, t, k := s.meet(l.at, d)
	if k == atSurface {
		return spot{kind: k}
	}
	foot := t / l.focal
	var albedo vec
	sp := spot{kind: k}
	pattern := s.Water.Caustic
	if k == atFloor {
		footZ := foot / math.Max(0.05, -d.y)
		albedo = s.floorColour(hit, foot, footZ)
		pattern /= 1 + 6*footZ
		sp.u, sp.v = float32(hit.x+s.Water.SunTilt*s.Pool.Depth), float32(hit.z)
	} else {
		albedo = s.wallColour(hit, foot)
		pattern *= 0.32
		sp.u, sp.v = float32(hit.x-s.Water.SunTilt*hit.y), float32(hit.z+0.5*hit.y)
	}
	light := s.lightAt(hit.y)
	seen, veil := s.through(t, d)
	still := albedo.times(light).times(seen)
	sp.base = toFloats(still.scale(1 - pattern).add(veil))
	sp.gain = toFloats(still.scale(pattern))
	s.addRod(l, d, &sp)
	return sp
}

func toFloats(v vec) [3]float32 { return [3]float32{float32(v.x), float32(v.y), float32(v.z)} }

// meet returns where a ray from a first meets the basin, how far that is, and what it is.
func (s *Scene) meet(a, d vec) (vec, float64, kind) {
	t, k := 1e9, atWall
	if d.z < -1e-9 {
		t = (-s.Pool.WallBehind - a.z) / d.z
	}
	if d.y < 0 {
		if tf := (-s.Pool.Depth - a.y) / d.y; tf < t {
			t, k = tf, atFloor
		}
	} else if d.y > 0 {
		if ts := -a.y / d.y; ts < t {
			t, k = ts, atSurface
		}
	}
	return a.add(d.scale(t)), t, k
}

// lightAt is the light from above at height y (negative under water).
func (s *Scene) lightAt(y float64) vec {
	light := s.Water.Light.vec()
	return vec{light.x * fade(-0.16*y), light.y * fade(-0.07*y), light.z * fade(-0.05*y)}
}

// fade is exp(-x) by a table, for x from 0 to fadeEnd.
const (
	fadeSteps = 4096
	fadeEnd   = 8.0
)

var fadeTable = func() (t [fadeSteps + 2]float64) {
	for i := range t {
		t[i] = math.Exp(-fadeEnd * float64(i) / fadeSteps)
	}
	return t
}()

func fade(x float64) float64 {
	u := min(max(x, 0), fadeEnd) * (fadeSteps / fadeEnd)
	i := int(u)
	return fadeTable[i] + (u-float64(i))*(fadeTable[i+1]-fadeTable[i])
}

// through returns what is left of a colour after t metres of water in direction d, and
// the veil of haze laid over it.
func (s *Scene) through(t float64, d vec) (seen, veil vec) {
	w := &s.Water
	a := w.Absorb.vec()
	seen = vec{fade((a.x + w.Scatter) * t), fade((a.y + w.Scatter) * t), fade((a.z + w.Scatter) * t)}
	thick := 1 - fade(1.5*w.Scatter*t)
	veil = w.Haze.vec().scale(thick * clamp(0.95+1.1*d.y, 0.5, 1.6))
	return seen, veil
}

func (s *Scene) floorColour(p vec, footX, footZ float64) vec {
	q := &s.Pool
	base := s.tiles(q.Floor.vec(), p.x, p.z, footX, footZ)
	return base.mix(q.Line.vec(), stripe(p.z, q.LaneWidth, 0.25, footZ)*0.92)
}

func (s *Scene) wallColour(p vec, foot float64) vec {
	q := &s.Pool
	base := s.tiles(q.Wall.vec(), p.x, p.y, foot, foot)
	if q.BandBottom > q.BandTop {
		in := clamp((-p.y-q.BandTop)/foot+0.5, 0, 1) * clamp((q.BandBottom+p.y)/foot+0.5, 0, 1)
		base = base.mix(q.Line.vec(), 0.85*in)
	}
	return base
}

// tiles is a tiled face: joints drawn by the share of the footprint they cover, every
// tile a little different.
func (s *Scene) tiles(colour vec, u, v, footU, footV float64) vec {
	q := &s.Pool
	i, j := int(math.Floor(u/q.Tile+0.5)), int(math.Floor(v/q.Tile+0.5))
	vary := 0.10 * (hash(i, j, s.Seed) - 0.5) / (1 + 2*(footU+footV)/q.Tile)
	colour = colour.scale(1 + vary)
	joint := 1 - (1-stripe(u+q.Tile/2, q.Tile, q.Joint, footU))*(1-stripe(v+q.Tile/2, q.Tile, q.Joint, footV))
	return colour.mix(q.Grout.vec(), joint)
}

// stripe returns the share of the interval of length foot about x that is covered by
// stripes of a width, centred at the multiples of a period.
func stripe(x, period, width, foot float64) float64 {
	foot = math.Max(foot, 1e-6)
	return clamp((covered(x+foot/2, period, width)-covered(x-foot/2, period, width))/foot, 0, 1)
}

// covered is the integral of the stripes from 0 to x, up to a constant.
func covered(x, period, width float64) float64 {
	x += width / 2
	n := math.Floor(x / period)
	return n*width + math.Min(x-n*period, width)
}

// paint fills the picture with the pool at a time.
func (b *backdrop) paint(img *picture, s *Scene, c *caustics, list []wave, t float64) {
	for y := range b.h {
		for x := range b.w {
			i := y*b.w + x
			sp := &b.spots[i]
			if sp.kind == atSurface {
				col := toFloats(s.underSurface(&b.lens, list, float64(x)+0.5, float64(y)+0.5, t))
				img.r[i], img.g[i], img.b[i] = col[0], col[1], col[2]
				continue
			}
			k := c.at(sp.u, sp.v)
			img.r[i] = sp.base[0] + k*sp.gain[0]
			img.g[i] = sp.base[1] + k*sp.gain[1]
			img.b[i] = sp.base[2] + k*sp.gain[2]
		}
	}
}

// underSurface is the colour of the water surface from below, which at flat angles
// mirrors the pool and lets the sky glint where a ripple is steep.
func (s *Scene) underSurface(l *lens, list []wave, x, y, t float64) vec {
	d := l.ray(x, y)
	hit, dist, _ := s.meet(l.at, d)
	foot := dist / l.focal
	sx, sz := tilt(list, t, hit.x, hit.z, foot, foot/math.Max(0.03, d.y))
	n := vec{-sx, 1, -sz}.unit()
	r := d.sub(n.scale(2 * d.dot(n)))
	if r.y > -0.02 {
		r.y = -0.02
		r = r.unit()
	}
	below, more, k := s.meet(hit, r)
	albedo := s.Pool.Wall.vec()
	if k == atFloor {
		albedo = s.Pool.Floor.vec()
		albedo = albedo.mix(s.Pool.Line.vec(), 0.8*stripe(below.z, s.Pool.LaneWidth, 0.25, 0.05))
	}
	seen, veil := s.through(dist+more, d)
	col := albedo.times(s.lightAt(below.y)).times(seen).scale(0.92).add(veil)
	glint := smooth(0.16, 0.42, d.dot(n)) * s.Water.Shimmer
	clear, _ := s.through(dist, d)
	return col.add(s.Water.Light.vec().times(clear).scale(glint))
}
