package limit

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

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

// Change is one measure of a run, or of the like runs of a visit, against the
// same measure of the swimmer's own earlier runs.
type Change struct {
	Measure string
	Unit    string
	Verdict Verdict
	Why     []string // with Refused: why, one sentence each

	Now, Then   float64 // means over the runs of each side
	When        string  // the earlier visit's day
	RunsNow     int     // runs averaged now
	Runs        int     // earlier runs averaged
	Difference  float64 // Now - Then
	Smallest    float64 // smallest real change at 95 %
	Error       float64 // typical error of one run
	DF          int     // its degrees of freedom; 0 with Borrowed
	ClipError   float64 // clip-constant standard error of a visit, root mean square of the two
	P           float64 // two-sided probability of such a difference by chance
	Borrowed    bool    // the typical error is a published one, not the squad's own
	Exploratory bool    // judged with Holm's correction among the exploratory measures
	Withdrawn   bool    // beyond Smallest, but not after Holm's correction
}

// retested are the measures compared from visit to visit, speed first.
var retested = []string{
	"speed", "facing", "sweep", "build", "facing_upkick", "build_upkick", "kick_frequency", "kick_length",
}

// scaleless reports whether a measure's zero is a convention, so that an error in
// per cent of the value says nothing: extremes of angles but knee flexion's
// largest, which is counted from the straight leg, and places within the kick. They
// need the squad's own typical error.
func scaleless(id string) bool {
	switch {
	case id == "knee_flexion_max":
		return false
	case id == "end_lead", id == "climb":
		return true
	}
	for _, end := range []string{"_min", "_max", "_at"} {
		if strings.HasSuffix(id, end) {
			return true
		}
	}
	return false
}

// EnoughDF is the least number of degrees of freedom at which a squad's own
// typical error is used.
const EnoughDF = 10

// compareOptions are what changes are judged by.
type compareOptions struct {
	scatter Scatters // of the squad's repeated runs
	treated string   // measure id of the quality being practised, "" = none
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
	return judge(ids, []Run{now}, then, opt), nil
}

// judge compares the measures of two sets of like runs.
func judge(ids []string, now, then []Run, opt compareOptions) []Change {
	list := make([]Change, 0, len(ids))
	for _, id := range ids {
		c := change(id, now, then, opt)
		c.Exploratory = id != "speed" && id != opt.treated
		list = append(list, c)
	}
	holm(list)
	return list
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
		not := unlikeRuns(now, r)
		if len(not) == 0 {
			like = append(like, r)
		} else if why == nil {
			why = not
		}
	}
	if len(like) == 0 && why == nil {
		why = []string{"No earlier visit of this swimmer is measured."}
	}
	return like, why
}

// unlikeRuns says what keeps a measured run from being compared with an earlier
// one; empty = nothing.
func unlikeRuns(now, then Run) []string {
	if why := now.Conditions.Unlike(then.Conditions); len(why) > 0 {
		return why
	}
	switch {
	case !then.Result.Verdicts:
		return []string{fmt.Sprintf("The run of %s has fewer than three steady whole kicks.", then.When)}
	case then.Result.Method != now.Result.Method:
		return []string{fmt.Sprintf("The run of %s was measured by other definitions (%s, now %s). Measure it again.", then.When, then.Result.Method, now.Result.Method)}
	}
	return nil
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
// with k1 runs now, k2 earlier runs and the clip-constant standard errors s of
// the two visits, each the mean of its runs'; for equal visits it is the formula
// of spread.
func change(id string, now, then []Run, opt compareOptions) Change {
	c := Change{Measure: id, Now: math.NaN(), Then: math.NaN(), When: then[0].When, RunsNow: len(now), Runs: len(then), Verdict: Refused}
	if m, ok := now[0].Result.Measure(id); ok {
		c.Unit = m.Unit
	}
	if isFacing(id) && !allMarkedAlike(slices.Concat(now, then)) {
		c.Why = append(c.Why, "Facing depends on like marking. The runs were not marked by the same person, or it is not stated.")
	}
	var why [2][]string
	var clipNow, clipThen float64
	c.Now, clipNow, why[0] = average(id, now, "now")
	c.Then, clipThen, why[1] = average(id, then, "then")
	c.Why = append(c.Why, slices.Concat(why[0], why[1])...)
	if len(c.Why) > 0 {
		return c
	}
	c.Difference = c.Now - c.Then
	df, ok := c.typicalError(opt.scatter)
	if !ok {
		c.Why = []string{"The squad has too few repeated runs for this measure, and no published error fits it."}
		return c
	}
	k1, k2 := float64(len(now)), float64(len(then))
	c.ClipError = math.Sqrt((square(clipNow) + square(clipThen)) / 2)
	c.Smallest = spread.SmallestRealChange(c.Error*math.Sqrt((1/k1+1/k2)/2), df, 1, c.ClipError)
	t := math.Abs(c.Difference) / (c.Smallest / spread.T95(df))
	if c.Difference == 0 {
		t = 0
	}
	c.P = 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Survival(t)
	c.judge(math.Abs(c.Difference) > c.Smallest)
	return c
}

// average returns a measure's mean over like runs and its clip-constant error, or
// why no verdict may stand on it: the first run with something against it tells.
func average(id string, runs []Run, when string) (value, clip float64, why []string) {
	for _, r := range runs {
		m, ok := r.Result.Measure(id)
		if !ok {
			m.Value = math.NaN()
		}
		if len(why) == 0 {
			why = unfit(m, when)
		}
		value, clip = value+m.Value, clip+clipError(m)
	}
	n := float64(len(runs))
	return value / n, clip / n, why
}

func allMarkedAlike(runs []Run) bool {
	for _, r := range runs {
		if !runs[0].Conditions.markedAlike(r.Conditions) {
			return false
		}
	}
	return true
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

// typicalError takes the squad's own typical error of the measure where it has
// enough repeats, else the published one, and returns the degrees of freedom to
// judge by.
func (c *Change) typicalError(s Scatters) (df int, ok bool) {
	if own := s[c.Measure]; own.DF >= EnoughDF {
		c.Error, c.DF = own.TypicalError(), own.DF
		return own.DF, true
	}
	c.Borrowed = true
	if scaleless(c.Measure) {
		return 0, false
	}
	c.Error = BorrowedError * math.Abs(c.Now+c.Then) / 2
	return publishedDF, true
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
	sort.Slice(open, func(a, b int) bool { return list[open[a]].P < list[open[b]].P })
	kept := true
	for rank, i := range open {
		kept = kept && list[i].P*float64(len(open)-rank) <= 0.05
		if !kept && list[i].Verdict != NoChange {
			list[i].Verdict, list[i].Withdrawn = NoChange, true
		}
	}
}

// soft are reasons whose error is already in the band; every other reason bars a
// verdict.
var soft = []string{"scale-from-height", "assumed-height", "hip-for-centre"}

func square(x float64) float64 { return x * x }
