package body

import (
	"math"
	"strings"
	"testing"
)

func TestChainOfReferenceAdult(t *testing.T) {
	c := NewChain(Subject{Height: 1.80, Mass: 75, Sex: Male}, Lengths{})
	if got := c.Mass(); math.Abs(got-75) > 0.01 {
		t.Errorf("mass %.3f kg, want 75", got)
	}
	total := 0.0
	for _, l := range c {
		total += l.Length
	}
	if math.Abs(total-1.33*1.80) > 0.001 {
		t.Errorf("arms-up length %.4f m, want 1.33 x 1.80", total)
	}
	// By hand from the table: thighs 2 x 0.1416 x 75 kg, centre 0.4095 x 0.4365 m,
	// radius 0.329 x 0.4365 m.
	if l := c[Thighs]; math.Abs(l.Mass-21.24) > 1e-9 || math.Abs(l.Centre-0.17874675) > 1e-9 ||
		math.Abs(l.Inertia-21.24*0.1436085*0.1436085) > 1e-9 {
		t.Errorf("thighs %+v", l)
	}
	// The whole arm's centre, 0.60 from the finger tips, agrees with its three parts
	// (de Leva's rows and lengths) to 0.5 % of its length.
	const u, f, h = 0.2817, 0.2689, 0.1879
	fromShoulder := (0.0271*0.5772*u + 0.0162*(u+0.4574*f) + 0.0061*(u+f+0.3624*h)) / 0.0494
	if got := 1 - c[Arms].Centre/c[Arms].Length; math.Abs(got-fromShoulder/(u+f+h)) > 0.005 {
		t.Errorf("arm centre %.4f from the shoulder, parts say %.4f", got, fromShoulder/(u+f+h))
	}
	for g, l := range c {
		p := l.Breadth
		if p[0].Z != 0 || math.Abs(p[len(p)-1].Z-l.Length) > 1e-12 || l.Inertia <= 0 {
			t.Errorf("%v: profile or inertia wrong: %+v", Segment(g), l)
		}
	}
}

func TestChainKeepsMeasuredLengths(t *testing.T) {
	s := Subject{Height: 1.7, Mass: 60, Sex: Female}
	c := NewChain(s, Lengths{Shanks: 0.5})
	if c[Shanks].Length != 0.5 || c[Feet].Length != 0.125*1.7 {
		t.Errorf("lengths %v %v", c[Shanks].Length, c[Feet].Length)
	}
	got := MeasuredLengths(kicking(9))
	for g, want := range s.Lengths() {
		if math.Abs(got[g]-want) > 1e-9 {
			t.Errorf("%v: measured %.4f m, want %.4f", Segment(g), got[g], want)
		}
	}
	m := kicking(9)
	m.Paths[Fingertip] = nil
	if got := MeasuredLengths(m)[Arms]; math.Abs(got-0.425*1.7) > 1e-9 {
		t.Errorf("arms from the wrist: %.4f m, want %.4f", got, 0.425*1.7)
	}
	m.Paths[Wrist] = nil
	if got := MeasuredLengths(m); got[Arms] != 0 || got.Sum() != 0 {
		t.Errorf("arms that are not there: %v", got)
	}
}

func TestNewChainRefusesUnknownBody(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("want a panic")
		}
	}()
	NewChain(Subject{Height: 1.8}, Lengths{})
}

func TestProfileAt(t *testing.T) {
	p := Profile{{0, 0.1}, {0.2, 0.3}, {0.4, 0.1}}
	for z, want := range map[float64]float64{-1: 0.1, 0: 0.1, 0.1: 0.2, 0.2: 0.3, 0.3: 0.2, 0.4: 0.1, 9: 0.1} {
		if got := p.At(z); math.Abs(got-want) > 1e-12 {
			t.Errorf("At(%g) = %g, want %g", z, got, want)
		}
	}
	if got := p.Area(); math.Abs(got-0.08) > 1e-12 {
		t.Errorf("area %g, want 0.08", got)
	}
}

func TestComplete(t *testing.T) {
	s, warnings := Subject{Height: 1.80}.Complete()
	if math.Abs(s.Mass-23*3.24) > 1e-9 || s.Sex != Male || len(warnings) != 2 {
		t.Errorf("%+v %q", s, warnings)
	}
	known := Subject{Height: 1.7, Mass: 60, Sex: Female}
	if s, warnings := known.Complete(); s != known || len(warnings) != 0 {
		t.Errorf("a known swimmer was changed: %+v %q", s, warnings)
	}
	if s, warnings := (Subject{}).Complete(); s.Height != 0 || s.Mass != 0 || len(warnings) != 2 {
		t.Errorf("height from nowhere: %+v %q", s, warnings)
	}
	s, warnings = Subject{Sex: Female}.CompleteFrom(kicking(5))
	if math.Abs(s.Height-1.7) > 1e-9 || math.Abs(s.Mass-23*1.7*1.7) > 1e-9 || len(warnings) != 2 || !strings.Contains(warnings[0], "1.70 m") {
		t.Errorf("from the film: %+v %q", s, warnings)
	}
	if got := (Subject{Height: 1.57}).ArmsUpLength(); math.Abs(got-2.09) > 0.01 {
		t.Errorf("arms-up length %.3f m, want 2.09 (Wadrzyk et al. 2017: 0.46 m / 0.22)", got)
	}
}

// The two parts of a cut trunk held straight are the whole trunk: mass, centre, moment of
// inertia and area, wherever the rib is.
func TestCutTrunkIsTheTrunk(t *testing.T) {
	s := Subject{Height: 1.7, Mass: 60, Sex: Female}
	whole := NewChain(s, Lengths{})[Trunk]
	for _, rib := range []float64{0.35, 0.5, 0.55, 0.7} {
		a, b := CutTrunk(s, whole.Length, rib)
		mass := a.Mass + b.Mass
		centre := (a.Mass*a.Centre + b.Mass*(b.Centre+a.Length)) / mass
		da, db := a.Centre-centre, b.Centre+a.Length-centre
		inertia := a.Inertia + b.Inertia + a.Mass*da*da + b.Mass*db*db
		for what, d := range map[string]float64{
			"mass": mass - whole.Mass, "centre": centre - whole.Centre, "inertia": inertia - whole.Inertia,
			"length": a.Length + b.Length - whole.Length, "area": a.Breadth.Area() + b.Breadth.Area() - whole.Breadth.Area(),
			"breadth at the rib": a.Breadth.At(a.Length) - b.Breadth.At(0),
		} {
			if math.Abs(d) > 1e-12 {
				t.Errorf("rib at %.2f: %s is off by %g", rib, what, d)
			}
		}
	}
}

// A bent trunk keeps its parts' lengths, and its joint angles come back from the landmarks.
func TestBentPosture(t *testing.T) {
	c := NewChain(Subject{Height: 1.8, Mass: 75, Sex: Male}, Lengths{})
	p := Posture{Pitch: 0.1, Joints: [NumJoints]float64{0.2, 0.3, 0.5, 0.6, -0.25}}
	m := still(nil)
	for l, at := range p.Landmarks(c, 1.8) {
		m.Paths[l] = &Path{X: []float64{at.X}, Y: []float64{at.Y}}
	}
	for j, want := range p.Joints {
		if got := m.BentJointAngle(Joint(j))[0]; math.Abs(got-want) > 1e-12 {
			t.Errorf("%v: %.4f, want %.4f", Joint(j), got, want)
		}
	}
	length, rib := MeasuredTrunk(m)
	if math.Abs(length-c[Trunk].Length) > 1e-12 || math.Abs(rib-0.55) > 1e-12 {
		t.Errorf("trunk %.4f m, rib at %.3f", length, rib)
	}
}
