package spread

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestBoundsCut(t *testing.T) {
	share := Bounds{0, 1}
	for _, c := range []struct{ v, low, high, wantLow, wantHigh float64 }{
		{0.3, 0.1, 0.5, 0.1, 0.5},
		{0.1, -0.2, 0.4, 0, 0.4},
		{0.9, 0.6, 1.2, 0.6, 1},
		{0.5, -0.4, 1.4, 0, 1},
		{0, -0.1, 0.1, 0, 0.1},
		{-1e-9, -0.1, 0.1, -1e-9, 0.1}, // a value that rounding put outside stays inside its band
	} {
		if lo, hi := share.Cut(c.v, c.low, c.high); lo != c.wantLow || hi != c.wantHigh {
			t.Errorf("Cut(%v, %v, %v) = %v, %v, want %v, %v", c.v, c.low, c.high, lo, hi, c.wantLow, c.wantHigh)
		}
	}
	if lo, hi := Unbounded().Cut(-3, -5, -1); lo != -5 || hi != -1 {
		t.Errorf("unbounded: %v %v", lo, hi)
	}
	nan := math.NaN()
	if lo, hi := share.Cut(0.5, nan, nan); !math.IsNaN(lo) || !math.IsNaN(hi) {
		t.Errorf("no band: %v %v", lo, hi)
	}
	if lo, hi := share.Cut(nan, nan, nan); !math.IsNaN(lo) || !math.IsNaN(hi) {
		t.Errorf("no value: %v %v", lo, hi)
	}
	if d := share.Difference(); d != (Bounds{-1, 1}) {
		t.Errorf("difference of shares: %v", d)
	}
	if d := (Bounds{0, math.Inf(1)}).Difference(); d != Unbounded() {
		t.Errorf("difference of lengths: %v", d)
	}
}

// Cutting a band to what a share can be loses no coverage: shares near 0, of which the
// plain band reaches below 0 in most draws, are held exactly as often as before.
func TestCutKeepsCoverage(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	share, cut, held, heldCut := Bounds{0, 1}, 0, 0, 0
	const truth, trials = 0.05, 5000
	for range trials {
		v := make([]float64, 5)
		for i := range v {
			v[i] = 2 * truth * rng.Float64()
		}
		e := Band(v, 0.02, 0)
		lo, hi := share.Cut(e.Value, e.Low, e.High)
		if e.Low < 0 {
			cut++
		}
		if e.Low <= truth && truth <= e.High {
			held++
		}
		if lo <= truth && truth <= hi {
			heldCut++
		}
		if lo < 0 || hi > 1 || e.Value < lo || e.Value > hi {
			t.Fatalf("band %v to %v about %v", lo, hi, e.Value)
		}
	}
	if held != heldCut {
		t.Errorf("held %d times before, %d after", held, heldCut)
	}
	if cut < trials/4 {
		t.Errorf("only %d bands were cut: the test asks nothing", cut)
	}
}
