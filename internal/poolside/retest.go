package poolside

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/limit/worth"
	"underkick/internal/record"
	"underkick/internal/report"
)

// RetestQuery names the two days to hold against each other. Without a retest day
// it is the newest visit that has like runs before it; without a test day the
// latest such visit before.
type RetestQuery struct{ Test, Retest record.Date }

// RetestView is a visit held against an earlier one.
type RetestView struct {
	Swimmer   record.Swimmer
	Days      []record.Date // with measured runs, newest first
	Test      record.Date
	Retest    record.Date
	Problem   string // why there is nothing to hold against each other, "" else
	Result    limit.Retest
	Rows      []RetestRow
	Given     []record.Given // practised in between, oldest first
	Error     ErrorView
	Promised  limit.Promise // what the model expected of the limiter at the test; zero = not known
	Limiters  [2]string     // test and retest; "" = none named
	HeightsM  [2]float64    // on the two days; 0 = not known
	Next      []string
	Cautions  []string // stand wherever practice is shown
	Practised []string // qualities
	Renewing  Renewing
}

// RetestRow is one measure of a retest.
type RetestRow struct {
	kick.Definition
	Change       limit.Change
	Test, Retest kick.Measure  // means over the runs, with their bands
	Primary      bool          // judged without correction
	Lead         bool          // shown first
	Grown        *limit.Change // counted in body heights; nil = not shown
}

// ErrorView says what the verdict on speed is judged by.
type ErrorView struct {
	TypicalError float64 // of one run in m/s; NaN = not known
	DF           int     // degrees of freedom of the squad's repeats
	Needed       int     // that are enough
	Borrowed     bool    // there are too few, so a published error serves
}

// Retest holds two visits of a swimmer against each other. Days without measured
// runs are an ErrInput.
func (a *App) Retest(ctx context.Context, swimmerID string, q RetestQuery) (RetestView, error) {
	s, err := a.swum(ctx, swimmerID)
	if err != nil {
		return RetestView{}, err
	}
	v := RetestView{Swimmer: s.swimmer, Days: s.measuredDays()}
	if q, err = s.chooseDays(q, v.Days); err != nil {
		return v, err
	}
	v.Test, v.Retest = q.Test, q.Retest
	if v.Renewing, err = a.renewingOf(ctx, swimmerID); err != nil {
		return v, err
	}
	switch len(v.Days) {
	case 0:
		v.Problem = "A retest needs two visits with measured runs. There is none."
		return v, nil
	case 1:
		v.Problem = fmt.Sprintf("A retest needs two visits with measured runs. There is one, of %s.", longDate(v.Days[0]))
		return v, nil
	}
	test, retest := s.on(v.Test), s.on(v.Retest)
	v.Limiters = [2]string{s.limiter(test), s.limiter(retest)}
	v.Given = s.between(v.Test, v.Retest)
	v.Practised = qualities(v.Given)
	if len(v.Given) > 0 {
		v.Cautions = PracticeCautions()
	}
	v.HeightsM = [2]float64{s.heightOn(v.Test), s.heightOn(v.Retest)}
	v.Result = limit.CompareVisits(test, retest, s.scatter, s.treated(v.Test, v.Retest))
	v.addSides(s)
	v.fillRows(s)
	if v.Promised, err = a.promised(ctx, test); err != nil {
		return v, err
	}
	v.Next = v.Result.Next(limit.Between{
		Practised: v.Practised, LimiterThen: v.Limiters[0], LimiterNow: v.Limiters[1], Promised: v.Promised,
	})
	return v, nil
}

// measuredDays lists the days with measured runs, newest first.
func (s swum) measuredDays() []record.Date {
	var days []record.Date
	for _, r := range slices.Backward(s.own) {
		if day := s.days[r.Visit]; !slices.Contains(days, day) {
			days = append(days, day)
		}
	}
	return days
}

func (s swum) on(day record.Date) []limit.Run {
	return slices.DeleteFunc(slices.Clone(s.own), func(r limit.Run) bool { return s.days[r.Visit] != day })
}

// chooseDays fills in the days that were not asked for and refuses those that
// cannot serve. days is newest first.
func (s swum) chooseDays(q RetestQuery, days []record.Date) (RetestQuery, error) {
	for _, day := range []record.Date{q.Test, q.Retest} {
		if day != "" && !slices.Contains(days, day) {
			return q, inputf("no measured run of this swimmer is of %s; choose one of %s", longDate(day), daysWords(days))
		}
	}
	if len(days) < 2 {
		return q, nil
	}
	stops := limit.Season(s.own, nil, nil)
	for _, stop := range slices.Backward(stops) {
		now, then := s.days[stop.Visit], s.days[stop.SinceVisit]
		if then == "" || then == now || (q.Retest != "" && q.Retest != now) || (q.Test != "" && q.Test != then) {
			continue
		}
		q.Retest, q.Test = now, then
		break
	}
	if q.Retest == "" {
		q.Retest = days[0]
	}
	if q.Test == "" { // nothing is alike: the visit before, so that the page says why
		q.Test = days[min(slices.Index(days, q.Retest)+1, len(days)-1)]
	}
	if q.Test >= q.Retest {
		return q, inputf("the test, %s, must come before the retest, %s", longDate(q.Test), longDate(q.Retest))
	}
	return q, nil
}

func daysWords(days []record.Date) string {
	text := ""
	for i, d := range days {
		if i > 0 {
			text += ", "
		}
		text += string(d)
	}
	if text == "" {
		return "none: nothing is measured yet"
	}
	return text
}

// limiter is what the last finding of some runs names, "" for nothing.
func (s swum) limiter(runs []limit.Run) string {
	for _, r := range slices.Backward(runs) {
		if word := s.words[r.ID]; slices.Contains(limiters, word) {
			return word
		}
	}
	return ""
}

// addSides puts the conditions that bar no verdict beside those that do.
func (v *RetestView) addSides(s swum) {
	if len(v.Result.Test) == 0 {
		return
	}
	before, now := s.records[v.Result.Test[0].ID], s.records[v.Result.Retest[0].ID]
	add := func(name, test, retest string) {
		v.Result.Conditions = append(v.Result.Conditions, limit.Side{Name: name, Test: test, Retest: retest, Alike: test == retest})
	}
	add("depth", depthWords(before), depthWords(now))
	add("touched", string(before.Contact), string(now.Contact))
	v.Result.Conditions = append(v.Result.Conditions, limit.Side{
		Name: "runs averaged", Test: fmt.Sprint(len(v.Result.Test)), Retest: fmt.Sprint(len(v.Result.Retest)), Alike: true, // the verdict counts them
	})
}

func depthWords(r record.Run) string {
	if r.DepthM == 0 {
		return ""
	}
	return fmt.Sprintf("%.1f m", r.DepthM)
}

func (v *RetestView) fillRows(s swum) {
	growing := s.growing(v.Test, v.Retest)
	for _, d := range kick.Definitions() {
		c, ok := v.Result.Of(d.ID)
		if !ok {
			continue
		}
		row := RetestRow{
			Definition: d, Change: c, Test: limit.Mean(d.ID, v.Result.Test), Retest: limit.Mean(d.ID, v.Result.Retest),
			Primary: slices.Contains(v.Result.Primary, d.ID),
		}
		if !row.Test.Known() && !row.Retest.Known() {
			continue
		}
		row.Lead = row.Primary || slices.Contains(leadMeasures, d.ID)
		if growing {
			if g, ok := c.PerHeight(v.HeightsM[1], v.HeightsM[0]); ok {
				row.Grown = &g
			}
		}
		v.Rows = append(v.Rows, row)
	}
	slices.SortStableFunc(v.Rows, func(a, b RetestRow) int { return a.place() - b.place() })
	own := s.scatter["speed"]
	v.Error = ErrorView{TypicalError: own.TypicalError(), DF: own.DF, Needed: limit.EnoughDF}
	if c, ok := v.Result.Of("speed"); ok && c.Verdict != limit.Refused {
		v.Error.TypicalError, v.Error.Borrowed = c.Error, c.Borrowed
	}
}

// place orders the rows: speed, the treated quality, the other qualities and
// tempo, then the rest as defined.
func (r RetestRow) place() int {
	switch at := slices.Index(leadMeasures, r.ID); {
	case r.ID == "speed":
		return 0
	case r.Primary:
		return 1
	case at >= 0:
		return 2 + at
	}
	return 2 + len(leadMeasures)
}

// promised is what the model expected of the limiter at the test, NaN where it
// named none.
func (a *App) promised(ctx context.Context, runs []limit.Run) (limit.Promise, error) {
	for _, r := range slices.Backward(runs) {
		kept, err := a.store.LatestEstimate(ctx, r.ID, worth.Method)
		if errors.Is(err, ErrNotFound) {
			continue
		}
		if err != nil {
			return limit.Promise{}, err
		}
		w, err := report.ReadWorthJSON(kept)
		if err != nil {
			return limit.Promise{}, fmt.Errorf("read the worth of run %s: %w", r.ID, err)
		}
		if line, ok := limit.WorthOf(w, w.Limiter); ok {
			return limit.Promise{Band: line.SpeedChange, EqualEffort: line.EqualEffort}, nil
		}
	}
	return limit.Promise{}, nil
}
