package worth

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/series"
	"underkick/internal/swim"
	"underkick/internal/trace"
)

// camera is how a virtual swimmer is filmed.
type camera struct {
	kicks  int      // whole kicks in view; 0 = 5
	rate   float64  // pictures per second; 0 = 120
	point  float64  // white noise per axis, m
	offset float64  // standard error of each landmark's constant offset, m
	marks  *offsets // the offsets themselves, of runs marked alike; nil = drawn
	slow   float64  // share of the speed lost from kick to kick
	rib    bool     // the rib is marked too
	few    int      // marked frames per kick that the traces are fitted to; 0 = every frame is marked
}

// filmRun films a swim and measures it. rng is the only source of chance.
func filmRun(o *swim.Orbit, c camera, rng *rand.Rand) Run {
	if c.kicks == 0 {
		c.kicks = 5
	}
	if c.rate == 0 {
		c.rate = 120
	}
	var times []float64
	for i := 0; float64(i)/c.rate < (float64(c.kicks)+1.2)*o.Period(); i++ {
		times = append(times, float64(i)/c.rate)
	}
	m := o.Motion(times, rng.Float64())
	for i, at := range times {
		lost := c.slow * o.Speed / o.Period() * at * at / 2
		for _, l := range m.Paths {
			l.X[i] -= lost
		}
	}
	if !c.rib {
		m.Paths[body.Rib] = nil
	}
	off := c.marks
	if off == nil {
		drawn := drawOffsets(c.offset, rng)
		off = &drawn
	}
	moving := moved(m, off)
	for _, l := range chained {
		p := moving.Paths[l]
		if p == nil {
			continue
		}
		for i := range p.X {
			p.X[i] += c.point * rng.NormFloat64()
			p.Y[i] += c.point * rng.NormFloat64()
		}
	}
	run := Run{Offset: c.offset}
	if c.offset == 0 {
		run.Offset = -1
	}
	if c.few > 0 {
		fit := marked(moving, c, o.Period(), rng)
		moving, run.Draw = fit.Motion(), fit.Draw
	}
	var err error
	if run.Result, err = kick.MeasureRun(context.Background(), moving, o.Subject(), kick.Options{Draws: -1}); err != nil {
		panic(err)
	}
	return run
}

// marked keeps few marks per kick and landmark, at staggered moments, and fills the frames
// between them as the marking page does.
func marked(m body.Motion, c camera, period float64, rng *rand.Rand) *trace.Traces {
	var marks []body.Mark
	step := period * c.rate / float64(c.few)
	for _, l := range chained {
		if l == body.Wrist || !m.Has(l) {
			continue
		}
		for at := step * rng.Float64(); int(at) < len(m.T); at += step * (0.7 + 0.6*rng.Float64()) {
			i := int(at)
			marks = append(marks, body.Mark{Frame: i, Time: m.T[i], Landmark: l, X: m.Paths[l].X[i], Y: m.Paths[l].Y[i], SD: c.point})
		}
	}
	fit, err := trace.Fit(m.T, marks, trace.Options{})
	if err != nil {
		panic(err)
	}
	return fit
}

// A fault is something a swimmer does wrong, and the part it should be named for.
type fault struct {
	name string
	part string // "none" for no fault
	make func(m *swim.Model, good *swim.Orbit) swim.Kick
}

// bump adds a raised cosine cubed about a phase to a joint, as HipAtEnd does to the hip.
func bump(k swim.Kick, j body.Joint, angle, at float64) swim.Kick {
	f := k.Joints[j]
	x := make([]float64, 256)
	for i := range x {
		p := float64(i) / 256
		x[i] = f.At(p) + angle*math.Pow((1+math.Cos(2*math.Pi*(p-at)))/2, 3)
	}
	k.Joints[j] = series.Harmonics(x, 8)
	return k
}

// late returns the kick with a joint's curve put off by a share of the kick.
func late(k swim.Kick, j body.Joint, by float64) swim.Kick {
	f := k.Joints[j]
	x := make([]float64, 256)
	for i := range x {
		x[i] = f.At(float64(i)/256 - by)
	}
	k.Joints[j] = series.Harmonics(x, 8)
	return k
}

func cutShort(_ *swim.Model, o *swim.Orbit) swim.Kick {
	_, bottom, _ := o.Toe()
	return bump(o.Kick.HipAtEnd(-7*rad, bottom), body.KneeJoint, 10*rad, bottom)
}

// evenSpeed evens out the downkick's time law: four fifths of the way to uniform progress.
func evenSpeed(m *swim.Model, o *swim.Orbit) swim.Kick {
	p := split(&m.Chain, o.Kick)
	q := *p
	even := make([]float64, halfSamples+1)
	for i := range even {
		u := float64(i) / halfSamples
		even[i] = 0.8*u + 0.2*p.halves[0].progress[i]
	}
	q.halves[0].progress = even
	// The even law with the good kick's postures at each progress.
	return assemble(p, &q, only(Build), o.Kick.Pitch)
}

// The faults of the model's description, section 7.
var faults = []fault{
	{"good", "none", func(_ *swim.Model, o *swim.Orbit) swim.Kick { return o.Kick }},
	{"flat-footed", "facing", func(_ *swim.Model, o *swim.Orbit) swim.Kick { return o.Kick.Pointed(-11 * rad) }},
	{"cut-short", "sweep", cutShort},
	{"even-speed", "build", evenSpeed},
	{"slow tempo", "tempo", func(_ *swim.Model, o *swim.Orbit) swim.Kick { return o.Kick.Faster(0.93) }},
}

// ownFaults are faults built without the pieces that the attribution uses.
var ownFaults = []fault{
	{"feet turn late", "facing", func(_ *swim.Model, o *swim.Orbit) swim.Kick { return late(o.Kick, body.AnkleJoint, 0.05) }},
	{"toes pulled up mid-downkick", "facing", func(_ *swim.Model, o *swim.Orbit) swim.Kick {
		top, bottom, _ := o.Toe()
		return bump(o.Kick, body.AnkleJoint, 12*rad, (top+bottom)/2)
	}},
	{"knee too straight at the top", "sweep", func(_ *swim.Model, o *swim.Orbit) swim.Kick {
		top, _, _ := o.Toe()
		return bump(o.Kick, body.KneeJoint, -14*rad, top)
	}},
	{"hips and knees move a fifth less", "sweep", func(_ *swim.Model, o *swim.Orbit) swim.Kick {
		small := o.Kick.Scaled(0.8)
		small.Joints[body.AnkleJoint] = o.Kick.Joints[body.AnkleJoint]
		small.Joints[body.ShoulderJoint] = o.Kick.Joints[body.ShoulderJoint]
		return small
	}},
	{"downkick rushed at its start", "build", func(_ *swim.Model, o *swim.Orbit) swim.Kick {
		top, bottom, _ := o.Toe()
		return o.Kick.Later(-0.15, top, bottom)
	}},
	{"a tenth slower and 2 % smaller", "tempo", func(_ *swim.Model, o *swim.Orbit) swim.Kick { return o.Kick.Scaled(0.98).Faster(0.9) }},
	{"arms swing three times as far", "none", func(_ *swim.Model, o *swim.Orbit) swim.Kick {
		k := o.Kick
		f := k.Joints[body.ShoulderJoint]
		for h := range f.Cos {
			f.Cos, f.Sin = append([]float64(nil), f.Cos...), append([]float64(nil), f.Sin...)
			f.Cos[h], f.Sin[h] = 3*f.Cos[h], 3*f.Sin[h]
		}
		k.Joints[body.ShoulderJoint] = f
		return k
	}},
	{"a fifth more drag, same kick", "none", func(_ *swim.Model, o *swim.Orbit) swim.Kick { return o.Kick }},
}

// straightSpine is the loss of a spine wave.
var straightSpine = fault{"the spine held still", "none", func(_ *swim.Model, o *swim.Orbit) swim.Kick {
	k := o.Kick
	k.Joints[body.SpineJoint] = series.Fourier{}
	return k
}}

// moreDrag is the fault that no kick shows.
const moreDrag = "a fifth more drag, same kick"

// goodAndFaulty swims a kick and its faulty form in one body.
func goodAndFaulty(t testing.TB, m *swim.Model, k swim.Kick, f fault) (good, faulty *swim.Orbit) {
	t.Helper()
	good, err := m.Swim(k, swim.Options{})
	if err != nil {
		t.Fatal(err)
	}
	opt := swim.Options{Warm: good}
	if f.name == moreDrag {
		opt.DragFactor = 1.2
	}
	faulty, err = m.Swim(f.make(m, good), opt)
	if err != nil {
		t.Fatal(err)
	}
	return good, faulty
}

func goodKicks() []swim.Kick { return append([]swim.Kick{swim.Reference()}, swim.Templates()...) }
