package worth

import (
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/series"
	"underkick/internal/swim"
)

const rad = math.Pi / 180

var adult = body.Subject{Height: 1.80, Mass: 75, Sex: body.Male}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: %.6g, want %.6g +- %g", what, got, want, tol)
	}
}

func swum(t *testing.T, m *swim.Model, k swim.Kick, opt swim.Options) *swim.Orbit {
	t.Helper()
	o, err := m.Swim(k, opt)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// A kick split and put together again swims as before: 1.4710 m/s for the reference kick,
// computed by an independent implementation written before this one. Its downkick share in
// the body's frame, 0.504, is that of the toe's exact extremes; from three harmonics it is
// 0.496, which moves no speed.
func TestSplitAndReassemble(t *testing.T) {
	m := swim.NewModel(adult, swim.ModelOptions{})
	p := split(&m.Chain, swim.Reference())
	o := swum(t, m, assemble(p, p, 0, 0), swim.Options{})
	t.Logf("reassembled %.4f m/s, downkick share %.3f", o.Speed, p.down)
	near(t, "speed", o.Speed, 1.4710, 3e-3)
	var y [kickSamples]float64
	ref := swim.Reference()
	for i := range y {
		_, toe := feet(&m.Chain, &ref, float64(i)/kickSamples)
		y[i] = toe.Y
	}
	top, bottom := extremes(series.Harmonics(y[:], 12))
	near(t, "downkick share of the exact extremes", bottom-top, 0.504, 0.002)
	near(t, "of three harmonics", p.down, bottom-top, 0.01)
	for i, k := range swim.Templates() {
		p := split(&m.Chain, k)
		whole := swum(t, m, k, swim.Options{})
		again := swum(t, m, assemble(p, p, 0, k.Pitch), swim.Options{})
		if math.Abs(again.Speed/whole.Speed-1) > 3e-3 { // the time step's error where the foot slides back
			t.Errorf("template %d: %.4f m/s, was %.4f", i, again.Speed, whole.Speed)
		}
	}
}

func TestAllPartsOfTheReferenceAreTheReference(t *testing.T) {
	m := swim.NewModel(adult, swim.ModelOptions{})
	own, ref := split(&m.Chain, swim.Reference()), split(&m.Chain, swim.Templates()[3])
	a, b := assemble(own, ref, numMixes-1, 0), assemble(ref, ref, 0, 0)
	for j := range a.Joints {
		for _, p := range []float64{0, 0.3, 0.7} {
			near(t, "angle", a.Joints[j].At(p), b.Joints[j].At(p), 1e-12)
		}
	}
	c := assemble(own, ref, only(Tempo), 0)
	near(t, "tempo", c.Tempo, swim.Templates()[3].Tempo, 0)
	// swapped end postures are met
	d := assemble(own, ref, only(Sweep), 0)
	near(t, "knee at the top", d.Joints[body.KneeJoint].At(0), ref.halves[0].joint[body.KneeJoint][0], 0.5*rad)
	near(t, "hip at the bottom", d.Joints[body.HipJoint].At(own.down), ref.halves[1].joint[body.HipJoint][0], 0.5*rad)
}

func TestMoveEnds(t *testing.T) {
	far := []float64{0, 0.25, 0.5}
	moveEnds(far, [2]float64{0, 0.5}, [2]float64{0.1, 0.4})
	near(t, "stretched", far[1], 0.25, 1e-12)
	near(t, "first end", far[0], 0.1, 1e-12)
	near(t, "last end", far[2], 0.4, 1e-12)
	close := []float64{0, 0.3, 0.05}
	moveEnds(close, [2]float64{0, 0.05}, [2]float64{0.1, 0.25})
	near(t, "shifted by the mean change", close[1], 0.3+0.15, 1e-12)
	// nothing jumps as the ends come closer
	last := math.NaN()
	for apart := 6.0; apart < 14; apart += 0.01 {
		x := []float64{0.4}
		moveEnds(x, [2]float64{0, apart * rad}, [2]float64{0.02, apart*rad - 0.01})
		if math.Abs(x[0]-last) > 1e-3 {
			t.Fatalf("a jump at %.2f deg", apart)
		}
		last = x[0]
	}
}

// Closed forms of the Shapley value: a sum of single worths gives them back; a pair that
// is only worth something together shares it; a part that never matters gets nothing.
func TestShapleyClosedForms(t *testing.T) {
	var v [numMixes]float64
	for s := range mix(numMixes) {
		if s.has(Facing) {
			v[s] += 0.1
		}
		if s.has(Build) {
			v[s] -= 0.03
		}
		if s.has(Sweep) && s.has(Tempo) {
			v[s] += 0.2
		}
	}
	phi := shapley(&v)
	for p, want := range [numParts]float64{Facing: 0.1, Build: -0.03, Sweep: 0.1, Tempo: 0.1, Rest: 0} {
		near(t, Part(p).String(), phi[p], want, 1e-15)
	}
}

func BenchmarkSplit(b *testing.B) {
	m := swim.NewModel(adult, swim.ModelOptions{})
	k := swim.Reference()
	b.ReportAllocs()
	for b.Loop() {
		split(&m.Chain, k)
	}
}

func BenchmarkAssemble(b *testing.B) {
	m := swim.NewModel(adult, swim.ModelOptions{})
	own, ref := split(&m.Chain, swim.Reference()), split(&m.Chain, swim.Templates()[3])
	b.ReportAllocs()
	for b.Loop() {
		assemble(own, ref, 11, 0)
	}
}
