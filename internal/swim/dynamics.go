package swim

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/hydro"
)

// state is the integrated state: hip position, trunk pitch, momentum of body and
// carried water in the pool's axes, and their moment about the moving hip.
type state struct{ x, y, th, px, py, h float64 }

func (s state) plus(k float64, d state) state {
	return state{s.x + k*d.x, s.y + k*d.y, s.th + k*d.th, s.px + k*d.px, s.py + k*d.py, s.h + k*d.h}
}

// outside are the loads that do not come from the water, and the personal drag factor.
type outside struct {
	kd     float64 // factor on the drag along the body
	fx, fy float64 // tow and trim force at the hip, N
	moment float64 // trim moment, N m
}

// derivative returns the state's time derivative at a phase.
func (m *Model) derivative(f *frame, s state, o *outside) state {
	sin, cos := math.Sincos(s.th)
	bpx, bpy := cos*s.px+sin*s.py, cos*s.py-sin*s.px
	vx, vy, om := f.motion(bpx, bpy, s.h)
	fx, fy, h := m.waterLoads(f, vx, vy, om, o.kd)
	return state{
		x: cos*vx - sin*vy, y: sin*vx + cos*vy, th: om,
		px: cos*fx - sin*fy + o.fx,
		py: sin*fx + cos*fy + o.fy,
		h:  h + o.moment - (vx*bpy - vy*bpx),
	}
}

// waterLoads returns the force (trunk's axes) and moment about the hip of all water
// loads that are not carried momentum: drag and the flux shed at the toes.
func (m *Model) waterLoads(f *frame, vx, vy, om, kd float64) (fx, fy, h float64) {
	for g := range m.n {
		p, st := &f.seg[g], m.strips[g]
		u, w, rate := p.velocity(vx, vy, om)
		across, moment, _ := st.NormalDrag(w, rate)
		along := kd * st.AlongDrag(u)
		arm := 0.0
		if body.Segment(g) == body.Feet {
			wt := w - st.Length*rate
			a, n := hydro.Flux(m.Coef.Shed*hydro.Shedding(u)*st.Caudal, u, wt)
			along += a
			across += n
			arm = -st.Length * n // the flux acts at the toe
		}
		fx += along*p.ex - across*p.ey
		fy += along*p.ey + across*p.ex
		h += along*p.along + across*p.across + moment + arm
	}
	return fx, fy, h
}

// velocity returns the velocity of the segment's cranial end along and across it and
// its angular velocity, for the hip's motion in the trunk's axes.
func (p *place) velocity(vx, vy, om float64) (u, w, rate float64) {
	return vx*p.ex + vy*p.ey + om*p.along + p.u, vy*p.ex - vx*p.ey + om*p.across + p.w, om + p.rate
}

// integrate runs one kick of period T from s by classical Runge-Kutta with one step
// for each second frame, and returns the end state and the mean pitch. trail, if not
// nil, takes the state at the start of every step.
func (m *Model) integrate(frames []frame, period float64, s state, o *outside, trail []state) (state, float64) {
	steps := len(frames) / 2
	h := period / float64(steps)
	pitch := 0.0
	for i := range steps {
		if trail != nil {
			trail[i] = s
		}
		here, mid, next := &frames[2*i], &frames[2*i+1], &frames[(2*i+2)%len(frames)]
		k1 := m.derivative(here, s, o)
		k2 := m.derivative(mid, s.plus(h/2, k1), o)
		k3 := m.derivative(mid, s.plus(h/2, k2), o)
		k4 := m.derivative(next, s.plus(h, k3), o)
		end := s.plus(h/6, k1).plus(h/3, k2).plus(h/3, k3).plus(h/6, k4)
		// integral of the cubic Hermite curve of pitch over the step
		pitch += (s.th+end.th)/2 + h/12*(k1.th-k4.th)
		s = end
	}
	return s, pitch / float64(steps)
}
