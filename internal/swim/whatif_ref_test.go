package swim

import (
	"errors"
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/series"
)

// changesOf lists the changes with a fixed size that an independent implementation of
// the same model, written before this one, was asked for over the same 27 kicks
// (1.80 m, 75 kg, 2.2 Hz, bending forefoot): mean and scatter of the change of speed in
// per cent. The tolerance is a quarter of its scatter or 0.6, for kicks are the same but
// details of the changes (where the downkick ends, harmonics kept) are not.
var changesOf = []struct {
	name     string
	make     func(m *Model, o *Orbit) Kick
	mean, sd float64
	tol      float64
}{
	{"foot 10 deg more pointed", func(_ *Model, o *Orbit) Kick { return o.Kick.Pointed(10 * rad) }, 5.0, 4.0, 1.0},
	{"foot 10 deg less pointed", func(_ *Model, o *Orbit) Kick { return o.Kick.Pointed(-10 * rad) }, -10, 6, 1.5},
	// That implementation enlarged the oscillations by 5 cm over the travel, which gives
	// 3.5 cm: TestWiderGivesTheTravelAskedFor has what 5 cm give.
	{"oscillations up by 5 cm over travel", func(_ *Model, o *Orbit) Kick {
		_, _, a := o.Toe()
		return o.Kick.Scaled(1 + 0.05/a)
	}, 6.7, 0.8, 0.3},
	{"the same at the same foot speed", func(_ *Model, o *Orbit) Kick {
		_, _, a := o.Toe()
		return o.Kick.Scaled(1 + 0.05/a).Faster(1 / (1 + 0.05/a))
	}, -2.8, 0.8, 0.3},
	{"hip 5 deg further at the end", func(_ *Model, o *Orbit) Kick {
		_, bottom, _ := o.Toe()
		return o.Kick.HipAtEnd(5*rad, bottom)
	}, 6.3, 2.2, 0.6},
	{"peak 6 % later", func(_ *Model, o *Orbit) Kick {
		top, bottom, _ := o.Toe()
		return o.Kick.Later(0.06, top, bottom)
	}, 0.4, 0.6, 0.6},
	{"tempo 5 % up", func(_ *Model, o *Orbit) Kick { return o.Kick.Faster(1.05) }, 5, 0, 0.02},
	{"knee bent 10 % more", func(_ *Model, o *Orbit) Kick { return o.Kick.KneeBent(1.1) }, 5.2, 1.1, 0.6},
}

func TestChangesAgainstEarlierImplementation(t *testing.T) {
	m := adultModel()
	for _, c := range changesOf {
		power := 0.0
		mean, sd := overTemplates(func(k Kick) float64 {
			base := swim(t, m, k, Options{})
			changed := swim(t, m, c.make(m, base), Options{Warm: base})
			power += 100 * (changed.Loads().Power/base.Loads().Power - 1) / 27
			return 100 * (changed.Speed/base.Speed - 1)
		})
		t.Logf("%-34s %+5.1f +- %.1f %% (before %+.1f +- %.1f), power %+.0f %%", c.name, mean, sd, c.mean, c.sd, power)
		near(t, c.name, mean, c.mean, c.tol)
		if c.sd > 0 {
			near(t, c.name+", scatter", sd/c.sd, 1, 0.5)
		}
	}
}

// A change asked in metres of toe travel gives that travel in the swim.
func TestWiderGivesTheTravelAskedFor(t *testing.T) {
	m := adultModel()
	// The tolerance goes with the square of the gain: one proportional step is of first order.
	for _, gain := range []float64{0.05, -0.05, 0.10} {
		plain := 0.0
		change, _ := overTemplates(func(k Kick) float64 {
			base := swim(t, m, k, Options{})
			_, _, a := base.Toe()
			wider, err := m.Wider(base, gain)
			if err != nil {
				t.Fatal(err)
			}
			o := swim(t, m, wider, Options{Warm: base})
			_, _, b := o.Toe()
			near(t, "travel gained", b-a, gain, 1.2*gain*gain)
			_, _, c := swim(t, m, k.Scaled(1+gain/a), Options{Warm: base}).Toe()
			plain += (c - a) / 27
			return 100 * (o.Speed/base.Speed - 1)
		})
		t.Logf("%+.2f m of travel: %+.1f %% of speed; oscillations enlarged by as much give %+.3f m", gain, change, plain)
	}
	base := swim(t, m, Reference(), Options{})
	same, err := m.Wider(base, 0)
	if err != nil || same.Joints[body.HipJoint].At(0.3) != Reference().Joints[body.HipJoint].At(0.3) {
		t.Errorf("nothing asked, nothing changed: %v", err)
	}
	wider, _ := m.Wider(base, 0.05)
	lo, _ := extremes(Reference().Joints[body.KneeJoint])
	now, _ := extremes(wider.Joints[body.KneeJoint])
	near(t, "straightest knee", now, lo, 1e-9)
}

func TestChangesInClosedForm(t *testing.T) {
	k := Reference()
	end := k.HipAtEnd(5*rad, 0.47)
	for _, p := range []float64{0, 0.2, 0.47, 0.6, 0.97} {
		x := math.Pow((1+math.Cos(2*math.Pi*(p-0.47)))/2, 3)
		near(t, "hip", end.Joints[body.HipJoint].At(p)-k.Joints[body.HipJoint].At(p), 5*rad*x, 1e-12)
	}
	later := k.Later(0.06, 0.01, 0.47)
	for _, u := range []float64{0.1, 0.5, 0.8} {
		was := 0.01 + 0.46*(u-0.06*math.Pow(math.Sin(math.Pi*u), 2))
		for j := range k.Joints {
			near(t, "put off", later.Joints[j].At(0.01+0.46*u), k.Joints[j].At(was), 2e-3)
		}
	}
	near(t, "upkick stays", later.Joints[body.KneeJoint].At(0.75), k.Joints[body.KneeJoint].At(0.75), 2e-3)
	near(t, "knee", k.KneeBent(1.1).Joints[body.KneeJoint].At(0.3), 1.1*k.Joints[body.KneeJoint].At(0.3), 1e-12)
	near(t, "tempo", k.Faster(1.05).Tempo, 2.31, 1e-12)
	if k.Joints[body.HipJoint].At(0.47) != Reference().Joints[body.HipJoint].At(0.47) {
		t.Error("a change must leave the kick it was made from alone")
	}
	defer func() {
		if recover() == nil {
			t.Error("time must not run backwards")
		}
	}()
	k.Later(0.5, 0, 0.5)
}

// The kick fitted to a film of a swim swims as the swim did, even if its kicks differ
// a little in duration in the film's clock.
func TestFitKickRoundTrip(t *testing.T) {
	m := adultModel()
	for _, k := range append(Templates()[:3], Reference()) {
		o := swim(t, m, k, Options{})
		mo := film(o, 120, 0, 0)
		phase := make([]float64, len(mo.T))
		for i, tm := range mo.T {
			if phase[i] = tm * k.Tempo; phase[i] > 5 {
				phase[i] = math.NaN()
			}
		}
		got, err := FitKick(mo, phase, nil, k.Tempo)
		if err != nil {
			t.Fatal(err)
		}
		for j := range k.Joints {
			for _, p := range []float64{0.1, 0.4, 0.9} {
				near(t, body.Joint(j).String(), got.Joints[j].At(p), k.Joints[j].At(p), 1e-6)
			}
		}
		near(t, "speed", swim(t, m, got, Options{}).Speed, o.Speed, 1e-4)
		weight := make([]float64, len(phase)) // one kick alone says the same
		for i, p := range phase {
			if p >= 1 && p < 2 {
				weight[i] = 1
			}
		}
		one, err := FitKick(mo, phase, weight, k.Tempo)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "one kick", one.Joints[body.KneeJoint].At(0.3), k.Joints[body.KneeJoint].At(0.3), 1e-5)
	}
}

func TestFitKickRefusals(t *testing.T) {
	mo := film(swim(t, adultModel(), Reference(), Options{}), 60, 0, 0)
	phase := make([]float64, len(mo.T))
	for i := range phase {
		phase[i] = math.NaN()
	}
	if _, err := FitKick(mo, phase, nil, 2); !errors.Is(err, series.ErrTooFew) {
		t.Errorf("no whole kick: %v", err)
	}
	mo.Paths[body.Ankle] = nil
	for i := range phase {
		phase[i] = mo.T[i] * 2
	}
	if _, err := FitKick(mo, phase, nil, 2); !errors.Is(err, ErrGaps) {
		t.Errorf("absent ankle: %v", err)
	}
}
