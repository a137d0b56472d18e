package limit

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"underkick/internal/kick"
	"underkick/internal/spread"
	"underkick/internal/spread/spreadtest"
)

// p-values with Holm's correction at 5 %, as the documentation of pingouin.holm
// (pingouin-stats.org, a general statistics library) prints them: the corrected
// values are 0.64, 0.012, 0.64, 0.162, 0.0015.
func TestHolmAgainstAPublishedExample(t *testing.T) {
	p := []float64{0.50, 0.003, 0.32, 0.054, 0.0003}
	want := []Verdict{NoChange, Higher, NoChange, NoChange, Higher}
	var list []Change
	for _, v := range p {
		c := Change{Verdict: Higher, Exploratory: true, P: v}
		if v > 0.05 {
			c.Verdict = NoChange
		}
		list = append(list, c)
	}
	holm(list)
	for i := range list {
		if list[i].Verdict != want[i] {
			t.Errorf("p %g: %q, want %q", p[i], list[i].Verdict, want[i])
		}
	}
	// Corrected values between the raw 5 % and the corrected one say 'withdrawn'.
	list = []Change{{Verdict: Higher, Exploratory: true, P: 0.03}, {Verdict: NoChange, Exploratory: true, P: 0.9}}
	if holm(list); !list[0].Withdrawn || list[0].Verdict != NoChange || list[1].Withdrawn {
		t.Errorf("%+v", list)
	}
}

func TestScatterAgainstPublishedRepeats(t *testing.T) {
	squad := Scatters{}
	for _, child := range spreadtest.PeakFlow() {
		var runs []Run
		for i, v := range child {
			r := result(nil)
			set(r, "speed", func(m *kick.Measure) { exact(m, v, 1) })
			runs = append(runs, run(fmt.Sprint(i), "v", "", r))
		}
		squad.Merge(ScatterOf(runs))
	}
	speed := squad["speed"]
	if te := speed.TypicalError(); speed.DF != 60 || math.Abs(te*te-460.52) > 0.005 {
		t.Errorf("variance %.2f with %d degrees of freedom; published 460.52 with 60", te*te, speed.DF)
	}
	now, then := result(nil), result(nil)
	set(now, "speed", func(m *kick.Measure) { exact(m, 340, 1) })
	set(then, "speed", func(m *kick.Measure) { exact(m, 300, 1) })
	c := change("speed", []Run{run("a", "v2", "", now)}, []Run{run("b", "v1", "", then)}, compareOptions{scatter: squad})
	// Published with 1.96; with t(60) = 2.000 of Student's table it is 60.7.
	if c.Borrowed || math.Abs(c.Smallest*1.96/2.0003-59.5) > 0.1 || c.Verdict != NoChange {
		t.Errorf("smallest real change %.2f, borrowed %v, %q; want 60.7, the squad's own", c.Smallest, c.Borrowed, c.Verdict)
	}
}

// Cohen, A power primer, Psychological Bulletin 112:155-159, 1992, table 2: two
// means at 5 % two-sided and a power of 0.80 need 26, 64 and 393 in each group for
// differences of 0.80, 0.50 and 0.20 standard deviations.
func TestDetectableAgainstCohensTable(t *testing.T) {
	c := Change{Verdict: NoChange, Error: 1, Borrowed: true}
	for n, want := range map[int]float64{26: 0.80, 64: 0.50, 393: 0.20} {
		if got := c.Detectable(n); math.Abs(got/want-1) > 0.03 { // whole numbers and the normal approximation
			t.Errorf("%d runs: %.3f, Cohen %.2f", n, got, want)
		}
	}
	if n, ok := c.RunsFor(0.8 * math.Sqrt(26.0/mostRuns)); !ok || n != mostRuns {
		t.Errorf("%d runs, %v", n, ok)
	}
	if _, ok := c.RunsFor(0.5); ok {
		t.Error("64 runs are asked for")
	}
	if _, ok := (Change{Verdict: Refused}).RunsFor(1); ok {
		t.Error("a refusal tells how many runs would do")
	}
	c.ClipError = 1
	if n, ok := c.RunsFor(2.7); ok || c.floor() < 2.7 {
		t.Errorf("%d runs outdo an error of the scale that hides %.2f", n, c.floor())
	}
}

// The whole formula, worked out anew by hand from gonum's t quantile, with unequal
// numbers of runs and unequal clip errors.
func TestSmallestRealChangeByHand(t *testing.T) {
	const te, df, s1, s2 = 0.03, 14, 0.012, 0.02
	of := func(value, clip float64) *kick.Result {
		r := result(nil)
		set(r, "speed", func(m *kick.Measure) {
			e := spread.Band([]float64{value - 0.01, value, value + 0.01}, clip, 0)
			m.Value, m.SD, m.N, m.Low, m.High = e.Value, e.SD, e.N, e.Low, e.High
		})
		return r
	}
	now := []Run{run("a", "v2", "", of(1.5, s1)), run("b", "v2", "", of(1.54, s1)), run("c", "v2", "", of(1.58, s1))}
	then := []Run{run("d", "v1", "", of(1.40, s2)), run("e", "v1", "", of(1.42, s2))}
	c := change("speed", now, then, compareOptions{scatter: Scatters{"speed": {Squares: te * te * df, DF: df}}})
	se := math.Sqrt(te*te*(1.0/3+1.0/2) + s1*s1 + s2*s2)
	student := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
	if want := student.Quantile(0.975) * se; math.Abs(c.Smallest-want) > 1e-7 || math.Abs(c.Difference-0.13) > 1e-12 {
		t.Errorf("difference %.4f, smallest %.6f; want 0.13 and %.6f", c.Difference, c.Smallest, want)
	}
	if want := 2 * student.Survival(0.13/se); math.Abs(c.P-want) > 1e-9 {
		t.Errorf("p %.8f, want %.8f", c.P, want)
	}
	if low, high := c.Band(); math.Abs(low-(0.13-c.Smallest)) > 1e-12 || math.Abs(high-(0.13+c.Smallest)) > 1e-12 {
		t.Errorf("band %.3f to %.3f", low, high)
	}
	// What a swimmer of 1.60 m gains by growing to 1.664 m at the same speed in body
	// heights is no change.
	g, ok := Change{Measure: "speed", Unit: "m/s", Verdict: Higher, Now: 1.456, Then: 1.4, Difference: 0.056, Smallest: 0.05, Error: 0.02, DF: 20}.PerHeight(1.664, 1.60)
	if !ok || g.Verdict != NoChange || math.Abs(g.Difference) > 1e-12 || math.Abs(g.Smallest-0.05/1.632) > 1e-12 {
		t.Errorf("grown: %+v", g)
	}
	if _, ok := (Change{Measure: "build", Unit: "1", Verdict: Higher}).PerHeight(1.7, 1.6); ok {
		t.Error("a plain ratio was divided by height")
	}
}
