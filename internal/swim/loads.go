package swim

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/series"
)

// Loads are the water's loads over one kick of a steady swim: model estimates.
// Propulsive means the reactive force (carried momentum and the flux shed at the
// toes) plus the drag across the segments; what is left is the drag along them.
type Loads struct {
	Top, Bottom  float64 // phases of the highest and lowest toe position, cycles; Top in [0, 1), Bottom in [Top, Top+1)
	ToeTravel    float64 // highest to lowest toe position, m
	DownFraction float64 // share of the kick spent in the downkick
	Strouhal     float64 // tempo times toe travel over speed

	PushDown, PushUp float64                   // propulsive impulse of downkick and upkick along the travel line, N s
	Push             [body.NumSegments]float64 // propulsive impulse of each segment over the kick, N s; how a joint's flux is shared is a convention
	Drag             float64                   // impulse of the drag along the body, N s, positive against travel

	NetMax, NetMin float64 // largest and smallest net horizontal force on the body, N
	Power          float64 // mean mechanical power, W
	Wake           float64 // part of it left in the wake shed at the toes, W
	Efficiency     float64 // thrust times speed over power
}

// Loads returns the loads of the swim.
func (o *Orbit) Loads() Loads {
	n := len(o.trail)
	dt := o.Period() / float64(n)
	var l Loads
	push := make([]float64, n)    // propulsive force less the rate of carried momentum, N
	carried := make([]float64, n) // carried momentum along x, N s
	mass := make([]float64, n)    // the body's own momentum along x, N s
	for i := range n {
		w := o.instant(i)
		for g := range w.push {
			l.Push[g] += dt * w.push[g]
			push[i] += w.push[g]
		}
		carried[i], mass[i] = sum(w.carried), w.own
		l.Drag += dt * w.drag
		l.Power += (w.loss + w.wake) / float64(n)
		l.Wake += w.wake / float64(n)
	}
	// The tow does part of the work; the trim does none over a whole kick.
	l.Power -= o.Tow * o.Speed
	total := sum(l.Push)
	o.phases(&l)
	l.PushDown = between(push, dt, l.Top, l.Bottom) - (sample(carried, l.Bottom) - sample(carried, l.Top))
	l.PushUp = total - l.PushDown
	l.NetMax, l.NetMin = netForce(mass, o.Period())
	l.Efficiency = total * o.Kick.Tempo * o.Speed / l.Power
	return l
}

// phases finds the toe's highest and lowest positions and what follows from them.
func (o *Orbit) phases(l *Loads) {
	l.Top, l.Bottom, l.ToeTravel = o.Toe()
	l.DownFraction = l.Bottom - l.Top
	l.Strouhal = o.Kick.Tempo * l.ToeTravel / o.Speed
}

// Toe returns the phases of the toe's highest and lowest position in the pool (top in
// [0, 1), bottom in [top, top+1)) and the travel between them, m.
func (o *Orbit) Toe() (top, bottom, travel float64) {
	n := len(o.trail)
	toe := make([]float64, n)
	for i := range toe {
		p := body.Posture{Hip: body.Point{Y: o.trail[i].y}, Pitch: o.trail[i].th, Joints: o.Kick.Angles(float64(i) / float64(n))}
		toe[i] = p.Landmarks(o.model.Chain, o.model.Subject.Height)[body.Toe].Y
	}
	return topAndBottom(toe)
}

// topAndBottom finds the highest and the lowest of evenly spaced values over a cycle.
func topAndBottom(y []float64) (top, bottom, travel float64) {
	top, high := peak(y, 1)
	bottom, low := peak(y, -1)
	if bottom < top {
		bottom++
	}
	return top, bottom, high - low
}

// peak returns the phase in [0, 1) and the value of the largest (sign 1) or smallest
// (sign -1) of evenly spaced values over one cycle, by the parabola through three.
func peak(x []float64, sign float64) (phase, value float64) {
	n := len(x)
	top := 0
	for i, v := range x {
		if sign*v > sign*x[top] {
			top = i
		}
	}
	a, b, c := x[(top+n-1)%n], x[top], x[(top+1)%n]
	d := 0.0
	if bend := a - 2*b + c; bend != 0 {
		d = (a - c) / (2 * bend)
	}
	phase = (float64(top) + d) / float64(n)
	return phase - math.Floor(phase), b - (a-c)*d/4
}

// sample returns evenly spaced periodic values at a phase, by the cubic through four.
func sample(x []float64, phase float64) float64 {
	n := len(x)
	p := (phase - math.Floor(phase)) * float64(n)
	i := int(p)
	u := p - float64(i)
	a, b, c, d := x[(i+n-1)%n], x[i%n], x[(i+1)%n], x[(i+2)%n]
	return b + u*((c-a)/2+u*((a-2.5*b+2*c-d/2)+u*(1.5*(b-c)+(d-a)/2)))
}

// between returns the integral of evenly spaced periodic values, dt apart, over the
// phases from a to b, by the midpoint rule on the cubic through them.
func between(x []float64, dt, a, b float64) float64 {
	count := 4 * len(x)
	sum := 0.0
	for i := range count {
		sum += sample(x, a+(b-a)*(float64(i)+0.5)/float64(count))
	}
	return sum * (b - a) * dt * float64(len(x)) / float64(count)
}

// netForce returns the largest and smallest rate of evenly spaced periodic values over
// a cycle of the given period, from the curve of as many harmonics as they allow.
func netForce(momentum []float64, period float64) (largest, smallest float64) {
	f := series.Harmonics(momentum, (len(momentum)-1)/2)
	largest, smallest = math.Inf(-1), math.Inf(1)
	const fine = 256
	for i := range fine {
		_, rate := valueAndRate(f, float64(i)/fine, 1/period)
		largest, smallest = math.Max(largest, rate), math.Min(smallest, rate)
	}
	return largest, smallest
}
