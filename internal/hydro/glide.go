package hydro

import "math"

// Drag returns the drag of a body of drag area cdA (m2) at speed v (m/s) in water
// of density rho (kg/m3), N: 1/2 rho CdA v2, with the sign of v.
func Drag(rho, cdA, v float64) float64 { return rho * cdA * math.Abs(v) * v / 2 }

// Glide is the motion of a passive body slowed by drag alone,
//
//	dv/dt = -Rate v2
//	v(x) = v0 exp(-Rate x), v(t) = v0/(1 + v0 Rate t), x(t) = ln(1 + v0 Rate t)/Rate
//
// (Newton with quadratic drag; used on swimmers by Naemi R, Sanders RH. 2008. A
// hydrokinematic method of measuring the glide efficiency of a human swimmer. J
// Biomech Eng 130:061016, title and numbers from memory).
type Glide struct {
	Rate float64 // 1/m, > 0
}

// NewGlide returns the glide of a body with drag k v2 (kg/m), mass and carried water
// (kg): Rate = k/(mass + carried). It panics unless k and the sum are positive.
func NewGlide(k, mass, carried float64) Glide {
	if !(k > 0) || !(mass+carried > 0) {
		panic("hydro: a glide needs a positive drag and mass")
	}
	return Glide{Rate: k / (mass + carried)}
}

// GlideBetween returns the glide that slows from v0 to v1 (m/s) over a distance x (m).
// Rate is 0 or negative if the speed did not fall.
func GlideBetween(v0, v1, x float64) Glide { return Glide{Rate: math.Log(v0/v1) / x} }

// Length returns the distance over which speed falls by the factor e, m.
func (g Glide) Length() float64 { return 1 / g.Rate }

// SpeedAfter returns the speed t seconds after v0, m/s.
func (g Glide) SpeedAfter(v0, t float64) float64 { return v0 / (1 + v0*g.Rate*t) }

// DistanceAfter returns the way made t seconds after v0, m.
func (g Glide) DistanceAfter(v0, t float64) float64 { return math.Log1p(v0*g.Rate*t) / g.Rate }

// SpeedAt returns the speed x metres after v0, m/s.
func (g Glide) SpeedAt(v0, x float64) float64 { return v0 * math.Exp(-g.Rate*x) }

// TimeTo returns the time to glide x metres from v0, s.
func (g Glide) TimeTo(v0, x float64) float64 { return math.Expm1(g.Rate*x) / (g.Rate * v0) }

// Slowing returns the distance (m) and time (s) in which v0 falls to v1.
func (g Glide) Slowing(v0, v1 float64) (x, t float64) {
	return math.Log(v0/v1) / g.Rate, (1/v1 - 1/v0) / g.Rate
}
