package wall

import (
	"math"

	"underkick/internal/hydro"
)

// stretch is one underwater stretch with every number fixed: a glide, then kicks, then a
// glide up where the kicks end before the head can be up, then the surface.
type stretch struct {
	glide    hydro.Glide
	kick     Kicking
	period   float64 // of one kick, s
	x0, v0   float64 // head's place and speed where the glide begins
	t0       float64 // time there, s
	earliest float64 // nearest place where the head can be up, m
	surface  float64 // m/s; NaN = not known
}

// begin returns speed and time at the first kick, made with the head at x.
func (s stretch) begin(x float64) (v, t float64) {
	d := math.Max(0, x-s.x0)
	return s.glide.SpeedAt(s.v0, d), s.t0 + s.glide.TimeTo(s.v0, d)
}

// end returns place, speed and time after n kicks, the first made at from.
func (s stretch) end(from float64, n int) (x, v, t float64) {
	from = math.Max(from, s.x0)
	v, t = s.begin(from)
	if n == 0 {
		return from, v, t
	}
	under := float64(n) * s.period
	return from + s.kick.DistanceAfter(v, under), s.kick.SpeedAfter(v, under), t + under
}

// speedAt returns the speed under water with the head at x, n kicks from from on.
func (s stretch) speedAt(x, from float64, n int) float64 {
	from = math.Max(from, s.x0)
	if x <= from || n == 0 {
		v, _ := s.begin(x)
		return v
	}
	end, last, _ := s.end(from, n)
	if x > end {
		return s.glide.SpeedAt(last, x-end)
	}
	v, _ := s.begin(from)
	return s.kick.SpeedAt(v, x-from)
}

// kickedTo returns when the head is at mark kicking all the way from from on, s.
func (s stretch) kickedTo(mark, from float64) float64 {
	from = math.Max(from, s.x0)
	if mark <= from {
		_, t := s.begin(mark)
		return t
	}
	v, t := s.begin(from)
	return t + s.kick.TimeTo(v, mark-from)
}

// underTo returns when the head is at mark under water all the way, n kicks from from on, s.
func (s stretch) underTo(mark, from float64, n int) float64 {
	end, last, t := s.end(from, n)
	if mark > end {
		return t + s.glide.TimeTo(last, mark-end)
	}
	return s.kickedTo(mark, from)
}

// upAfterGlide returns where the head comes up without kicks: where the glide has fallen to the
// surface speed, but not before the earliest place.
func (s stretch) upAfterGlide() float64 {
	x := s.x0
	if s.v0 > s.surface {
		d, _ := s.glide.Slowing(s.v0, s.surface)
		x += d
	}
	return math.Min(math.Max(x, s.earliest), Limit-reserve)
}

// breakout returns where and when the head comes up after n kicks, the first made at from.
func (s stretch) breakout(from float64, n int) (x, t float64) {
	if n == 0 {
		x = s.upAfterGlide()
		_, t = s.begin(x)
		return x, t
	}
	x, v, t := s.end(from, n)
	if x < s.earliest {
		return s.earliest, t + s.glide.TimeTo(v, s.earliest-x)
	}
	return x, t
}

// timeTo returns when the head is at mark with n kicks from from on, s.
func (s stretch) timeTo(mark, from float64, n int) float64 {
	x, t := s.breakout(from, n)
	if x <= mark {
		return t + (mark-x)/s.surface
	}
	return s.underTo(mark, from, n)
}

// up returns where the head comes up if the first kick is made at from and kicks are made as long
// as they are faster than the surface, or to the limit.
func (s stretch) up(from float64) float64 {
	end := Limit - reserve
	if math.IsNaN(s.surface) || s.kick.Speed >= s.surface {
		return end
	}
	v, _ := s.begin(from)
	if v <= s.surface { // glided for too long already
		return s.upAfterGlide()
	}
	vk2 := s.kick.Speed * s.kick.Speed
	x := math.Max(from, s.x0) + s.kick.Length/2*math.Log((v*v-vk2)/(s.surface*s.surface-vk2))
	return math.Min(end, math.Max(x, s.earliest))
}

// best returns when the head is at the limit if the first kick is made at from and the head comes
// up as up says. It is what the window for the first kick is chosen by.
func (s stretch) best(from float64) float64 {
	x := s.up(from)
	t := s.kickedTo(x, from)
	if math.IsNaN(s.surface) {
		return t
	}
	return t + (Limit-x)/s.surface
}
