package swim

import (
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/series"
)

// bending returns the adult with a trunk that bends at the rib.
func bending() *Model { return NewModel(adult, ModelOptions{Rib: 0.55}) }

// waving is the reference kick with a spine wave of amplitude a (rad) and peak phase p.
func waving(a, p float64) Kick {
	k := Reference()
	s, c := math.Sincos(2 * math.Pi * p)
	k.Joints[body.SpineJoint] = series.Fourier{Mean: 0.02, Cos: []float64{a * c}, Sin: []float64{a * s}}
	return k
}

// A trunk cut in two and held straight is the whole trunk: only where the water crosses the
// trunk both ways at once do the Gauss points of drag lie elsewhere. The model's
// description, section 14, has 1.4085 against 1.4090 m/s.
func TestStiffSpineIsFiveSegments(t *testing.T) {
	kicks := append(Templates()[:4], Reference())
	kicks[1].Pitch = 0.08
	for _, opt := range []Options{{RigidFoot: true}, {}} {
		for _, k := range kicks {
			five, six := swim(t, adultModel(), k, opt), swim(t, bending(), k, opt)
			near(t, "speed", six.Speed, five.Speed, 2e-4)
			near(t, "trim", six.Trim, five.Trim, 0.05)
			near(t, "trim moment", six.TrimMoment, five.TrimMoment, 0.05)
			a, b := five.Loads(), six.Loads()
			near(t, "power", b.Power, a.Power, 0.2)
			near(t, "drag", b.Drag, a.Drag, 0.01)
			for g := range a.Push {
				near(t, body.Segment(g).String(), b.Push[g], a.Push[g], 0.02)
			}
		}
	}
	if _, err := adultModel().Swim(waving(0.05, 0), Options{}); err == nil {
		t.Error("a stiff trunk must not swim a kick that moves the spine")
	}
}

// Six segments: without drag and shedding the momentum of body and water and its moment
// about the pool are conserved while the spine moves too, and the body's own momentum is
// mass times the velocity of its centre, found from places.
func TestSpineMomentum(t *testing.T) {
	c := dry().Coef
	m := NewModel(adult, ModelOptions{Coef: &c, Rib: 0.5})
	k := waving(0.15, 0.3)
	frames := m.frames(k, 256)
	s := launch(m, frames, 0.2, 1.4, -0.3, 0.7)
	end, _ := m.integrate(frames, 1/k.Tempo, s, &outside{kd: 1}, nil)
	near(t, "px", end.px, s.px, 1e-9)
	near(t, "py", end.py, s.py, 1e-9)
	near(t, "moment about the pool", end.h+end.x*end.py-end.y*end.px, s.h+s.x*s.py-s.y*s.px, 1e-6)

	o := swim(t, bending(), k, Options{RigidFoot: true, Steps: 400})
	links, ends := o.model.links, [maxLinks][2]body.Landmark{
		{body.Fingertip, body.Shoulder},
		{body.Rib, body.Hip},
		{body.Hip, body.Knee},
		{body.Knee, body.Ankle},
		{body.Ankle, body.Toe},
		{body.Shoulder, body.Rib},
	}
	centre := func(time float64) (sum float64) {
		at := o.Landmarks(time, 0)
		for g, l := range links {
			a, b := at[ends[g][0]], at[ends[g][1]]
			sum += l.Mass * (a.X + l.Centre/l.Length*(b.X-a.X))
		}
		return sum
	}
	const h = 1e-5
	for _, i := range []int{0, 57, 123, 310} {
		time := float64(i) / 400 * o.Period()
		near(t, "momentum", o.instant(i).own, (centre(time+h)-centre(time-h))/(2*h), 0.02)
	}
}

// Six segments thrown through the water with a bent stiff spine lose the energy that drag
// and wake take.
func TestSpineEnergy(t *testing.T) {
	m := bending()
	k := still([body.NumJoints]float64{0.1, 0.5, 0.9, 0.4, 0.3})
	const steps, period = 600, 0.6
	frames := m.frames(k, 2*steps)
	o := &Orbit{Kick: k, model: m, frames: frames, trail: make([]state, steps), out: outside{kd: 1}}
	m.integrate(frames, period, launch(m, frames, 0.3, 1.8, 0.2, -1), &o.out, o.trail)
	lost := 0.0
	for i := range steps - 1 {
		a, b := o.instant(i), o.instant(i+1)
		lost += (a.loss + a.wake + b.loss + b.wake) / 2 * period / steps
	}
	f0, v0 := o.at(0)
	f1, v1 := o.at(steps - 1)
	drop := energy(m, f0, v0) - energy(m, f1, v1)
	if drop < 20 {
		t.Fatalf("only %.1f J lost: the test sees nothing", drop)
	}
	near(t, "energy lost", lost/drop, 1, 0.002)
}

// Six segments upside down swim as fast, and twice the tempo is twice the speed.
func TestSpineSymmetries(t *testing.T) {
	k := waving(0.08, 0.6)
	k.Pitch = 0.05
	flipped := k
	flipped.Pitch = -k.Pitch
	for j, f := range k.Joints {
		flipped.Joints[j] = affine(f, 0, -1, 0)
	}
	a, b := swim(t, bending(), k, Options{}), swim(t, bending(), flipped, Options{})
	near(t, "speed", a.Speed, b.Speed, 1e-5)
	near(t, "trim", a.Trim, -b.Trim, 1e-3)
	near(t, "tempo law", swim(t, bending(), k.Faster(1.3), Options{}).Speed/a.Speed, 1.3, 2e-4)
	if straight := swim(t, bending(), Reference(), Options{}); math.Abs(a.Speed/straight.Speed-1) < 0.005 {
		t.Error("a moving spine must change the speed, or the tests above see nothing")
	}
}

// A film of six segments gives back the spine's curve, the drag factor and the push.
func TestSpineFromFilm(t *testing.T) {
	k := waving(0.1, 0.2)
	k.Pitch = 0.06
	o := swim(t, bending(), k, Options{RigidFoot: true, Steps: 200})
	const rate, kicks = 480, 4
	var times, phase []float64
	for i := 0; float64(i)/rate <= kicks/k.Tempo; i++ {
		times = append(times, float64(i)/rate)
		phase = append(phase, float64(i)/rate*k.Tempo)
	}
	mo := o.Motion(times, 0)
	length, rib := body.MeasuredTrunk(mo)
	near(t, "trunk", length, o.Chain()[body.Trunk].Length, 1e-9)
	near(t, "rib", rib, 0.55, 1e-9)
	got, err := FitKick(mo, phase, nil, k.Tempo)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "pitch", got.Pitch, k.Pitch, 1e-3)
	for j := range k.Joints {
		for _, p := range []float64{0, 0.3, 0.71} {
			near(t, body.Joint(j).String(), got.Joints[j].At(p), k.Joints[j].At(p), 1e-6)
		}
	}
	f, err := o.model.Filmed(mo, true)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "off the chain", f.Off, 0, 1e-9)
	whole := f.Between(o.Period(), 3*o.Period())
	near(t, "factor", whole.Factor(), 1, 0.01)
	near(t, "push", whole.Total()/2/o.Loads().Drag, 1, 0.01)
	mo.Paths[body.Rib] = nil
	if _, err := o.model.Filmed(mo, true); err == nil {
		t.Error("a model that bends needs the rib")
	}
}

// The integration loop, run by the million, makes no garbage.
func TestIntegrationAllocatesNothing(t *testing.T) {
	for _, m := range []*Model{adultModel(), bending()} {
		o := swim(t, m, Reference(), Options{RigidFoot: true})
		s, out := o.trail[0], o.out
		if n := testing.AllocsPerRun(20, func() { m.integrate(o.frames, o.Period(), s, &out, o.trail) }); n != 0 {
			t.Errorf("%g allocations per kick", n)
		}
	}
}
