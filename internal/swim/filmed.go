package swim

import (
	"errors"
	"fmt"
	"math"

	"underkick/internal/body"
	"underkick/internal/series"
)

// Filmed holds the water's loads on a filmed swimmer: the same formulas as in Loads, put
// on landmarks instead of solved motion, without any second derivative. Model estimates.
type Filmed struct {
	T       []float64 // s
	CentreV []float64 // horizontal speed of the centre of mass, m/s
	Off     float64   // SD of the landmarks about the chain of constant lengths, m: noise and wrong marks

	push    []perSegment
	carried []perSegment
	drag    []float64 // drag along the body at drag factor 1, N
	mass    float64   // kg
}

// ErrGaps says that a filmed motion is not known on every frame.
var ErrGaps = errors.New("a landmark that the loads need is not known on every frame")

// Filmed returns the loads on a filmed swimmer in the conventions of package body, x along
// the travel line. The frames must be evenly spaced and the coordinates already smoothed;
// velocities are taken from the paths where all needed ones have them, else by central
// differences. rigid leaves the forefoot unbent. Needed on every frame: Fingertip or Wrist,
// Shoulder, Hip, Knee, Ankle, Toe, and Rib for a model that bends. Segments keep the model's lengths, and the hip follows
// from all these landmarks at once, which averages noise.
//
// Errors: ErrGaps (wrapped), fewer than five frames, uneven frames.
func (m *Model) Filmed(mo body.Motion, rigid bool) (*Filmed, error) {
	if err := evenFrames(mo.T); err != nil {
		return nil, fmt.Errorf("filmed loads: %w", err)
	}
	use, err := m.chainLandmarks(mo)
	if err != nil {
		return nil, fmt.Errorf("filmed loads: %w", err)
	}
	c := m.chainMotion(mo, use)
	if !rigid && m.Coef.Forefoot > 0 {
		m.bend(c)
	}
	out := &Filmed{T: mo.T, mass: m.Chain.Mass(), Off: c.off}
	for i := range mo.T {
		f, v := m.filmedFrame(c, i)
		in := m.instant(&f, v, c.pitch[i], 1)
		out.push = append(out.push, in.push)
		out.carried = append(out.carried, in.carried)
		out.drag = append(out.drag, in.drag)
		out.CentreV = append(out.CentreV, in.own/out.mass)
	}
	return out, nil
}

// evenFrames checks that the times are evenly spaced to 1 %.
func evenFrames(t []float64) error {
	n := len(t)
	if n < 5 {
		return fmt.Errorf("%d frames are too few", n)
	}
	dt := (t[n-1] - t[0]) / float64(n-1)
	for i := 1; i < n; i++ {
		if !(math.Abs(t[i]-t[i-1]-dt) < 0.01*dt) {
			return fmt.Errorf("the frames are not evenly spaced at %.3f s", t[i])
		}
	}
	return nil
}

// chainLandmarks returns the landmarks of the chain, the wrist for a missing finger tip,
// and the rib of a trunk that bends.
func (m *Model) chainLandmarks(mo body.Motion) ([]body.Landmark, error) {
	use := []body.Landmark{body.Fingertip, body.Shoulder, body.Hip, body.Knee, body.Ankle, body.Toe}
	if m.Bends() {
		use = append(use, body.Rib)
	}
	if !mo.Has(body.Fingertip) {
		use[0] = body.Wrist
	}
	for _, l := range use {
		if !mo.Has(l) {
			return use, fmt.Errorf("%v: %w", l, ErrGaps)
		}
		for i, x := range mo.Paths[l].X {
			if math.IsNaN(x + mo.Paths[l].Y[i]) {
				return use, fmt.Errorf("%v at %.3f s: %w", l, mo.T[i], ErrGaps)
			}
		}
	}
	return use, nil
}

// chainMotion is a chain of constant lengths fitted to filmed landmarks.
type chainMotion struct {
	dt           float64
	pitch, spin  []float64                 // trunk pitch, rad, and its rate, rad/s
	joint, rate  [body.NumJoints][]float64 // joint angles and rates
	hipVX, hipVY []float64                 // m/s
	off          float64                   // SD of the landmarks about the chain, m
}

func (m *Model) chainMotion(mo body.Motion, use []body.Landmark) *chainMotion {
	n := len(mo.T)
	c := &chainMotion{dt: (mo.T[n-1] - mo.T[0]) / float64(n-1)}
	rate := func(g body.Segment) []float64 {
		a, b := g.Ends()
		if a == body.Fingertip {
			a = use[0]
		}
		return c.turning(mo, a, b, mo.SegmentAngle(g))
	}
	angle := mo.JointAngle
	var above, below []float64 // rates of the trunk at its ends
	if m.Bends() {
		angle, c.pitch = mo.BentJointAngle, mo.Waist()
		above = c.turning(mo, body.Shoulder, body.Rib, mo.Chest())
		below = c.turning(mo, body.Rib, body.Hip, c.pitch)
	} else {
		c.pitch = mo.SegmentAngle(body.Trunk)
		above = c.turning(mo, body.Shoulder, body.Hip, c.pitch)
		below = above
	}
	c.spin = below
	thighs, shanks := rate(body.Thighs), rate(body.Shanks)
	for j, d := range [body.NumJoints][2][]float64{
		body.ShoulderJoint: {rate(body.Arms), above}, body.HipJoint: {thighs, below},
		body.KneeJoint: {thighs, shanks}, body.AnkleJoint: {rate(body.Feet), shanks},
		body.SpineJoint: {above, below},
	} {
		c.joint[j], c.rate[j] = make([]float64, n), make([]float64, n)
		if body.Joint(j) == body.SpineJoint && !m.Bends() {
			continue
		}
		copy(c.joint[j], angle(body.Joint(j)))
		for i := range n {
			c.rate[j][i] = d[0][i] - d[1][i]
		}
	}
	m.fitHip(c, mo, use)
	return c
}

// turning returns the angular velocity of the line from landmark b to a, whose angle is th:
// from the paths' velocities where they have them, else by differences.
func (c *chainMotion) turning(mo body.Motion, from, to body.Landmark, th []float64) []float64 {
	a, b := mo.Paths[from], mo.Paths[to]
	if a.VX == nil || b.VX == nil {
		return series.Derivative(th, c.dt)
	}
	om := make([]float64, len(a.X))
	for i := range om {
		dx, dy := a.X[i]-b.X[i], a.Y[i]-b.Y[i]
		om[i] = (dx*(a.VY[i]-b.VY[i]) - dy*(a.VX[i]-b.VX[i])) / (dx*dx + dy*dy)
	}
	return om
}

// fitHip finds the hip's velocity as the mean over the landmarks of each one's place less
// its place on the chain.
func (m *Model) fitHip(c *chainMotion, mo body.Motion, use []body.Landmark) {
	n := len(mo.T)
	x, y := make([]float64, n), make([]float64, n)
	c.hipVX, c.hipVY = make([]float64, n), make([]float64, n)
	analytic := true
	for _, l := range use {
		analytic = analytic && mo.Paths[l].VX != nil
	}
	squares := 0.0
	k := 1 / float64(len(use))
	const h = 1e-5 // s, to differentiate the chain along its own motion
	for i := range n {
		now, before, after := m.chainAt(c, i, 0), m.chainAt(c, i, -h), m.chainAt(c, i, h)
		for _, l := range use {
			p := mo.Paths[l]
			x[i] += k * (p.X[i] - now[l].X)
			y[i] += k * (p.Y[i] - now[l].Y)
			if analytic {
				c.hipVX[i] += k * (p.VX[i] - (after[l].X-before[l].X)/(2*h))
				c.hipVY[i] += k * (p.VY[i] - (after[l].Y-before[l].Y)/(2*h))
			}
		}
		for _, l := range use {
			p := mo.Paths[l]
			dx, dy := p.X[i]-now[l].X-x[i], p.Y[i]-now[l].Y-y[i]
			squares += dx*dx + dy*dy
		}
	}
	c.off = math.Sqrt(squares / float64(2*len(use)*n))
	if !analytic {
		c.hipVX, c.hipVY = series.Derivative(x, c.dt), series.Derivative(y, c.dt)
	}
}

// chainAt returns the chain's landmarks about the hip on frame i, carried on by its rates
// for a time h.
func (m *Model) chainAt(c *chainMotion, i int, h float64) [body.NumLandmarks]body.Point {
	p := body.Posture{Pitch: c.pitch[i] + h*c.spin[i]}
	for j := range p.Joints {
		p.Joints[j] = c.joint[j][i] + h*c.rate[j][i]
	}
	return p.Landmarks(m.Chain, m.Subject.Height)
}

// filmedFrame returns the body and the hip's motion on frame i.
func (m *Model) filmedFrame(c *chainMotion, i int) (f frame, v hipMotion) {
	var angle, rate [body.NumJoints]float64
	for j := range angle {
		angle[j], rate[j] = c.joint[j][i], c.rate[j][i]
	}
	m.setFrame(&f, angle, rate)
	sin, cos := math.Sincos(c.pitch[i])
	return f, hipMotion{cos*c.hipVX[i] + sin*c.hipVY[i], cos*c.hipVY[i] - sin*c.hipVX[i], c.spin[i]}
}

// bend adds the forefoot's turn by its load to the ankle, as Swim does.
func (m *Model) bend(c *chainMotion) {
	w := make([]float64, len(c.pitch))
	largest := 0.0
	for i := range w {
		f, v := m.filmedFrame(c, i)
		_, across, rate := f.seg[body.Feet].velocity(v.x, v.y, v.om)
		w[i] = across - m.Chain[body.Feet].Length/2*rate
		largest = math.Max(largest, w[i]*w[i])
	}
	if largest == 0 {
		return
	}
	for i := range w {
		w[i] *= m.Coef.Forefoot * math.Abs(w[i]) / largest
	}
	for i, d := range series.Derivative(w, c.dt) {
		c.joint[body.AnkleJoint][i] += w[i]
		c.rate[body.AnkleJoint][i] += d
	}
}
