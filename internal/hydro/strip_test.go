package hydro

import (
	"math"
	"testing"
)

// plate returns a rectangular plate.
func plate(length, b float64) *Strip {
	return NewStrip([]float64{0, length}, []float64{b, b}, StripOptions{Density: 1000, Added: 1, Normal: 2, Area: 0.01, Surge: 3})
}

// Closed forms of a plate: added mass and moments of a uniform strip, drag of a plate
// square to the flow and of one spinning about its end.
func TestPlateClosedForms(t *testing.T) {
	const l, b = 0.5, 0.2
	s := plate(l, b)
	m := 1000 * math.Pi * b * b / 4
	near(t, "mu0", s.Mu0, m*l, 1e-9)
	near(t, "mu1", s.Mu1, m*l*l/2, 1e-9)
	near(t, "mu2", s.Mu2, m*l*l*l/3, 1e-9)
	near(t, "caudal", s.Caudal, m, 1e-12)

	force, moment, loss := s.NormalDrag(1.5, 0)
	near(t, "square force", force, -0.5*1000*2*b*l*1.5*1.5, 1e-9)
	near(t, "square moment", moment, 0.5*1000*2*b*1.5*1.5*l*l/2, 1e-9)
	near(t, "square loss", loss, 0.5*1000*2*b*l*1.5*1.5*1.5, 1e-9)

	const om = 3.0
	force, moment, loss = s.NormalDrag(0, om)
	near(t, "spinning force", force, 0.5*1000*2*b*om*om*l*l*l/3, 1e-9)
	near(t, "spinning moment", moment, -0.5*1000*2*b*om*om*math.Pow(l, 4)/4, 1e-9)
	near(t, "spinning loss", loss, 0.5*1000*2*b*math.Pow(om, 3)*math.Pow(l, 4)/4, 1e-9)
	near(t, "loss is moment times rate", loss, -moment*om, 1e-9)

	near(t, "along", s.AlongDrag(2), -0.5*1000*0.01*4, 1e-9)
	near(t, "along, backwards", s.AlongDrag(-2), 0.5*1000*0.01*4, 1e-9)
}

// Sign change or not, drag is the integral over the strip, here by 200000 small pieces; and
// the power lost is what drag takes from the motion. Tolerance: four Gauss points do not
// see the place where w changes sign.
func TestNormalDragByPieces(t *testing.T) {
	s := NewStrip([]float64{0, 0.2, 0.5}, []float64{0.1, 0.3, 0.2}, StripOptions{Normal: 1.3})
	for _, c := range []struct{ w, om, tol float64 }{{2, 1, 1e-6}, {-2, 1, 1e-6}, {0.5, -4, 1e-6}, {0, 3, 1e-6}, {1, 4, 0.02}, {-0.6, -2, 0.02}} {
		var force, moment, loss float64
		const n = 200000
		for i := range n {
			z := 0.5 * (float64(i) + 0.5) / n
			b := 0.1 + z
			if z > 0.2 {
				b = 0.3 - (z-0.2)/3
			}
			v := c.w - z*c.om
			f := 0.5 * Density * 1.3 * b * math.Abs(v) * v * 0.5 / n
			force, moment, loss = force-f, moment+z*f, loss+f*v
		}
		gotF, gotM, gotL := s.NormalDrag(c.w, c.om)
		scale := 0.5 * Density * 1.3 * 0.3 * 0.5 * 0.25
		near(t, "force", gotF/scale, force/scale, c.tol)
		near(t, "moment", gotM/scale, moment/scale, c.tol)
		near(t, "loss", gotL/scale, loss/scale, c.tol)
	}
}

// A linear taper: b(z) = z gives m ~ z2 and moments L3/3, L4/4, L5/5.
func TestTaperedMomentsAreExact(t *testing.T) {
	const l = 0.7
	s := NewStrip([]float64{0, l}, []float64{0, l}, StripOptions{Density: 1, Added: 4 / math.Pi})
	near(t, "mu0", s.Mu0, math.Pow(l, 3)/3, 1e-14)
	near(t, "mu1", s.Mu1, math.Pow(l, 4)/4, 1e-14)
	near(t, "mu2", s.Mu2, math.Pow(l, 5)/5, 1e-14)
}

// Carried momentum is the integral of m(z) w(z) n, and kinetic energy is half of
// momentum times velocity.
func TestCarried(t *testing.T) {
	s := NewStrip([]float64{0, 0.2, 0.5}, []float64{0.1, 0.3, 0.2}, StripOptions{Added: 0.7, Surge: 2})
	const u, w, om = 1.2, -0.8, 4.0
	along, across, moment := s.Carried(u, w, om)
	wantP, wantH, energy := 0.0, 0.0, s.Surge*u*u/2
	const n = 20000
	for i := range n {
		z := 0.5 * (float64(i) + 0.5) / n
		b := 0.1 + z
		if z > 0.2 {
			b = 0.3 - (z-0.2)/3
		}
		m := 0.7 * Density * math.Pi * b * b / 4 * 0.5 / n
		v := w - z*om
		wantP += m * v
		wantH -= m * v * z
		energy += m * v * v / 2
	}
	near(t, "along", along, 2*u, 1e-12)
	near(t, "across", across, wantP, 1e-6)
	near(t, "moment", moment, wantH, 1e-6)
	near(t, "energy", (along*u+across*w+moment*om)/2, energy, 1e-6)
}

func TestFluxAndShedding(t *testing.T) {
	along, across := Flux(20, 1.5, -2)
	near(t, "along", along, 40, 1e-12)
	near(t, "across", across, 60, 1e-12)
	// Power of the flux on the section's own velocity: -1/2 m u w2, the wake's energy.
	near(t, "power", along*1.5+across*-2, -0.5*20*1.5*4, 1e-12)
	for u, want := range map[float64]float64{-1: 0, 0: 0, 0.1: 0.5, 0.2: 1, 3: 1} {
		near(t, "shedding", Shedding(u), want, 1e-12)
	}
}

func TestStripRefusesNonsense(t *testing.T) {
	for name, f := range map[string]func(){
		"lengths": func() { NewStrip([]float64{0, 1}, []float64{1}, StripOptions{}) },
		"order":   func() { NewStrip([]float64{0, 1, 1}, []float64{1, 1, 1}, StripOptions{}) },
		"start":   func() { NewStrip([]float64{0.1, 1}, []float64{1, 1}, StripOptions{}) },
		"glide":   func() { NewGlide(0, 70, 0) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: want a panic", name)
				}
			}()
			f()
		}()
	}
}

// A small wave on 60 rigid strips makes the thrust of Lighthill's theory (1960): the
// mean of Flux at the tail, at three speeds. Tolerance 1.5 %: amplitude and the
// strips' finite length.
func TestSmallWaveThrust(t *testing.T) {
	const (
		length, segments, steps = 1.0, 60, 400
		a, f, c                 = 0.01, 2.0, 3.0
	)
	for _, u0 := range []float64{0.5, 1.5, 2.5} {
		s := plate(length/segments, 0.2)
		mean := 0.0
		for i := range steps {
			tm := float64(i) / steps / f
			// Ends of the last strip: body from x = 0 back to -1, tail at -1.
			y := func(x, tm float64) float64 { return a * math.Sin(2*math.Pi*f*(tm+x/c)) }
			v := func(x float64) float64 { return 2 * math.Pi * f * a * math.Cos(2*math.Pi*f*(tm+x/c)) }
			const x0, x1 = -length + length/segments, -length
			th := math.Atan2(y(x0, tm)-y(x1, tm), x0-x1)
			om := (v(x0) - v(x1)) / s.Length * math.Cos(th) * math.Cos(th)
			sin, cos := math.Sincos(th)
			u := u0*cos + v(x0)*sin
			w := -u0*sin + v(x0)*cos - s.Length*om
			along, across := Flux(s.Caudal, u, w)
			mean += (along*cos - across*sin) / steps
		}
		want, _ := Wave{A: a, F: f, C: c, U: u0, S: 0.2}.Slender(1000)
		near(t, "thrust over theory", mean/want, 1, 0.015)
	}
}

// A glide integrated step by step (RK4) follows the closed forms.
func TestGlideAgainstIntegration(t *testing.T) {
	g := NewGlide(20, 60, 15)
	v, x := 2.3, 0.0
	const dt, n = 0.001, 1500
	acc := func(v float64) float64 { return -g.Rate * v * v }
	for range n {
		k1 := acc(v)
		k2 := acc(v + dt/2*k1)
		k3 := acc(v + dt/2*k2)
		k4 := acc(v + dt*k3)
		x += dt * (v + dt*(k1+k2+k3)/6)
		v += dt * (k1 + 2*k2 + 2*k3 + k4) / 6
	}
	near(t, "speed", g.SpeedAfter(2.3, dt*n), v, 1e-9)
	near(t, "way", g.DistanceAfter(2.3, dt*n), x, 1e-9)
	near(t, "speed at x", g.SpeedAt(2.3, x), v, 1e-9)
	near(t, "time to x", g.TimeTo(2.3, x), dt*n, 1e-8)
	way, time := g.Slowing(2.3, v)
	near(t, "slowing way", way, x, 1e-9)
	near(t, "slowing time", time, dt*n, 1e-8)
}
