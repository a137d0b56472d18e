package swim

import (
	"math"

	"underkick/internal/body"
)

// Orbit is one steady swim.
type Orbit struct {
	Kick       Kick    // the kick as given: what a camera sees of the ankle-toe line
	Loaded     Kick    // the kick with the forefoot's turn in the ankle curve: what the water sees
	Speed      float64 // mean speed over a kick, m/s
	DragFactor float64 // personal factor kd, given or solved for
	Tow        float64 // tow force at the hip, N; 0 unless TowSpeed was asked
	Trim       float64 // vertical force at the hip that holds the depth, N
	TrimMoment float64 // moment at the hip that holds the heading, N m

	model     *Model
	frames    []frame
	trail     []state // at the start of every step
	out       outside
	found     unknowns
	slope     matrix // of the shooting, near found
	solvedFor int    // number of unknowns
	tow       bool
}

// Period returns the time of one kick, s.
func (o *Orbit) Period() float64 { return 1 / o.Kick.Tempo }

// Subject returns the swimmer.
func (o *Orbit) Subject() body.Subject { return o.model.Subject }

// Chain returns the swimmer's body.
func (o *Orbit) Chain() body.Chain { return o.model.Chain }

func (p *shooting) orbit(k Kick, x *unknowns) *Orbit {
	s, out := p.start(x)
	o := &Orbit{
		Kick: k, Loaded: k, DragFactor: out.kd, Tow: out.fx, Trim: out.fy, TrimMoment: out.moment,
		model: p.model, frames: p.frames, trail: make([]state, len(p.frames)/2),
		out: out, found: *x, slope: p.slope, solvedFor: p.n, tow: p.tow,
	}
	end, _ := p.model.integrate(p.frames, p.period, s, &out, o.trail)
	o.Speed = end.x / p.period
	return o
}

// hipMotion is the hip's velocity in the trunk's axes and the trunk's rate.
type hipMotion struct{ x, y, om float64 }

// at returns the frame at the start of step i and the hip's motion there.
func (o *Orbit) at(i int) (*frame, hipMotion) {
	f, s := &o.frames[2*i], o.trail[i]
	sin, cos := math.Sincos(s.th)
	vx, vy, om := f.motion(cos*s.px+sin*s.py, cos*s.py-sin*s.px, s.h)
	return f, hipMotion{vx, vy, om}
}

// world returns the hip's velocity in the pool's axes at the start of step i.
func (o *Orbit) world(i int) (vx, vy, om float64) {
	_, v := o.at(i)
	sin, cos := math.Sincos(o.trail[i].th)
	return cos*v.x - sin*v.y, sin*v.x + cos*v.y, v.om
}

// Pose is the swimmer at one phase of a steady swim.
type Pose struct {
	Surge, Heave float64                 // hip's place relative to uniform travel at the mean speed, m; Surge is 0 at phase 0, Heave has mean 0
	Pitch        float64                 // trunk pitch, rad
	VX, VY       float64                 // hip's velocity in still water, m/s
	Joints       [body.NumJoints]float64 // as given in Kick, rad
}

// At returns the swimmer at a phase (cycles, any real number): cubic Hermite curves
// through the steps' states and velocities, good to 1e-6 of the amplitude.
func (o *Orbit) At(phase float64) Pose {
	n := len(o.trail)
	p := phase - math.Floor(phase)
	i := min(int(p*float64(n)), n-1)
	u := p*float64(n) - float64(i)
	next := (i + 1) % n
	dt := o.Period() / float64(n)
	a, b := o.relative(i), o.relative(next)
	avx, avy, aom := o.world(i)
	bvx, bvy, bom := o.world(next)
	pose := Pose{Joints: o.Kick.Angles(phase)}
	var sv float64
	pose.Surge, sv = hermite(u, dt, a.x, b.x, avx-o.Speed, bvx-o.Speed)
	pose.VX = sv + o.Speed
	pose.Heave, pose.VY = hermite(u, dt, a.y, b.y, avy, bvy)
	pose.Heave -= o.meanHeave()
	pose.Pitch, _ = hermite(u, dt, a.th, b.th, aom, bom)
	return pose
}

// relative returns the state at the start of step i against uniform travel.
func (o *Orbit) relative(i int) state {
	s := o.trail[i]
	s.x -= o.Speed * o.Period() * float64(i) / float64(len(o.trail))
	return s
}

func (o *Orbit) meanHeave() float64 {
	sum := 0.0
	for _, s := range o.trail {
		sum += s.y
	}
	return sum / float64(len(o.trail))
}

// hermite returns the cubic through values a and b a time dt apart with slopes da and
// db, and its slope, at the fraction u.
func hermite(u, dt, a, b, da, db float64) (x, v float64) {
	c := b - a
	m, n := da*dt, db*dt
	x = a + u*(m+u*((3*c-2*m-n)+u*(m+n-2*c)))
	v = (m + u*(2*(3*c-2*m-n)+3*u*(m+n-2*c))) / dt
	return x, v
}

// Posture returns the posture at a phase with the hip at (x, y) plus surge and heave.
func (p Pose) Posture(x, y float64) body.Posture {
	return body.Posture{Hip: body.Point{X: x + p.Surge, Y: y + p.Heave}, Pitch: p.Pitch, Joints: p.Joints}
}

// Landmarks returns every landmark's place at time t (s, any), m: the hip starts at
// phase0 of a kick, its uniform travel from (0, 0). See body.Posture.Landmarks for the
// optional ones.
func (o *Orbit) Landmarks(t, phase0 float64) [body.NumLandmarks]body.Point {
	pose := o.At(phase0 + t*o.Kick.Tempo)
	return pose.Posture(o.Speed*t, 0).Landmarks(o.model.Chain, o.model.Subject.Height)
}

// Motion returns the landmarks at the times t (s), all of them present, without
// velocities and SD.
func (o *Orbit) Motion(t []float64, phase0 float64) body.Motion {
	m := body.Motion{T: t}
	for l := range m.Paths {
		m.Paths[l] = &body.Path{X: make([]float64, len(t)), Y: make([]float64, len(t))}
	}
	for i, tm := range t {
		for l, p := range o.Landmarks(tm, phase0) {
			m.Paths[l].X[i], m.Paths[l].Y[i] = p.X, p.Y
		}
	}
	return m
}

// Bends reports whether the trunk bends at the rib.
func (o *Orbit) Bends() bool { return o.model.Bends() }
