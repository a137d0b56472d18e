package wall

import "math"

// Kicking is the mean motion of a kicking swimmer, whose net force is proportional to
// Speed2 - v2:
//
//	dv/dt = (Speed2 - v2)/Length
//	v(x)2 = Speed2 + (v0 2 - Speed2) exp(-2 x/Length)
//	x(t)  = Length ln(cosh a + (v0/Speed) sinh a),  a = Speed t/Length
//
// x and t counted from the first kick. The speed tends to Speed from above and below.
type Kicking struct {
	Speed  float64 // steady kicking speed, m/s, > 0
	Length float64 // 2 m (1 + carried)/(rho CdA), m, > 0
}

// SpeedAt returns the speed x metres after v0, m/s.
func (k Kicking) SpeedAt(v0, x float64) float64 {
	return math.Sqrt(k.Speed*k.Speed + (v0*v0-k.Speed*k.Speed)*math.Exp(-2*x/k.Length))
}

// SpeedAfter returns the speed t seconds after v0, m/s.
func (k Kicking) SpeedAfter(v0, t float64) float64 {
	h := math.Tanh(k.Speed * t / k.Length)
	return k.Speed * (v0 + k.Speed*h) / (k.Speed + v0*h)
}

// DistanceAfter returns the way made t seconds after v0, m.
func (k Kicking) DistanceAfter(v0, t float64) float64 {
	a := k.Speed * t / k.Length
	// ln(cosh a + r sinh a) = a + ln((1+r)/2 + (1-r)/2 exp(-2a)): no overflow for long times.
	r := v0 / k.Speed
	return k.Length * (a + math.Log((1+r)/2+(1-r)/2*math.Exp(-2*a)))
}

// TimeTo returns the time to kick x metres from v0, s: the root of DistanceAfter,
//
//	exp(a) = (y + sqrt(y2 - 1 + r2))/(1 + r),  y = exp(x/Length), r = v0/Speed
func (k Kicking) TimeTo(v0, x float64) float64 {
	r, y := v0/k.Speed, math.Exp(x/k.Length)
	return k.Length / k.Speed * math.Log((y+math.Sqrt(y*y-1+r*r))/(1+r))
}

// Crossing returns the speed above which a glide of length glide slows the swimmer less
// than kicking does, m/s:
//
//	v*2 = Speed2 glide/(glide - Length)
//
// Infinity where the glide slows more than kicking at every speed: kick at once.
func (k Kicking) Crossing(glide float64) float64 {
	if glide <= k.Length {
		return math.Inf(1)
	}
	return k.Speed * math.Sqrt(glide/(glide-k.Length))
}
