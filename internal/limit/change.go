package limit

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"underkick/internal/kick"
	"underkick/internal/spread"
)

// Verdict is what a comparison of one measure over two visits may say.
type Verdict string

// The verdicts.
const (
	Refused  Verdict = "no verdict"
	NoChange Verdict = "no change shown"
	Higher   Verdict = "higher"
	Lower    Verdict = "lower"
)

// Change is one measure of this run against the same measure of the swimmer's
// own earlier runs.
type Change struct {
	Measure string
	Unit    string
	Verdict Verdict
	Why     []string // with Refused: why, one sentence each

	Now, Then   float64
	When        string  // the earlier visit's day
	Runs        int     // earlier runs averaged
	Difference  float64 // Now - Then
	Smallest    float64 // smallest real change at 95 %
	Borrowed    bool    // the typical error is a published one, not the squad's own
	Exploratory bool    // judged with Holm's correction among the exploratory measures

	p float64 // two-sided probability of such a difference by chance
}

// retested are the measures compared from visit to visit, speed first.
var retested = []string{
	"speed", "facing", "sweep", "build", "facing_upkick", "build_upkick", "kick_frequency", "kick_length",
}

// scaleless are measures whose zero is a convention, so that an error in per
// cent of the value says nothing: they need the squad's own typical error.
var scaleless = []string{"end_lead", "ankle_min", "ankle_max"}

// minErrorDF is the least number of degrees of freedom at which a squad's own
// typical error is used.
const minErrorDF = 10

// compareOptions are what changes are judged by.
type compareOptions struct {
	repeats [][]*kick.Result // groups of one swimmer's repeated runs under like conditions
	treated string           // measure id of the quality being practised, "" = none
}

// changes compares a run with the latest earlier visit that has like runs. With
// none it returns nil and says why not.
func changes(now Run, earlier []Run, opt compareOptions) ([]Change, []string) {
	then, why := likeRuns(now, earlier)
	if len(then) == 0 {
		return nil, why
	}
	ids := retested
	if opt.treated != "" && !slices.Contains(ids, opt.treated) {
		ids = append(slices.Clone(ids), opt.treated)
	}
	var list []Change
	for _, id := range ids {
		c := change(id, now, then, opt)
		c.Exploratory = id != "speed" && id != opt.treated
		list = append(list, c)
	}
	holm(list)
	return list, nil
}

// likeRuns returns the runs of the latest earlier visit that may be compared, or
// says why there are none. own is in order of time and may hold now and runs of
// later visits.
func likeRuns(now Run, own []Run) ([]Run, []string) {
	if now.Result == nil || !now.Result.Verdicts {
		return nil, []string{"This run has fewer than three steady whole kicks, so it is not compared."}
	}
	var like []Run
	var why []string
	for _, r := range slices.Backward(before(now, own)) {
		if r.Result == nil {
			continue
		}
		if len(like) > 0 && r.Visit != like[0].Visit {
			break
		}
		switch unlike := now.Conditions.Unlike(r.Conditions); {
		case len(unlike) > 0:
			if why == nil {
				why = unlike
			}
		case !r.Result.Verdicts:
			if why == nil {
				why = []string{fmt.Sprintf("The run of %s has fewer than three steady whole kicks.", r.When)}
			}
		case r.Result.Method != now.Result.Method:
			if why == nil {
				why = []string{fmt.Sprintf("The run of %s was measured by other definitions (%s, now %s). Measure it again.", r.When, r.Result.Method, now.Result.Method)}
			}
		default:
			like = append(like, r)
		}
	}
	if len(like) == 0 && why == nil {
		why = []string{"No earlier visit of this swimmer is measured."}
	}
	return like, why
}

// before returns the runs that come before the visit of now, all of them where
// that visit is not among them.
func before(now Run, own []Run) []Run {
	for i, r := range own {
		if r.ID == now.ID || r.Visit == now.Visit {
			return own[:i]
		}
	}
	return own
}

// change judges one measure by the smallest real change
//
//	t(df) sqrt( TE^2 (1/k1 + 1/k2) + s1^2 + s2^2 )
//
// with k1 = 1 run now, k2 earlier runs and the clip-constant standard errors s
// of the two visits; for equal visits it is the formula of spread.
func change(id string, now Run, then []Run, opt compareOptions) Change {
	m, _ := now.Result.Measure(id)
	c := Change{Measure: id, Unit: m.Unit, Now: m.Value, Then: math.NaN(), When: then[0].When, Runs: len(then), Verdict: Refused}
	c.Why = unfit(m, "now")
	if isFacing(id) {
		for _, r := range then {
			if !now.Conditions.markedAlike(r.Conditions) {
				c.Why = append(c.Why, "Facing depends on like marking. The runs were not marked by the same person, or it is not stated.")
				break
			}
		}
	}
	var values, errors []float64
	for _, r := range then {
		e, _ := r.Result.Measure(id)
		if why := unfit(e, "then"); len(why) > 0 {
			c.Why = append(c.Why, why...)
			break
		}
		values, errors = append(values, e.Value), append(errors, clipError(e))
	}
	if len(c.Why) > 0 {
		return c
	}
	c.Then = stat.Mean(values, nil)
	c.Difference = c.Now - c.Then
	te, df, ok := c.typicalError(opt.repeats)
	if !ok {
		c.Why = []string{"The squad has too few repeated runs for this measure, and no published error fits it."}
		return c
	}
	k2 := float64(len(values))
	clip := math.Sqrt((square(clipError(m)) + square(stat.Mean(errors, nil))) / 2)
	c.Smallest = spread.SmallestRealChange(te*math.Sqrt((1+1/k2)/2), df, 1, clip)
	t := math.Abs(c.Difference) / (c.Smallest / spread.T95(df))
	c.p = 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Survival(t)
	c.judge(math.Abs(c.Difference) > c.Smallest)
	return c
}

func (c *Change) judge(real bool) {
	switch {
	case !real:
		c.Verdict = NoChange
	case c.Difference > 0:
		c.Verdict = Higher
	default:
		c.Verdict = Lower
	}
}

// publishedDF stands for the many degrees of freedom with which a published
// typical error is used: 1.96, so that one run each gives 2.77 TE.
const publishedDF = 1_000_000

// typicalError returns the squad's own typical error of the measure where it
// has enough repeats, else the published one.
func (c *Change) typicalError(repeats [][]*kick.Result) (te float64, df int, ok bool) {
	var groups [][]float64
	for _, runs := range repeats {
		var values []float64
		for _, r := range runs {
			if r == nil || !r.Verdicts {
				continue
			}
			if m, found := r.Measure(c.Measure); found && len(unfit(m, "")) == 0 {
				values = append(values, m.Value)
			}
		}
		groups = append(groups, values)
	}
	if te, df = spread.TypicalError(groups); df >= minErrorDF {
		return te, df, true
	}
	c.Borrowed = true
	if slices.Contains(scaleless, c.Measure) {
		return 0, 0, false
	}
	return BorrowedError * math.Abs(c.Now+c.Then) / 2, publishedDF, true
}

// holm withdraws verdicts of exploratory measures that Holm's step-down
// correction at 5 % does not bear out (Holm, Scand J Stat 6:65-70, 1979).
func holm(list []Change) {
	var open []int
	for i, c := range list {
		if c.Exploratory && c.Verdict != Refused {
			open = append(open, i)
		}
	}
	sort.Slice(open, func(a, b int) bool { return list[open[a]].p < list[open[b]].p })
	kept := true
	for rank, i := range open {
		kept = kept && list[i].p*float64(len(open)-rank) <= 0.05
		if !kept {
			list[i].Verdict = NoChange
		}
	}
}

// soft are reasons whose error is already in the band; every other reason bars a
// verdict.
var soft = []string{"scale-from-height", "assumed-height", "hip-for-centre"}

// unfit returns why a measure bears no verdict; when says which visit it is from.
func unfit(m kick.Measure, when string) []string {
	var why []string
	for _, r := range m.Reasons {
		if r.Withheld || !slices.Contains(soft, r.Code) {
			why = append(why, sentence(r.Text, when))
		}
	}
	if len(why) == 0 && math.IsNaN(m.Value) {
		why = append(why, sentence("It has no value.", when))
	}
	return why
}

func sentence(text, when string) string {
	switch when {
	case "now":
		return "In this run: " + text
	case "then":
		return "In the earlier run: " + text
	}
	return text
}

// clipError returns the standard error that is the same in all kicks of a clip
// (scale, roll, marking offset), worked back from the band:
//
//	half^2 = (t(n-1) SD/sqrt n)^2 + (1.96 s)^2
//
// Where the marking error of single points outweighs the scatter of the kicks it
// comes out too large, which only makes the verdict more careful.
func clipError(m kick.Measure) float64 {
	half := (m.High - m.Low) / 2
	if math.IsNaN(half) {
		return 0
	}
	scatter := 0.0
	if m.N > 1 && !math.IsNaN(m.SD) {
		scatter = spread.T95(m.N-1) * m.SD / math.Sqrt(float64(m.N))
	}
	return math.Sqrt(max(0, half*half-scatter*scatter)) / 1.959963984540054
}

func square(x float64) float64 { return x * x }

func isFacing(id string) bool { return id == "facing" || id == "facing_upkick" }
