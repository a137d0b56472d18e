package series

import (
	"math"
	"testing"
)

func TestResampleIsExactForCubics(t *testing.T) {
	cubic := func(s float64) float64 { return 1 - 2*s + 0.5*s*s + 3*s*s*s }
	ts := []float64{0, 0.1, 0.25, 0.3, 0.5, 0.8, 0.9, 1.2}
	var x, grid []float64
	for _, s := range ts {
		x = append(x, cubic(s))
	}
	for s := 0.0; s <= 1.2; s += 0.037 {
		grid = append(grid, s)
	}
	for i, v := range Resample(ts, x, grid) {
		near(t, "cubic", v, cubic(grid[i]), 1e-12)
	}
}

// Order of convergence 4 on a smooth curve.
func TestResampleConverges(t *testing.T) {
	worst := func(n int) float64 {
		var ts, x, grid []float64
		for i := range n + 1 {
			ts = append(ts, float64(i)/float64(n))
			x = append(x, math.Sin(7*ts[i]))
		}
		for i := range 997 {
			grid = append(grid, float64(i)/997)
		}
		w := 0.0
		for i, v := range Resample(ts, x, grid) {
			w = max(w, math.Abs(v-math.Sin(7*grid[i])))
		}
		return w
	}
	near(t, "order", math.Log2(worst(40)/worst(80)), 4, 0.4)
}

func TestResampleGaps(t *testing.T) {
	nan := math.NaN()
	ts := []float64{0, 1, 2, 3, 4, 5}
	x := []float64{0, 1, nan, 3, 4, 5}
	got := Resample(ts, x, []float64{-0.1, 0, 0.5, 1, 1.5, 2, 2.5, 3, 4.5, 5, 5.1})
	want := []float64{nan, 0, 0.5, 1, nan, nan, nan, 3, 4.5, 5, nan}
	for i := range want {
		if math.IsNaN(got[i]) != math.IsNaN(want[i]) || math.Abs(got[i]-want[i]) > 1e-12 {
			t.Errorf("sample %d is %v, want %v", i, got[i], want[i])
		}
	}
	if v := Resample(nil, nil, []float64{1}); !math.IsNaN(v[0]) {
		t.Error("nothing known gives NaN")
	}
}

func TestExtremesOfASine(t *testing.T) {
	// 2 Hz at uneven instants around 50 per second: extremes at 1/8 + k/2 and
	// 3/8 + k/2 s. The parabola's error is of the third order in the step.
	var ts, x []float64
	for i := range 101 {
		s := float64(i)/50 + 0.002*math.Sin(float64(i)*1.7)
		ts = append(ts, s)
		x = append(x, math.Sin(4*math.Pi*s))
	}
	top, bottom := Maxima(ts, x), Minima(ts, x)
	if len(top) != 4 || len(bottom) != 4 {
		t.Fatalf("%d maxima, %d minima", len(top), len(bottom))
	}
	for k := range 4 {
		near(t, "time of maximum", top[k].T, 0.125+0.5*float64(k), 4e-4)
		near(t, "maximum", top[k].X, 1, 3e-4)
		near(t, "time of minimum", bottom[k].T, 0.375+0.5*float64(k), 4e-4)
		near(t, "minimum", bottom[k].X, -1, 3e-4)
		if math.Abs(ts[top[k].I]-top[k].T) > 0.0125 {
			t.Errorf("sample %d is not the nearest to %v", top[k].I, top[k].T)
		}
	}
}

func TestMaximumOfAParabolaIsExact(t *testing.T) {
	ts := []float64{0, 0.3, 0.5, 0.9}
	var x []float64
	for _, s := range ts {
		x = append(x, 2-3*(s-0.46)*(s-0.46))
	}
	e := Maxima(ts, x)
	if len(e) != 1 {
		t.Fatalf("%d maxima", len(e))
	}
	near(t, "time", e[0].T, 0.46, 1e-12)
	near(t, "value", e[0].X, 2, 1e-12)
}

func TestPlateausAndEdges(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name string
		x    []float64
		want []float64
	}{
		{"flat top", []float64{0, 1, 3, 3, 3, 3, 0}, []float64{3.5}},
		{"pair", []float64{0, 3, 3, 0}, []float64{1.5}},
		{"step up", []float64{0, 1, 1, 1, 2}, nil},
		{"edges", []float64{5, 1, 2}, nil},
		{"constant", []float64{2, 2, 2}, nil},
		{"beside a gap", []float64{0, 2, nan, 2, 0}, nil},
		{"empty", nil, nil},
	} {
		ts := make([]float64, len(c.x))
		for i := range ts {
			ts[i] = float64(i)
		}
		got := Maxima(ts, c.x)
		if len(got) != len(c.want) {
			t.Errorf("%s: %v", c.name, got)
			continue
		}
		for i := range got {
			near(t, c.name, got[i].T, c.want[i], 1e-12)
		}
	}
}

func TestCrossing(t *testing.T) {
	ts := []float64{0, 1, 2, 3, 4}
	x := []float64{0, 2, -2, -1, 3}
	for _, c := range []struct {
		level  float64
		rising bool
		want   float64
		ok     bool
	}{
		{1, true, 0.5, true}, {1, false, 1.25, true}, {-1.5, true, 2.5, true}, {0, true, 0, true}, {5, true, 0, false},
	} {
		got, ok := Crossing(ts, x, c.level, c.rising)
		if ok != c.ok || (ok && math.Abs(got-c.want) > 1e-12) {
			t.Errorf("level %v rising %v: %v %v", c.level, c.rising, got, ok)
		}
	}
	if _, ok := Crossing([]float64{0, 1, 2}, []float64{0, math.NaN(), 2}, 1, true); ok {
		t.Error("a crossing inside a gap is not known")
	}
}
