package web

import (
	"context"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

func init() { scenarios = append(scenarios, goalScenarios...) }

// goalFixture answers the use cases on goals.
type goalFixture struct {
	goals []record.Goal
}

func (f *fixture) Goals(_ context.Context, id string) (poolside.GoalsView, error) {
	if id != f.swimmer.ID {
		return poolside.GoalsView{}, poolside.ErrNotFound
	}
	view := poolside.GoalsView{Swimmer: f.swimmer, Choices: []kick.Definition{{ID: "speed", Name: "Speed", Unit: "m/s"}, {ID: "facing", Name: "Facing", Unit: "1"}}, Cautions: poolside.PracticeCautions()}
	for _, g := range f.aims.goals {
		one := poolside.GoalView{Goal: g, Name: "Speed", Aim: "at least 1.50 m/s", Versions: []record.Goal{g}}
		if g.Removed {
			view.Closed = append(view.Closed, one)
		} else {
			view.Goals = append(view.Goals, one)
		}
	}
	return view, f.fail
}

func (f *fixture) Goal(_ context.Context, id string) (record.Goal, error) {
	for _, g := range f.aims.goals {
		if g.ID == id {
			return g, nil
		}
	}
	return record.Goal{}, poolside.ErrNotFound
}

func (f *fixture) SetGoal(_ context.Context, g record.Goal) (record.Goal, error) {
	if err := g.Validate(); err != nil {
		return g, err
	}
	f.aims.goals = append(f.aims.goals, g)
	return g, nil
}

func (f *fixture) CloseGoal(ctx context.Context, id, _ string) (record.Goal, error) {
	g, err := f.Goal(ctx, id)
	f.aims.goals[0].Removed = err == nil
	return g, err
}

func (f *fixture) GoalAgain(ctx context.Context, id string, _ int64, _ string) (record.Goal, error) {
	return f.Goal(ctx, id)
}

func aGoal(f *fixture) {
	f.aims.goals = []record.Goal{{
		ID: "g1", SwimmerID: "w1", Measure: "facing", Sense: record.AtLeast, Target: 0.25, On: "2026-12-24", Notes: "for <the> meet", Seq: 1, Created: time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC),
	}}
}

var goalScenarios = []scenario{
	{name: "goals, none yet", path: "/swimmer/w1/goals?measure=speed", status: 200, must: []string{"No goal is set", `value="speed" selected`, "Facing, %", "hyperventilat"}, mustNot: []string{"NaN", "<no value>"}},
	{name: "a goal", path: "/swimmer/w1/goals", prepared: aGoal, status: 200, must: []string{"No visit has given this measure yet", "for &lt;the&gt; meet", `value="25"`, "24 December 2026"}, mustNot: []string{"<the>", "0.25"}},
	{name: "goals of nobody", path: "/swimmer/nobody/goals", status: 404},
	{name: "goal set", method: "POST", path: "/swimmer/w1/goals", form: url.Values{"measure": {"facing"}, "sense": {"at least"}, "target": {"22,5"}, "on": {"2026-12-24"}, "by": {" Ann "}}, status: 303, location: "/swimmer/w1/goals", afterwards: func(t *testing.T, f *fixture) {
		if len(f.aims.goals) != 1 || f.aims.goals[0].Target != 0.225 || f.aims.goals[0].By != "Ann" || f.aims.goals[0].SwimmerID != "w1" {
			t.Errorf("%+v", f.aims.goals)
		}
	}},
	{name: "goal that is no number", method: "POST", path: "/swimmer/w1/goals", form: url.Values{"measure": {"speed"}, "sense": {"at least"}, "target": {"fast"}, "on": {"2026-12-24"}}, status: 422, must: []string{"is no number", `value="fast"`, "2026-12-24"}},
	{name: "goal without a day", method: "POST", path: "/swimmer/w1/goals", form: url.Values{"measure": {"speed"}, "sense": {"at least"}, "target": {"1.5"}}, status: 422, must: []string{`aria-describedby="wrong-on"`}},
	{name: "goal changed", method: "POST", path: "/swimmer/w1/goals/g1", prepared: aGoal, form: url.Values{"measure": {"speed"}, "sense": {"at most"}, "target": {"30"}, "on": {"2026-12-24"}}, status: 303, location: "/swimmer/w1/goals", afterwards: func(t *testing.T, f *fixture) {
		if g := f.aims.goals[1]; g.ID != "g1" || g.Measure != "facing" || g.Target != 0.3 || g.Sense != record.AtMost {
			t.Errorf("%+v", g)
		}
	}},
	{name: "goal changed wrongly", method: "POST", path: "/swimmer/w1/goals/g1", prepared: aGoal, form: url.Values{"sense": {"about"}, "target": {"30"}, "on": {"2026-12-24"}}, status: 422, must: []string{"say at least or at most", "<details class=\"screen-only\" open>"}},
	{name: "goal of another swimmer changed", method: "POST", path: "/swimmer/w2/goals/g1", prepared: aGoal, status: 404},
	{name: "goal closed", method: "POST", path: "/swimmer/w1/goals/g1/close", prepared: aGoal, status: 303, location: "/swimmer/w1/goals", afterwards: func(t *testing.T, f *fixture) {
		if !f.aims.goals[0].Removed {
			t.Error("it stands")
		}
	}},
	{name: "goal back", method: "POST", path: "/swimmer/w1/goals/g1/again", prepared: aGoal, form: url.Values{"seq": {"one"}}, status: 404},
}

// TestGoalsInABrowser sets a goal by keys, sees it on the swimmer's page, in the curve and
// in the squad, closes it and brings it back.
func TestGoalsInABrowser(t *testing.T) {
	srv := serveSeason(t, smallSeason)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(390, 844))
	b.open(t, seasonSwimmer+"/goals")
	b.do(t, chromedp.SetValue("#measure", "speed"), chromedp.SendKeys("#target-", "9.5"), chromedp.SetValue("#goal-on-", time.Now().AddDate(0, 2, 0).Format(time.DateOnly)), chromedp.SendKeys("#by-", "Coach\r"))
	b.wait(t, `document.querySelector("article.definition")`)
	if w := value[int](t, b, "document.documentElement.scrollWidth"); w > 390 {
		t.Errorf("the goals are %d px wide on a phone of 390", w)
	}
	b.shot(t, "goals-phone")
	words := value[string](t, b, `document.querySelector("article.definition").innerText`)
	for _, want := range []string{"at least 9.50", "Not filmed since it was set.", "Not reached: ", "to go."} {
		if !strings.Contains(words, want) {
			t.Errorf("the goal says %q, without %q", words, want)
		}
	}
	b.open(t, seasonSwimmer)
	if n := value[int](t, b, `document.querySelectorAll("#trend-speed .line.goal").length`); n != 2 { // wide and narrow
		t.Errorf("%d lines of the goal", n)
	}
	if title := value[string](t, b, `document.querySelector("#trend-speed svg").getAttribute("aria-label")`); !strings.Contains(title, "the dashed line is the goal, at least 9.50") {
		t.Errorf("the curve is called %q", title)
	}
	b.open(t, "/?name=bram")
	if words := value[string](t, b, `document.querySelector("table.squad").innerText`); !strings.Contains(words, "goal by ") {
		t.Errorf("the squad says %q", words)
	}
	b.open(t, seasonSwimmer+"/goals")
	b.do(t, chromedp.Click("article summary"), chromedp.Click(`form[action$="/close"] button`))
	b.wait(t, `document.querySelector("#closed")`)
	b.do(t, chromedp.Click("#closed ~ ul summary"), chromedp.Click(`form[action$="/again"] button`))
	b.wait(t, `document.querySelector("article.definition")`)
	b.check(t)
}

// The words of goals over what visits can say.
func TestGoalWords(t *testing.T) {
	stop := func(low, high float64) *poolside.TrendStop {
		return &poolside.TrendStop{On: "2026-05-03", Mean: kick.Measure{ID: "speed", Unit: "m/s", Value: (low + high) / 2, Low: low, High: high, N: 6}}
	}
	for name, c := range map[string]struct {
		reach limit.Reach
		stop  *poolside.TrendStop
		since bool
		must  string
	}{
		"reached":       {limit.Reached, stop(1.5, 1.6), true, "The whole band is at or above the goal."},
		"reached early": {limit.Reached, stop(1.5, 1.6), false, "set it further"},
		"undecided":     {limit.Undecided, stop(1.4, 1.6), true, "Not told apart from the goal"},
		"short":         {limit.NotReached, stop(1.2, 1.3), true, "0.25\u00a0m/s to go"},
		"no visit":      {limit.Unmeasured, nil, false, "No visit has given this measure yet."},
	} {
		g := poolside.GoalView{Goal: record.Goal{Measure: "speed", Sense: record.AtLeast, Target: 1.5}, Stop: c.stop, Since: c.since, Reach: c.reach}
		if words := strings.Join(g.Words(), " "); !strings.Contains(words, c.must) {
			t.Errorf("%s: %q", name, words)
		}
	}
}
