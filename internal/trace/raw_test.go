package trace

import (
	"math"
	"math/rand/v2"
	"testing"

	"underkick/internal/body"
)

func TestDense(t *testing.T) {
	s := regular(0)
	times := frames(1, 100)
	pick := func(skip func(int) bool) []body.Mark {
		var frames []int
		for i := range times {
			if !skip(i) {
				frames = append(frames, i)
			}
		}
		return s.click(times, frames, nine, 0, rand.New(rand.NewPCG(1, 1)))
	}
	if !Dense(times, pick(func(int) bool { return false })) {
		t.Error("every frame is dense")
	}
	if !Dense(times, pick(func(i int) bool { return i < 30 || i%10 == 0 })) {
		t.Error("nine in ten frames of its own span are dense")
	}
	if Dense(times, pick(func(i int) bool { return i%2 == 0 })) {
		t.Error("every second frame is not dense")
	}
	if Dense(times, nil) || Dense(nil, nil) {
		t.Error("nothing is not dense")
	}
	// One landmark marked here and there spoils it.
	mixed := append(pick(func(int) bool { return false }), s.click(times, []int{3, 50}, []body.Landmark{body.Elbow}, 0, rand.New(rand.NewPCG(1, 1)))...)
	if Dense(times, mixed) {
		t.Error("two marks of the elbow over the whole clip are not dense")
	}
}

func TestRaw(t *testing.T) {
	s := regular(0)
	times := frames(1, 100)
	var picked []int
	for i := range times {
		// A gap of 0.08 s and one of 0.14 s.
		if (i > 20 && i < 28) || (i > 50 && i < 64) {
			continue
		}
		picked = append(picked, i)
	}
	marks := s.click(times, picked, []body.Landmark{body.Toe}, 0, rand.New(rand.NewPCG(1, 1)))
	marks = append(marks,
		body.Mark{Time: times[10], Landmark: body.Toe, X: marks[10].X + 2, Y: marks[10].Y},
		body.Mark{Time: times[12], Landmark: body.Toe, X: math.NaN(), Y: 3},
		body.Mark{Time: 99, Landmark: body.Toe, X: 1, Y: 1},
		body.Mark{Time: times[40], Landmark: body.Hip, X: 5, Y: 6, SD: 0.7},
	)
	m := Raw(times, marks)
	p := m.Paths[body.Toe]
	if p.VX != nil || p.VY != nil || p.SD != nil {
		t.Error("raw positions have no velocities, and no errors unless stated")
	}
	for i, at := range times {
		truth := s.at(at)[body.Toe]
		switch {
		case i > 50 && i < 64:
			if !math.IsNaN(p.X[i]) {
				t.Errorf("frame %d inside a gap of 0.14 s is %v", i, p.X[i])
			}
		case i > 20 && i < 28:
			// The cubic over 0.08 s of a 2.3 Hz kick: a few pixels.
			near(t, "bridged", p.Y[i], truth[1], 3)
		case i == 10:
			near(t, "mean of two marks", p.X[i], truth[0]+1, 1e-9)
		default:
			near(t, "mark", p.X[i], truth[0], 1e-9)
			near(t, "mark", p.Y[i], truth[1], 1e-9)
		}
	}
	hip := m.Paths[body.Hip]
	if hip.SD[40] != 0.7 || hip.X[40] != 5 || !math.IsNaN(hip.X[41]) || !math.IsNaN(hip.SD[41]) {
		t.Errorf("a single mark: %v %v", hip.X[39:42], hip.SD[39:42])
	}
	if m.Has(body.Knee) {
		t.Error("the knee was never marked")
	}
}
