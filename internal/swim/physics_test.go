package swim

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/body"
	"underkick/internal/hydro"
	"underkick/internal/series"
)

// still returns a kick that does not move the joints.
func still(angles [body.NumJoints]float64) Kick {
	k := Kick{Tempo: 2}
	for j, a := range angles {
		k.Joints[j] = series.Fourier{Mean: a}
	}
	return k
}

// dry returns a model without drag and without shedding.
func dry() *Model {
	c := hydro.Default()
	c.NormalFeet, c.NormalLegs, c.NormalTrunk, c.PassiveArea, c.Shed = 0, 0, 0, 0, 0
	return NewModel(adult, ModelOptions{Coef: &c})
}

// launch returns a state with some hip motion, at phase 0.
func launch(m *Model, f []frame, pitch, vx, vy, om float64) state {
	sin, cos := math.Sincos(pitch)
	bx, by, h := m.momentum(&f[0], cos*vx+sin*vy, cos*vy-sin*vx, om)
	return state{th: pitch, px: cos*bx - sin*by, py: sin*bx + cos*by, h: h}
}

// A frame's velocities are the time derivatives of the landmarks' places.
func TestFrameVelocitiesAgainstDifferences(t *testing.T) {
	m, k := adultModel(), Reference()
	const n, h = 50, 1e-5
	frames := m.frames(k, n)
	place := func(phase float64) [body.NumLandmarks]body.Point {
		return body.Posture{Joints: k.Angles(phase)}.Landmarks(m.Chain, 1.8)
	}
	for i := range frames {
		phase := float64(i) / n
		before, now, after := place(phase-h), place(phase), place(phase+h)
		for g := range body.NumSegments {
			p := frames[i].seg[g]
			cranial, _ := body.Segment(g).Ends()
			vx := (after[cranial].X - before[cranial].X) / (2 * h) * k.Tempo
			vy := (after[cranial].Y - before[cranial].Y) / (2 * h) * k.Tempo
			near(t, "x", p.cx, now[cranial].X, 1e-12)
			near(t, "y", p.cy, now[cranial].Y, 1e-12)
			near(t, "u", p.u, vx*p.ex+vy*p.ey, 1e-6)
			near(t, "w", p.w, vy*p.ex-vx*p.ey, 1e-6)
		}
	}
}

// Momentum from hip motion and hip motion from momentum undo each other, and momentum
// is what summing small pieces of body and water gives.
func TestMomentumByPieces(t *testing.T) {
	m := adultModel()
	frames := m.frames(Reference(), 20)
	rng := rand.New(rand.NewPCG(1, 2))
	for i := range frames {
		f := &frames[i]
		vx, vy, om := rng.NormFloat64(), rng.NormFloat64(), 3*rng.NormFloat64()
		px, py, h := m.momentum(f, vx, vy, om)
		gx, gy, gom := f.motion(px, py, h)
		near(t, "vx", gx, vx, 1e-9)
		near(t, "vy", gy, vy, 1e-9)
		near(t, "om", gom, om, 1e-9)
		var sx, sy, sh float64
		add := func(mass, x, y, ux, uy float64) {
			sx, sy, sh = sx+mass*ux, sy+mass*uy, sh+mass*(x*uy-y*ux)
		}
		for g := range m.n {
			p, link := &f.seg[g], m.links[g]
			u, w, rate := p.velocity(vx, vy, om)
			// the body: two points of half the mass at the radius of gyration
			r := math.Sqrt(link.Inertia / link.Mass)
			for _, z := range []float64{link.Centre - r, link.Centre + r} {
				wz := w - z*rate
				add(link.Mass/2, p.cx-z*p.ex, p.cy-z*p.ey, u*p.ex-wz*p.ey, u*p.ey+wz*p.ex)
			}
			add(m.Coef.Surge*link.Mass, p.cx, p.cy, u*p.ex, u*p.ey)
			ca := m.Coef.AddedRest
			if body.Segment(g) == body.Feet {
				ca = m.Coef.AddedFeet
			}
			const pieces = 2000
			for c := range pieces {
				z := link.Length * (float64(c) + 0.5) / pieces
				b := link.Breadth.At(z)
				wz := w - z*rate
				add(ca*hydro.Density*math.Pi*b*b/4*link.Length/pieces, p.cx-z*p.ex, p.cy-z*p.ey, -wz*p.ey, wz*p.ex)
			}
		}
		near(t, "px", px, sx, 1e-3)
		near(t, "py", py, sy, 1e-3)
		near(t, "h", h, sh, 1e-3)
	}
}

// Without drag and shedding the momentum of body and carried water, and its moment about
// a fixed point, are conserved while the joints move.
func TestMomentumIsConserved(t *testing.T) {
	m := dry()
	k := Reference()
	frames := m.frames(k, 256)
	s := launch(m, frames, 0.2, 1.4, -0.3, 0.7)
	start := s.h + s.x*s.py - s.y*s.px
	for range 3 {
		end, _ := m.integrate(frames, 1/k.Tempo, s, &outside{kd: 1}, nil)
		near(t, "px", end.px, s.px, 1e-9)
		near(t, "py", end.py, s.py, 1e-9)
		near(t, "moment about the pool", end.h+end.x*end.py-end.y*end.px, start, 1e-6)
		s = end
	}
}

// Halving the step of a smooth motion lowers the error sixteenfold: fourth order.
func TestIntegratorIsFourthOrder(t *testing.T) {
	m, k := dry(), Reference()
	run := func(steps int) state {
		frames := m.frames(k, 2*steps)
		end, _ := m.integrate(frames, 1/k.Tempo, launch(m, frames, 0.2, 1.4, -0.3, 0.7), &outside{kd: 1}, nil)
		return end
	}
	fine := run(1024)
	off := func(steps int) float64 {
		s := run(steps)
		return math.Abs(s.x-fine.x) + math.Abs(s.y-fine.y) + math.Abs(s.th-fine.th) + math.Abs(s.h-fine.h)
	}
	if order := math.Log2(off(32) / off(64)); order < 3.6 || order > 4.6 {
		t.Errorf("order %.2f, want 4", order)
	}
}

// The speed of a swim settles with the step. Where the feet always slide forwards faster
// than 0.2 m/s, 48 steps give 1e-5 m/s; where they slide backwards for a moment (some rigid
// kicks), the kinks of the shedding ramp leave 2e-3.
func TestStepSize(t *testing.T) {
	m := adultModel()
	for i, k := range append(Templates(), Reference()) {
		fine := swim(t, m, k, Options{RigidFoot: true, Steps: 256})
		tol := 2e-5
		for c := range fine.trail {
			f, v := fine.at(c)
			if u, _, _ := f.seg[body.Feet].velocity(v.x, v.y, v.om); u < 0.25 {
				tol = 2e-3
			}
		}
		near(t, fmt.Sprint("kick ", i), swim(t, m, k, Options{RigidFoot: true}).Speed, fine.Speed, tol)
	}
}

// A straight passive body, towed: the tow is its drag, 1/2 rho CdA v2.
func TestTowedStraightBody(t *testing.T) {
	m := adultModel()
	for _, v := range []float64{1, 1.7, 2.4} {
		o := swim(t, m, still([body.NumJoints]float64{}), Options{TowSpeed: v})
		near(t, "tow", o.Tow, hydro.Drag(hydro.Density, m.DragArea(), v), 1e-3)
	}
}

// A straight passive body glides by the closed form, with the water it carries along.
func TestStraightBodyGlides(t *testing.T) {
	m := adultModel()
	frames := m.frames(still([body.NumJoints]float64{}), 100)
	s := launch(m, frames, 0, 2.2, 0, 0)
	end, _ := m.integrate(frames, 1.5, s, &outside{kd: 1}, nil)
	mass := m.Chain.Mass()
	g := hydro.NewGlide(hydro.Density*m.DragArea()/2, mass, m.Coef.Surge*mass)
	near(t, "way", end.x, g.DistanceAfter(2.2, 1.5), 1e-6)
	near(t, "speed", end.px/(mass*(1+m.Coef.Surge)), g.SpeedAfter(2.2, 1.5), 1e-6)
	near(t, "depth", end.y, 0, 1e-12)
}

// energy returns the kinetic energy of body and carried water, J: half of momentum times
// velocity, segment by segment.
func energy(m *Model, f *frame, v hipMotion) float64 {
	e := 0.0
	for g := range m.n {
		p, link, st := &f.seg[g], &m.links[g], m.strips[g]
		u, w, rate := p.velocity(v.x, v.y, v.om)
		along, across, moment := st.Carried(u, w, rate)
		wc := w - link.Centre*rate
		e += (link.Mass*(u*u+wc*wc) + link.Inertia*rate*rate + along*u + across*w + moment*rate) / 2
	}
	return e
}

// A bent stiff body thrown through the water loses exactly the energy that drag and
// wake take.
func TestStiffBodyEnergy(t *testing.T) {
	m := adultModel()
	k := still([body.NumJoints]float64{0.1, 0.5, 0.9, 0.4})
	const steps, period = 600, 0.6
	frames := m.frames(k, 2*steps)
	o := &Orbit{Kick: k, model: m, frames: frames, trail: make([]state, steps), out: outside{kd: 1}}
	m.integrate(frames, period, launch(m, frames, 0.3, 1.8, 0.2, -1), &o.out, o.trail)
	f0, v0 := o.at(0)
	lost := 0.0
	for i := range steps - 1 {
		a, b := o.instant(i), o.instant(i+1)
		lost += (a.loss + a.wake + b.loss + b.wake) / 2 * period / steps
	}
	f1, v1 := o.at(steps - 1)
	drop := energy(m, f0, v0) - energy(m, f1, v1)
	if drop < 20 {
		t.Fatalf("only %.1f J lost: the test sees nothing", drop)
	}
	near(t, "energy lost", lost/drop, 1, 0.002)
}

// part returns the momentum and moment about the hip of the segments from a to b in the
// pool's axes, and the water's force and moment on them other than carried momentum.
func part(o *Orbit, i int, a, b body.Segment) (px, py, h, fx, fy, mo float64) {
	f, v := o.at(i)
	m := o.model
	for g := a; g <= b; g++ {
		p, link, st := &f.seg[g], &m.links[g], m.strips[g]
		u, w, rate := p.velocity(v.x, v.y, v.om)
		rx, ry := p.cx-link.Centre*p.ex, p.cy-link.Centre*p.ey
		wc := w - link.Centre*rate
		bx, by := link.Mass*(u*p.ex-wc*p.ey), link.Mass*(u*p.ey+wc*p.ex)
		along, across, moment := st.Carried(u, w, rate)
		px += bx + along*p.ex - across*p.ey
		py += by + along*p.ey + across*p.ex
		h += rx*by - ry*bx + link.Inertia*rate + along*p.along + across*p.across + moment
		drag, dragMoment, _ := st.NormalDrag(w, rate)
		fe, fn := o.out.kd*st.AlongDrag(u), drag
		mo += dragMoment
		if g == body.Feet {
			e, n := hydro.Flux(hydro.Shedding(u)*st.Caudal, u, w-st.Length*rate)
			fe, fn, mo = fe+e, fn+n, mo-st.Length*n
		}
		fx, fy = fx+fe*p.ex-fn*p.ey, fy+fe*p.ey+fn*p.ex
		mo += fe*p.along + fn*p.across
	}
	sin, cos := math.Sincos(o.trail[i].th)
	return cos*px - sin*py, sin*px + cos*py, h, cos*fx - sin*fy, sin*fx + cos*fy, mo
}

// The work of the joints, found from the torques that each distal part of the chain needs
// (Newton and Euler), equals what drag and wake take over a kick. The part's equations
// are not those the solver integrates.
func TestJointPowerEqualsLosses(t *testing.T) {
	m := adultModel()
	const n = 200
	o := swim(t, m, Reference(), Options{RigidFoot: true, Steps: n})
	dt := o.Period() / n
	rate := func(x []float64) []float64 {
		f := series.Harmonics(x, 60)
		d := make([]float64, n)
		for i := range d {
			_, d[i] = valueAndRate(f, float64(i)/n, o.Kick.Tempo)
		}
		return d
	}
	work, lost := 0.0, 0.0
	for _, j := range []struct{ from, to, end, other body.Segment }{
		{body.Arms, body.Arms, body.Arms, body.Trunk},
		{body.Thighs, body.Feet, body.Thighs, body.Trunk},
		{body.Shanks, body.Feet, body.Shanks, body.Thighs},
		{body.Feet, body.Feet, body.Feet, body.Shanks},
	} {
		var p [3][]float64
		var load [3][]float64
		for i := range n {
			px, py, h, fx, fy, mo := part(o, i, j.from, j.to)
			for c, v := range []float64{px, py, h} {
				p[c] = append(p[c], v)
			}
			for c, v := range []float64{fx, fy, mo} {
				load[c] = append(load[c], v)
			}
		}
		dpx, dpy, dh := rate(p[0]), rate(p[1]), rate(p[2])
		for i := range n {
			f, _ := o.at(i)
			vx, vy, _ := o.world(i)
			// moment about the moving hip, then about the joint: force times its place
			jx, jy := dpx[i]-load[0][i], dpy[i]-load[1][i]
			torque := dh[i] + vx*p[1][i] - vy*p[0][i] - load[2][i]
			seg := f.seg[j.end]
			x, y := seg.cx, seg.cy
			if j.end == body.Arms { // the shoulder is the arms' caudal end
				x, y = f.seg[body.Trunk].cx, f.seg[body.Trunk].cy
			}
			sin, cos := math.Sincos(o.trail[i].th)
			torque -= (cos*x-sin*y)*jy - (sin*x+cos*y)*jx
			work += dt * torque * (f.seg[j.end].rate - f.seg[j.other].rate)
		}
	}
	for i := range n {
		in := o.instant(i)
		_, vy, om := o.world(i)
		lost += dt * (in.loss + in.wake - o.Trim*vy - o.TrimMoment*om)
	}
	near(t, "work over losses", work/lost, 1, 0.002)
	near(t, "power", lost*o.Kick.Tempo, o.Loads().Power, 0.1)
}

// With quadratic loads and no gravity speed goes with tempo, power with its cube; only the
// shedding ramp below 0.2 m/s knows a speed, hence 1e-4.
func TestTempoScaling(t *testing.T) {
	m, k := adultModel(), Reference()
	a := swim(t, m, k, Options{})
	la := a.Loads()
	for _, f := range []float64{1.6, 2.6, 3} {
		k.Tempo = f
		b := swim(t, m, k, Options{})
		lb := b.Loads()
		ratio := f / a.Kick.Tempo
		near(t, "speed over tempo", b.Speed/f/(a.Speed/a.Kick.Tempo), 1, 1e-4)
		near(t, "Strouhal number", lb.Strouhal, la.Strouhal, 1e-3)
		near(t, "power over tempo cubed", lb.Power/la.Power/math.Pow(ratio, 3), 1, 1e-3)
		near(t, "push over tempo", lb.Drag/la.Drag/ratio, 1, 1e-3)
	}
}

// A body twice as long with eight times the mass kicks at half the tempo and the same
// speed: drag areas go with mass^(2/3), lengths with height.
func TestBodyScaling(t *testing.T) {
	k := Reference()
	small := swim(t, NewModel(body.Subject{Height: 0.9, Mass: 75.0 / 8, Sex: body.Male}, ModelOptions{}), k, Options{})
	k.Tempo /= 2
	large := swim(t, adultModel(), k, Options{})
	near(t, "speed", large.Speed/small.Speed, 1, 1e-4)
}

// Seen upside down, a swimmer swims as fast; trim and heave change sign.
func TestMirrorSymmetry(t *testing.T) {
	m, k := adultModel(), Reference()
	k.Pitch = 0.05
	flipped := k
	flipped.Pitch = -k.Pitch
	for j, f := range k.Joints {
		flipped.Joints[j] = affine(f, 0, -1, 0)
	}
	a, b := swim(t, m, k, Options{}), swim(t, m, flipped, Options{})
	near(t, "speed", a.Speed, b.Speed, 1e-5)
	near(t, "trim", a.Trim, -b.Trim, 1e-3)
	near(t, "trim moment", a.TrimMoment, -b.TrimMoment, 1e-3)
	near(t, "heave", a.At(0.3).Heave, -b.At(0.3).Heave, 1e-5)
}

// Where a kick starts is a convention.
func TestPhaseShift(t *testing.T) {
	m, k := adultModel(), Reference()
	moved := k
	const shift = 0.37
	for j, f := range k.Joints {
		x := make([]float64, 16)
		for i := range x {
			x[i] = f.At(float64(i)/16 + shift)
		}
		moved.Joints[j] = series.Harmonics(x, 2)
	}
	a, b := swim(t, m, k, Options{RigidFoot: true}), swim(t, m, moved, Options{RigidFoot: true})
	near(t, "speed", a.Speed, b.Speed, 1e-4)
	near(t, "pitch", a.At(0.5+shift).Pitch, b.At(0.5).Pitch, 1e-4)
}
