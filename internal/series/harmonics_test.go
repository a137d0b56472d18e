package series

import (
	"math"
	"math/rand/v2"
	"testing"
)

// On an even grid the plain sums are the least-squares fit.
func TestHarmonicsIsTheLeastSquaresFit(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	x, phase := make([]float64, 512), make([]float64, 512)
	for i := range x {
		phase[i] = float64(i) / 512
		x[i] = math.Sin(2*math.Pi*phase[i]) + rng.NormFloat64()
	}
	want, err := FitFourier(phase, x, nil, 6, false)
	if err != nil {
		t.Fatal(err)
	}
	got := Harmonics(x, 6)
	if math.Abs(got.Mean-want.Mean) > 1e-12 {
		t.Errorf("mean %g, want %g", got.Mean, want.Mean)
	}
	for k := range got.Cos {
		if math.Abs(got.Cos[k]-want.Cos[k]) > 1e-11 || math.Abs(got.Sin[k]-want.Sin[k]) > 1e-11 {
			t.Errorf("harmonic %d: %g %g, want %g %g", k+1, got.Cos[k], got.Sin[k], want.Cos[k], want.Sin[k])
		}
	}
}

func TestHarmonicsOfTooFewPanics(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("four values cannot have two harmonics")
		}
	}()
	Harmonics(make([]float64, 4), 2)
}
