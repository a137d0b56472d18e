package series

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
)

// Reference notes (f), check 36: a toe that moves as a sinusoid of 2 Hz and
// 0.46 m peak to peak has a peak speed of pi f A = 2.890 m/s and a mean absolute
// speed of 2 f A = 1.840 m/s (analytic). Through the derivative alone at 240 Hz
// the central difference loses sin(h)/h, and the filter at 12 Hz its closed gain.
func TestSinusoidalToe(t *testing.T) {
	const rate, f, a = 2400.0, 2.0, 0.46
	n := int(4 * rate)
	x := sine(n+1, f, rate, 0)
	for i := range x {
		x[i] *= a / 2
	}
	v := Derivative(x, 1/rate)
	peak, mean := speeds(v)
	near(t, "peak speed", peak, 2.890, 0.001)
	near(t, "mean absolute speed", mean, 1.840, 0.001)

	omega := math.Tan(math.Pi*30/rate) / CutoffCorrection(2, 2)
	gain := 1 / (1 + math.Pow(math.Tan(math.Pi*f/rate)/omega, 4))
	// A whole number of periods away from the ends.
	v = Derivative(LowPass(x, rate, 30), 1/rate)
	peak, mean = speeds(v[int(rate) : int(3*rate)+1])
	near(t, "filtered peak speed", peak, 2.890*gain, 0.001)
	near(t, "filtered mean absolute speed", mean, 1.840*gain, 0.001)
}

func speeds(v []float64) (peak, mean float64) {
	abs := make([]float64, len(v))
	t := make([]float64, len(v))
	for i, u := range v {
		abs[i], t[i] = math.Abs(u), float64(i)
		peak = max(peak, abs[i])
	}
	return peak, Integral(t, abs) / t[len(t)-1]
}

func TestDerivativeOfParabolaIsExact(t *testing.T) {
	const dt = 0.02
	x := make([]float64, 9)
	for i := range x {
		s := float64(i) * dt
		x[i] = 3 - 2*s + 5*s*s
	}
	for i, v := range Derivative(x, dt) {
		near(t, "slope", v, -2+10*float64(i)*dt, 1e-12)
	}
}

// Against gonum's finite differences of the continuous function, and of the
// order that the documentation claims: halving the step divides the error by 4.
func TestDerivativeConverges(t *testing.T) {
	fn := func(s float64) float64 { return math.Exp(-s) * math.Sin(5*s) }
	worst := func(n int) (inside, ends float64) {
		dt := 1 / float64(n)
		x := make([]float64, n+1)
		for i := range x {
			x[i] = fn(float64(i) * dt)
		}
		for i, v := range Derivative(x, dt) {
			want := fd.Derivative(fn, float64(i)*dt, &fd.Settings{Formula: fd.Central})
			if i == 0 || i == n {
				ends = max(ends, math.Abs(v-want))
			} else {
				inside = max(inside, math.Abs(v-want))
			}
		}
		return inside, ends
	}
	in1, end1 := worst(100)
	in2, end2 := worst(200)
	near(t, "order inside", math.Log2(in1/in2), 2, 0.1)
	near(t, "order at the ends", math.Log2(end1/end2), 2, 0.15)
}

func TestDerivativeSpecialCases(t *testing.T) {
	if len(Derivative(nil, 1)) != 0 || !math.IsNaN(Derivative([]float64{4}, 1)[0]) {
		t.Error("none gives none, one gives NaN")
	}
	d := Derivative([]float64{1, 3}, 0.5)
	if d[0] != 4 || d[1] != 4 {
		t.Errorf("two samples: %v", d)
	}
	d = Derivative([]float64{0, 1, math.NaN(), 3, 4, 5, 6}, 1)
	for i, nan := range []bool{true, true, false, true, false, false, false} {
		if math.IsNaN(d[i]) != nan {
			t.Errorf("NaN at 2: derivative %d is %v", i, d[i])
		}
	}
}

func TestIntegral(t *testing.T) {
	// Half a sine wave over uneven instants: area 2/pi of a unit width.
	var ts, x []float64
	for i := range 2001 {
		s := float64(i) / 2000
		s = s * s
		ts = append(ts, s)
		x = append(x, math.Sin(math.Pi*s))
	}
	near(t, "area", Integral(ts, x), 2/math.Pi, 1e-6)
	c := Cumulative(ts, x)
	near(t, "start", c[0], 0, 0)
	near(t, "end", c[len(c)-1], Integral(ts, x), 1e-12)
	near(t, "half way", c[1414], (1-math.Cos(math.Pi*ts[1414]))/math.Pi, 1e-6)
	if Integral(nil, nil) != 0 || Integral([]float64{3}, []float64{5}) != 0 {
		t.Error("fewer than two samples have no area")
	}
}

func TestUnwrap(t *testing.T) {
	var wrapped, want []float64
	for i := range 200 {
		a := 0.3 * float64(i) * math.Sin(float64(i)/20)
		want = append(want, a)
		wrapped = append(wrapped, math.Remainder(a, 2*math.Pi))
	}
	wrapped[50] = math.NaN()
	got := Unwrap(wrapped)
	for i := range got {
		if i == 50 {
			if !math.IsNaN(got[i]) {
				t.Error("NaN must stay")
			}
			continue
		}
		near(t, "angle", got[i], want[i], 1e-9)
	}
}
