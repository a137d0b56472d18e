// Package kicktest makes swimmers whose kick is known exactly, for tests: joint
// angles are given Fourier curves, the centre of mass moves as told, and the
// landmarks follow by forward kinematics. Nothing here obeys the water.
package kicktest

import (
	"math"

	"underkick/internal/body"
)

// Wave is an angle over the kick: mean plus terms
// Amp[k] cos(2 pi (k+1) (p - Peak[k])), p in cycles; radians.
type Wave struct {
	Mean float64
	Amp  []float64
	Peak []float64 // cycles
}

// At returns the angle at phase p (cycles), rad.
func (w Wave) At(p float64) float64 {
	v := w.Mean
	for k, a := range w.Amp {
		v += a * math.Cos(2*math.Pi*float64(k+1)*(p-w.Peak[k]))
	}
	return v
}

// Extremes returns the smallest and largest angle over a cycle, rad, from a fine
// scan.
func (w Wave) Extremes() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for i := range 20000 {
		v := w.At(float64(i) / 20000)
		low, high = math.Min(low, v), math.Max(high, v)
	}
	return low, high
}

// Swimmer is a swimmer on the front who swims towards +x.
type Swimmer struct {
	Subject   body.Subject
	Frequency float64                // Hz
	Speed     float64                // of the centre of mass along its line, m/s
	Ripple    float64                // amplitude of the speed's second harmonic, m/s
	Climb     float64                // angle of the line above the horizontal, rad
	Pitch     Wave                   // trunk against the line
	Joints    [body.NumJoints]Wave   // in the order of package body
	Size      func(kick int) float64 // scales the swings of kick number n around their means; nil = 1
	PushOff   float64                // extra speed at time 0, gone by a factor e in 0.4 s, m/s
}

// Reference returns a swimmer of 1.80 m and 75 kg with the reference kick of the
// model specification (docs/methods/qualities.md), phase 0 near the toe top.
func Reference() Swimmer {
	deg := math.Pi / 180
	wave := func(mean float64, terms ...float64) Wave {
		w := Wave{Mean: mean * deg}
		for i := 0; i < len(terms); i += 2 {
			w.Amp, w.Peak = append(w.Amp, terms[i]*deg), append(w.Peak, terms[i+1])
		}
		return w
	}
	s := Swimmer{
		Subject:   body.Subject{Height: 1.80, Mass: 75, Sex: body.Male},
		Frequency: 2.2, Speed: 1.4, Ripple: 0.15,
		Pitch: wave(0, 9, 0.12),
	}
	s.Joints[body.ShoulderJoint] = wave(1.0288, -7.5645, 0.1016)
	s.Joints[body.HipJoint] = wave(8.5505, 15.8304, 0.4008, -7.9527, 0.2948)
	s.Joints[body.KneeJoint] = wave(30.0824, 31.2589, 1.0951, 10.2501, 0.0513)
	s.Joints[body.AnkleJoint] = wave(27.6692, 16.3804, 0.7838, 2.3759, 0.4012)
	return s
}

const pushOffTime = 0.4 // s

// Phase returns the phase at time t, cycles.
func (s Swimmer) Phase(t float64) float64 { return s.Frequency * t }

// posture returns the joint angles at time t with the hip at the origin.
func (s Swimmer) posture(t float64) body.Posture {
	p := s.Phase(t)
	size := 1.0
	if s.Size != nil { // blend from kick to kick, so that nothing jumps
		k, u := math.Floor(p), p-math.Floor(p)
		u = u * u * (3 - 2*u)
		size = (1-u)*s.Size(int(k)) + u*s.Size(int(k)+1)
	}
	at := func(w Wave) float64 { return w.Mean + size*(w.At(p)-w.Mean) }
	post := body.Posture{Pitch: at(s.Pitch) + s.Climb}
	for j, w := range s.Joints {
		post.Joints[j] = at(w)
	}
	return post
}

// Centre returns the place of the centre of mass at time t, m.
func (s Swimmer) Centre(t float64) body.Point {
	w := 2 * math.Pi * s.Frequency
	along := s.Speed*t + s.Ripple*math.Sin(2*w*t)/(2*w) + s.PushOff*pushOffTime*(1-math.Exp(-t/pushOffTime))
	return body.Point{X: along * math.Cos(s.Climb), Y: along * math.Sin(s.Climb)}
}

// Motion returns every landmark at the given times, without velocities.
func (s Swimmer) Motion(times []float64) body.Motion {
	chain := body.NewChain(s.Subject, body.Lengths{})
	m := body.Motion{T: append([]float64(nil), times...)}
	for l := range m.Paths {
		m.Paths[l] = &body.Path{X: make([]float64, len(times)), Y: make([]float64, len(times))}
	}
	weights, _, _ := body.Weights(m, s.Subject)
	for i, t := range times {
		at := s.posture(t).Landmarks(chain, s.Subject.Height)
		c := s.Centre(t)
		for l, w := range weights {
			c.X -= w * at[l].X
			c.Y -= w * at[l].Y
		}
		for l := range m.Paths {
			m.Paths[l].X[i], m.Paths[l].Y[i] = at[l].X+c.X, at[l].Y+c.Y
		}
	}
	return m
}

// Fitted returns the same landmarks with velocities, as a fitted trace has them
// (central differences over a millionth of a second).
func (s Swimmer) Fitted(times []float64) body.Motion {
	const h = 1e-6
	m := s.Motion(times)
	before, after := s.Motion(shift(times, -h)), s.Motion(shift(times, h))
	for l, p := range m.Paths {
		p.VX, p.VY = make([]float64, len(times)), make([]float64, len(times))
		for i := range times {
			p.VX[i] = (after.Paths[l].X[i] - before.Paths[l].X[i]) / (2 * h)
			p.VY[i] = (after.Paths[l].Y[i] - before.Paths[l].Y[i]) / (2 * h)
		}
	}
	return m
}

func shift(t []float64, by float64) []float64 {
	out := make([]float64, len(t))
	for i, v := range t {
		out[i] = v + by
	}
	return out
}

// Times returns the times of a film of so many seconds at rate pictures per
// second from time start.
func Times(start, seconds, rate float64) []float64 {
	n := int(math.Round(seconds*rate)) + 1
	t := make([]float64, n)
	for i := range t {
		t[i] = start + float64(i)/rate
	}
	return t
}
