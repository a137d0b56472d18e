package render

import "math"

// Rod is a banded measuring rod on two feet on the pool floor in the swimmer's plane:
// the known length in the picture.
type Rod struct {
	X, Y   float64 // left end of the rod's middle line, m
	Length float64 // m; 0 = no rod
	Band   float64 // length of a band, m
	Height float64 // uprights at both ends, from the rod up, m; 0 = none
	Thick  float64 // m
}

var (
	rodLight = vec{0.85, 0.72, 0.12}
	rodDark  = vec{0.035, 0.035, 0.04}
)

// addRod lays the rod over what a picture point shows.
func (s *Scene) addRod(l *lens, d vec, sp *spot) {
	r := &s.Rod
	if r.Length == 0 || d.z >= 0 {
		return
	}
	t := -l.at.z / d.z
	p := l.at.add(d.scale(t))
	if dy := p.y - r.Y; dy < -0.4 || dy > r.Height+r.Thick {
		return
	}
	foot := t / l.focal
	share, across, along := r.cover(p.x-r.X, p.y-r.Y, foot)
	if share == 0 {
		return
	}
	u := stripe(along-r.Band/2, 2*r.Band, r.Band, foot)
	albedo := rodLight.mix(rodDark, u)
	shade := 0.55 + 0.45*across // lit from above
	seen, veil := s.through(t, d)
	col := toFloats(albedo.times(s.lightAt(p.y)).times(seen).scale(shade).add(veil))
	k := float32(share)
	for i := range sp.base {
		sp.base[i] += k * (col[i] - sp.base[i])
		sp.gain[i] *= 1 - 0.8*k
	}
}

// cover returns how much of a footprint at (x, y) from the rod's left end the rod
// covers, where across the bar it lies (-1 low to 1 high), and its place along the bar.
func (r *Rod) cover(x, y, foot float64) (share, across, along float64) {
	bar := slab(x, 0, r.Length, foot) * slab(y, -r.Thick/2, r.Thick/2, foot)
	if bar > 0 {
		return bar, clamp(2*y/r.Thick, -1, 1), x
	}
	for _, end := range [...]float64{0, r.Length} {
		low, high := -0.30, r.Height+r.Thick/2
		if post := slab(x, end-r.Thick/2, end+r.Thick/2, foot) * slab(y, low, high, foot); post > share {
			share, across, along = post, 0.2-clamp(2*math.Abs(x-end)/r.Thick, 0, 1)*0.5, y
		}
	}
	return share, across, along
}

// slab is the share of a footprint about x that lies between lo and hi.
func slab(x, lo, hi, foot float64) float64 {
	return clamp((math.Min(x+foot/2, hi)-math.Max(x-foot/2, lo))/foot, 0, 1)
}

// Rope is a lane rope of discs floating behind the swimmer.
type Rope struct {
	Z      float64 // negative behind the swimmer, m
	Pitch  float64 // distance of the discs, m; 0 = no rope
	Radius float64 // m
	Group  int     // discs of one colour in a row
	A, B   RGB
}

// paintRope draws the rope, riding on the waves, over the picture; its mirror image in
// the surface closes the discs upwards.
func (s *Scene) paintRope(img *picture, l *lens, list []wave, t float64) {
	r := &s.Rope
	if r.Pitch == 0 {
		return
	}
	span := (math.Abs(r.Z) + l.at.z) * float64(img.w) / l.focal
	first, last := int(math.Floor((l.at.x-span)/r.Pitch)), int(math.Ceil((l.at.x+span)/r.Pitch))
	for i := first; i <= last; i++ {
		x := float64(i) * r.Pitch
		lift, lean := 0.0, 0.0
		for _, w := range list {
			k := math.Hypot(w.kx, w.kz)
			a := w.kx*x + w.kz*r.Z - w.omega*t + w.phase
			lift += 0.4 * w.slope / k * math.Sin(a)
			lean += 0.2 * w.slope * math.Cos(a)
		}
		colour := r.A.vec()
		if r.Group > 0 && int(math.Floor(float64(i)/float64(r.Group)))%2 != 0 {
			colour = r.B.vec()
		}
		s.paintDisc(img, l, vec{x, lift - 0.02, r.Z}, lean, colour)
	}
}

// paintDisc draws one disc of the rope, seen on its edge.
func (s *Scene) paintDisc(img *picture, l *lens, at vec, lean float64, colour vec) {
	px, py, depth := l.project(at)
	k := l.focal / depth
	halfX, halfY := 0.36*s.Rope.Pitch*k, s.Rope.Radius*k
	d := l.ray(px, py)
	seen, veil := s.through(depth, d)
	lit := colour.times(s.lightAt(-0.05)).times(seen)
	for y := int(py - halfY - 2); y <= int(py+halfY+2); y++ {
		for x := int(px - halfX - 2); x <= int(px+halfX+2); x++ {
			if x < 0 || y < 0 || x >= img.w || y >= img.h {
				continue
			}
			v := float64(y) + 0.5 - py
			u := float64(x) + 0.5 - px - lean*v
			round := halfX * (1 - 0.35*(v/halfY)*(v/halfY))
			share := clamp(round-math.Abs(u)+0.5, 0, 1) * clamp(halfY-math.Abs(v)+0.5, 0, 1)
			if share <= 0 {
				continue
			}
			shade := 0.62 + 0.25*math.Cos(math.Pi/2*u/halfX) - 0.22*v/halfY
			img.blend(y*img.w+x, lit.scale(shade).add(veil), share)
		}
	}
}
