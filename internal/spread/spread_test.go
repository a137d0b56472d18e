package spread

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat"

	"underkick/internal/spread/spreadtest"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, tol)
	}
}

// Two-sided 95 % points of Student's t as printed in statistical tables (Fisher
// and Yates, Statistical Tables for Biological, Agricultural and Medical
// Research, table III), three decimals.
func TestT95(t *testing.T) {
	for df, want := range map[int]float64{
		1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 10: 2.228, 20: 2.086, 30: 2.042, 60: 2.000, 120: 1.980,
		1 << 30: 1.960,
	} {
		near(t, "t", T95(df), want, 6e-4)
	}
	near(t, "where the normal takes over", T95(100_000), T95(100_001), 3e-5)
	if !math.IsNaN(T95(0)) || !math.IsNaN(T95(-3)) {
		t.Error("no degrees of freedom must give NaN")
	}
}

// Reference notes (f), check 28: the change that 95 % of chance differences stay
// below, for the smallest and largest typical error of row X02 (CV 0.86 and
// 8.92 %, six kicks); formula of section d15, many degrees of freedom.
func TestSmallestRealChange(t *testing.T) {
	near(t, "0.86 %", SmallestRealChange(0.86, 1<<30, 1, 0), 2.38, 0.01)
	near(t, "8.92 %", SmallestRealChange(8.92, 1<<30, 1, 0), 24.73, 0.01)
	near(t, "mean of four runs", SmallestRealChange(0.86, 1<<30, 4, 0), 2.38/2, 0.01)
	near(t, "clip error alone", SmallestRealChange(0, 10, 50, 3), 2.228*math.Sqrt2*3, 0.01)
	if !math.IsNaN(SmallestRealChange(1, 0, 1, 0)) || !math.IsNaN(SmallestRealChange(math.NaN(), 5, 1, 0)) {
		t.Error("an unknown typical error must give NaN")
	}
}

func TestTypicalErrorOfPublishedExample(t *testing.T) {
	te, df := TypicalError(spreadtest.PeakFlow()) // the source prints both
	near(t, "variance", te*te, 460.52, 0.005)
	near(t, "typical error", te, 21.5, 0.05)
	if df != 60 {
		t.Errorf("df = %d, want 60", df)
	}
}

// For pairs it is the SD of the differences over the root of two, taken about
// zero (Hopkins 2000).
func TestTypicalErrorOfPairs(t *testing.T) {
	te, df := TypicalError([][]float64{{1, 3}, {5, 5}, {2, 1}, {7}, {4, math.NaN()}, nil})
	near(t, "pairs", te, math.Sqrt((4.0+0+1)/3/2), 1e-12)
	if df != 3 {
		t.Errorf("df = %d, want 3", df)
	}
	if te, df := TypicalError([][]float64{{1}, {2}}); !math.IsNaN(te) || df != 0 {
		t.Errorf("no repeats: %v %d", te, df)
	}
}

func TestBand(t *testing.T) {
	v := []float64{1.40, 1.46, 1.43, 1.51, 1.40}
	b := Band(v, 0, 0)
	near(t, "mean", b.Value, stat.Mean(v, nil), 1e-12)
	near(t, "sd", b.SD, stat.StdDev(v, nil), 1e-12)
	half := 2.776 * stat.StdDev(v, nil) / math.Sqrt(5)
	near(t, "half width", b.High-b.Value, half, 1e-4)
	near(t, "symmetry", b.High+b.Low, 2*b.Value, 1e-12)
	if b.N != 5 {
		t.Errorf("n = %d", b.N)
	}
	// A small marking error is already in the scatter; a large one takes over.
	near(t, "small draw error", Band(v, 0, 0.01).High, b.High, 1e-12)
	near(t, "large draw error", Band(v, 0, 0.1).High-b.Value, 1.95996*0.1, 1e-5)
	// The clip-constant error adds in squares whatever n is.
	near(t, "constant error", Band(v, 0.03, 0).High-b.Value, math.Hypot(half, 1.95996*0.03), 1e-4)
	near(t, "NaN errors", Band(v, math.NaN(), math.NaN()).High, b.High, 1e-12)
}

func TestBandOfFew(t *testing.T) {
	one := Band([]float64{math.NaN(), 2, math.Inf(1)}, 0.3, 0.4)
	if one.N != 1 || !math.IsNaN(one.SD) {
		t.Errorf("one kick: %+v", one)
	}
	near(t, "half width", one.High-2, 1.95996*0.5, 1e-4)
	none := Band([]float64{math.NaN()}, 1, 1)
	if none.N != 0 || !math.IsNaN(none.Value) || !math.IsNaN(none.Low) || !math.IsNaN(none.High) {
		t.Errorf("no kick: %+v", none)
	}
}

// The band must hold the truth 95 times in 100 when kicks scatter normally, and
// a little more often when the scale is off by a constant as well: half-widths
// with a t and a normal quantile are added in squares, which is on the safe side.
func TestBandCovers(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	const trials = 20000
	share := func(scaleSD float64) float64 {
		inside := 0
		for range trials {
			v := make([]float64, 5)
			scale := scaleSD * rng.NormFloat64()
			for i := range v {
				v[i] = 3 + 0.1*rng.NormFloat64() + scale
			}
			if b := Band(v, scaleSD, 0); b.Low <= 3 && 3 <= b.High {
				inside++
			}
		}
		return float64(inside) / trials
	}
	// Four standard errors of a share of 0.95.
	near(t, "coverage of scatter", share(0), 0.95, 4*math.Sqrt(0.95*0.05/trials))
	if both := share(0.05); both < 0.95 || both > 0.98 {
		t.Errorf("coverage of scatter and scale = %v, want 0.95 to 0.98", both)
	}
}

func TestBandChangesOfUnit(t *testing.T) {
	v := []float64{0.2, 0.5, 0.3, 0.6}
	w := make([]float64, len(v))
	for i := range w {
		w[i] = 7 - 100*v[i]
	}
	a, b := Band(v, 0.02, 0.01), Band(w, 2, 1)
	near(t, "value", b.Value, 7-100*a.Value, 1e-9)
	near(t, "low", b.Low, 7-100*a.High, 1e-9)
	near(t, "sd", b.SD, 100*a.SD, 1e-9)
}

// The worked values of definition 7: quartiles of 1..10 are 3.25, 5.5, 7.75
// (Hyndman and Fan 1996; the default of R).
func TestQuantile(t *testing.T) {
	v := []float64{10, 1, 9, 2, 8, 3, 7, 4, 6, 5, math.NaN()}
	for p, want := range map[float64]float64{0: 1, 0.25: 3.25, 0.5: 5.5, 0.75: 7.75, 1: 10} {
		near(t, "quantile", Quantile(v, p), want, 1e-12)
	}
	if v[0] != 10 {
		t.Error("the input was sorted in place")
	}
	if !math.IsNaN(Quantile(nil, 0.5)) || Quantile([]float64{4}, 0.3) != 4 {
		t.Error("none gives NaN, one gives itself")
	}
}

func TestDrawsAreReproducible(t *testing.T) {
	draw := func(i int, rng *rand.Rand) []float64 { return []float64{float64(i), rng.NormFloat64()} }
	a, err := Draws(t.Context(), 500, 7, draw)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := Draws(t.Context(), 100, 7, draw)
	other, _ := Draws(t.Context(), 100, 8, draw)
	seen := map[float64]bool{}
	for i := range a {
		if a[i][0] != float64(i) {
			t.Fatalf("draw %d stands at %v", i, a[i][0])
		}
		seen[a[i][1]] = true
	}
	if len(seen) != 500 {
		t.Errorf("%d different values of 500", len(seen))
	}
	for i := range b {
		if !slices.Equal(a[i], b[i]) {
			t.Fatalf("draw %d depends on how many are asked for", i)
		}
		if b[i][1] == other[i][1] {
			t.Errorf("draw %d does not depend on the seed", i)
		}
	}
}

// Normal draws over indexes must have mean 0, SD 1 and no correlation from one
// index to the next.
func TestDrawsAreIndependent(t *testing.T) {
	const n = 20000
	d, err := Draws(t.Context(), n, 1, func(_ int, rng *rand.Rand) []float64 { return []float64{rng.NormFloat64()} })
	if err != nil {
		t.Fatal(err)
	}
	x := make([]float64, n)
	for i := range d {
		x[i] = d[i][0]
	}
	near(t, "mean", stat.Mean(x, nil), 0, 4/math.Sqrt(n))
	near(t, "sd", stat.StdDev(x, nil), 1, 4/math.Sqrt(2*n))
	near(t, "correlation", stat.Correlation(x[1:], x[:n-1], nil), 0, 4/math.Sqrt(n))
}

func TestDrawsStop(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	calls := 0
	_, err := Draws(ctx, 1<<20, 1, func(i int, _ *rand.Rand) []float64 {
		if i == 0 {
			calls++
			cancel()
		}
		return nil
	})
	if !errors.Is(err, context.Canceled) || calls != 1 {
		t.Errorf("error %v after %d calls", err, calls)
	}
	if d, err := Draws(t.Context(), 0, 1, nil); err != nil || len(d) != 0 {
		t.Errorf("no draws: %v %v", d, err)
	}
}

func TestMisuseStops(t *testing.T) {
	for name, fn := range map[string]func(){
		"negative error": func() { Band(nil, -1, 0) },
		"runs":           func() { SmallestRealChange(1, 5, 0, 0) },
		"share":          func() { Quantile(nil, 1.5) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			fn()
		}()
	}
}
