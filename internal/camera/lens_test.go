package camera

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func mustLens(t testing.TB, k1, k2 float64) Lens {
	t.Helper()
	l, err := NewLens(1280, 720, k1, k2)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// bentLine is n points of the straight line from a to b as the lens shows them.
func bentLine(l Lens, a, b [2]float64, n int, noisePx float64, rng *rand.Rand) Line {
	var out Line
	for i := range n {
		f := float64(i) / float64(n-1)
		x, y := l.Bent(a[0]+f*(b[0]-a[0]), a[1]+f*(b[1]-a[1]))
		out = append(out, [2]float64{x + noisePx*rng.NormFloat64(), y + noisePx*rng.NormFloat64()})
	}
	return out
}

// The form is Brown's (Photogrammetric Engineering 37, 855-866, 1971), undistortion as
// a polynomial of the bent radius: worked by hand for one point.
func TestLensFollowsThePublishedForm(t *testing.T) {
	l := mustLens(t, 0.2, -0.05)
	h := math.Hypot(1280, 720) / 2
	x, y := l.Straight(640+0.3*h, 360+0.4*h) // r = 0.5
	k := 1 + 0.2*0.25 - 0.05*0.0625
	if !near(x, 640+0.3*h*k, 1e-9) || !near(y, 360+0.4*h*k, 1e-9) {
		t.Errorf("(%g, %g)", x, y)
	}
	if x, y := l.Straight(640, 360); x != 640 || y != 360 {
		t.Errorf("the middle moves to (%g, %g)", x, y)
	}
}

func TestLensGoesThereAndBack(t *testing.T) {
	for _, k := range [][2]float64{{0.4, 0.15}, {-0.2, 0.02}, {0.1, -0.1}, {-0.1, -0.02}, {0, 0.05}, {0, 0}} {
		l := mustLens(t, k[0], k[1])
		for x := -100.0; x <= 1380; x += 37 {
			for y := -60.0; y <= 780; y += 41 {
				u, v := l.Bent(l.Straight(x, y))
				if math.IsNaN(u) {
					if r := math.Hypot(x-640, y-360) / l.half(); r <= 1 {
						t.Fatalf("k %v: (%g, %g) is lost at %.2f", k, x, y, r)
					}
					continue
				}
				if math.Hypot(u-x, v-y) > 1e-8 {
					t.Fatalf("k %v: (%g, %g) comes back at (%g, %g)", k, x, y, u, v)
				}
			}
		}
	}
}

func TestLensThatFoldsThePictureIsRefused(t *testing.T) {
	for _, k := range [][2]float64{{-0.5, 0}, {0, -0.25}, {-1, 0.2}, {0.3, -0.5}, {math.NaN(), 0}, {math.Inf(1), 0}} {
		if _, err := NewLens(1280, 720, k[0], k[1]); !errors.Is(err, ErrLens) {
			t.Errorf("k %v: %v", k, err)
		}
	}
	// 1 + 3 k1 r^2 is zero at r = sqrt(-1/(3 k1)).
	if r := mustLens(t, -0.3, 0).monotone(); !near(r, math.Sqrt(1/0.9), 1e-12) {
		t.Errorf("folds at %g", r)
	}
	l := mustLens(t, -0.3, 0)
	if x, _ := l.Straight(640+1.2*l.half(), 360); !math.IsNaN(x) {
		t.Errorf("beyond the fold a point is at %g", x)
	}
}

func TestAreaIsTheDerivativeOfStraight(t *testing.T) {
	l := mustLens(t, 0.3, 0.1)
	const d = 1e-3
	for _, p := range [][2]float64{{640, 361}, {900, 500}, {60, 700}} {
		x1, y1 := l.Straight(p[0]+d, p[1])
		x0, y0 := l.Straight(p[0]-d, p[1])
		u1, v1 := l.Straight(p[0], p[1]+d)
		u0, v0 := l.Straight(p[0], p[1]-d)
		want := ((x1-x0)*(v1-v0) - (y1-y0)*(u1-u0)) / (4 * d * d)
		if got := l.area(p[0], p[1]); !near(got, want, 1e-6) {
			t.Errorf("at %v: %g, want %g", p, got, want)
		}
	}
}

func TestFitFindsTheLensOfExactLines(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, k := range [][2]float64{{0.2, 0.05}, {-0.12, 0.01}, {0.05, 0}} {
		l := mustLens(t, k[0], k[1])
		lines := []Line{
			bentLine(l, [2]float64{90, 90}, [2]float64{1190, 100}, 12, 0, rng),
			bentLine(l, [2]float64{90, 630}, [2]float64{1190, 620}, 12, 0, rng),
			bentLine(l, [2]float64{200, 80}, [2]float64{150, 650}, 8, 0, rng),
		}
		fit, err := FitLens(lines, 1280, 720)
		if err != nil {
			t.Fatal(err)
		}
		// The prior pulls a little: far less than the stated errors.
		got := fit.Lens
		if math.Abs(got.K1-k[0]) > math.Sqrt(got.Cov[0])/3 || math.Abs(got.K2-k[1]) > math.Sqrt(got.Cov[2])/3 {
			t.Errorf("k %v: found %.4f, %.4f", k, got.K1, got.K2)
		}
		if fit.AfterPx > 0.1 || fit.BeforePx < 1 {
			t.Errorf("k %v: %.2f px before, %.3f after", k, fit.BeforePx, fit.AfterPx)
		}
	}
}

// The stated errors are honest: over many clicked lines the terms and the shift at the
// picture's side lie within 1.96 standard errors about 95 times of 100.
func TestLensErrorsAreHonest(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	truth := mustLens(t, 0.15, 0.03)
	shift, _ := truth.EdgePx()
	const runs = 300
	held := [3]int{}
	for range runs {
		lines := []Line{
			bentLine(truth, [2]float64{40, 90}, [2]float64{1240, 60}, 9, 1, rng),
			bentLine(truth, [2]float64{40, 640}, [2]float64{1240, 660}, 9, 1, rng),
		}
		fit, err := FitLens(lines, 1280, 720)
		if err != nil {
			t.Fatal(err)
		}
		at, se := fit.Lens.EdgePx()
		for i, off := range []float64{
			(fit.Lens.K1 - truth.K1) / math.Sqrt(fit.Lens.Cov[0]), (fit.Lens.K2 - truth.K2) / math.Sqrt(fit.Lens.Cov[2]), (at - shift) / se,
		} {
			if math.Abs(off) < 1.96 {
				held[i]++
			}
		}
	}
	t.Logf("held %v of %d", held, runs)
	for i, n := range held {
		if part := float64(n) / runs; part < 0.90 {
			t.Errorf("quantity %d is held %.0f %% of the time", i, 100*part)
		}
	}
}

func TestLinesThatLeaveTheLensOpenAreRefused(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	l := mustLens(t, 0.2, 0.05)
	line := func(x0, y0, x1, y1 float64, n int) Line {
		return bentLine(l, [2]float64{x0, y0}, [2]float64{x1, y1}, n, 0.5, rng)
	}
	wild := Line{{100, 100}, {300, 600}, {500, 120}, {700, 620}, {900, 100}, {1100, 640}}
	for _, c := range []struct {
		name  string
		lines []Line
		says  string
	}{
		{"none", nil, "no line"},
		{"four points", []Line{line(30, 60, 1250, 60, 4)}, "has 4 points"},
		{"too short", []Line{line(100, 60, 300, 60, 8)}, "too short"},
		{"through the middle", []Line{line(30, 355, 1250, 365, 12)}, "through the middle"},
		{"outside", []Line{append(line(30, 60, 1250, 60, 6), [2]float64{1281, 60})}, "outside the picture"},
		{"one place", []Line{{{5, 5}, {6, 5}, {7, 5}, {8, 5}, {9, 5}}}, "within 4 px"},
	} {
		_, err := FitLens(c.lines, 1280, 720)
		if !errors.Is(err, ErrLens) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if fit, err := FitLens([]Line{wild, line(30, 60, 1250, 60, 8)}, 1280, 720); err == nil && len(fit.Notes) == 0 {
		t.Error("a zigzag was taken for a line without a word")
	}
	flat := mustLens(t, 0, 0)
	fit, err := FitLens([]Line{bentLine(flat, [2]float64{30, 60}, [2]float64{1250, 60}, 12, 0.5, rng), bentLine(flat, [2]float64{30, 660}, [2]float64{1250, 660}, 12, 0.5, rng)}, 1280, 720)
	if err != nil || len(fit.Notes) != 1 {
		t.Errorf("straight lines: %v %v", fit.Notes, err)
	}
}

// A plane file with a lens measures right where the plain plane is wrong, and draws
// where it measured.
func TestPlaneThroughALens(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	l := mustLens(t, 0.2, 0.04)
	see := func(x, y float64) [2]float64 { // 200 px a metre, (0, 0) in the middle
		u, v := l.Bent(640+200*x, 360-200*y)
		return [2]float64{u, v}
	}
	text := fmt.Sprintf(`"points_px": [%s,%s,%s,%s], "points_m": [[-1,-1],[1,-1],[1,1],[-1,1]]`,
		pointText(see(-1, -1)), pointText(see(1, -1)), pointText(see(1, 1)), pointText(see(-1, 1)))
	lines := lineText(bentLine(l, [2]float64{30, 60}, [2]float64{1250, 70}, 14, 0.3, rng)) + "," + lineText(bentLine(l, [2]float64{30, 650}, [2]float64{1250, 640}, 14, 0.3, rng))
	length := func(v View) float64 {
		a, b := see(-2.6, 0.2), see(-1.9, 0.2)
		x0, y0 := v.ToPool(0, a[0], a[1])
		x1, y1 := v.ToPool(0, b[0], b[1])
		return math.Hypot(x1-x0, y1-y0)
	}
	view := func(text string) View {
		entries, err := ParsePlane([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		v, err := FromPlane(entries, func(frame int) (float64, error) { return float64(frame), nil })
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	plain := view("{" + text + "}")
	bent := view("{" + text + `, "lens": {"picture_px": [1280,720], "lines_px": [` + lines + `]}}`)
	given := view("{" + text + `, "lens": {"picture_px": [1280,720], "k1": 0.2, "k2": 0.04}}`)
	moving := view(`[{"frame": 0, ` + text + `, "lens": {"picture_px": [1280,720], "k1": 0.2, "k2": 0.04}}, {"frame": 9, ` + text + `}]`)
	if off := length(plain)/0.7 - 1; math.Abs(off) < 0.05 {
		t.Errorf("the plain plane is off by %.1f %% only; the test shows nothing", 100*off)
	}
	if off := length(bent)/0.7 - 1; math.Abs(off) > 1.96*bent.Errors().ScaleRel {
		t.Errorf("with the lens of the lines a length is off by %.2f %%, error said to be %.2f %%", 100*off, 100*bent.Errors().ScaleRel)
	}
	if bent.Errors().ScaleRel <= plain.Errors().ScaleRel || bent.Errors().Note == "" {
		t.Errorf("the lens's error does not show: %+v", bent.Errors())
	}
	for _, v := range []View{given, moving} {
		if off := length(v)/0.7 - 1; math.Abs(off) > 1e-9 {
			t.Errorf("with the true lens a length is off by %g", off)
		}
		p := see(2.2, 1.1)
		x, y := v.ToPool(3, p[0], p[1])
		u, w := v.ToPicture(3, x, y)
		if !near(x, 2.2, 1e-9) || !near(y, 1.1, 1e-9) || math.Hypot(u-p[0], w-p[1]) > 1e-7 {
			t.Errorf("(2.2, 1.1) is read at (%g, %g) and drawn %g px off", x, y, math.Hypot(u-p[0], w-p[1]))
		}
		q := see(2.201, 1.1)
		if s := v.MetresPerPx(3, p[0], p[1]); math.Abs(s*dist(p, q)/0.001-1) > 0.15 {
			t.Errorf("%g m/px beside %g", s, 0.001/dist(p, q))
		}
	}
}

func pointText(p [2]float64) string { return fmt.Sprintf("[%.12g,%.12g]", p[0], p[1]) }

func lineText(l Line) string {
	parts := make([]string, len(l))
	for i, p := range l {
		parts[i] = pointText(p)
	}
	return "[" + strings.Join(parts, ",") + "]"
}

func TestPlaneLensRefuses(t *testing.T) {
	two := `"points_px": [[100,300],[900,300]], "points_m": [[0,0],[4,0]]`
	for _, c := range []struct{ in, says string }{
		{`{` + two + `, "lens": {"picture_px": [1280,720], "k1": 0.1, "k3": 1}}`, "k3"},
		{`{` + two + `, "lens": {"k1": 0.1}}`, "0 by 0 px"},
		{`{` + two + `, "lens": {"picture_px": [1280,720], "k1": -0.9}}`, "fold"},
		{`{` + two + `, "lens": {"picture_px": [1280,720]}}`, "no line"},
		{`{` + two + `, "lens": {"picture_px": [1280,720], "k1": 0.1, "lines_px": [[[1,1]]]}}`, "one of them"},
		{`{` + two + `, "lens": {"picture_px": [1280,720], "k1_sd": 0.1}}`, "go with k1"},
		{`{` + two + `, "lens": {"picture_px": [1280,720], "k1": 0.1, "k1_sd": -1}}`, "between 0 and 10"},
		{`[{"frame": 0, ` + two + `}, {"frame": 5, ` + two + `, "lens": {"picture_px": [1280,720], "k1": 0.1}}]`, "first entry"},
	} {
		if _, err := ParsePlane([]byte(c.in)); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", c.in, err)
		}
	}
}

func BenchmarkFitLens(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	l := mustLens(b, 0.2, 0.05)
	lines := []Line{
		bentLine(l, [2]float64{30, 60}, [2]float64{1250, 70}, 12, 1, rng),
		bentLine(l, [2]float64{30, 650}, [2]float64{1250, 640}, 12, 1, rng),
	}
	for b.Loop() {
		if _, err := FitLens(lines, 1280, 720); err != nil {
			b.Fatal(err)
		}
	}
}
