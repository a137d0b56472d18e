package series

import (
	"math"
	"math/rand/v2"
	"testing"
)

const tiny = 1e-9

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g within %g", what, got, want, tol)
	}
}

// sine returns n samples of a sine of frequency f at the given rate.
func sine(n int, f, rate, phase float64) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = math.Sin(2*math.Pi*f*float64(i)/rate + phase)
	}
	return x
}

// amplitude returns the size of frequency f in the middle half of x.
func amplitude(x []float64, f, rate float64) float64 {
	n := len(x)
	phase, mid := make([]float64, 0, n), make([]float64, 0, n)
	for i := n / 4; i < 3*n/4; i++ {
		phase = append(phase, f*float64(i)/rate)
		mid = append(mid, x[i])
	}
	fit, err := FitFourier(phase, mid, nil, 1, false)
	if err != nil {
		panic(err)
	}
	return math.Hypot(fit.Cos[0], fit.Sin[0])
}

// Reference notes (f), check 29: the correction for passes of order 1, 2 and 4.
// Closed form; the method is Winter's and Robertson and Dowling's (2003).
func TestCutoffCorrection(t *testing.T) {
	for _, c := range []struct {
		order, passes int
		want          float64
	}{{1, 2, 0.6436}, {2, 2, 0.8022}, {4, 2, 0.8957}, {2, 1, 1}, {7, 1, 1}} {
		near(t, "C", CutoffCorrection(c.order, c.passes), c.want, 1e-4)
	}
}

// Coefficients of the second-order Butterworth low-pass as printed in digital
// filter tables: corner at a quarter and at a tenth of the rate (four digits).
func TestButterworthCoefficients(t *testing.T) {
	for _, c := range []struct {
		share float64
		want  biquad
	}{
		{0.25, biquad{0.2929, 0.5858, 0.2929, 0, 0.1716}},
		{0.10, biquad{0.0675, 0.1349, 0.0675, -1.1430, 0.4128}},
	} {
		q := butterworth2(math.Tan(math.Pi * c.share))
		near(t, "b0", q.b0, c.want.b0, 6e-5)
		near(t, "b1", q.b1, c.want.b1, 6e-5)
		near(t, "b2", q.b2, c.want.b2, 6e-5)
		near(t, "a1", q.a1, c.want.a1, 6e-5)
		near(t, "a2", q.a2, c.want.a2, 6e-5)
	}
}

// Reference notes (f), check 30: gain of a sine at the cut-off after two passes,
// with and without the correction (analytic 1/sqrt 2 and 1/2).
func TestGainAtCutoff(t *testing.T) {
	const rate, cutoff = 100.0, 6.0
	x := sine(2000, cutoff, rate, 0.3)
	near(t, "corrected gain", amplitude(LowPass(x, rate, cutoff), cutoff, rate), 0.707, 0.003)

	plain := append([]float64(nil), x...)
	q := butterworth2(math.Tan(math.Pi * cutoff / rate))
	for range 2 {
		q.run(plain)
		backwards(plain)
	}
	near(t, "uncorrected gain", amplitude(plain, cutoff, rate), 0.500, 0.003)
}

// The whole response against the closed form of the bilinear Butterworth filter,
// 1 / (1 + (tan(pi f/fs) / (tan(pi fc/fs)/C))^4) for two passes.
func TestFrequencyResponse(t *testing.T) {
	const rate, cutoff = 120.0, 8.0
	omega := math.Tan(math.Pi*cutoff/rate) / CutoffCorrection(2, 2)
	for _, f := range []float64{0.5, 2, 5, 8, 12, 20, 35, 55} {
		want := 1 / (1 + math.Pow(math.Tan(math.Pi*f/rate)/omega, 4))
		near(t, "gain", amplitude(LowPass(sine(4000, f, rate, 1), rate, cutoff), f, rate), want, 1e-6)
	}
}

func TestLowPassShiftsNothing(t *testing.T) {
	const rate, f = 120.0, 4.0
	x := sine(1200, f, rate, 0.7)
	y := LowPass(x, rate, 10)
	gain := amplitude(y, f, rate)
	for i := 300; i < 900; i++ {
		near(t, "sample", y[i], gain*x[i], 1e-6)
	}
}

func TestLowPassKeepsLines(t *testing.T) {
	x := make([]float64, 80)
	for i := range x {
		x[i] = 1e6 - 3*float64(i)
	}
	for i, v := range LowPass(x, 100, 5) {
		near(t, "line", v, x[i], 1e-6)
	}
}

func noise(n int, seed uint64) []float64 {
	rng := rand.New(rand.NewPCG(seed, 1))
	x := make([]float64, n)
	for i := range x {
		x[i] = rng.NormFloat64()
	}
	return x
}

func TestLowPassIsLinear(t *testing.T) {
	a, b := noise(300, 1), noise(300, 2)
	sum := make([]float64, len(a))
	for i := range sum {
		sum[i] = 3*a[i] - 0.5*b[i]
	}
	fa, fb, fs := LowPass(a, 60, 7), LowPass(b, 60, 7), LowPass(sum, 60, 7)
	for i := range fs {
		near(t, "sum", fs[i], 3*fa[i]-0.5*fb[i], tiny)
	}
}

// Forwards then backwards equals backwards then forwards up to the start-up
// error at the ends of the padding.
func TestLowPassOfReversedTime(t *testing.T) {
	x := noise(400, 3)
	turned := append([]float64(nil), x...)
	backwards(turned)
	a, b := LowPass(x, 100, 6), LowPass(turned, 100, 6)
	for i := range a {
		near(t, "reversed", b[len(b)-1-i], a[i], 1e-5)
	}
}

// The filter depends on cut-off over rate only.
func TestLowPassChangesOfUnit(t *testing.T) {
	x := noise(200, 4)
	a, b := LowPass(x, 50, 6), LowPass(x, 100, 12)
	for i := range a {
		near(t, "rescaled time", b[i], a[i], tiny)
	}
}

func TestLowPassShortAndOpen(t *testing.T) {
	for n := range 6 {
		x := noise(n, 5)
		y := LowPass(x, 100, 6)
		if len(y) != n {
			t.Fatalf("length %d of %d", len(y), n)
		}
		for _, v := range y {
			if math.IsNaN(v) {
				t.Errorf("NaN for %d samples", n)
			}
		}
	}
	x := noise(50, 6)
	for i, v := range LowPass(x, 100, 50) {
		if v != x[i] {
			t.Fatal("a cut-off of half the rate must change nothing")
		}
	}
}

func TestMisuseStops(t *testing.T) {
	for name, fn := range map[string]func(){
		"NaN":      func() { LowPass([]float64{1, math.NaN(), 2}, 100, 6) },
		"rate":     func() { LowPass([]float64{1, 2, 3}, 0, 6) },
		"cutoff":   func() { LowPass([]float64{1, 2, 3}, 100, -1) },
		"order":    func() { CutoffCorrection(0, 2) },
		"dt":       func() { Derivative([]float64{1, 2}, 0) },
		"lengths":  func() { Resample([]float64{1}, nil, nil) },
		"harmonic": func() { _, _ = FitFourier(nil, nil, nil, -1, false) },
		"range":    func() { DominantFrequency([]float64{1}, 10, 3, 2) },
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

// White noise on a slow sine: the proposal must lie well above the signal and
// well below the noise's end. Winter's rule gives about 6 Hz for movements of
// walking pace at 50 to 60 Hz.
func TestResidualCutoff(t *testing.T) {
	const rate = 100.0
	x := sine(1000, 2, rate, 0)
	for i, v := range noise(1000, 7) {
		x[i] += 0.02 * v
	}
	fc := ResidualCutoff(x, rate)
	if !(fc > 3 && fc < 9) {
		t.Errorf("cut-off %.2f Hz for a 2 Hz sine in 2 %% noise, want 3 to 9", fc)
	}
	// At the proposal the lost signal and the kept noise are alike: the residual
	// equals the noise level.
	y := LowPass(x, rate, fc)
	sum := 0.0
	for i := range x {
		sum += (x[i] - y[i]) * (x[i] - y[i])
	}
	near(t, "residual at the proposal", math.Sqrt(sum/float64(len(x))), 0.02, 0.0015)

	// The same signal with more noise asks for a lower cut-off.
	for i, v := range noise(1000, 7) {
		x[i] += 0.18 * v
	}
	if louder := ResidualCutoff(x, rate); !(louder < fc) {
		t.Errorf("cut-off %.2f Hz with more noise, was %.2f", louder, fc)
	}
	if !math.IsNaN(ResidualCutoff(noise(10, 1), rate)) {
		t.Error("ten samples must give NaN")
	}
}
