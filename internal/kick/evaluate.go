package kick

import (
	"math"

	"underkick/internal/body"
)

const degree = math.Pi / 180

// facts are the numbers about the swimmer that the measures need.
type facts struct {
	height     float64 // m; 0 = not known
	footArea   float64 // m2; relative to shankArea only where the height is not known
	shankArea  float64
	areasKnown bool
	places     [4]float64 // hip, knee, ankle, toe: distance from the hip along the leg, m; NaN where not known
}

// evaluate returns every measure of one kick. s is in the travel frame and
// derived; values that cannot be had are NaN.
func (s *scene) evaluate(c cycle, f *facts) row {
	var r row
	for i := range r {
		r[i] = math.NaN()
	}
	s.rhythm(&r, c, f)
	s.amplitudes(&r, c)
	s.speeds(&r, c)
	s.angles(&r, c)
	s.sweeps(&r, c)
	s.qualities(&r, c, f)
	s.wave(&r, c, f)
	return r
}

// rhythm fills speed, tempo, toe travel and what follows from them.
func (s *scene) rhythm(r *row, c cycle, f *facts) {
	T := c.period()
	down, up := c.bottom.T-c.top.T, c.next.T-c.bottom.T
	u := (s.at(s.com.x, c.next.T) - s.at(s.com.x, c.top.T)) / T
	r[speed], r[kickFrequency], r[kickLength] = u, 1/T, u*T
	r[downkickDuration], r[upkickDuration] = down, up
	r[downkickShare], r[durationRatio] = down/T, down/up
	dy := s.at(s.com.y, c.next.T) - s.at(s.com.y, c.top.T)
	r[climb] = math.Atan2(dy, u*T) / degree // against the travel line; its own climb is added for the run
	s.unevenness(r, c, u)
	if !s.lm[body.Toe].ok() {
		return
	}
	a := c.top.X - c.bottom.X
	r[toeAmplitude], r[toeBack], r[toeFront] = a, c.top.X, -c.bottom.X
	if f.height > 0 {
		r[toeAmplitudeHeight], r[toeAmplitudeLength] = a/f.height, a/(body.ArmsUp*f.height)
	}
	r[frequencyAmplitude], r[strouhal] = a/T, Strouhal(1/T, a, u)
}

// unevenness fills SD(u)/U and (max - min)/U of the forward speed in a kick.
func (s *scene) unevenness(r *row, c cycle, mean float64) {
	T := c.period()
	lo, hi := s.span(c.top.T, c.next.T)
	var ss float64
	n := 0
	m := s.integral(s.com.vx, c.top.T, c.next.T) / T
	for i := lo; i <= hi; i++ {
		d := s.com.vx[i] - m
		ss += d * d
		n++
	}
	_, top := s.peak(s.com.vx, c.top.T, c.next.T, 1)
	_, low := s.peak(s.com.vx, c.top.T, c.next.T, -1)
	r[speedVariation] = math.Sqrt(ss/float64(n)) / mean
	r[speedSwing] = (top - low) / mean
}

// amplitudes fills the travel of the other landmarks across the travel line.
func (s *scene) amplitudes(r *row, c cycle) {
	hand := body.Fingertip
	if !s.lm[hand].ok() {
		hand = body.Wrist
	}
	for _, p := range [...]struct {
		l  body.Landmark
		at slot
	}{
		{hand, handAmplitude},
		{body.Shoulder, shoulderAmplitude},
		{body.Hip, hipAmplitude},
		{body.Knee, kneeAmplitude},
		{body.Ankle, ankleAmplitude},
	} {
		_, top := s.peak(s.lm[p.l].y, c.top.T, c.next.T, 1)
		_, low := s.peak(s.lm[p.l].y, c.top.T, c.next.T, -1)
		r[p.at] = top - low
	}
}

// speeds fills the peak speeds of toe and ankle across the travel line and of the
// foot centre relative to the hip.
func (s *scene) speeds(r *row, c cycle) {
	peak := func(x []float64, a, b, sign float64) float64 {
		_, v := s.peak(x, a, b, sign)
		return sign * v
	}
	toe, ankle := s.lm[body.Toe].vy, s.lm[body.Ankle].vy
	r[toePeakSpeedDown] = peak(toe, c.top.T, c.bottom.T, -1)
	r[toePeakSpeedUp] = peak(toe, c.bottom.T, c.next.T, 1)
	r[toeSpeedRatio] = r[toePeakSpeedDown] / r[toePeakSpeedUp]
	r[anklePeakSpeedDown] = peak(ankle, c.top.T, c.bottom.T, -1)
	r[anklePeakSpeedUp] = peak(ankle, c.bottom.T, c.next.T, 1)
	r[footPeakSpeedDown] = peak(s.v, c.top.T, c.bottom.T, 1)
	r[footPeakSpeedUp] = peak(s.v, c.bottom.T, c.next.T, 1)
}

// angles fills minimum, maximum, range and peak rates of the joints and the trunk.
func (s *scene) angles(r *row, c cycle) {
	s.joints(r, c, s.angle[body.HipJoint], s.rate[body.HipJoint], hipFlexionMin)
	s.joints(r, c, s.angle[body.KneeJoint], s.rate[body.KneeJoint], kneeFlexionMin)
	s.joints(r, c, s.angle[body.AnkleJoint], s.rate[body.AnkleJoint], ankleMin)
	s.joints(r, c, s.th[body.Trunk], s.om[body.Trunk], pitchMin)
}

// joints fills the seven slots from first on: minimum, maximum, range, peak rate
// of growth and its phase, peak rate of decrease and its phase. Degrees.
func (s *scene) joints(r *row, c cycle, angle, rate []float64, first slot) {
	a, b := c.top.T, c.next.T
	_, low := s.peak(angle, a, b, -1)
	_, top := s.peak(angle, a, b, 1)
	r[first], r[first+1], r[first+2] = low/degree, top/degree, (top-low)/degree
	tUp, up := s.peak(rate, a, b, 1)
	tDown, down := s.peak(rate, a, b, -1)
	r[first+3], r[first+4] = up/degree, (tUp-a)/(b-a)
	r[first+5], r[first+6] = -down/degree, (tDown-a)/(b-a)
}

// wave fills the speed and length of the body wave from hip to toe. The phase of
// each landmark's first harmonic across the travel line is regressed on its
// distance along the leg, weighted with its squared amplitude, which is how the
// phase's error goes.
func (s *scene) wave(r *row, c cycle, f *facts) {
	var sw, sx, sy, sxx, sxy, last float64
	n := 0
	for k, l := range [...]body.Landmark{body.Hip, body.Knee, body.Ankle, body.Toe} {
		if !s.lm[l].ok() || math.IsNaN(f.places[k]) {
			continue
		}
		re, im := s.harmonic(s.lm[l].y, c)
		lag := math.Atan2(-im, re) / (2 * math.Pi) // cycles by which it comes later
		if n > 0 {
			lag = last + math.Remainder(lag-last, 1)
		}
		w, d := re*re+im*im, f.places[k]
		sw, sx, sy, sxx, sxy = sw+w, sx+w*d, sy+w*lag, sxx+w*d*d, sxy+w*d*lag
		last = lag
		n++
	}
	slope := (sw*sxy - sx*sy) / (sw*sxx - sx*sx) // cycles per metre towards the toes
	if n < 3 || !(slope > 0) {
		return
	}
	r[wavelength] = 1 / slope
	r[waveSpeed] = 1 / (slope * c.period())
	r[slip] = r[speed] / r[waveSpeed]
	r[slenderBodyEfficiency] = SlenderBodyEfficiency(r[slip])
}

// harmonic returns the first Fourier coefficient of x over the kick, sum of
// x exp(-2 pi i p), after the line through its ends is taken out.
func (s *scene) harmonic(x []float64, c cycle) (re, im float64) {
	a, b := c.top.T, c.next.T
	xa, xb := s.at(x, a), s.at(x, b)
	lo, hi := s.span(a, b)
	for i := lo; i <= hi; i++ {
		p := (s.t[i] - a) / (b - a)
		sin, cos := math.Sincos(2 * math.Pi * p)
		v := x[i] - xa - (xb-xa)*p
		re, im = re+v*cos, im-v*sin
	}
	return re, im
}
