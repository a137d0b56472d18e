package demo

import (
	"math"
	"testing"

	"underkick/internal/body"
	"underkick/internal/swim"
)

func adultSpeed(t *testing.T, k swim.Kick) float64 {
	t.Helper()
	o, err := swim.NewModel(body.Subject{Height: 1.8, Mass: 75, Sex: body.Male}, swim.ModelOptions{}).Swim(k, swim.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return o.Speed
}

func must(t *testing.T) func(k swim.Kick, err error) swim.Kick {
	return func(k swim.Kick, err error) swim.Kick {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return k
	}
}

// Each fault does to the kick what its name says, and slows the swimmer.
func TestFaults(t *testing.T) {
	k := swim.Reference()
	own := adultSpeed(t, k)

	flat := flatFooted(k, 8*deg)
	for _, p := range []float64{0, 0.3, 0.7} {
		if d := flat.Angles(p)[body.AnkleJoint] - k.Angles(p)[body.AnkleJoint]; math.Abs(d-8*deg) > 1e-12 {
			t.Errorf("flat foot turned by %.2f deg at phase %.1f", d/deg, p)
		}
	}
	short := must(t)(cutShort(k, 7*deg, 10*deg))
	end := lowest(k, toeHeight)
	if rise := toeHeight(short, end) - toeHeight(k, end); rise < 0.03 {
		t.Errorf("a cut-short downkick ends %.3f body heights higher, want 0.03 or more", rise)
	}
	even := must(t)(evenSpeed(k, 0.9))
	b0, way0 := buildAndWay(k)
	b1, way1 := buildAndWay(even)
	if math.Abs(way1/way0-1) > 0.03 || b1 > b0-0.05 || b1 < 1 {
		t.Errorf("even speed: build %.3f to %.3f, way %.3f to %.3f; want less build on the same way", b0, b1, way0, way1)
	}
	for name, fault := range map[string]swim.Kick{"flat-footed": flat, "cut short": short, "even speed": even} {
		if v := adultSpeed(t, fault); v > 0.99*own {
			t.Errorf("%s swims %.3f m/s, the good kick %.3f", name, v, own)
		}
	}
}

// buildAndWay returns T Int v^2 dt / (Int v dt)^2 and Int v dt of the foot relative to
// the hip over the downkick.
func buildAndWay(k swim.Kick) (build, way float64) {
	top, bottom := highest(k, toeHeight), lowest(k, toeHeight)
	if bottom < top {
		bottom++
	}
	const n = 2000
	squares := 0.0
	x, y := foot(k, top)
	for i := 1; i <= n; i++ {
		x1, y1 := foot(k, top+(bottom-top)*float64(i)/n)
		d := math.Hypot(x1-x, y1-y)
		way += d
		squares += d * d * n
		x, y = x1, y1
	}
	return squares / (way * way), way
}

// Reshaping with the kick's own angles changes nothing.
func TestReshapeKeepsAKick(t *testing.T) {
	k := swim.Reference()
	got := must(t)(reshape(k, k.Angles))
	for _, p := range []float64{0.1, 0.45, 0.8} {
		for j, a := range got.Angles(p) {
			if math.Abs(a-k.Angles(p)[j]) > 1e-9 {
				t.Errorf("%v at phase %.2f changed by %.2g", body.Joint(j), p, a-k.Angles(p)[j])
			}
		}
	}
}
