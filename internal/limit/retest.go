package limit

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"underkick/internal/kick"
	"underkick/internal/spread"
)

// Says returns the verdict in the words of the pages: "changed: higher", "changed:
// lower", "no change shown", "no verdict".
func (c Change) Says() string {
	if c.Verdict == Higher || c.Verdict == Lower {
		return "changed: " + string(c.Verdict)
	}
	return string(c.Verdict)
}

// Changed reports whether the measure changed beyond the smallest real change.
func (c Change) Changed() bool { return c.Verdict == Higher || c.Verdict == Lower }

// Band returns the 95 % band of the difference, NaN where there is no verdict.
func (c Change) Band() (low, high float64) {
	if c.Verdict == Refused {
		return math.NaN(), math.NaN()
	}
	return kick.BoundsOf(c.Measure).Difference().Cut(c.Difference, c.Difference-c.Smallest, c.Difference+c.Smallest)
}

// Detectable returns the true difference that two visits of so many runs each name
// as changed in four cases of five:
//
//	(t(df) + t80(df)) sqrt( 2 (TE^2 / runs + s^2) )
//
// with t80 the 80 % quantile of Student's t, the usual approximation for the power
// of a comparison (J. Cohen, Statistical Power Analysis, 2nd ed. 1988, ch. 2, for
// many degrees of freedom). NaN where there is no verdict. It panics when runs is
// below 1.
func (c Change) Detectable(runs int) float64 {
	if c.Verdict == Refused {
		return math.NaN()
	}
	df := c.judgedDF()
	t80 := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Quantile(0.8)
	return spread.SmallestRealChange(c.Error, df, runs, c.ClipError) * (1 + t80/spread.T95(df))
}

func (c Change) judgedDF() int {
	if c.Borrowed {
		return publishedDF
	}
	return c.DF
}

// mostRuns is as many runs on one visit as we ask for.
const mostRuns = 8

// RunsFor returns how many runs on each visit let a true difference of a size be
// named in four cases of five; false where more than eight would be needed or the
// clip-constant error alone hides it.
func (c Change) RunsFor(size float64) (runs int, ok bool) {
	if c.Verdict == Refused || !(size > 0) {
		return 0, false
	}
	for n := 1; n <= mostRuns; n++ {
		if c.Detectable(n) <= size {
			return n, true
		}
	}
	return 0, false
}

// PerHeight returns the change of a length or speed counted in body heights, with
// the standing heights (m) of the two days: what growth alone would give is no
// change. The error goes along in per cent. Other units, unknown heights and
// refusals give false. It is judged for itself, without Holm's correction where
// the measure is primary, and stays 'no change shown' where that took the verdict.
func (c Change) PerHeight(now, then float64) (Change, bool) {
	if (c.Unit != "m" && c.Unit != "m/s") || !(now > 0) || !(then > 0) || c.Verdict == Refused {
		return Change{}, false
	}
	r := c
	r.Unit = map[string]string{"m": "body heights", "m/s": "body heights/s"}[c.Unit]
	mean := (now + then) / 2
	r.Now, r.Then = c.Now/now, c.Then/then
	r.Difference = r.Now - r.Then
	r.Smallest, r.Error, r.ClipError = c.Smallest/mean, c.Error/mean, c.ClipError/mean
	df := r.judgedDF()
	r.P = 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Survival(math.Abs(r.Difference)/(r.Smallest/spread.T95(df)))
	r.Withdrawn = false
	r.judge(math.Abs(r.Difference) > r.Smallest)
	if c.Withdrawn && r.Changed() {
		r.Verdict, r.Withdrawn = NoChange, true
	}
	return r, true
}

// Side is one condition of the two visits, side by side.
type Side struct {
	Name         string
	Test, Retest string // "" = not stated
	Alike        bool   // it keeps nothing from being compared
}

// Retest is a visit held against an earlier one of the same swimmer.
type Retest struct {
	Test, Retest []Run    // the runs that are compared, like each other
	Changes      []Change // of every measure with a number, in the order of the definitions; empty = refused
	Refused      []string // why nothing is compared, one sentence each
	Conditions   []Side
	Primary      []string // ids judged without correction: speed and the treated quality
}

// CompareVisits holds the runs of a visit against those of an earlier one. Of all
// pairs of like runs the one with most runs is taken. treated are the measures that
// were practised in between: one is primary beside speed; of several none is,
// since one of many changes by chance.
func CompareVisits(test, retest []Run, scatter Scatters, treated []string) Retest {
	var r Retest
	opt := compareOptions{scatter: scatter}
	r.Primary = []string{"speed"}
	if len(treated) == 1 && treated[0] != "speed" {
		opt.treated = treated[0]
		r.Primary = append(r.Primary, treated[0])
	}
	before, now := Sittings(test), Sittings(retest)
	if len(before) == 0 || len(now) == 0 {
		r.Refused = tooFewRuns(test, retest)
		return r
	}
	r.Test, r.Retest, r.Refused = likest(before, now)
	r.Conditions = sides(r.Test[0].Conditions, r.Retest[0].Conditions)
	if len(r.Refused) == 0 {
		r.Changes = judge(numbers, r.Retest, r.Test, opt)
	}
	return r
}

func tooFewRuns(test, retest []Run) []string {
	var why []string
	for _, side := range []struct {
		when string
		runs []Run
	}{{"the test", test}, {"the retest", retest}} {
		if len(Sittings(side.runs)) == 0 {
			why = append(why, fmt.Sprintf("No run of %s is measured with three whole, steady kicks.", side.when))
		}
	}
	return why
}

// likest returns the pair of like sittings with most runs, or the last of each and
// what keeps them from being compared.
func likest(before, now [][]Run) (test, retest []Run, why []string) {
	most := 0
	for _, b := range before {
		for _, n := range now {
			if runs := 2*min(len(b), len(n)) + max(len(b), len(n)); runs > most && len(unlikeRuns(n[0], b[0])) == 0 {
				test, retest, most = b, n, runs
			}
		}
	}
	if most > 0 {
		return test, retest, nil
	}
	test, retest = before[len(before)-1], now[len(now)-1]
	return test, retest, unlikeRuns(retest[0], test[0])
}

func sides(test, retest Conditions) []Side {
	var list []Side
	for _, f := range retest.beside(test) {
		list = append(list, Side{f.name, f.then, f.now, f.now == f.then && f.now != ""})
	}
	return append(list,
		Side{"equipment", orNone(test.Equipment), orNone(retest.Equipment), fold(test.Equipment) == fold(retest.Equipment)},
		Side{"marked by", test.MarkedBy, retest.MarkedBy, retest.markedAlike(test)})
}

// Of returns the change of a measure.
func (r Retest) Of(id string) (Change, bool) {
	i := slices.IndexFunc(r.Changes, func(c Change) bool { return c.Measure == id })
	if i < 0 {
		return Change{}, false
	}
	return r.Changes[i], true
}
