package demo

import (
	"fmt"
	"math"
	"math/rand/v2"

	"underkick/internal/body"
	"underkick/internal/swim"
)

// motion is a swimmer kicking from side to side of the picture: the steady swim of the
// model, played with a tempo and an amplitude that wander a little from kick to kick.
//
// There is no gravity in the model and its loads are quadratic, so the way per kick does
// not depend on tempo: hip and pitch follow the phase. Amplitude moves between steady
// swims of a smaller and a larger kick. Both are right for changes slow against a kick.
type motion struct {
	orbits         [3]*swim.Orbit // amplitude 1-spread, 1, 1+spread
	phase0         float64        // phase at time 0, cycles
	tempo          float64        // mean, Hz
	way            float64        // mean way per kick, m
	x0, y0         float64        // hip's uniform travel at time 0, m
	climb          float64        // angle of the travel line, rad
	wanderT        []ripple       // of phase, cycles
	wanderA        []ripple       // of amplitude, 1
	subject        body.Subject
	legLag, legGap float64 // far leg: behind in phase (cycles), more knee (rad)
}

// ripple is a slow sine.
type ripple struct{ size, omega, phase float64 }

func wander(list []ripple, t float64) float64 {
	sum := 0.0
	for _, r := range list {
		sum += r.size * math.Sin(r.omega*t+r.phase)
	}
	return sum
}

// amplitudeSpread is the distance of the steady swims between which amplitude moves.
const amplitudeSpread = 0.08

// irregularity says how much kicks differ: standard deviations from kick to kick,
// relative to the mean.
type irregularity struct{ period, amplitude float64 }

// newMotion returns the motion of a kick as the model swims it with a drag factor.
func newMotion(s body.Subject, k swim.Kick, drag float64, irr irregularity, seed uint64) (*motion, error) {
	model := swim.NewModel(s, swim.ModelOptions{})
	m := &motion{tempo: k.Tempo, subject: s, legLag: 0.010, legGap: 0.035}
	for i := range m.orbits {
		o, err := model.Swim(k.Scaled(1+float64(i-1)*amplitudeSpread), swim.Options{DragFactor: drag})
		if err != nil {
			return nil, fmt.Errorf("swim the demo kick: %w", err)
		}
		m.orbits[i] = o
	}
	m.way = m.orbits[1].Speed / k.Tempo
	rng := rand.New(rand.NewPCG(seed, 5))
	const sines = 4
	for i := range sines {
		slow := (0.22 + 0.09*float64(i) + 0.05*rng.Float64()) * 2 * math.Pi * k.Tempo // 2 to 4 kicks long
		half := math.Sqrt(2.0 / sines)
		m.wanderT = append(m.wanderT, ripple{irr.period * half * 2 * math.Pi * k.Tempo / slow / (2 * math.Pi), slow, 2 * math.Pi * rng.Float64()})
		m.wanderA = append(m.wanderA, ripple{irr.amplitude * half, slow * 0.9, 2 * math.Pi * rng.Float64()})
	}
	return m, nil
}

// phaseAt returns the phase at time t, cycles.
func (m *motion) phaseAt(t float64) float64 { return m.phase0 + m.tempo*t + wander(m.wanderT, t) }

// posture returns the posture at time t of a prone swimmer to the right.
func (m *motion) posture(t float64) body.Posture {
	p := m.phaseAt(t)
	return m.at(p, p, 1+wander(m.wanderA, t), t)
}

// farPosture is posture for the side away from the camera: the legs a little apart.
func (m *motion) farPosture(t float64) body.Posture {
	p := m.phaseAt(t)
	post := m.at(p, p-m.legLag, 1+wander(m.wanderA, t), t)
	post.Joints[body.KneeJoint] += m.legGap
	post.Joints[body.HipJoint] -= 0.02
	post.Joints[body.AnkleJoint] += 0.04
	post.Joints[body.ShoulderJoint] -= 0.022
	return post
}

// at returns the posture with the trunk at one phase and the joints at another.
func (m *motion) at(phase, jointPhase, amplitude, t float64) body.Posture {
	lo, mid, hi := m.orbits[0].At(phase), m.orbits[1].At(phase), m.orbits[2].At(phase)
	u := (amplitude - 1) / amplitudeSpread
	curve := func(a, b, c float64) float64 { return b + u/2*(c-a) + u*u/2*(a-2*b+c) }
	surge, heave := curve(lo.Surge, mid.Surge, hi.Surge), curve(lo.Heave, mid.Heave, hi.Heave)
	post := body.Posture{Pitch: curve(lo.Pitch, mid.Pitch, hi.Pitch) + m.climb}
	k := m.orbits[1].Kick
	for j := range post.Joints {
		f := k.Joints[j]
		post.Joints[j] = f.Mean + amplitude*(f.At(jointPhase)-f.Mean)
	}
	s, c := math.Sincos(m.climb)
	x := m.way*(m.tempo*t+wander(m.wanderT, t)-wander(m.wanderT, 0)) + surge
	post.Hip = body.Point{X: m.x0 + c*x - s*heave, Y: m.y0 + s*x + c*heave}
	return post
}

// landmarks returns the true place of every landmark at time t, m, of a prone swimmer
// to the right.
func (m *motion) landmarks(t float64) [body.NumLandmarks]body.Point {
	return m.posture(t).Landmarks(m.orbits[1].Chain(), m.subject.Height)
}
