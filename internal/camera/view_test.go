package camera

import (
	"math"
	"strings"
	"testing"
)

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

func TestFromScale(t *testing.T) {
	v := FromScale(0.005)
	x, y := v.ToPool(3, 200, 100)
	if !near(x, 1, 1e-12) || !near(y, -0.5, 1e-12) {
		t.Errorf("(200, 100) px is (%g, %g) m, want (1, -0.5)", x, y)
	}
	px, py := v.ToPicture(0, x, y)
	if !near(px, 200, 1e-9) || !near(py, 100, 1e-9) {
		t.Errorf("back at (%g, %g)", px, py)
	}
	if s := v.MetresPerPx(0, 7, 7); !near(s, 0.005, 1e-15) {
		t.Errorf("scale %g", s)
	}
	e := v.Errors()
	if e.ScaleRel != 0.015 || !near(e.Roll, math.Pi/180, 1e-15) || e.Source != KnownLength {
		t.Errorf("errors %+v", e)
	}
	x, y = v.ToPool(0, math.NaN(), 1)
	if !math.IsNaN(x) || !math.IsNaN(y) {
		t.Error("NaN in, number out")
	}
}

func TestBadScalePanics(t *testing.T) {
	for _, s := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		func() {
			defer func() {
				if r, ok := recover().(string); !ok || !strings.HasPrefix(r, "camera: ") {
					t.Errorf("scale %g: recovered %v", s, r)
				}
			}()
			FromScale(s)
		}()
	}
}

func TestFromBodyHeightIsFlagged(t *testing.T) {
	v := FromBodyHeight(2.4, 480)
	if e := v.Errors(); e.Source != BodyHeight || e.ScaleRel != 0.04 {
		t.Errorf("errors %+v", e)
	}
	if s := v.MetresPerPx(0, 0, 0); !near(s, 0.005, 1e-15) {
		t.Errorf("scale %g", s)
	}
}

// Two points: lengths and tilt.
func TestFromTwoPoints(t *testing.T) {
	tilt := 3 * math.Pi / 180
	px := [][2]float64{{100, 500}, {100 + 1000*math.Cos(tilt), 500 - 1000*math.Sin(tilt)}}
	v, err := FromPoints(px, [][2]float64{{0, 0}, {5, 0}})
	if err != nil {
		t.Fatal(err)
	}
	x, y := v.ToPool(0, px[1][0], px[1][1])
	if !near(x, 5, 1e-12) || !near(y, 0, 1e-12) {
		t.Errorf("second point at (%g, %g), want (5, 0)", x, y)
	}
	// A point straight above the first in the pool: up the picture, tilted left.
	x, y = v.ToPool(0, 100-200*math.Sin(tilt), 500-200*math.Cos(tilt))
	if !near(x, 0, 1e-12) || !near(y, 1, 1e-12) {
		t.Errorf("1 m above is (%g, %g)", x, y)
	}
	if s := v.MetresPerPx(0, 0, 0); !near(s, 0.005, 1e-12) {
		t.Errorf("scale %g", s)
	}
}

func TestTwoPointsTurned(t *testing.T) {
	up := [][2]float64{{300, 700}, {300, 300}} // second point higher in the picture
	for _, c := range []struct {
		name     string
		px, m    [][2]float64
		mirrored bool
		noted    bool
	}{
		{"pole", up, [][2]float64{{0, 0}, {0, 2}}, false, false},
		{"pole counted downwards", up, [][2]float64{{0, 2}, {0, 0}}, true, true},
		{"lane counted to the left", [][2]float64{{900, 400}, {100, 400}}, [][2]float64{{0, 0}, {4, 0}}, true, true},
		{"half a turn", [][2]float64{{900, 400}, {500, 800}}, [][2]float64{{0, 0}, {2, 2}}, false, true},
	} {
		v, err := FromPoints(c.px, c.m)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if e := v.Errors(); e.Mirrored != c.mirrored || (e.Note != "") != c.noted {
			t.Errorf("%s: %+v", c.name, e)
		}
		rightAndUp(t, c.name, v, 500, 500)
	}
}

// rightAndUp checks that x grows to the right and y upwards in the picture.
func rightAndUp(t *testing.T, name string, v View, px, py float64) {
	t.Helper()
	x0, y0 := v.ToPool(0, px, py)
	x1, _ := v.ToPool(0, px+10, py)
	_, y1 := v.ToPool(0, px, py-10)
	if !(x1 > x0) || !(y1 > y0) {
		t.Errorf("%s: x or y runs the wrong way", name)
	}
}

func TestRectangleOfEitherHandedness(t *testing.T) {
	p := pinhole{focalPx: 1000, cx: 640, cy: 360, distance: 5, yaw: 0.2, pitch: 0.1}
	px := p.seeAll(rectangle)
	for i, s := range axisSigns {
		given := make([][2]float64, len(rectangle))
		for j, q := range rectangle {
			given[j] = [2]float64{s[0] * q[0], s[1] * q[1]}
		}
		v, err := FromPoints(px, given)
		if err != nil {
			t.Errorf("signs %v: %v", s, err)
			continue
		}
		if e := v.Errors(); e.Mirrored != (s[0] != s[1]) || (e.Note == "") != (i == 0) {
			t.Errorf("signs %v: %+v", s, e)
		}
		for _, q := range rectangle { // every way must end in the same plane
			c := p.see(q[0], q[1])
			x, y := v.ToPool(0, c[0], c[1])
			if !near(x, q[0], 1e-8) || !near(y, q[1], 1e-8) {
				t.Errorf("signs %v: corner (%g, %g) at (%g, %g)", s, q[0], q[1], x, y)
			}
		}
	}
}

func TestUnusablePoints(t *testing.T) {
	px := [][2]float64{{100, 100}, {900, 100}, {900, 500}, {100, 500}}
	m := [][2]float64{{0, 2}, {4, 2}, {4, 0}, {0, 0}}
	with := func(p [][2]float64, i int, v [2]float64) [][2]float64 {
		q := append([][2]float64(nil), p...)
		q[i] = v
		return q
	}
	for _, c := range []struct {
		name  string
		px, m [][2]float64
		says  string
	}{
		{"none", nil, nil, "two are needed"},
		{"one", px[:1], m[:1], "two are needed"},
		{"three", px[:3], m[:3], "too few for a plane"},
		{"unequal", px, m[:3], "one for each"},
		{"same pixel", with(px, 1, px[0]), m, "less than one pixel"},
		{"same place", px, with(m, 1, m[0]), "same place"},
		{"not a number", with(px, 2, [2]float64{math.NaN(), 1}), m, "not a usable"},
		{"infinite", px, with(m, 2, [2]float64{math.Inf(1), 1}), "not a usable"},
		{"all on a line", [][2]float64{{0, 0}, {100, 100}, {200, 200}, {300, 300}}, [][2]float64{{0, 0}, {1, 1}, {2, 2}, {3, 3}}, "line"},
		{"three on a line", [][2]float64{{0, 0}, {100, 0}, {200, 0}, {100, 300}}, [][2]float64{{0, 0}, {1, 0}, {2, 0}, {1, 3}}, "line"},
		{"crossed corners", px, [][2]float64{{0, 2}, {4, 2}, {0, 0}, {4, 0}}, "same order"},
		{"quarter turn", px, [][2]float64{{0, 0}, {0, 4}, {2, 4}, {2, 0}}, "upright"},
		{"quarter turn of two", px[:2], [][2]float64{{0, 0}, {0, 4}}, "upright"},
	} {
		_, err := FromPoints(c.px, c.m)
		if err == nil {
			t.Errorf("%s: accepted", c.name)
			continue
		}
		if !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), ErrPoints.Error()) {
			t.Errorf("%s: %q does not say %q", c.name, err, c.says)
		}
	}
}

func TestBeyondTheHorizon(t *testing.T) {
	p := pinhole{focalPx: 800, cx: 640, cy: 360, distance: 4, yaw: 0.6}
	v, err := FromPoints(p.seeAll(rectangle), rectangle)
	if err != nil {
		t.Fatal(err)
	}
	// The horizon of a plane turned by yaw lies at focal/tan(yaw) from the middle.
	horizon := 800 / math.Tan(0.6)
	seen := 0
	for _, side := range []float64{-1, 1} {
		x, _ := v.ToPool(0, 640+side*(horizon+50), 360)
		if math.IsNaN(x) {
			seen++
			if !math.IsNaN(v.MetresPerPx(0, 640+side*(horizon+50), 360)) {
				t.Error("a scale beyond the horizon")
			}
		}
	}
	if seen != 1 {
		t.Errorf("%d sides lie beyond the horizon, want 1", seen)
	}
}

// A camera that pans sideways and steps back: at the keys exact, between them on
// a straight line of the picture for a pan.
func TestMoving(t *testing.T) {
	at := func(shift, distance float64) View {
		p := pinhole{focalPx: 1000, cx: 640 + shift, cy: 360, distance: distance}
		v, err := FromPoints(p.seeAll(rectangle), rectangle)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	v, err := Moving([]KeyView{{Time: 1, View: at(-100, 5)}, {Time: 0, View: at(0, 5)}, {Time: 2, View: at(-100, 6)}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ t, shift, distance float64 }{
		{-5, 0, 5}, {0, 0, 5}, {0.25, -25, 5}, {1, -100, 5}, {2, -100, 6}, {9, -100, 6},
	} {
		want := pinhole{focalPx: 1000, cx: 640 + c.shift, cy: 360, distance: c.distance}.see(0.7, 0.3)
		x, y := v.ToPicture(c.t, 0.7, 0.3)
		if !near(x, want[0], 1e-6) || !near(y, want[1], 1e-6) {
			t.Errorf("t %g: (%g, %g), want %v", c.t, x, y, want)
		}
	}
	for tt := -0.5; tt < 2.5; tt += 0.13 { // the inverse holds between keys too
		x, y := v.ToPool(tt, 500, 300)
		px, py := v.ToPicture(tt, x, y)
		if !near(px, 500, 1e-6) || !near(py, 300, 1e-6) {
			t.Errorf("t %g: round trip at (%g, %g)", tt, px, py)
		}
	}
}

func TestMovingRefuses(t *testing.T) {
	v := FromScale(0.01)
	moving, err := Moving([]KeyView{{0, v}, {1, v}})
	if err != nil {
		t.Fatal(err)
	}
	for name, keys := range map[string][]KeyView{
		"none":      nil,
		"same time": {{0, v}, {0, v}},
		"no time":   {{math.NaN(), v}},
		"moving":    {{0, moving}},
		"empty":     {{0, View{}}},
	} {
		if _, err := Moving(keys); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func TestErrorsOfMovingAreTheWorst(t *testing.T) {
	v, err := Moving([]KeyView{{0, FromScale(0.01)}, {1, FromBodyHeight(1, 100)}})
	if err != nil {
		t.Fatal(err)
	}
	if e := v.Errors(); e.Source != BodyHeight || e.ScaleRel != BodyHeightScaleRel {
		t.Errorf("%+v", e)
	}
	w := v.WithErrors(Errors{ScaleRel: 0.002})
	if w.Errors().ScaleRel != 0.002 || v.Errors().ScaleRel != BodyHeightScaleRel {
		t.Error("WithErrors must change the copy only")
	}
}
