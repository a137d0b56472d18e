package poolside

import (
	"context"
	"slices"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/record"
)

// TrendsView is how a swimmer's measures went from visit to visit.
type TrendsView struct {
	SwimmerID string
	Lead      []Trend // speed, the three qualities and tempo
	Rest      []Trend // every other measure
	Stops     int     // visits' like runs
	Retest    bool    // at least two visits are measured
	Renewing  Renewing
	Goals     []GoalView
}

// Trend is one measure over the visits.
type Trend struct {
	kick.Definition
	Stops []TrendStop  // oldest first; visits without a value are left out
	Goal  *record.Goal // that stands; nil = none
}

// TrendStop is a measure at one visit's like runs.
type TrendStop struct {
	On         record.Date
	Conditions limit.Conditions
	Series     int           // 0 = alike to the newest runs; others count from 1 as they first come
	Runs       int           // averaged
	Mean       kick.Measure  // with its band
	Change     *limit.Change // since the latest earlier visit with like runs; nil = not compared
	Why        []string      // why not
	HeightM    float64       // on that day, 0 = not shown
	PerHeight  float64       // value per body height where HeightM is shown, a length or a speed
	Grown      *limit.Change // the change counted in body heights; nil = not shown
}

// leadMeasures open the swimmer's page, in this order.
var leadMeasures = []string{"speed", "facing", "sweep", "build", "kick_frequency"}

// Trends returns every measure of a swimmer from visit to visit.
func (a *App) Trends(ctx context.Context, swimmerID string) (TrendsView, error) {
	s, err := a.swum(ctx, swimmerID)
	if err != nil {
		return TrendsView{}, err
	}
	view := s.trends()
	view.Renewing, err = a.renewingOf(ctx, swimmerID)
	return view, err
}

func (s swum) trends() TrendsView {
	stops := limit.Season(s.own, s.scatter, func(then, now limit.Stop) string {
		if ids := s.treated(s.days[then.Visit], s.days[now.Visit]); len(ids) == 1 {
			return ids[0]
		}
		return ""
	})
	view := TrendsView{SwimmerID: s.swimmer.ID, Stops: len(stops)}
	visits := map[string]bool{}
	for _, stop := range stops {
		visits[stop.Visit] = true
	}
	view.Retest = len(visits) > 1
	series := seriesOf(stops)
	for _, d := range kick.Definitions() {
		if d.Unit == "" {
			continue
		}
		t := Trend{Definition: d}
		for i, stop := range stops {
			if at, ok := s.trendStop(d.ID, stop); ok {
				at.Series = series[i]
				t.Stops = append(t.Stops, at)
			}
		}
		if len(t.Stops) == 0 {
			continue
		}
		if at := slices.IndexFunc(s.goals, func(g record.Goal) bool { return g.Measure == d.ID && !g.Removed }); at >= 0 {
			t.Goal = &s.goals[at]
		}
		if slices.Contains(leadMeasures, d.ID) {
			view.Lead = append(view.Lead, t)
		} else {
			view.Rest = append(view.Rest, t)
		}
	}
	slices.SortFunc(view.Lead, func(a, b Trend) int {
		return slices.Index(leadMeasures, a.ID) - slices.Index(leadMeasures, b.ID)
	})
	for _, g := range s.goals {
		if !g.Removed {
			view.Goals = append(view.Goals, newGoalView(g, view))
		}
	}
	return view
}

// seriesOf numbers the stops by like conditions.
func seriesOf(stops []limit.Stop) []int {
	var seen []limit.Conditions
	if n := len(stops); n > 0 {
		seen = append(seen, stops[n-1].Runs[0].Conditions)
	}
	numbers := make([]int, len(stops))
	for i, stop := range stops {
		c := stop.Runs[0].Conditions
		at := slices.IndexFunc(seen, c.Like)
		if at < 0 {
			at = len(seen)
			seen = append(seen, c)
		}
		numbers[i] = at
	}
	return numbers
}

func (s swum) trendStop(id string, stop limit.Stop) (TrendStop, bool) {
	day := s.days[stop.Visit]
	at := TrendStop{On: day, Conditions: stop.Runs[0].Conditions, Runs: len(stop.Runs), Mean: limit.Mean(id, stop.Runs), Why: stop.Why}
	if !at.Mean.Known() {
		return at, false
	}
	if i := slices.IndexFunc(stop.Changes, func(c limit.Change) bool { return c.Measure == id }); i >= 0 {
		at.Change = &stop.Changes[i]
	}
	first := s.days[s.own[0].Visit]
	length := at.Mean.Unit == "m" || at.Mean.Unit == "m/s"
	if h := s.heightOn(day); h > 0 && length && s.growing(first, day) {
		at.HeightM, at.PerHeight = h, at.Mean.Value/h
		if at.Change != nil {
			if then := s.heightOn(s.days[stop.SinceVisit]); then > 0 {
				if g, ok := at.Change.PerHeight(h, then); ok {
					at.Grown = &g
				}
			}
		}
	}
	return at, true
}
