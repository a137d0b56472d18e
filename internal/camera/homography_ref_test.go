package camera

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// pinhole is a camera of known pose, by textbook projection (Hartley & Zisserman,
// Multiple View Geometry, 2nd ed. 2004, eq. 6.6): x = K [R | t] X. The swimmer's
// plane is Z = 0 with X right and Y up; the camera stands at distance on the far
// side of +Z, turned by yaw, pitch and roll.
type pinhole struct {
	focalPx, cx, cy  float64
	distance         float64
	yaw, pitch, roll float64
}

// matrix returns the plane-to-picture homography K [r1 r2 t].
func (p pinhole) matrix() *mat.Dense {
	rot := func(i, j int, a float64) *mat.Dense {
		m := mat.NewDense(3, 3, []float64{1, 0, 0, 0, 1, 0, 0, 0, 1})
		m.Set(i, i, math.Cos(a))
		m.Set(j, j, math.Cos(a))
		m.Set(i, j, -math.Sin(a))
		m.Set(j, i, math.Sin(a))
		return m
	}
	var r mat.Dense
	r.Mul(rot(1, 2, p.pitch), rot(0, 2, p.yaw))
	r.Mul(rot(0, 1, p.roll), &r)
	// World (X right, Y up) to camera (x right, y down, z forwards).
	flip := mat.NewDense(3, 3, []float64{1, 0, 0, 0, -1, 0, 0, 0, 1})
	r.Mul(&r, flip)
	ext := mat.NewDense(3, 3, []float64{
		r.At(0, 0), r.At(0, 1), 0,
		r.At(1, 0), r.At(1, 1), 0,
		r.At(2, 0), r.At(2, 1), p.distance,
	})
	k := mat.NewDense(3, 3, []float64{p.focalPx, 0, p.cx, 0, p.focalPx, p.cy, 0, 0, 1})
	var h mat.Dense
	h.Mul(k, ext)
	return &h
}

func (p pinhole) see(x, y float64) [2]float64 {
	h := p.matrix()
	w := h.At(2, 0)*x + h.At(2, 1)*y + h.At(2, 2)
	return [2]float64{(h.At(0, 0)*x + h.At(0, 1)*y + h.At(0, 2)) / w, (h.At(1, 0)*x + h.At(1, 1)*y + h.At(1, 2)) / w}
}

func (p pinhole) seeAll(m [][2]float64) [][2]float64 {
	px := make([][2]float64, len(m))
	for i := range m {
		px[i] = p.see(m[i][0], m[i][1])
	}
	return px
}

var rectangle = [][2]float64{{-2, -0.6}, {2, -0.6}, {2, 0.9}, {-2, 0.9}}

func TestHomographyMeetsProjectionsExactly(t *testing.T) {
	for _, p := range []pinhole{
		{focalPx: 1500, cx: 960, cy: 540, distance: 6},
		{focalPx: 900, cx: 640, cy: 360, distance: 4, yaw: 0.3},
		{focalPx: 900, cx: 640, cy: 360, distance: 5, pitch: -0.25, roll: 0.05},
		{focalPx: 2000, cx: 960, cy: 540, distance: 8, yaw: -0.4, pitch: 0.1, roll: -0.1},
	} {
		v, err := FromPoints(p.seeAll(rectangle), rectangle)
		if err != nil {
			t.Fatalf("%+v: %v", p, err)
		}
		for x := -1.8; x <= 1.8; x += 0.4 {
			for y := -0.5; y <= 0.8; y += 0.2 {
				px := p.see(x, y)
				gx, gy := v.ToPool(0, px[0], px[1])
				if math.Hypot(gx-x, gy-y) > 1e-9 {
					t.Errorf("%+v: (%g, %g) comes back as (%g, %g)", p, x, y, gx, gy)
				}
				bx, by := v.ToPicture(0, gx, gy)
				if math.Hypot(bx-px[0], by-px[1]) > 1e-7 {
					t.Errorf("%+v: round trip in the picture is off by %g px", p, math.Hypot(bx-px[0], by-px[1]))
				}
			}
		}
		if e := v.Errors(); e.ResidualPx > 1e-8 || e.Source != Rectangle || e.Mirrored || e.Note != "" {
			t.Errorf("%+v: errors %+v", p, e)
		}
	}
}

// The local scale is known in closed form for a square view (distance / focal)
// and by finite differences for any other.
func TestLocalScale(t *testing.T) {
	square := pinhole{focalPx: 1500, cx: 960, cy: 540, distance: 6}
	v, err := FromPoints(square.seeAll(rectangle), rectangle)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := v.MetresPerPx(0, 300, 200), 6.0/1500; math.Abs(got/want-1) > 1e-9 {
		t.Errorf("square view: %g m/px, want %g", got, want)
	}
	oblique := pinhole{focalPx: 900, cx: 640, cy: 360, distance: 4, yaw: 0.4, pitch: 0.2}
	v, err = FromPoints(oblique.seeAll(rectangle), rectangle)
	if err != nil {
		t.Fatal(err)
	}
	const h = 1e-3
	at := func(x, y float64) [2]float64 { a, b := v.ToPool(0, x, y); return [2]float64{a, b} }
	x, y := 700.0, 300.0
	dx, dy, o := at(x+h, y), at(x, y+h), at(x, y)
	area := math.Abs((dx[0]-o[0])*(dy[1]-o[1])-(dx[1]-o[1])*(dy[0]-o[0])) / (h * h)
	if got := v.MetresPerPx(0, x, y); math.Abs(got/math.Sqrt(area)-1) > 1e-5 {
		t.Errorf("oblique view: %g m/px, finite differences give %g", got, math.Sqrt(area))
	}
}

// With noisy points the refined fit must be at the minimum of the picture
// distances: no small change of the matrix may make it better. The distances are
// summed by gonum, apart from the code under test.
func TestRefinementIsAMinimum(t *testing.T) {
	p := pinhole{focalPx: 1000, cx: 960, cy: 540, distance: 5, yaw: 0.35, pitch: 0.1}
	rng := rand.New(rand.NewPCG(1, 2))
	var m, px [][2]float64
	for x := -2.0; x <= 2; x++ {
		for y := -0.5; y <= 1; y += 0.5 {
			m = append(m, [2]float64{x, y})
			q := p.see(x, y)
			px = append(px, [2]float64{q[0] + 1.5*rng.NormFloat64(), q[1] + 1.5*rng.NormFloat64()})
		}
	}
	h, err := fitHomography(m, px)
	if err != nil {
		t.Fatal(err)
	}
	cost := func(h matrix) float64 {
		hm := mat.NewDense(3, 3, h[:])
		sum := 0.0
		for i := range m {
			var q mat.VecDense
			q.MulVec(hm, mat.NewVecDense(3, []float64{m[i][0], m[i][1], 1}))
			sum += math.Pow(q.AtVec(0)/q.AtVec(2)-px[i][0], 2) + math.Pow(q.AtVec(1)/q.AtVec(2)-px[i][1], 2)
		}
		return sum
	}
	best := cost(h)
	for i := range h {
		for _, f := range []float64{-1e-5, 1e-5} {
			moved := h
			moved[i] *= 1 + f
			if c := cost(moved); c < best*(1-1e-10) {
				t.Errorf("element %d changed by %g lowers the cost from %.12g to %.12g", i, f, best, c)
			}
		}
	}
	// 20 points, 40 numbers, 8 unknowns: residual SD per axis near 1.5 px, so the
	// root mean square distance near 1.5 sqrt(2) sqrt(32/40) = 1.9 px.
	if r := math.Sqrt(best / float64(len(m))); r < 1.4 || r > 2.4 {
		t.Errorf("residual %g px, expected about 1.9", r)
	}
	// The unrefined DLT must not be better.
	tp, np := normalise(m)
	tq, nq := normalise(px)
	raw, err := dlt(np, nq)
	if err != nil {
		t.Fatal(err)
	}
	inv, _ := tq.inverse()
	if c := cost(inv.mul(raw).mul(tp)); c < best*(1-1e-12) {
		t.Errorf("plain DLT costs %g, refined %g", c, best)
	}
}

// The stated error of the scale must be the scatter that clicking the points
// again gives, apart from the share for the swimmer's place (PlanePlacementRel).
func TestScaleErrorIsHonest(t *testing.T) {
	p := pinhole{focalPx: 1000, cx: 640, cy: 360, distance: 6, yaw: 0.2}
	small := [][2]float64{{-0.5, -0.5}, {0.5, -0.5}, {0.5, 0.5}, {-0.5, 0.5}}
	exact := p.seeAll(small)
	v, err := FromPoints(exact, small)
	if err != nil {
		t.Fatal(err)
	}
	c := centroid(exact)
	true0 := v.MetresPerPx(0, c[0], c[1])
	rng := rand.New(rand.NewPCG(3, 4))
	const n = 2000
	var ss, roll float64
	for range n {
		px := make([][2]float64, len(exact))
		for i := range px {
			px[i] = [2]float64{exact[i][0] + ClickPx*rng.NormFloat64(), exact[i][1] + ClickPx*rng.NormFloat64()}
		}
		w, err := FromPoints(px, small)
		if err != nil {
			t.Fatal(err)
		}
		ss += math.Pow(w.MetresPerPx(0, c[0], c[1])/true0-1, 2)
		ax, ay := w.ToPool(0, c[0], c[1])
		bx, by := w.ToPool(0, c[0]+1, c[1])
		ex, ey := v.ToPool(0, c[0], c[1])
		fx, fy := v.ToPool(0, c[0]+1, c[1])
		roll += math.Pow(math.Atan2(by-ay, bx-ax)-math.Atan2(fy-ey, fx-ex), 2)
	}
	want := math.Sqrt(ss/n + PlanePlacementRel*PlanePlacementRel)
	if got := v.Errors().ScaleRel; math.Abs(got/want-1) > 0.06 {
		t.Errorf("scale error stated %.4f, found %.4f", got, want)
	}
	wantRoll := math.Sqrt(roll/n + RectangleRoll*RectangleRoll)
	if got := v.Errors().Roll; math.Abs(got/wantRoll-1) > 0.06 {
		t.Errorf("roll error stated %.5f rad, found %.5f", got, wantRoll)
	}
}

// An object in front of or behind the plane is seen too large or too small by
// D/(D -+ d): 0.2 m at 5 m is 4 % (d14 of the reference notes).
func TestOutOfPlane(t *testing.T) {
	p := pinhole{focalPx: 1200, cx: 640, cy: 360, distance: 5}
	v, err := FromPoints(p.seeAll(rectangle), rectangle)
	if err != nil {
		t.Fatal(err)
	}
	near := p
	near.distance -= 0.2
	a, b := near.see(0, 0), near.see(1, 0)
	ax, _ := v.ToPool(0, a[0], a[1])
	bx, _ := v.ToPool(0, b[0], b[1])
	if got, want := bx-ax, 5/4.8; math.Abs(got-want) > 1e-9 {
		t.Errorf("1 m nearer by 0.2 m measures %g m, want %g", got, want)
	}
}
