package limit

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"underkick/internal/kick"
	"underkick/internal/spread"
)

// exact makes a measure without any clip-constant error: its band is the
// scatter of the kicks alone.
func exact(m *kick.Measure, value, sd float64) {
	half := spread.T95(m.N-1) * sd / math.Sqrt(float64(m.N))
	m.Value, m.SD, m.Low, m.High = value, sd, value-half, value+half
}

// Check 28 of the reference notes: MDC95 for typical errors of 0.86 % and
// 8.92 % is 2.38 % and 24.73 % (Connaboy et al. 2010, Med Sci Sports Exerc
// 42(4):762-770; MDC95 = 1.96 sqrt 2 TE). The borrowed error is the upper one.
func TestBorrowedErrorIsCheck28(t *testing.T) {
	for te, want := range map[float64]float64{0.86: 2.38, 8.92: 24.73} {
		if got := spread.SmallestRealChange(te, publishedDF, 1, 0); math.Abs(got-want) > 0.01 {
			t.Errorf("MDC95 of %.2f %% is %.3f, want %.2f", te, got, want)
		}
	}
	now, then := result(nil), result(nil)
	set(now, "sweep", func(m *kick.Measure) { exact(m, 0.60, 0.01) })
	set(then, "sweep", func(m *kick.Measure) { exact(m, 0.60, 0.01) })
	c := change("sweep", []Run{run("a", "v2", "", now)}, []Run{run("b", "v1", "3 May", then)}, compareOptions{})
	if !c.Borrowed || math.Abs(100*c.Smallest/0.60-24.73) > 0.01 {
		t.Errorf("smallest real change %.2f %% of the value, borrowed %v; want 24.73 %%", 100*c.Smallest/0.60, c.Borrowed)
	}
}

func TestVerdictTurnsAtTheSmallestRealChange(t *testing.T) {
	for _, c := range []struct {
		now  float64
		want Verdict
	}{
		// Mean of both x 24.73 % is the limit: 0.75 against 0.60 is 22 %, 0.80 28 %.
		{0.75, NoChange}, {0.80, Higher}, {0.60, NoChange}, {0.48, NoChange}, {0.45, Lower},
	} {
		a, b := result(nil), result(nil)
		set(a, "sweep", func(m *kick.Measure) { exact(m, c.now, 0.01) })
		set(b, "sweep", func(m *kick.Measure) { exact(m, 0.60, 0.01) })
		got := change("sweep", []Run{run("a", "v2", "", a)}, []Run{run("b", "v1", "3 May", b)}, compareOptions{})
		if got.Verdict != c.want {
			t.Errorf("0.60 -> %.2f m: %q, want %q (difference %.3f, smallest %.3f)", c.now, got.Verdict, c.want, got.Difference, got.Smallest)
		}
	}
}

// Twelve swimmers' pairs of runs, each pair 0.04 m apart: SD of a pair is
// 0.04/sqrt 2, so TE = 0.0283 m with 12 degrees of freedom, and t(12) = 2.1788
// (Student's table): smallest real change 2.1788 x sqrt 2 x 0.0283 = 0.0872 m.
func TestSquadsOwnTypicalError(t *testing.T) {
	pairs := func(n int) [][]Run {
		var groups [][]Run
		for range n {
			a, b := result(nil), result(nil)
			set(a, "sweep", func(m *kick.Measure) { exact(m, 0.50, 0.01) })
			set(b, "sweep", func(m *kick.Measure) { exact(m, 0.54, 0.01) })
			groups = append(groups, []Run{run("a", "v", "", a), run("b", "v", "", b)})
		}
		return groups
	}
	scatter := func(groups [][]Run) Scatters {
		s := Scatters{}
		for _, g := range groups {
			s.Merge(ScatterOf(g))
		}
		return s
	}
	now, then := result(nil), result(nil)
	set(now, "sweep", func(m *kick.Measure) { exact(m, 0.70, 0.01) })
	set(then, "sweep", func(m *kick.Measure) { exact(m, 0.60, 0.01) })
	compare := func(n int, earlier ...Run) Change {
		return change("sweep", []Run{run("a", "v2", "", now)}, earlier, compareOptions{scatter: scatter(pairs(n))})
	}
	one := run("b", "v1", "3 May", then)
	c := compare(12, one)
	if c.Borrowed || math.Abs(c.Smallest-0.0872) > 0.0001 || c.Verdict != Higher {
		t.Errorf("%+v; want 0.0872 m, higher, not borrowed", c)
	}
	if c := compare(9, one); !c.Borrowed || c.Verdict != NoChange {
		t.Errorf("9 degrees of freedom: %+v; want the borrowed error and no change", c)
	}
	unsteady := pairs(12)
	for _, g := range unsteady[:3] {
		g[0].Result.Verdicts = false
	}
	if c := change("sweep", []Run{run("a", "v2", "", now)}, []Run{one}, compareOptions{scatter: scatter(unsteady)}); !c.Borrowed {
		t.Errorf("runs without three steady kicks count as repeats: %+v", c)
	}
	// Two earlier runs: sqrt(1 + 1/2) in place of sqrt 2.
	if c := compare(12, one, one); math.Abs(c.Smallest-0.0872*math.Sqrt(1.5/2)) > 0.0001 || c.Runs != 2 {
		t.Errorf("two earlier runs: %+v", c)
	}
}

// The clip-constant error is worked back from the band that spread.Band makes.
func TestClipErrorIsTheBandsConstant(t *testing.T) {
	values := []float64{1.0, 1.1, 0.9, 1.05, 0.95}
	for _, want := range []float64{0, 0.02, 0.3} {
		e := spread.Band(values, want, 0)
		m := kick.Measure{Value: e.Value, SD: e.SD, N: e.N, Low: e.Low, High: e.High}
		if got := clipError(m); math.Abs(got-want) > 1e-7 {
			t.Errorf("clip error %g, want %g", got, want)
		}
	}
	if got := clipError(kick.Measure{Low: math.NaN(), High: math.NaN()}); got != 0 {
		t.Errorf("no band: %g", got)
	}
	// It enters as a variance per visit: t sqrt(2 (TE^2 + s^2)).
	now, then := result(nil), result(nil)
	for _, r := range []*kick.Result{now, then} {
		e := spread.Band(values, 0.2, 0)
		set(r, "sweep", func(m *kick.Measure) { m.Value, m.SD, m.N, m.Low, m.High = e.Value, e.SD, e.N, e.Low, e.High })
	}
	c := change("sweep", []Run{run("a", "v2", "", now)}, []Run{run("b", "v1", "", then)}, compareOptions{})
	if want := 1.96 * math.Sqrt(2*(0.0892*0.0892+0.04)); math.Abs(c.Smallest-want) > 1e-4 {
		t.Errorf("smallest %g, want %g", c.Smallest, want)
	}
}

func TestComparisonIsRefused(t *testing.T) {
	base := func() (Run, Run) { return run("a", "v2", "9 June", result(nil)), run("b", "v1", "3 May", result(nil)) }
	for name, c := range map[string]struct {
		spoil func(now, then *Run)
		want  string
	}{
		"effort":        {func(_, then *Run) { then.Conditions.Effort = "easy" }, "The effort differs: max now, easy then."},
		"start":         {func(now, _ *Run) { now.Conditions.Start = "dive" }, "The start differs: dive now, still then."},
		"position":      {func(_, then *Run) { then.Conditions.Position = "supine" }, "The position differs: prone now, supine then."},
		"equipment":     {func(now, _ *Run) { now.Conditions.Equipment = "fins" }, "The equipment differs: fins now, none then."},
		"not stated":    {func(now, then *Run) { now.Conditions.Effort, then.Conditions.Effort = "", "" }, "State the effort of both runs."},
		"few kicks now": {func(now, _ *Run) { now.Result.Verdicts = false }, "fewer than three steady whole kicks, so it is not compared"},
		"few then":      {func(_, then *Run) { then.Result.Verdicts = false }, "The run of 3 May has fewer than three"},
		"other method":  {func(_, then *Run) { then.Result.Method = "kick/0" }, "measured by other definitions (kick/0, now kick/1). Measure it again."},
		"same visit":    {func(now, then *Run) { then.Visit = now.Visit }, "No earlier visit"},
		"not measured":  {func(_, then *Run) { then.Result = nil }, "No earlier visit"},
	} {
		now, then := base()
		c.spoil(&now, &then)
		list, why := changes(now, []Run{then}, compareOptions{})
		if len(list) > 0 || !strings.Contains(strings.Join(why, "\n"), c.want) {
			t.Errorf("%s: %d changes, why %q; want %q", name, len(list), why, c.want)
		}
	}
	now, then := base()
	list, why := changes(now, []Run{then}, compareOptions{})
	if len(list) != len(retested) || why != nil {
		t.Errorf("like runs: %d changes, %q", len(list), why)
	}
	now.Conditions.Equipment, then.Conditions.Effort = "  ", "MAX "
	if list, why = changes(now, []Run{then}, compareOptions{}); len(list) == 0 {
		t.Errorf("spaces and capitals make conditions differ: %q", why)
	}
}

func TestOneMeasureIsRefused(t *testing.T) {
	for name, c := range map[string]struct {
		id    string
		spoil func(now, then *Run)
		want  string
	}{
		"other marker":  {"facing", func(_, then *Run) { then.Conditions.MarkedBy = "T. Okoro" }, "Facing depends on like marking"},
		"marker absent": {"facing_upkick", func(now, then *Run) { now.Conditions.MarkedBy, then.Conditions.MarkedBy = "", "" }, "Facing depends on like marking"},
		"blur": {"facing", func(now, _ *Run) {
			set(now.Result, "facing", func(m *kick.Measure) { m.Reasons = []kick.Reason{{Code: "toe-blur", Text: "Blurred."}} })
		}, "In this run: Blurred."},
		"withheld then": {"speed", func(_, then *Run) {
			set(then.Result, "speed", func(m *kick.Measure) {
				m.Value, m.Reasons = math.NaN(), []kick.Reason{{Code: "x", Text: "Hidden.", Withheld: true}}
			})
		}, "In the earlier run: Hidden."},
		"no value": {"speed", func(now, _ *Run) {
			set(now.Result, "speed", func(m *kick.Measure) { m.Value = math.NaN() })
		}, "In this run: It has no value."},
		"zero is a convention": {"end_lead", func(_, _ *Run) {}, "no published error fits it"},
	} {
		now, then := run("a", "v2", "", result(nil)), run("b", "v1", "", result(nil))
		c.spoil(&now, &then)
		got := change(c.id, []Run{now}, []Run{then}, compareOptions{})
		if got.Verdict != Refused || !strings.Contains(strings.Join(got.Why, "\n"), c.want) {
			t.Errorf("%s: %q, %q; want %q", name, got.Verdict, got.Why, c.want)
		}
	}
	// A reason whose error is in the band does not bar a verdict.
	now, then := run("a", "v2", "", result(nil)), run("b", "v1", "", result(nil))
	set(now.Result, "speed", func(m *kick.Measure) { m.Reasons = []kick.Reason{{Code: "scale-from-height", Text: "From height."}} })
	if got := change("speed", []Run{now}, []Run{then}, compareOptions{}); got.Verdict != NoChange {
		t.Errorf("scale from height: %q, %q", got.Verdict, got.Why)
	}
}

func TestLatestLikeVisitIsTaken(t *testing.T) {
	easy := run("c", "v2", "2 May", result(nil))
	easy.Conditions.Effort = "easy"
	own := []Run{
		run("a", "v1", "1 May", result(nil)), run("b", "v2", "2 May", result(nil)), easy, run("d", "v2", "2 May", result(nil)),
		run("now", "v3", "3 May", result(nil)), run("e", "v3", "3 May", result(nil)),
	}
	own = append(own, run("later", "v4", "4 May", result(nil)))
	got, why := likeRuns(own[4], own)
	if len(got) != 2 || got[0].ID != "d" || got[1].ID != "b" {
		t.Errorf("runs %v, why %q; want d and b of 2 May", got, why)
	}
}

// Holm's example of step-down testing, by hand: 0.010, 0.015, 0.030 against
// 0.05/3, 0.05/2, 0.05/1: the first and the second fall, then 0.030 falls too;
// with 0.030 in second place (0.05/2) all from there on stand.
func TestHolm(t *testing.T) {
	for _, c := range []struct {
		p    []float64
		want []Verdict
	}{
		{[]float64{0.015, 0.010, 0.030}, []Verdict{Higher, Higher, Higher}},
		{[]float64{0.030, 0.010, 0.040}, []Verdict{NoChange, Higher, NoChange}},
		{[]float64{0.020, 0.020, 0.020}, []Verdict{NoChange, NoChange, NoChange}},
	} {
		var list []Change
		for i, p := range c.p {
			list = append(list, Change{Measure: fmt.Sprint(i), Verdict: Higher, Exploratory: true, P: p})
		}
		list = append(list, Change{Measure: "speed", Verdict: Higher, P: 0.049}, Change{Verdict: Refused, Exploratory: true})
		holm(list)
		for i, want := range c.want {
			if list[i].Verdict != want {
				t.Errorf("p %v: number %d is %q, want %q", c.p, i, list[i].Verdict, want)
			}
		}
		if list[3].Verdict != Higher || list[4].Verdict != Refused {
			t.Errorf("a primary or refused measure was changed: %v", list[3:])
		}
	}
}

// The probability agrees with the limit: at a difference of the smallest real
// change it is 5 %.
func TestProbabilityAtTheLimit(t *testing.T) {
	a, b := result(nil), result(nil)
	set(b, "sweep", func(m *kick.Measure) { exact(m, 0.60, 0.01) })
	// now such that |now - 0.6| = 1.96 sqrt 2 0.0892 (now + 0.6)/2
	k := 1.959964 * math.Sqrt2 * 0.0892 / 2
	set(a, "sweep", func(m *kick.Measure) { exact(m, 0.60*(1+k)/(1-k), 0.01) })
	c := change("sweep", []Run{run("a", "v2", "", a)}, []Run{run("b", "v1", "", b)}, compareOptions{})
	if math.Abs(c.P-0.05) > 1e-4 {
		t.Errorf("p = %.5f at the smallest real change", c.P)
	}
	if want := 2 * distuv.UnitNormal.Survival(c.Difference/c.Smallest*1.959964); math.Abs(c.P-want) > 1e-4 {
		t.Errorf("p = %.6f, normal %.6f", c.P, want)
	}
}

func TestTreatedQualityIsPrimary(t *testing.T) {
	now, then := run("a", "v2", "", result(nil)), run("b", "v1", "", result(nil))
	list, _ := changes(now, []Run{then}, compareOptions{treated: "end_lead"})
	found := false
	for _, c := range list {
		if c.Exploratory == (c.Measure == "speed" || c.Measure == "end_lead") {
			t.Errorf("%s: exploratory %v", c.Measure, c.Exploratory)
		}
		found = found || c.Measure == "end_lead"
	}
	if !found {
		t.Error("the treated measure is not compared")
	}
}
