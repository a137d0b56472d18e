package limit

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"underkick/internal/kick"
	"underkick/internal/spread"
)

// Mean returns a measure averaged over like runs of one visit, with the 95 % band
// of that mean:
//
//	half^2 = (mean of the runs' random half-widths squared)/k + (1.96 s)^2
//
// with k runs and s the mean of their clip-constant errors, which averaging does
// not lower. For one run it is the run's own band. SD is NaN for more than one run;
// N counts all kicks. Reasons are those of any of the runs, each code once. A
// measure that one run has no value for has none. It panics without runs.
func Mean(id string, runs []Run) kick.Measure {
	if len(runs) == 0 {
		panic("limit: a mean needs runs")
	}
	first, ok := runs[0].Result.Measure(id)
	if !ok {
		nan := math.NaN()
		return kick.Measure{ID: id, Value: nan, SD: nan, Low: nan, High: nan}
	}
	if len(runs) == 1 {
		return first
	}
	mean := kick.Measure{ID: id, Unit: first.Unit, SD: math.NaN()}
	var values, random, clip []float64
	seen := map[string]bool{}
	for _, r := range runs {
		m, _ := r.Result.Measure(id)
		half, s := m.Half(), clipError(m)
		values, clip = append(values, m.Value), append(clip, s)
		random = append(random, max(0, half*half-square(normal95*s)))
		mean.N += m.N
		for _, why := range m.Reasons {
			if !seen[why.Code] {
				seen[why.Code] = true
				mean.Reasons = append(mean.Reasons, why)
			}
		}
	}
	mean.Value = stat.Mean(values, nil)
	half := math.Sqrt(stat.Mean(random, nil)/float64(len(runs)) + square(normal95*stat.Mean(clip, nil)))
	mean.Low, mean.High = mean.Value-half, mean.Value+half
	return mean.Bounded()
}

// normal95 is the two-sided 95 % quantile of the normal distribution.
var normal95 = spread.T95(publishedDF)

// Stop is one visit's like runs on the way through a season.
type Stop struct {
	Visit, When string
	Runs        []Run    // like each other
	Since       string   // day of the earlier visit that Changes compare with, "" = none
	SinceVisit  string   // its id
	Changes     []Change // of every measure with a number, in the order of the definitions; empty = not compared
	Why         []string // why not, one sentence each
}

// Season follows a swimmer's runs from visit to visit. own is in order of time. A
// stop is compared with the latest earlier visit that has like runs; treated gives
// the measure that was practised between the two, "" = none; nil = never any. Every stop is judged for
// itself: over twenty visits without any change one verdict 'changed' of a primary
// measure is to be expected.
func Season(own []Run, scatter Scatters, treated func(then, now Stop) string) []Stop {
	var stops []Stop
	for _, runs := range Sittings(own) {
		s := Stop{Visit: runs[0].Visit, When: runs[0].When, Runs: runs}
		s.compare(stops, scatter, treated)
		stops = append(stops, s)
	}
	return stops
}

func (s *Stop) compare(earlier []Stop, scatter Scatters, treated func(then, now Stop) string) {
	then, why := s.latestLike(earlier)
	if then == nil {
		s.Why = why
		return
	}
	s.Since, s.SinceVisit = then.When, then.Visit
	opt := compareOptions{scatter: scatter}
	if treated != nil {
		opt.treated = treated(*then, *s)
	}
	s.Changes = judge(numbers, s.Runs, then.Runs, opt)
}

// latestLike returns the latest earlier visit with like runs, or says what keeps
// the latest one from being it.
func (s *Stop) latestLike(earlier []Stop) (*Stop, []string) {
	var why []string
	for i := len(earlier) - 1; i >= 0; i-- {
		e := &earlier[i]
		if e.Visit == s.Visit {
			continue
		}
		not := unlikeRuns(s.Runs[0], e.Runs[0])
		if len(not) == 0 {
			return e, nil
		}
		if why == nil {
			why = not
		}
	}
	if why == nil {
		why = []string{"No earlier visit of this swimmer is measured."}
	}
	return nil, why
}

// numbers are the ids of the measures that have a number.
var numbers = func() []string {
	var ids []string
	for _, d := range kick.Definitions() {
		if d.Unit != "" {
			ids = append(ids, d.ID)
		}
	}
	return ids
}()
