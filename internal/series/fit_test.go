package series

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/dsp/fourier"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// Over whole cycles at even spacing the least-squares series is the discrete
// Fourier transform; gonum's is independent of ours.
func TestFitFourierAgainstTransform(t *testing.T) {
	const n = 64
	x := noise(n, 11)
	phase := make([]float64, n)
	for i := range phase {
		phase[i] = float64(i) / n
	}
	fit, err := FitFourier(phase, x, nil, 6, false)
	if err != nil {
		t.Fatal(err)
	}
	c := fourier.NewFFT(n).Coefficients(nil, x)
	near(t, "mean", fit.Mean, real(c[0])/n, 1e-12)
	for k := 1; k <= 6; k++ {
		near(t, "cos", fit.Cos[k-1], 2*real(c[k])/n, 1e-12)
		near(t, "sin", fit.Sin[k-1], -2*imag(c[k])/n, 1e-12)
	}
}

// Uneven phases over several cycles, weights and drift, against the normal
// equations solved by gonum in the plain monomial form.
func TestFitFourierAgainstNormalEquations(t *testing.T) {
	const n, harmonics = 90, 3
	phase, x, weight := noise(n, 12), noise(n, 13), noise(n, 14)
	for i := range phase {
		phase[i] = 4 + 2*phase[i]
		weight[i] = math.Exp(weight[i])
	}
	fit, err := FitFourier(phase, x, weight, harmonics, true)
	if err != nil {
		t.Fatal(err)
	}
	const cols = 2 + 2*harmonics
	a := mat.NewDense(n, cols, nil)
	w := mat.NewDiagDense(n, weight)
	for i, p := range phase {
		a.Set(i, 0, 1)
		a.Set(i, 1, p)
		for k := 1; k <= harmonics; k++ {
			a.Set(i, 2*k, math.Cos(2*math.Pi*float64(k)*p))
			a.Set(i, 2*k+1, math.Sin(2*math.Pi*float64(k)*p))
		}
	}
	var wa, normal, rhs, sol mat.Dense
	wa.Mul(w, a)
	normal.Mul(a.T(), &wa)
	rhs.Mul(wa.T(), mat.NewDense(n, 1, x))
	if err := sol.Solve(&normal, &rhs); err != nil {
		t.Fatal(err)
	}
	near(t, "mean", fit.Mean, sol.At(0, 0), 1e-9)
	near(t, "trend", fit.Trend, sol.At(1, 0), 1e-9)
	for k := range harmonics {
		near(t, "cos", fit.Cos[k], sol.At(2*k+2, 0), 1e-9)
		near(t, "sin", fit.Sin[k], sol.At(2*k+3, 0), 1e-9)
	}
}

func TestFourierRateIsTheDerivative(t *testing.T) {
	f := Fourier{Mean: 3, Trend: -0.4, Cos: []float64{1, 0.2, -0.1}, Sin: []float64{-2, 0.5, 0.05}}
	for p := -1.0; p < 2; p += 0.13 {
		const h = 1e-5
		near(t, "rate", f.Rate(p), (f.At(p+h)-f.At(p-h))/(2*h), 1e-6)
	}
	near(t, "one cycle on", f.At(1.3)-f.At(0.3), f.Trend, 1e-12)
}

func TestFitFourierLeavesOutTheUnknown(t *testing.T) {
	f := Fourier{Mean: 1, Trend: 0.5, Cos: []float64{2}, Sin: []float64{-1}}
	var phase, x, weight []float64
	for i := range 12 {
		p := float64(i) * 0.29
		phase = append(phase, p)
		x = append(x, f.At(p))
		weight = append(weight, 1)
	}
	x[3], x[5], weight[7] = math.NaN(), math.Inf(1), 0
	x[7] = 1e6
	got, err := FitFourier(phase, x, weight, 1, true)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "trend", got.Trend, 0.5, 1e-9)
	near(t, "cos", got.Cos[0], 2, 1e-9)
}

func TestFitFourierTooFew(t *testing.T) {
	same := []float64{0.25, 0.25, 0.25, 0.25, 0.25, 0.25}
	for name, n := range map[string]int{"too few values": 4, "all at one phase": 6} {
		if _, err := FitFourier(same[:n], same[:n], nil, 2, false); !errors.Is(err, ErrTooFew) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

// The certified straight line of NIST's Statistical Reference Datasets, set
// Norris (J. Norris, NIST, calibration of ozone monitors): certified intercept,
// slope and standard deviation of the slope.
func TestLineAgainstCertifiedValues(t *testing.T) {
	y := []float64{0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2}
	x := []float64{0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5}
	l := Line(x, y, nil)
	near(t, "intercept", l.Intercept, -0.262323073774029, 1e-10)
	near(t, "slope", l.Slope, 1.00211681802045, 1e-12)
	near(t, "standard error of the slope", l.SlopeSE, 0.429796848199937e-3, 1e-12)
}

func TestLineAgainstGonum(t *testing.T) {
	x, y, w := noise(40, 21), noise(40, 22), noise(40, 23)
	for i := range w {
		w[i] = math.Exp(w[i])
	}
	for _, weight := range [][]float64{nil, w} {
		a, b := stat.LinearRegression(x, y, weight, false)
		l := Line(x, y, weight)
		near(t, "intercept", l.Intercept, a, 1e-12)
		near(t, "slope", l.Slope, b, 1e-12)
	}
}

func TestLineSpecialCases(t *testing.T) {
	nan := math.NaN()
	for name, x := range map[string][]float64{"none": {}, "one": {1}, "one time": {2, 2, 2}} {
		if l := Line(x, x, nil); !math.IsNaN(l.Slope) || !math.IsNaN(l.SlopeSE) {
			t.Errorf("%s: %+v", name, l)
		}
	}
	l := Line([]float64{0, 1, 2, 3}, []float64{1, nan, 5, 7}, nil)
	if l.N != 3 || math.Abs(l.Slope-2) > tiny || math.Abs(l.At(1)-3) > tiny {
		t.Errorf("with a gap: %+v", l)
	}
	if l := Line([]float64{0, 1}, []float64{1, 2}, nil); !math.IsNaN(l.SlopeSE) || l.Slope != 1 {
		t.Errorf("two points: %+v", l)
	}
}

// A sinusoid of known frequency with drift and noise, in records of two to eight
// cycles: within 2 % of the truth.
func TestDominantFrequency(t *testing.T) {
	const rate = 60.0
	for _, f := range []float64{1.3, 2.2, 3.1} {
		for _, cycles := range []float64{2, 3.4, 8} {
			n := int(cycles / f * rate)
			x := sine(n, f, rate, 0.9)
			for i, v := range noise(n, 31) {
				x[i] += 0.2*v + 0.05*float64(i)
			}
			got, ok := DominantFrequency(x, rate, 0.6, 5)
			if !ok {
				t.Errorf("%.1f Hz over %.1f cycles: not found", f, cycles)
				continue
			}
			near(t, "frequency", got, f, 0.05*f)
		}
	}
}

func TestDominantFrequencyOfNothing(t *testing.T) {
	const rate = 60.0
	line := make([]float64, 200)
	for i := range line {
		line[i] = 3 * float64(i)
	}
	slow := sine(100, 0.2, rate, 0)
	for name, x := range map[string][]float64{"noise": noise(400, 41), "line": line, "empty": nil, "constant": make([]float64, 90), "slower than the range": slow} {
		if f, ok := DominantFrequency(x, rate, 0.6, 5); ok {
			t.Errorf("%s: found %.2f Hz", name, f)
		}
	}
}
