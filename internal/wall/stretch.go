package wall

import (
	"math"

	"underkick/internal/hydro"
)

// stretch is one underwater stretch with every number fixed: a glide, then kicks, then
// the surface.
type stretch struct {
	glide   hydro.Glide
	kick    Kicking
	period  float64 // of one kick, s
	x0, v0  float64 // head's place and speed where the glide begins
	t0      float64 // time there, s
	surface float64 // m/s; NaN = not known
}

// begin returns speed and time at the first kick, made with the head at x.
func (s stretch) begin(x float64) (v, t float64) {
	d := math.Max(0, x-s.x0)
	return s.glide.SpeedAt(s.v0, d), s.t0 + s.glide.TimeTo(s.v0, d)
}

// speedAt returns the speed with the head at x when the first kick is made at from.
func (s stretch) speedAt(x, from float64) float64 {
	if x <= from {
		v, _ := s.begin(x)
		return v
	}
	from = math.Max(from, s.x0)
	v, _ := s.begin(from)
	return s.kick.SpeedAt(v, x-from)
}

// breakout returns where and when the head comes up after n kicks, the first made at
// from. Without kicks it comes up where the glide has fallen to the surface speed.
func (s stretch) breakout(from float64, n int) (x, t float64) {
	if n == 0 {
		x = s.x0
		if s.v0 > s.surface {
			d, _ := s.glide.Slowing(s.v0, s.surface)
			x = math.Min(s.x0+d, Limit-reserve)
		}
		_, t = s.begin(x)
		return x, t
	}
	from = math.Max(from, s.x0)
	v, t := s.begin(from)
	under := float64(n) * s.period
	return from + s.kick.DistanceAfter(v, under), t + under
}

// timeTo returns when the head is at mark with n kicks from from on, s.
func (s stretch) timeTo(mark, from float64, n int) float64 {
	x, t := s.breakout(from, n)
	if x <= mark {
		return t + (mark-x)/s.surface
	}
	return s.underTo(mark, from)
}

// underTo returns when the head is at mark under water all the way, s.
func (s stretch) underTo(mark, from float64) float64 {
	if mark <= from {
		_, t := s.begin(mark)
		return t
	}
	from = math.Max(from, s.x0)
	v, t := s.begin(from)
	return t + s.kick.TimeTo(v, math.Max(0, mark-from))
}

// best returns when the head is at Limit if the first kick is made at from and the head
// comes up where the kicking speed falls to the surface speed, or at the limit. It is what
// the window for the first kick is chosen by.
func (s stretch) best(from float64) float64 {
	end := Limit - reserve
	if math.IsNaN(s.surface) {
		return s.underTo(end, from)
	}
	v, _ := s.begin(from)
	out := end
	if s.kick.Speed < s.surface {
		if v <= s.surface { // glided for too long already: kicks no longer help
			x, t := s.breakout(from, 0)
			return t + (Limit-x)/s.surface
		}
		vk2 := s.kick.Speed * s.kick.Speed
		out = math.Min(end, math.Max(from, s.x0)+s.kick.Length/2*math.Log((v*v-vk2)/(s.surface*s.surface-vk2)))
	}
	return s.underTo(out, from) + (Limit-out)/s.surface
}
