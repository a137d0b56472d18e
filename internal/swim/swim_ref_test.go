package swim

import (
	"math"
	"testing"

	"underkick/internal/body"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.6g, want %.6g +- %g", what, got, want, tol)
	}
}

func swim(t *testing.T, m *Model, k Kick, opt Options) *Orbit {
	t.Helper()
	o, err := m.Swim(k, opt)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

var adult = body.Subject{Height: 1.80, Mass: 75, Sex: body.Male}

func adultModel() *Model { return NewModel(adult, ModelOptions{}) }

const rad = math.Pi / 180

// The values below were computed by an independent implementation of the same
// equations, written before this one (docs/methods/swim-model.md), with its stated
// tolerances: reference kick, 1.80 m, 75 kg, male, 2.2 Hz, level mean pitch.
func TestReferenceKickRigidFoot(t *testing.T) {
	m := adultModel()
	near(t, "drag area", m.DragArea(), 0.0675, 1e-9)
	for steps, tol := range map[int]float64{32: 5e-4, 48: 2e-5, 64: 2e-5, 128: 2e-5} {
		o := swim(t, m, Reference(), Options{RigidFoot: true, Steps: steps})
		near(t, "speed", o.Speed, 1.40897, tol)
		near(t, "trim force", o.Trim, -11.849, 0.01)
		near(t, "trim moment", o.TrimMoment, 10.315, 0.01)
	}
	l := swim(t, m, Reference(), Options{RigidFoot: true, Steps: 64}).Loads()
	near(t, "toe travel", l.ToeTravel, 0.5138, 5e-4)
	near(t, "Strouhal number", l.Strouhal, 0.8022, 1e-3)
	near(t, "downkick fraction", l.DownFraction, 0.461, 0.003)
	near(t, "power", l.Power, 701.5, 0.5)
	near(t, "wake", l.Wake, 79.7, 0.2)
	near(t, "push of the downkick", l.PushDown, 33.90, 0.15)
	near(t, "push of the upkick", l.PushUp, 0.44, 0.15)
	near(t, "largest net force", l.NetMax, 341, 2)
	near(t, "smallest net force", l.NetMin, -322, 2)
	near(t, "drag", l.Drag, 34.40, 0.01)
	want := [body.NumSegments]float64{2.20, 7.41, -1.58, -4.46, 30.77}
	for g, push := range l.Push {
		tol := 0.05
		if body.Segment(g) == body.Arms {
			// The other implementation also took off the flux through the finger tips,
			// which leaves its sum 0.06 N s short of the drag; ours closes (next test).
			tol = 0.07
		}
		near(t, body.Segment(g).String(), push, want[g], tol)
	}
}

// In a steady swim the push of a kick balances its drag, whatever the kick.
func TestPushBalancesDrag(t *testing.T) {
	for i, k := range append(Templates()[:4], Reference()) {
		l := swim(t, adultModel(), k, Options{Steps: 96}).Loads()
		sum := 0.0
		for _, p := range l.Push {
			sum += p
		}
		near(t, "sum over segments", sum, l.Drag, 0.003*l.Drag)
		near(t, "down and up", l.PushDown+l.PushUp, sum, 1e-9)
		if l.PushDown < l.PushUp {
			t.Errorf("kick %d: the downkick pushes less than the upkick", i)
		}
	}
}

func TestReferenceVariants(t *testing.T) {
	m := adultModel()
	child := NewModel(body.Subject{Height: 1.57, Mass: 45, Sex: body.Male}, ModelOptions{})
	woman := NewModel(body.Subject{Height: 1.70, Mass: 62, Sex: body.Female}, ModelOptions{})
	ref, slow := Reference(), Reference()
	slow.Tempo = 2
	rigid := Options{RigidFoot: true}
	for _, c := range []struct {
		name      string
		model     *Model
		kick      Kick
		opt       Options
		want, tol float64
	}{
		{"bending forefoot", m, ref, Options{}, 1.4714, 2e-3},
		{"10 deg more pointed, rigid", m, ref.Pointed(10 * rad), rigid, 1.4992, 1e-3},
		{"10 deg less pointed, rigid", m, ref.Pointed(-10 * rad), rigid, 1.0653, 1e-3},
		{"10 deg more pointed", m, ref.Pointed(10 * rad), Options{}, 1.5374, 4e-3},
		{"10 deg less pointed", m, ref.Pointed(-10 * rad), Options{}, 1.3555, 4e-3},
		{"amplitude x 1.1, rigid", m, ref.Scaled(1.1), rigid, 1.5172, 1e-3},
		{"amplitude x 1.1", m, ref.Scaled(1.1), Options{}, 1.5799, 3e-3},
		{"child", child, slow, Options{}, 1.1903, 3e-3},
		{"woman", woman, ref, Options{}, 1.3968, 3e-3},
	} {
		near(t, c.name, swim(t, c.model, c.kick, c.opt).Speed, c.want, c.tol)
	}
	near(t, "drag factor for 1.30 m/s", swim(t, m, ref, Options{RigidFoot: true, TargetSpeed: 1.30}).DragFactor, 1.1939, 5e-4)
	o := swim(t, m, ref, Options{RigidFoot: true, TowSpeed: 2})
	near(t, "tow for 2.0 m/s", o.Tow, 87.65, 0.02)
	near(t, "towed speed", o.Speed, 2, 1e-5)
}

// at returns the kick at a tempo, scaled until its toe travel in the steady swim is the
// one wanted (m).
func at(t *testing.T, m *Model, k Kick, tempo, travel float64) *Orbit {
	t.Helper()
	k.Tempo = tempo
	factor := 1.0
	var o *Orbit
	for range 6 {
		o = swim(t, m, k.Scaled(factor), Options{})
		factor *= travel / o.Loads().ToeTravel
	}
	return o
}

// overTemplates returns the mean and SD of f over the templates and the reference kick.
func overTemplates(f func(Kick) float64) (mean, sd float64) {
	kicks := append(Templates(), Reference())
	var x []float64
	for _, k := range kicks {
		x = append(x, f(k))
		mean += x[len(x)-1] / float64(len(kicks))
	}
	for _, v := range x {
		sd += (v - mean) * (v - mean) / float64(len(kicks)-1)
	}
	return mean, math.Sqrt(sd)
}

// Groups of swimmers whose tempo and toe travel were published: the mean speed of the
// 27 invented kicks at that tempo and travel against the group's. Kicks are invented
// and one number was fitted to adults' mean Strouhal number, so the bar is 12 %.
func TestGroupsPublished(t *testing.T) {
	for _, c := range []struct {
		name                 string
		subject              body.Subject
		tempo, travel, speed float64 // Hz, m, m/s
		tol                  float64
	}{
		// Alves F et al. 2006, prone, as quoted in the review of Connaboy et al. 2009.
		{"adults", adult, 2.35, 0.50, 1.46, 0.05},
		// Wadrzyk L et al. 2017: 2.00 Hz, 0.46 m, 1.08 +- 0.13 m/s; 1.57 m; mass assumed.
		{"children", body.Subject{Height: 1.57, Mass: 45, Sex: body.Male}, 2.00, 0.46, 1.08, 0.12},
		// Yamakawa K et al., women, as quoted: the model is known to fall short by 12 %.
		{"women", body.Subject{Height: 1.64, Mass: 58, Sex: body.Female}, 1.99, 0.48, 1.35, 0.15},
	} {
		m := NewModel(c.subject, ModelOptions{})
		v, sd := overTemplates(func(k Kick) float64 { return at(t, m, k, c.tempo, c.travel).Speed })
		t.Logf("%s: model %.3f +- %.3f m/s, published %.2f (%+.1f %%)", c.name, v, sd, c.speed, 100*(v/c.speed-1))
		near(t, c.name, v/c.speed, 1, c.tol)
	}
}

// Adults' Strouhal numbers lie between 0.59 and 0.88 (Connaboy C et al. 2009, as
// quoted); every kick must swim there and within the ranges of human kicking.
func TestTemplatesSwimLikePeople(t *testing.T) {
	m := adultModel()
	efficiency := 0.0
	st, _ := overTemplates(func(k Kick) float64 {
		o := swim(t, m, k, Options{})
		l := o.Loads()
		for _, c := range []struct {
			what         string
			v, low, high float64
		}{
			{"Strouhal number", l.Strouhal, 0.55, 1.15},
			{"speed", o.Speed, 0.7, 2.2},
			{"toe travel", l.ToeTravel, 0.30, 0.70},
			{"downkick fraction", l.DownFraction, 0.40, 0.55},
			{"trim force", math.Abs(o.Trim), 0, 40},
			{"trim moment", math.Abs(o.TrimMoment), 0, 20},
		} {
			if !(c.v >= c.low && c.v <= c.high) {
				t.Errorf("%s %.3f outside %.2f-%.2f", c.what, c.v, c.low, c.high)
			}
		}
		efficiency += l.Efficiency / 27
		return l.Strouhal
	})
	near(t, "mean Strouhal number", st, 0.80, 0.03)
	// Computed flow round filmed swimmers gave 0.11-0.29 (von Loebbecke A et al. 2009, as
	// quoted): the mean must lie there.
	if !(efficiency >= 0.11 && efficiency <= 0.29) {
		t.Errorf("mean efficiency %.3f outside 0.11-0.29", efficiency)
	}
}

// Kuhn J, Legerlotz K. 2022 (Front Sports Act Living 4:948034): plantar flexion taped
// 10.4 % shorter, about 7 deg, cost 5.8 % of speed; 6.9 % more, about 5 deg, gave 1.7 %
// (not significant). The model's means over the kicks must have the signs, the loss
// must be the larger one, and each lie within its own scatter of the experiment.
func TestAnkleRangePublished(t *testing.T) {
	m := adultModel()
	change := func(angle float64) (float64, float64) {
		return overTemplates(func(k Kick) float64 {
			base := swim(t, m, k, Options{})
			return 100 * (swim(t, m, k.Pointed(angle), Options{Warm: base}).Speed/base.Speed - 1)
		})
	}
	less, lessSD := change(-7 * rad)
	more, moreSD := change(5 * rad)
	t.Logf("restricted %.1f +- %.1f %% (published -5.8), enhanced %+.1f +- %.1f %% (published +1.7)", less, lessSD, more, moreSD)
	near(t, "restricted", less, -5.8, lessSD)
	near(t, "enhanced", more, 1.7, moreSD)
	if !(-less > more && more > 0) {
		t.Error("restricting must cost more than extra range gives")
	}
}
