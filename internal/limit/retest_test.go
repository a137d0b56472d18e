package limit

import (
	"slices"
	"strings"
	"testing"

	"underkick/internal/kick"
	"underkick/internal/limit/worth"
)

// faster is a run whose speed is changed.
func faster(id, visit string, speed float64) Run {
	return run(id, visit, visit, result(map[string]float64{"speed": speed}))
}

func TestCompareVisitsTakesMostLikeRuns(t *testing.T) {
	easy := func(r Run) Run {
		r.Conditions.Effort = "easy"
		return r
	}
	test := []Run{faster("a", "v1", 1.4), easy(faster("b", "v1", 1.2)), easy(faster("c", "v1", 1.2))}
	retest := []Run{easy(faster("d", "v2", 1.2)), faster("e", "v2", 1.4), faster("f", "v2", 1.4)}
	r := CompareVisits(test, retest, nil, []string{"facing"})
	ids := func(runs []Run) (list []string) {
		for _, r := range runs {
			list = append(list, r.ID)
		}
		return list
	}
	// Two against one either way: the first pair found stands.
	if got := append(ids(r.Test), ids(r.Retest)...); !slices.Equal(got, []string{"a", "e", "f"}) {
		t.Errorf("runs %v", got)
	}
	if len(r.Refused) > 0 || !slices.Equal(r.Primary, []string{"speed", "facing"}) {
		t.Errorf("refused %v, primary %v", r.Refused, r.Primary)
	}
	for _, c := range r.Changes {
		if c.Exploratory == slices.Contains(r.Primary, c.Measure) {
			t.Errorf("%s: exploratory %v", c.Measure, c.Exploratory)
		}
		if c.RunsNow != 2 || c.Runs != 1 {
			t.Errorf("%s: %d and %d runs", c.Measure, c.Runs, c.RunsNow)
		}
	}
	if two := CompareVisits(test, retest, nil, []string{"facing", "build"}); !slices.Equal(two.Primary, []string{"speed"}) {
		t.Errorf("two qualities practised: primary %v", two.Primary)
	}
}

func TestCompareVisitsRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		spoil func(*Run)
		why   string
		next  string
	}{
		"effort":    {func(r *Run) { r.Conditions.Effort = "easy" }, "The effort differs: easy now, max then.", "Film again with the effort of the test: max."},
		"equipment": {func(r *Run) { r.Conditions.Equipment = "fins" }, "The equipment differs: fins now, none then.", "Film again with the equipment of the test: none."},
		"start":     {func(r *Run) { r.Conditions.Start = "dive" }, "The start differs", "Film again with the start of the test: still."},
		"position":  {func(r *Run) { r.Conditions.Position = "supine" }, "The position differs", "Film again with the position of the test: prone."},
		"unstated":  {func(r *Run) { r.Conditions.Start = "" }, "State the start of both runs.", "State the start on the page of each run: the retest has none, the test says still."},
		"method":    {func(r *Run) { r.Result.Method = "kick/9" }, "measured by other definitions", "that measures them again"},
		"few kicks": {func(r *Run) { r.Result.Verdicts = false }, "No run of the retest is measured with three whole, steady kicks.", "six to ten kicks"},
	} {
		now := faster("b", "v2", 1.4)
		c.spoil(&now)
		r := CompareVisits([]Run{faster("a", "v1", 1.4)}, []Run{now}, nil, nil)
		if len(r.Changes) > 0 || !strings.Contains(strings.Join(r.Refused, "\n"), c.why) {
			t.Errorf("%s: %d changes, refused %q", name, len(r.Changes), r.Refused)
		}
		if next := strings.Join(r.Next(Between{}), "\n"); !strings.Contains(next, c.next) {
			t.Errorf("%s: next %q, want %q", name, next, c.next)
		}
	}
}

func TestWhatToDoNext(t *testing.T) {
	// The squad's own error of 2 % lets 10 % more of facing and speed show.
	scatter := Scatters{}
	for id, v := range usual {
		scatter[id] = Scatter{Squares: 20 * 0.02 * v * 0.02 * v, DF: 20}
	}
	clean := func(values map[string]float64) *kick.Result {
		r := result(values)
		for i := range r.Summary {
			if m := &r.Summary[i]; m.Text == "" {
				exact(m, m.Value, m.SD)
			}
		}
		return r
	}
	was := run("a", "v1", "3 May", clean(nil))
	now := run("b", "v2", "9 June", clean(map[string]float64{"facing": 0.30, "speed": 1.41}))
	r := CompareVisits([]Run{was}, []Run{now}, scatter, []string{"facing"})
	promised := func(x float64) Promise {
		return Promise{Band: worth.Band{Value: x, Low: x - 0.02, High: x + 0.02}, EqualEffort: 0.02}
	}
	for name, c := range map[string]struct {
		between Between
		want    []string
	}{
		"moved":   {Between{Practised: []string{"facing"}, LimiterThen: "facing", LimiterNow: "build"}, []string{"Facing changed: it is higher by 5 points.", "The limiter is now build. Practise build next"}},
		"same":    {Between{Practised: []string{"facing"}, LimiterThen: "facing", LimiterNow: "facing"}, []string{"The limiter is still facing. Go on with it"}},
		"none":    {Between{Practised: []string{"facing"}, LimiterThen: "facing"}, []string{"names no limiter now"}},
		"nothing": {Between{}, []string{"No practice of a quality that is measured was noted", "Speed: no change shown."}},
		"other":   {Between{Practised: []string{"build"}}, []string{"Build: no change shown. That does not say that nothing changed"}},
		// TE 0.028 m/s: (t + t80) sqrt(2/n) 0.028 is 0.117 for one run, 0.048 for six.
		"promise":  {Between{Promised: promised(0.06)}, []string{"The model expected about 0.06 m/s (0.04 m/s to 0.08 m/s) of the limiter, about +0.02 m/s of it at the same effort.", "film 4 like runs"}},
		"enough":   {Between{Promised: promised(0.2)}, []string{"As many runs as these show such a change"}},
		"hopeless": {Between{Promised: promised(0.01)}, []string{"More than 8 runs on each visit would be needed"}},
	} {
		next := strings.Join(r.Next(c.between), "\n")
		for _, want := range c.want {
			if !strings.Contains(next, want) {
				t.Errorf("%s: %q lacks %q", name, next, want)
			}
		}
	}
	// Streamline is judged by speed, which is told once.
	if next := r.Next(Between{Practised: []string{"streamline"}}); len(next) != 1 {
		t.Errorf("streamline: %q", next)
	}
}

func TestSeasonComparesLikeWithLike(t *testing.T) {
	easy := faster("b", "v2", 1.2)
	easy.Conditions.Effort = "easy"
	own := []Run{faster("a", "v1", 1.4), easy, faster("c", "v3", 1.4), faster("d", "v3", 1.42)}
	var asked []string
	stops := Season(own, nil, func(then, now Stop) string {
		asked = append(asked, then.Visit+" "+now.Visit)
		return "build"
	})
	if len(stops) != 3 || !slices.Equal(asked, []string{"v1 v3"}) {
		t.Fatalf("%d stops, practice asked for %v", len(stops), asked)
	}
	if len(stops[0].Changes) > 0 || !strings.Contains(strings.Join(stops[0].Why, ""), "No earlier visit") {
		t.Errorf("first stop: %v", stops[0].Why)
	}
	if len(stops[1].Changes) > 0 || !strings.Contains(strings.Join(stops[1].Why, ""), "The effort differs") {
		t.Errorf("another effort: %v", stops[1].Why)
	}
	last := stops[2]
	if last.SinceVisit != "v1" || len(last.Runs) != 2 || len(last.Changes) != len(numbers) {
		t.Errorf("since %s, %d runs, %d changes", last.SinceVisit, len(last.Runs), len(last.Changes))
	}
	for _, c := range last.Changes {
		if primary := c.Measure == "speed" || c.Measure == "build"; c.Exploratory == primary {
			t.Errorf("%s: exploratory %v", c.Measure, c.Exploratory)
		}
	}
}

func TestScatterLeavesOut(t *testing.T) {
	pair := func(spoil func(*Run)) []Run {
		a, b := faster("a", "v", 1.4), faster("b", "v", 1.5)
		spoil(&b)
		return []Run{a, b}
	}
	if s := ScatterOf(pair(func(*Run) {})); s["speed"].DF != 1 || s["facing"].DF != 1 {
		t.Errorf("like runs: %+v", s["speed"])
	}
	for name, spoil := range map[string]func(*Run){
		"another visit":  func(r *Run) { r.Visit = "w" },
		"another effort": func(r *Run) { r.Conditions.Effort = "easy" },
		"few kicks":      func(r *Run) { r.Result.Verdicts = false },
		"another method": func(r *Run) { r.Result.Method = "kick/0" },
	} {
		if s := ScatterOf(pair(spoil)); len(s) > 0 {
			t.Errorf("%s: %+v", name, s)
		}
	}
	unstated := pair(func(*Run) {})
	for i := range unstated {
		unstated[i].Conditions.Start = ""
	}
	if s := ScatterOf(unstated); len(s) > 0 {
		t.Errorf("unstated: %+v", s)
	}
	if s := ScatterOf(pair(func(r *Run) { r.Conditions.MarkedBy = "Other" })); s["speed"].DF != 1 || s["facing"].DF != 0 {
		t.Errorf("another marker: %+v", s)
	}
	blurred := pair(func(r *Run) {
		set(r.Result, "build", func(m *kick.Measure) { m.Reasons = []kick.Reason{{Code: "toe-blur", Text: "Blurred."}} })
	})
	if s := ScatterOf(blurred); s["build"].DF != 0 || s["sweep"].DF != 1 {
		t.Errorf("a measure with something against it: %+v", s["build"])
	}
}
