package body

import (
	"errors"
	"math"
	"testing"
)

// Angles set in a posture must be read back from its landmarks.
func TestAnglesRoundTrip(t *testing.T) {
	c := NewChain(Subject{Height: 1.8, Mass: 75, Sex: Male}, Lengths{})
	p := Posture{Hip: Point{2, -1}, Pitch: 0.1, Joints: [NumJoints]float64{-0.2, 0.3, 1.2, 0.5}}
	m := Motion{T: []float64{0}}
	for l, q := range p.Landmarks(c, 1.8) {
		m.Paths[l] = &Path{X: []float64{q.X}, Y: []float64{q.Y}}
	}
	for j, want := range p.Joints {
		if got := m.JointAngle(Joint(j))[0]; math.Abs(got-want) > 1e-12 {
			t.Errorf("%v: %.4f, want %.4f", Joint(j), got, want)
		}
	}
	for g, want := range p.Angles() {
		if got := m.SegmentAngle(Segment(g))[0]; math.Abs(got-want) > 1e-12 {
			t.Errorf("%v: %.4f, want %.4f", Segment(g), got, want)
		}
	}
	if got := c[Feet].Length; math.Abs(math.Hypot(p.Landmarks(c, 1.8)[Heel].X-p.Landmarks(c, 1.8)[Toe].X,
		p.Landmarks(c, 1.8)[Heel].Y-p.Landmarks(c, 1.8)[Toe].Y)/got-footLength/footFraction) > 1e-9 {
		t.Error("heel to toe is not the foot's length")
	}
}

// The signs, from pictures: a prone swimmer to the right, hip at the origin.
func TestSigns(t *testing.T) {
	base := map[Landmark]Point{Fingertip: {1.3, 0}, Shoulder: {0.5, 0}, Hip: {}, Knee: {-0.4, 0}, Ankle: {-0.8, 0}, Toe: {-1, 0}}
	with := func(change map[Landmark]Point) Motion {
		at := map[Landmark]Point{}
		for l, p := range base {
			at[l] = p
		}
		for l, p := range change {
			at[l] = p
		}
		return still(at)
	}
	for name, row := range map[string]struct {
		change map[Landmark]Point
		joint  Joint
		want   float64
	}{
		"arms raised to the back":     {map[Landmark]Point{Fingertip: {0.5, 0.8}}, ShoulderJoint, math.Pi / 2},
		"knees pulled under the body": {map[Landmark]Point{Knee: {0, -0.4}, Ankle: {-0.4, -0.4}, Toe: {-0.6, -0.4}}, HipJoint, math.Pi / 2},
		"heels to the buttocks":       {map[Landmark]Point{Ankle: {-0.4, 0.4}, Toe: {-0.4, 0.6}}, KneeJoint, math.Pi / 2},
		"toes to the front":           {map[Landmark]Point{Toe: {-0.8, -0.2}}, AnkleJoint, math.Pi / 2},
	} {
		if got := with(row.change).JointAngle(row.joint)[0]; math.Abs(got-row.want) > 1e-12 {
			t.Errorf("%s: %v = %.3f, want %.3f", name, row.joint, got, row.want)
		}
	}
	if got := with(map[Landmark]Point{Hip: {0, -0.5}}).SegmentAngle(Trunk)[0]; math.Abs(got-math.Pi/4) > 1e-12 {
		t.Errorf("pitch with the hip low = %.3f, want %.3f", got, math.Pi/4)
	}
}

func TestWrap(t *testing.T) {
	for _, k := range []float64{-3, -1, 0, 2} {
		for _, want := range []float64{-3, -1e-9, 0, 1, math.Pi} {
			if got := Wrap(want + 2*math.Pi*k); math.Abs(got-want) > 1e-9 {
				t.Errorf("Wrap(%g + 2 pi %g) = %g", want, k, got)
			}
		}
	}
	m := Motion{T: []float64{0, 1, 2}}
	m.Paths[Shoulder] = &Path{X: []float64{-1, -1, -1}, Y: []float64{0.1, -0.1, math.NaN()}}
	m.Paths[Hip] = &Path{X: []float64{0, 0, 0}, Y: []float64{0, 0, 0}}
	a := m.SegmentAngle(Trunk)
	if math.Abs(a[1]-a[0]) > 0.3 || !math.IsNaN(a[2]) {
		t.Errorf("a segment turning through pi must not jump: %v", a)
	}
	if m.SegmentAngle(Feet) != nil || m.JointAngle(AnkleJoint) != nil {
		t.Error("a foot that is not there has an angle")
	}
}

// However the clip lies, Orient finds the same swimmer: joint angles and the centre
// of mass relative to the start are those of the prone swimmer to the right.
func TestOrientFindsTheSameSwimmer(t *testing.T) {
	want := kicking(30)
	for _, left := range []bool{false, true} {
		for _, supine := range []bool{false, true} {
			sx, sy := 1.0, 1.0
			if left {
				sx = -1
			}
			if supine {
				sy = -1
			}
			got, o, err := Orient(want.Transform(sx, 0, 0, sy), supine)
			if err != nil || o != (Orientation{MirroredX: left, MirroredY: supine}) {
				t.Fatalf("left %v supine %v: %+v %v", left, supine, o, err)
			}
			for l := range want.Paths {
				for i := range want.T {
					if got.Paths[l].X[i] != want.Paths[l].X[i] || got.Paths[l].Y[i] != want.Paths[l].Y[i] {
						t.Fatalf("left %v supine %v: %v differs", left, supine, Landmark(l))
					}
				}
			}
		}
	}
}

func TestOrientDoubts(t *testing.T) {
	m := kicking(30)
	if _, o, _ := Orient(m, true); !o.FrontDoubtful {
		t.Error("a prone swimmer called supine must be doubted")
	}
	for i := range m.T {
		for _, p := range m.Paths {
			p.X[i] -= 4 * m.T[i]
		}
	}
	if _, o, _ := Orient(m, false); !o.Backwards {
		t.Error("a swimmer moving feet first must be doubted")
	}
	if _, _, err := Orient(Motion{T: []float64{0}}, false); !errors.Is(err, ErrNoDirection) {
		t.Errorf("nothing marked: %v", err)
	}
}

// Joint angles do not change when the pool is turned or measured in other units.
func TestJointAnglesInvariant(t *testing.T) {
	m := kicking(15)
	turned := m.Rotate(2.5).Scale(0.3)
	for j := range Joint(NumJoints) {
		a, b := m.JointAngle(j), turned.JointAngle(j)
		for i := range a {
			if math.Abs(a[i]-b[i]) > 1e-9 {
				t.Fatalf("%v differs on frame %d", j, i)
			}
		}
	}
}
