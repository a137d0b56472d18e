package swim

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/hydro"
)

// perSegment holds one number for each segment.
type perSegment = [body.NumSegments]float64

// instant is the water's loads at one instant, along the travel line.
type instant struct {
	push    perSegment // flux through the ends and drag across, N
	carried perSegment // momentum of the water carried along, N s
	own     float64    // momentum of the body itself, N s
	drag    float64    // drag along the segments, N, positive backwards
	loss    float64    // power lost to drag, W
	wake    float64    // power left in the wake, W
}

// instant returns the loads at the start of step i.
func (o *Orbit) instant(i int) instant {
	f, v := o.at(i)
	return o.model.instant(f, v, o.trail[i].th, o.out.kd)
}

// instant returns the loads on a body in frame f whose hip moves by v (trunk's axes), with
// trunk pitch th and drag factor kd.
func (m *Model) instant(f *frame, v hipMotion, th, kd float64) instant {
	sin, cos := math.Sincos(th)
	var in instant
	var into, out [maxLinks]float64 // flux at the cranial and caudal ends
	var across, carried [maxLinks]float64
	for g := range m.n {
		p, link, st := &f.seg[g], &m.links[g], m.strips[g]
		u, w, rate := p.velocity(v.x, v.y, v.om)
		ex, nx := cos*p.ex-sin*p.ey, -(sin*p.ex + cos*p.ey) // x of e and n in the pool
		end := w - st.Length*rate
		a, n := hydro.Flux(st.Cranial, u, w)
		into[g] = a*ex + n*nx
		a, n = hydro.Flux(st.Caudal, u, end)
		out[g] = a*ex + n*nx
		drag, _, loss := st.NormalDrag(w, rate)
		along := kd * st.AlongDrag(u)
		across[g] = drag * nx
		in.drag -= along * ex
		in.loss += loss - along*u
		a, n, _ = st.Carried(u, w, rate)
		carried[g] = a*ex + n*nx
		in.own += link.Mass * (u*ex + (w-link.Centre*rate)*nx)
		if body.Segment(g) == body.Feet {
			s := m.Coef.Shed * hydro.Shedding(u)
			out[g] *= s
			in.wake = s * st.Caudal * u * end * end / 2
		}
	}
	if m.Bends() { // one trunk in the sums
		into[body.Trunk] = into[chest]
		across[body.Trunk] += across[chest]
		carried[body.Trunk] += carried[chest]
	}
	copy(in.carried[:], carried[:])
	copy(in.push[:], across[:])
	for g := range in.push { // a joint's flux is the mean of its two sides
		if g > 0 {
			in.push[g] -= (into[g] + out[g-1]) / 2
		}
		if g < body.NumSegments-1 {
			in.push[g] += (out[g] + into[g+1]) / 2
		} else {
			in.push[g] += out[g]
		}
	}
	return in
}

func sum(x perSegment) float64 {
	total := 0.0
	for _, v := range x {
		total += v
	}
	return total
}
