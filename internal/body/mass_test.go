package body

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// still returns a motion of one frame.
func still(at map[Landmark]Point) Motion {
	m := Motion{T: []float64{0}}
	for l, p := range at {
		m.Paths[l] = &Path{X: []float64{p.X}, Y: []float64{p.Y}}
	}
	return m
}

// streamlined returns a straight swimmer along x with the hip at 0, all landmarks.
func streamlined(height float64) Motion {
	c := NewChain(Subject{Height: height, Mass: 75, Sex: Male}, Lengths{})
	at := Posture{}.Landmarks(c, height)
	m := Motion{T: []float64{0}}
	for l, p := range at {
		m.Paths[l] = &Path{X: []float64{p.X}, Y: []float64{p.Y}}
	}
	return m
}

// kicking returns n frames of a swimmer in changing, seeded postures.
func kicking(n int) Motion {
	rng := rand.New(rand.NewPCG(7, 11))
	c := NewChain(Subject{Height: 1.7, Mass: 60, Sex: Female}, Lengths{})
	var m Motion
	for l := range m.Paths {
		m.Paths[l] = &Path{}
	}
	for i := range n {
		t := float64(i) / 60
		m.T = append(m.T, t)
		p := Posture{Hip: Point{1.3 * t, 0.05 * math.Sin(13*t)}, Pitch: 0.2 * math.Sin(13*t)}
		for j := range AnkleJoint + 1 { // with a stiff trunk
			p.Joints[j] = 0.4 + 0.4*math.Sin(13*t+6*rng.Float64())
		}
		for l, q := range p.Landmarks(c, 1.7) {
			m.Paths[l].X = append(m.Paths[l].X, q.X)
			m.Paths[l].Y = append(m.Paths[l].Y, q.Y)
		}
	}
	return m
}

// A body of six landmarks on a line, male, worked by hand with de Leva's numbers:
// stations in m from the hip: finger tips 1.2834, shoulder 0.5184, knee -0.4365,
// ankle -0.88524, toe -1.11024.
func TestCentreOfMassByHand(t *testing.T) {
	const arm, trunk, thigh, shank, foot = 0.765, 0.5184, 0.4365, 0.44874, 0.225
	upper := 0.2817 / 0.7385 * arm
	fore := 0.2689 / 0.7385 * arm
	hand := 0.1879 / 0.7385 * arm
	want := 2*0.0271*(trunk+0.5772*upper) + 2*0.0162*(trunk+upper+0.4574*fore) + 2*0.0061*(trunk+upper+fore+0.3624*hand) +
		0.0694*(trunk+0.10) + 0.4346*(1-0.4310)*trunk +
		2*0.1416*-0.4095*thigh + 2*0.0433*-(thigh+0.4459*shank) + 2*0.0137*-(thigh+shank+0.4415*foot)
	m := still(map[Landmark]Point{
		Fingertip: {trunk + arm, 0}, Shoulder: {trunk, 0}, Hip: {}, Knee: {-thigh, 0},
		Ankle: {-thigh - shank, 0}, Toe: {-thigh - shank - foot, 0},
	})
	path, missing, ok := CentreOfMass(m, Subject{Height: 1.80, Mass: 75, Sex: Male})
	if !ok || math.Abs(path.X[0]-want) > 1e-6 || math.Abs(path.Y[0]) > 1e-12 {
		t.Errorf("centre at %.6f, want %.6f (ok %v)", path.X[0], want, ok)
	}
	if want := []Landmark{Wrist, Elbow, Head, Rib, Heel}; !slices.Equal(missing, want) {
		t.Errorf("missing %v, want %v", missing, want)
	}
}

// A bent pose: arms and trunk along x, legs straight down from the hip. By hand,
// y of the centre is the legs' mass times their centre.
func TestCentreOfMassLegsDown(t *testing.T) {
	m := still(map[Landmark]Point{Wrist: {1.1, 0}, Shoulder: {0.5, 0}, Hip: {}, Knee: {0, -0.4}, Ankle: {0, -0.8}, Toe: {0, -1.0}})
	want := -2 * (0.1478*0.3612*0.4 + 0.0481*(0.4+0.4416*0.4) + 0.0129*(0.8+0.4014*0.2)) / 0.9999
	path, _, ok := CentreOfMass(m, Subject{Height: 1.7, Mass: 60, Sex: Female})
	if !ok || math.Abs(path.Y[0]-want) > 1e-9 {
		t.Errorf("y = %.6f, want %.6f", path.Y[0], want)
	}
}

// The optional landmarks, where a straight swimmer has them, must not move the centre.
func TestOptionalLandmarksDoNotMoveAStraightBody(t *testing.T) {
	full := streamlined(1.80)
	s := Subject{Height: 1.80, Mass: 75, Sex: Male}
	base := full
	for _, l := range [...]Landmark{Wrist, Elbow, Head, Rib, Heel} {
		base.Paths[l] = nil
	}
	want, _, _ := CentreOfMass(base, s)
	for _, use := range [][]Landmark{{Wrist}, {Elbow}, {Head}, {Rib}, {Rib, Head}, {Wrist, Elbow, Head, Rib}} {
		m := base
		for _, l := range use {
			m.Paths[l] = full.Paths[l]
		}
		got, missing, ok := CentreOfMass(m, s)
		if !ok || math.Hypot(got.X[0]-want.X[0], got.Y[0]-want.Y[0]) > 1e-9 {
			t.Errorf("with %v: centre %.6f, want %.6f", use, got.X[0], want.X[0])
		}
		if len(missing) != 6-1-len(use) {
			t.Errorf("with %v: missing %v", use, missing)
		}
	}
	// The wrist alone serves for the hand.
	m := base
	m.Paths[Fingertip], m.Paths[Wrist] = nil, full.Paths[Wrist]
	if got, _, ok := CentreOfMass(m, s); !ok || math.Abs(got.X[0]-want.X[0]) > 1e-9 {
		t.Errorf("wrist for finger tip: centre %.6f, want %.6f", got.X[0], want.X[0])
	}
}

func TestCentreOfMassNeedsItsLandmarks(t *testing.T) {
	for _, l := range [...]Landmark{Shoulder, Hip, Knee, Ankle, Toe} {
		m := streamlined(1.8)
		m.Paths[l] = nil
		if _, missing, ok := CentreOfMass(m, Subject{Height: 1.8, Mass: 75}); ok || !slices.Equal(missing, []Landmark{l}) {
			t.Errorf("without %v: ok %v, missing %v", l, ok, missing)
		}
	}
	m := streamlined(1.8)
	m.Paths[Fingertip], m.Paths[Wrist] = nil, nil
	if _, missing, ok := CentreOfMass(m, Subject{}); ok || !slices.Equal(missing, []Landmark{Fingertip}) {
		t.Errorf("without hands: ok %v, missing %v", ok, missing)
	}
}

func TestCentreOfMassGaps(t *testing.T) {
	m := kicking(10)
	m.Paths[Elbow].X[3] = math.NaN() // optional: the elbow is left aside
	m.Paths[Toe].Y[5] = math.NaN()   // needed: the centre is not known
	got, missing, ok := CentreOfMass(m, Subject{Height: 1.7, Mass: 60, Sex: Female})
	if !ok || !slices.Equal(missing, []Landmark{Elbow}) {
		t.Errorf("ok %v, missing %v; want the elbow", ok, missing)
	}
	for i := range m.T {
		if gap := math.IsNaN(got.Y[i]); gap != (i == 5) {
			t.Errorf("frame %d: gap %v", i, gap)
		}
	}
}

// The centre moves with the body: any rotation, mirror, change of unit or shift of the
// landmarks does the same to the centre.
func TestCentreOfMassMovesWithTheBody(t *testing.T) {
	s := Subject{Height: 1.7, Mass: 60, Sex: Female}
	m := kicking(20)
	for l, p := range m.Paths {
		p.VX, p.VY, p.SD = make([]float64, 20), make([]float64, 20), make([]float64, 20)
		for i := range p.VX {
			p.VX[i], p.VY[i], p.SD[i] = float64(l)+0.1*float64(i), 1-float64(l), 0.004
		}
	}
	c, _, _ := CentreOfMass(m, s)
	as := func(p Path) Motion { return Motion{T: m.T, Paths: [NumLandmarks]*Path{Hip: &p}} }
	for name, f := range map[string]func(Motion) Motion{
		"rotate": func(m Motion) Motion { return m.Rotate(0.7) },
		"mirror": func(m Motion) Motion { return m.Transform(-1, 0, 0, 1) },
		"scale":  func(m Motion) Motion { return m.Scale(3) },
	} {
		got, _, _ := CentreOfMass(f(m), s)
		want := f(as(c)).Paths[Hip]
		for i := range m.T {
			d := math.Abs(got.X[i]-want.X[i]) + math.Abs(got.Y[i]-want.Y[i]) + math.Abs(got.VX[i]-want.VX[i]) +
				math.Abs(got.VY[i]-want.VY[i]) + math.Abs(got.SD[i]-want.SD[i])
			if d > 1e-9 {
				t.Fatalf("%s: frame %d differs by %g", name, i, d)
			}
		}
	}
	// Independent errors of 4 mm on eleven landmarks average out below 4 mm.
	if c.SD[0] <= 0 || c.SD[0] >= 0.004 {
		t.Errorf("SD of the centre %g m, want between 0 and 0.004", c.SD[0])
	}
}

func TestCombineDropsWhatIsNotThere(t *testing.T) {
	m := kicking(3)
	m.Paths[Toe].SD = []float64{1, 1, 1}
	p := Combine(m, [NumLandmarks]float64{Toe: 0.5, Hip: 0.5})
	if p.SD != nil || p.VX != nil || p.VY != nil {
		t.Error("velocities or SD appeared from nowhere")
	}
	defer func() {
		if recover() == nil {
			t.Error("a path that is not there must panic")
		}
	}()
	m.Paths[Toe] = nil
	Combine(m, [NumLandmarks]float64{Toe: 1})
}
