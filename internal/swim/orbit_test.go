package swim

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/body"
	"underkick/internal/hydro"
	"underkick/internal/series"
)

// The pose between steps is smooth and periodic; its velocities are the derivatives of
// its places.
func TestAtIsSmoothAndPeriodic(t *testing.T) {
	o := swim(t, adultModel(), Reference(), Options{})
	const h = 1e-6
	for _, p := range []float64{0, 0.1234, 0.5, 0.77, 0.9999999} {
		a, b, c := o.At(p-h), o.At(p), o.At(p+h)
		dt := 2 * h * o.Period()
		near(t, "vx", (c.Surge-a.Surge)/dt+o.Speed, b.VX, 1e-3)
		near(t, "vy", (c.Heave-a.Heave)/dt, b.VY, 1e-3)
		d := o.At(p + 3)
		near(t, "surge", d.Surge, b.Surge, 1e-9)
		near(t, "heave", d.Heave, b.Heave, 1e-9)
		near(t, "pitch", d.Pitch, b.Pitch, 1e-9)
		near(t, "knee", d.Joints[body.KneeJoint], b.Joints[body.KneeJoint], 1e-9)
	}
	// Between the steps the curve is that of a finer integration.
	fine := swim(t, adultModel(), Reference(), Options{Steps: 240})
	heave, pitch := 0.0, 0.0
	for i := range 97 {
		p := float64(i) / 97
		a, b := o.At(p), fine.At(p)
		near(t, "surge against fine", a.Surge, b.Surge, 2e-4)
		near(t, "heave against fine", a.Heave, b.Heave, 2e-4)
		near(t, "pitch against fine", a.Pitch, b.Pitch, 1e-3)
		heave += b.Heave / 97
		pitch += b.Pitch / 97
	}
	near(t, "mean heave", heave, 0, 1e-5)
	near(t, "mean pitch", pitch, 0, 1e-4)
}

// The landmarks of a swim travel at its speed, keep the body's lengths and show the
// joint angles of the kick; the mean pitch is the one asked for.
func TestMotionShowsTheSwim(t *testing.T) {
	k := Reference()
	k.Pitch = 0.08
	o := swim(t, adultModel(), k, Options{})
	const rate, kicks = 120, 4
	var times []float64
	for i := 0; float64(i)/rate <= kicks/k.Tempo; i++ {
		times = append(times, float64(i)/rate)
	}
	times = append(times, kicks/k.Tempo)
	mo := o.Motion(times, 0.25)
	last := len(times) - 1
	for l, p := range mo.Paths {
		near(t, body.Landmark(l).String(), (p.X[last]-p.X[0])/times[last], o.Speed, 1e-6)
		near(t, body.Landmark(l).String(), p.Y[last], p.Y[0], 1e-6)
	}
	chain := o.Chain()
	for g, got := range body.MeasuredLengths(mo) {
		near(t, body.Segment(g).String(), got, chain[g].Length, 1e-9)
	}
	for j := range body.Joint(body.NumJoints) {
		for i, a := range mo.JointAngle(j) {
			near(t, j.String(), a, k.Joints[j].At(0.25+times[i]*k.Tempo), 1e-9)
		}
	}
	mean := 0.0
	for i := range 200 {
		mean += o.At(float64(i)/200).Pitch / 200
	}
	near(t, "mean pitch", mean, 0.08, 1e-4)
	if _, orient, err := body.Orient(mo, false); err != nil || orient != (body.Orientation{}) {
		t.Errorf("the swim is not in the conventions: %+v %v", orient, err)
	}
}

// The body's own momentum is the mass times the velocity of the chain's centre, found
// from the landmarks' places.
func TestMomentumFromLandmarks(t *testing.T) {
	o := swim(t, adultModel(), Reference(), Options{RigidFoot: true, Steps: 400})
	c := o.Chain()
	centre := func(time float64) float64 {
		at := o.Landmarks(time, 0)
		sum := 0.0
		for g, link := range c {
			a, b := body.Segment(g).Ends()
			u := link.Centre / link.Length
			sum += link.Mass * (at[a].X + u*(at[b].X-at[a].X))
		}
		return sum
	}
	const h = 1e-5
	for _, i := range []int{0, 57, 123, 310} {
		time := float64(i) / 400 * o.Period()
		near(t, "momentum", o.instant(i).own, (centre(time+h)-centre(time-h))/(2*h), 0.02)
	}
}

// With a bending forefoot the camera's angles stay as given; the water's are turned by up
// to the coefficient, pointed in the downkick.
func TestForefootTurnsTheLoadedFootOnly(t *testing.T) {
	m := adultModel()
	o := swim(t, m, Reference(), Options{})
	largest := 0.0
	for i := range 96 {
		p := float64(i) / 96
		turn := o.Loaded.Joints[body.AnkleJoint].At(p) - o.Kick.Joints[body.AnkleJoint].At(p)
		largest = math.Max(largest, math.Abs(turn))
		if p > 0.15 && p < 0.4 && turn > 0 {
			t.Errorf("phase %.2f: the downkick bends the foot the wrong way", p)
		}
	}
	near(t, "largest turn", largest, m.Coef.Forefoot, 0.15*m.Coef.Forefoot)
	near(t, "given", o.Kick.Joints[body.AnkleJoint].Mean, Reference().Joints[body.AnkleJoint].Mean, 0)
}

// A warm start from a neighbour finds the same swim as a cold one.
// Where a kick does not swim with a rigid foot the search starts from the forefoot's turn
// of a hip that goes straight on. It must be near the turn in the swim, and scale with tempo.
func TestTowedTurnIsNearTheSwims(t *testing.T) {
	m := adultModel()
	for i, k := range append(Templates(), Reference()) {
		turn, o := m.towedTurn(k, 48), swim(t, m, k, Options{})
		own, square := o.turn(), 0.0
		for p := range 50 {
			d := turn.At(float64(p)/50) - own.At(float64(p)/50)
			square += d * d / 50
		}
		if rms := math.Sqrt(square); rms > 0.35*m.Coef.Forefoot {
			t.Errorf("kick %d: the turn is off by %.1f deg", i, rms/rad)
		}
		near(t, "at twice the tempo", m.towedTurn(k.Faster(2), 48).At(0.3), turn.At(0.3), 1e-12)
	}
}

func TestWarmStart(t *testing.T) {
	m := adultModel()
	base := swim(t, m, Reference(), Options{})
	near3 := Reference().Scaled(1.03)
	for _, opt := range []Options{{}, {TargetSpeed: 1.3}, {TowSpeed: 1.9}, {DragFactor: 1.2}} {
		cold := swim(t, m, near3, opt)
		opt.Warm = base
		warm := swim(t, m, near3, opt)
		near(t, "speed", warm.Speed, cold.Speed, 1e-5)
		near(t, "drag factor", warm.DragFactor, cold.DragFactor, 1e-4)
		near(t, "tow", warm.Tow, cold.Tow, 1e-2)
		opt.Warm = cold
		near(t, "again", swim(t, m, near3, opt).Speed, cold.Speed, 1e-5)
	}
}

// A swimmer calibrated to a speed swims at it with the drag factor found, and more drag
// is slower.
func TestDragFactorRoundTrip(t *testing.T) {
	m := adultModel()
	o := swim(t, m, Reference(), Options{TargetSpeed: 1.55})
	near(t, "speed", swim(t, m, Reference(), Options{DragFactor: o.DragFactor}).Speed, 1.55, 2e-3)
	if slow := swim(t, m, Reference(), Options{DragFactor: 1.3 * o.DragFactor}); slow.Speed >= o.Speed {
		t.Error("more drag must be slower")
	}
}

// Kicks and coefficients over their whole ranges find a steady swim, all of them.
func TestSolverIsRobust(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	between := func(a, b float64) float64 { return a + (b-a)*rng.Float64() }
	kicks := append(Templates(), Reference())
	failed := 0
	const draws = 200
	for range draws {
		c := hydro.Default()
		c.AddedFeet, c.AddedRest = between(0.5, 1), between(0.7, 1)
		c.NormalFeet, c.NormalLegs, c.NormalTrunk = between(1.2, 2.6), between(0.8, 1.5), between(0.8, 1.5)
		c.PassiveArea, c.Surge = between(0.03, 0.05), between(0.04, 0.25)
		c.Forefoot, c.FootBreadth = between(0, 15*rad), between(0.9, 1.1)
		m := NewModel(body.Subject{Height: between(1.35, 2), Mass: between(35, 95), Sex: body.Sex(1 + rng.IntN(2))}, ModelOptions{Coef: &c})
		k := kicks[rng.IntN(len(kicks))].Scaled(between(0.8, 1.2)).Pointed(between(-10, 10) * rad)
		k.Tempo, k.Pitch = between(1.5, 3), between(-0.15, 0.15)
		o, err := m.Swim(k, Options{})
		if err != nil {
			failed++
			continue
		}
		if !(o.Speed > 0.3 && o.Speed < 4) {
			t.Errorf("speed %.2f m/s", o.Speed)
		}
	}
	if failed > 0 {
		t.Errorf("%d of %d draws found no steady swim", failed, draws)
	}
}

func TestUnusableKicks(t *testing.T) {
	m := adultModel()
	for name, change := range map[string]func(*Kick){
		"tempo": func(k *Kick) { k.Tempo = 0 },
		"pitch": func(k *Kick) { k.Pitch = math.NaN() },
		"curve": func(k *Kick) { k.Joints[body.HipJoint].Mean = math.Inf(1) },
		"drift": func(k *Kick) { k.Joints[body.KneeJoint].Trend = 0.1 },
	} {
		k := Reference()
		change(&k)
		if _, err := m.Swim(k, Options{}); err == nil || errors.Is(err, ErrNoSteadySwim) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// A kick that drives nothing but a wildly spinning body has no steady swim: a number
	// must not come out.
	k := Reference()
	k.Joints[body.HipJoint] = series.Fourier{Mean: 1.5, Cos: []float64{3}, Sin: []float64{3}}
	if o, err := m.Swim(k, Options{TargetSpeed: 9}); err == nil {
		near(t, "speed", o.Speed, 9, 1e-4)
	} else if !errors.Is(err, ErrNoSteadySwim) {
		t.Errorf("wild kick: %v", err)
	}
}

func TestContradictingOptionsPanic(t *testing.T) {
	for _, opt := range []Options{{TargetSpeed: 1, TowSpeed: 1}, {Steps: 3}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%+v: want a panic", opt)
				}
			}()
			_, _ = adultModel().Swim(Reference(), opt)
		}()
	}
}

// The terms of a series: the mean, and the peak at the peak phase.
func TestFromTerms(t *testing.T) {
	k := FromTerms([NumTerms]float64{10, 5, 0.2, 20, 7, 0.3, 0, 0, 30, 9, 0.1, 0, 0, 40, 0, 0, 3, 0.35})
	near(t, "shoulder mean", k.Joints[body.ShoulderJoint].Mean, 10*rad, 1e-12)
	near(t, "shoulder peak", k.Joints[body.ShoulderJoint].At(0.2), 15*rad, 1e-12)
	near(t, "hip peak", k.Joints[body.HipJoint].At(0.3), 27*rad, 1e-12)
	near(t, "knee trough", k.Joints[body.KneeJoint].At(0.6), 21*rad, 1e-12)
	near(t, "ankle peaks", k.Joints[body.AnkleJoint].At(0.85), 43*rad, 1e-12)
	if len(Templates()) != 26 {
		t.Errorf("%d templates, want 26", len(Templates()))
	}
}

func TestChangesOfAKick(t *testing.T) {
	k := Reference()
	lo, hi := extremes(k.Joints[body.AnkleJoint])
	plo, phi := extremes(k.Pointed(0.1).Joints[body.AnkleJoint])
	near(t, "dorsiflexed end", phi, hi, 1e-5)
	near(t, "pointed end", plo, lo-0.1, 1e-4)
	straight, bent := extremes(k.Joints[body.KneeJoint])
	slo, shi := extremes(k.Scaled(1.2).Joints[body.KneeJoint])
	near(t, "straight knee", slo, straight, 1e-5)
	near(t, "bent knee", shi-slo, 1.2*(bent-straight), 1e-4)
	near(t, "hip mean", k.Scaled(1.2).Joints[body.HipJoint].Mean, k.Joints[body.HipJoint].Mean, 1e-12)
}

// The table's recurrence gives the same as the plain series.
func TestValueAndRate(t *testing.T) {
	f := series.Fourier{Mean: 1, Cos: []float64{0.3, -0.2, 0.1}, Sin: []float64{0.5, 0.25, -0.4}}
	for _, p := range []float64{0, 0.13, 0.5, 0.91} {
		v, r := valueAndRate(f, p, 2)
		near(t, "value", v, f.At(p), 1e-12)
		near(t, "rate", r, 2*f.Rate(p), 1e-11)
	}
}
