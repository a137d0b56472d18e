package camera

import (
	"math"
	"testing"
)

func TestSteadiedViewFollowsTheSteps(t *testing.T) {
	base := FromScale(0.005)
	shift := func(dx, dy float64) [9]float64 { return [9]float64{1, 0, dx, 0, 1, dy, 0, 0, 1} }
	v, err := Steadied(base, []Step{{Time: 1, Map: shift(40, -20)}, {Time: 0, Map: shift(0, 0)}}, 2, 500)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ t, dx, dy float64 }{{0, 0, 0}, {1, 40, -20}, {0.5, 20, -10}, {2, 40, -20}} {
		x, y := v.ToPool(c.t, 300+c.dx, 200+c.dy)
		if math.Hypot(x-1.5, y+1) > 1e-9 {
			t.Errorf("at %g s the point is at (%g, %g), want (1.5, -1)", c.t, x, y)
		}
	}
	if got, want := v.Errors().ScaleRel, math.Hypot(KnownLengthScaleRel, math.Sqrt2*2/500); math.Abs(got-want) > 1e-12 {
		t.Errorf("scale error %g, want %g", got, want)
	}
	if got := v.Errors().ResidualPx; got != 2 {
		t.Errorf("residual %g px, want 2", got)
	}
}

func TestSteadiedRefusesWhatCannotBe(t *testing.T) {
	base := FromScale(0.005)
	moving, err := Moving([]KeyView{{0, base}, {1, base}})
	if err != nil {
		t.Fatal(err)
	}
	one := []Step{{Map: [9]float64{1, 0, 0, 0, 1, 0, 0, 0, 1}}}
	if _, err := Steadied(moving, one, 0, 0); err == nil {
		t.Error("a moving view was steadied")
	}
	if _, err := Steadied(base, nil, 0, 0); err == nil {
		t.Error("no steps were taken")
	}
	if _, err := Steadied(base, []Step{{}}, 0, 0); err == nil {
		t.Error("a step that is no picture was taken")
	}
}
