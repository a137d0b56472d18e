package swim

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/body"
	"underkick/internal/series"
)

// film returns the landmarks of a swim over some kicks and a bit, at a frame rate, with noise
// of an SD (m), low-passed at a cut-off (Hz; 0 = not).
func film(o *Orbit, rate, sd, cutoff float64) body.Motion {
	var t []float64
	for i := 0; float64(i)/rate < 6/o.Kick.Tempo; i++ {
		t = append(t, float64(i)/rate)
	}
	mo := o.Motion(t, 0)
	rng := rand.New(rand.NewPCG(9, 9))
	for _, p := range mo.Paths {
		for i := range t {
			p.X[i] += sd * rng.NormFloat64()
			p.Y[i] += sd * rng.NormFloat64()
		}
		if cutoff > 0 {
			p.X, p.Y = series.LowPass(p.X, rate, cutoff), series.LowPass(p.Y, rate, cutoff)
		}
	}
	return mo
}

// The loads put on filmed landmarks give back the push of the swim they were filmed from.
// Figures of an independent earlier implementation: foot 30.70, total 34.27 N s, drag factor
// 1.002 for clean landmarks at 240 fps, 40 Hz; tolerances 3 %, 4 %, 0.03.
func TestFilmedRoundTrip(t *testing.T) {
	m := adultModel()
	o := swim(t, m, Reference(), Options{RigidFoot: true})
	f, err := m.Filmed(film(o, 240, 0, 40), true)
	if err != nil {
		t.Fatal(err)
	}
	T := o.Period()
	p := f.Between(T, 5*T)
	near(t, "foot", p.Push[body.Feet]/4, 30.70, 0.03*30.70)
	near(t, "total", p.Total()/4, 34.27, 0.04*34.27)
	near(t, "drag factor", p.Factor(), 1.002, 0.03)
	near(t, "off the chain", f.Off, 0, 2e-3)
	// Closer: against this package's own swim, and by phase.
	l := o.Loads()
	for g := range l.Push {
		near(t, body.Segment(g).String(), p.Push[g]/4, l.Push[g], 0.15)
	}
	down := f.Between((1+l.Top)*T, (1+l.Bottom)*T)
	near(t, "downkick", down.Total(), l.PushDown, 0.02*l.PushDown)
}

// With a bending forefoot, at a camera's rate, the swim's drag factor comes back.
func TestFilmedBendingForefoot(t *testing.T) {
	m := adultModel()
	o := swim(t, m, Reference(), Options{TargetSpeed: 1.30})
	f, err := m.Filmed(film(o, 120, 0, 15), false)
	if err != nil {
		t.Fatal(err)
	}
	p := f.Between(o.Period(), 5*o.Period())
	near(t, "drag factor", p.Factor(), o.DragFactor, 0.03*o.DragFactor)
	near(t, "gain over whole kicks", p.Gain, 0, 0.5)
	near(t, "total", p.Total()/4, o.DragFactor*p.Drag/4, 0.03*p.Drag/4)
}

// Noise of 4 mm at 120 fps and 8 Hz leaves the push of five kicks within 7 %: filtering
// takes some 3 %, noise the rest.
func TestFilmedWithNoise(t *testing.T) {
	m := adultModel()
	o := swim(t, m, Reference(), Options{RigidFoot: true})
	f, err := m.Filmed(film(o, 120, 0.004, 8), true)
	if err != nil {
		t.Fatal(err)
	}
	p := f.Between(o.Period(), 5*o.Period())
	l := o.Loads()
	near(t, "total", p.Total()/4, l.Drag, 0.07*l.Drag)
	near(t, "foot", p.Push[body.Feet]/4, l.Push[body.Feet], 0.07*l.Push[body.Feet])
	if f.Off < 0.0005 || f.Off > 0.004 {
		t.Errorf("off the chain by %.4f m; filtered noise of 4 mm expected", f.Off)
	}
}

// Velocities that come with the paths are used: at 60 fps, where central differences lose 3 %
// of the foot's speed, analytic ones lose nothing.
func TestFilmedUsesGivenVelocities(t *testing.T) {
	m := adultModel()
	o := swim(t, m, Reference(), Options{RigidFoot: true})
	mo := film(o, 60, 0, 0)
	const h = 1e-4
	shift := func(d float64) body.Motion {
		t := make([]float64, len(mo.T))
		for i := range t {
			t[i] = mo.T[i] + d
		}
		return o.Motion(t, 0)
	}
	a, b := shift(-h), shift(h)
	for l, p := range mo.Paths {
		for i := range mo.T {
			p.VX = append(p.VX, (b.Paths[l].X[i]-a.Paths[l].X[i])/(2*h))
			p.VY = append(p.VY, (b.Paths[l].Y[i]-a.Paths[l].Y[i])/(2*h))
		}
	}
	f, err := m.Filmed(mo, true)
	if err != nil {
		t.Fatal(err)
	}
	p := f.Between(o.Period(), 5*o.Period())
	l := o.Loads()
	near(t, "total", p.Total()/4, l.Drag, 0.01*l.Drag)
	near(t, "foot", p.Push[body.Feet]/4, l.Push[body.Feet], 0.01*l.Push[body.Feet])
}

func TestFilmedRefusals(t *testing.T) {
	m := adultModel()
	o := swim(t, m, Reference(), Options{RigidFoot: true})
	gap := film(o, 60, 0, 0)
	gap.Paths[body.Toe].Y[7] = math.NaN()
	if _, err := m.Filmed(gap, true); !errors.Is(err, ErrGaps) {
		t.Errorf("gap: %v", err)
	}
	absent := film(o, 60, 0, 0)
	absent.Paths[body.Knee] = nil
	if _, err := m.Filmed(absent, true); !errors.Is(err, ErrGaps) {
		t.Errorf("absent: %v", err)
	}
	uneven := film(o, 60, 0, 0)
	uneven.T[4] += 0.005
	if _, err := m.Filmed(uneven, true); err == nil {
		t.Error("uneven frames must be refused")
	}
	if _, err := m.Filmed(body.Motion{T: []float64{0, 1}}, true); err == nil {
		t.Error("two frames must be refused")
	}
	wrist := film(o, 120, 0, 0)
	wrist.Paths[body.Fingertip] = nil
	f, err := m.Filmed(wrist, true)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "wrist for finger tip", f.Between(o.Period(), 5*o.Period()).Total()/4, o.Loads().Drag, 1)
	if !math.IsNaN((Impulse{}).Factor()) {
		t.Error("no drag, no factor")
	}
}
