package wall

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func ladder(t *testing.T, steps []Step) *Ladder {
	t.Helper()
	l, err := Climb(steps)
	if err != nil {
		t.Fatal(err)
	}
	if text, err := json.Marshal(l); err != nil || !json.Valid(text) {
		t.Errorf("%v %s", err, text)
	}
	return l
}

// climbed makes runs on a parabola with its top at 2.2 Hz and 1.5 m/s.
func climbed(bend, noise float64, seed uint64, tempos ...float64) []Step {
	rng := rand.New(rand.NewPCG(seed, 9))
	var steps []Step
	for _, f := range tempos {
		steps = append(steps, Step{Tempo: f, Speed: 1.5 - bend*(f-2.2)*(f-2.2) + noise*rng.NormFloat64()})
	}
	return steps
}

var twice = []float64{1.7, 1.7, 1.95, 1.95, 2.2, 2.2, 2.45, 2.45, 2.7, 2.7}

func TestLadderFindsAPeak(t *testing.T) {
	l := ladder(t, climbed(1, 0.005, 1, twice...))
	if l.Shape != Peak || !(l.Best[0] < 2.2 && 2.2 < l.Best[1]) || l.Best[1]-l.Best[0] > 0.4 {
		t.Errorf("%s %v", l.Shape, l.Best)
	}
	near(t, "top speed", l.Top.Value, 1.5, 0.01)
	if l.Held != "fell" {
		t.Errorf("distance per kick %s %+v", l.Held, l.Length)
	}
}

// The parabola against the normal equations solved by hand: five runs at 1..5 (scaled) of a
// known quadratic with residuals orthogonal to it leave the coefficients as they are.
func TestLadderFitIsLeastSquares(t *testing.T) {
	// Residuals (-1, 2, 0, -2, 1) and (1, -4, 6, -4, 1) are orthogonal to 1, x and x2 on five
	// even steps (orthogonal polynomials of degree 3 and 4; Fisher and Yates, table XXIII).
	off := []float64{1, -4, 6, -4, 1}
	var steps []Step
	sum := 0.0
	for i, o := range off {
		f := 1.8 + 0.2*float64(i)
		steps = append(steps, Step{Tempo: f, Speed: 1.2 + 0.3*(f-2.2) - 0.4*(f-2.2)*(f-2.2) + 0.01*o})
		sum += 1e-4 * o * o
	}
	p, err := fitParabola(steps)
	if err != nil {
		t.Fatal(err)
	}
	p.scatter(steps)
	for i, want := range []float64{1.2, 0.3, -0.4} {
		near(t, "coefficient", p.c[i], want, 1e-9)
	}
	near(t, "scatter", p.sd, math.Sqrt(sum/2), 1e-9)
	near(t, "variance of the slope", p.cov.At(1, 1), 1/(0.04*10), 1e-9) // 1/sum (f-m)2
}

func TestLadderShapes(t *testing.T) {
	line := func(slope float64) []Step {
		s := climbed(0, 0.003, 4, twice...)
		for i := range s {
			s[i].Speed += slope * (s[i].Tempo - 2.2)
		}
		return s
	}
	for want, steps := range map[Shape][]Step{Rising: line(0.5), Falling: line(-0.4), Flat: climbed(0, 0.02, 5, twice...)} {
		if l := ladder(t, steps); l.Shape != want {
			t.Errorf("%s where %s was made: %v", l.Shape, want, l.Best)
		}
	}
	// Speed in proportion to tempo: distance per kick held to the last digit.
	var even []Step
	for _, f := range twice {
		even = append(even, Step{Tempo: f, Speed: 0.65 * f})
	}
	l := ladder(t, even)
	near(t, "change of length", l.Length.Value, 0, 1e-9)
	if l.Held != "held" {
		t.Errorf("%s", l.Held)
	}
}

// Imposed tempos of 85 to 115 % left speed unchanged while distance per kick fell (Shimojo et al.
// 2014, Hum Mov Sci 38:94-105, from memory, direction only; rows I13, F11, V14 for 2.26 Hz
// and 1.6 m/s): no tempo may be called faster, and the distance per kick must be seen to fall.
func TestLadderOfImposedTempos(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	var steps []Step
	for _, part := range []float64{0.85, 0.85, 0.95, 0.95, 1.05, 1.05, 1.15, 1.15} {
		steps = append(steps, Step{Tempo: 2.26 * part, Speed: 1.6 + 0.02*rng.NormFloat64()})
	}
	l := ladder(t, steps)
	if l.Shape != Flat || l.Held != "fell" {
		t.Errorf("%s, distance per kick %s (%+v)", l.Shape, l.Held, l.Length)
	}
	near(t, "change of length", l.Length.Value, -1, 0.2)
}

// The best range must hold the true best tempo about as often as a 95 % band says.
func TestBestRangeCovers(t *testing.T) {
	inside, trials := 0, 1000
	for seed := range uint64(trials) { //nolint:gosec // a small count
		l, err := Climb(climbed(0.6, 0.03, seed, twice...))
		if err != nil {
			t.Fatal(err)
		}
		if l.Best[0] <= 2.2 && 2.2 <= l.Best[1] {
			inside++
		}
	}
	if share := float64(inside) / float64(trials); share < 0.93 {
		t.Errorf("the best range holds the truth in %.3f of the trials", share)
	}
}

func TestFourRunsAreTheFewest(t *testing.T) {
	if _, err := Climb(climbed(1, 0, 1, 1.8, 2.1, 2.4)); !errors.Is(err, ErrLadder) {
		t.Error(err)
	}
	if _, err := Climb(climbed(1, 0, 1, 1.8, 1.8, 2.4, 2.4)); !errors.Is(err, ErrLadder) {
		t.Error(err)
	}
	if _, err := Climb([]Step{{Tempo: 120, Speed: 1.5}, {Tempo: 2, Speed: 1.4}, {Tempo: 2.2, Speed: 1.5}, {Tempo: 2.4, Speed: 1.5}}); !errors.Is(err, ErrLadder) {
		t.Error("kicks per minute were taken")
	}
	// One degree of freedom: t is 12.7, the best range is wide and says why.
	l := ladder(t, climbed(0.6, 0.02, 2, 1.8, 2.1, 2.4, 2.7))
	if l.DF != 1 || len(l.Reasons) == 0 {
		t.Errorf("%+v", l)
	}
}

// Repeats that differ more than the curve misses set the band (pure error).
func TestPureErrorCounts(t *testing.T) {
	steps := []Step{{1.8, 1.30, ""}, {1.8, 1.50, ""}, {2.2, 1.40, ""}, {2.2, 1.60, ""}, {2.6, 1.35, ""}, {2.6, 1.55, ""}}
	l := ladder(t, steps)
	near(t, "pure error", l.Scatter, math.Sqrt(0.02), 1e-9) // SD of two runs 0.2 apart
	if !l.Pure && l.DF != 3 {
		t.Errorf("%+v", l)
	}
}
