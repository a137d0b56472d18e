package swim

import (
	"math"
	"testing"

	"underkick/internal/body"
)

// Over a whole kick the pushes' impulses are those of Loads, and push balances drag.
func TestCurvesAddUpToTheLoads(t *testing.T) {
	m := NewModel(body.Subject{Height: 1.8, Mass: 75, Sex: body.Male}, ModelOptions{})
	o, err := m.Swim(Reference(), Options{Steps: 96})
	if err != nil {
		t.Fatal(err)
	}
	l, c := o.Loads(), o.Curves()
	mean := func(x []float64) (sum float64) {
		for _, v := range x {
			sum += v / float64(len(x))
		}
		return sum
	}
	if total, drag := mean(c.Total), mean(c.Drag); math.Abs(total-1) > 1e-3 || math.Abs(drag-1) > 1e-12 {
		t.Errorf("mean push %.6f and drag %.6f of the mean drag, want 1 each", total, drag)
	}
	for g, push := range l.Push {
		if got := mean(c.Push[g]) * l.Drag; math.Abs(got-push) > 1e-6*l.Drag {
			t.Errorf("%v: impulse %.5f N s by the curve, %.5f by Loads", body.Segment(g), got, push)
		}
	}
}
