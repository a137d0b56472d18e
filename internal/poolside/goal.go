package poolside

import (
	"context"
	"fmt"
	"math"
	"slices"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/record"
	"underkick/internal/report"
)

// GoalsView is the goals of a swimmer.
type GoalsView struct {
	Swimmer record.Swimmer
	Goals   []GoalView        // those that stand, by their day
	Closed  []GoalView        // those that do not, the newest day first
	Choices []kick.Definition // measures that a goal can be of, the leading ones first
	// Cautions stand wherever a goal stands.
	Cautions []string
}

// GoalView is a goal with where the newest visit stands against it.
type GoalView struct {
	record.Goal
	Name     string // of the measure
	Aim      string // "at least 1.50 m/s"
	Overdue  bool   // its day has passed
	Stop     *TrendStop
	Since    bool        // that visit was on or after the day the goal was set
	Reach    limit.Reach // by the band of that visit
	Versions []record.Goal
}

// Goals returns the goals of a swimmer.
func (a *App) Goals(ctx context.Context, swimmerID string) (GoalsView, error) {
	s, err := a.swum(ctx, swimmerID)
	if err != nil {
		return GoalsView{}, fmt.Errorf("list goals: %w", err)
	}
	all := s.trends()
	view := GoalsView{Swimmer: s.swimmer, Goals: all.Goals, Choices: goalMeasures(), Cautions: PracticeCautions()}
	for _, g := range slices.Backward(s.goals) {
		if g.Removed {
			view.Closed = append(view.Closed, newGoalView(g, all))
		}
	}
	for _, list := range [][]GoalView{view.Goals, view.Closed} {
		for i := range list {
			if list[i].Versions, err = a.store.GoalVersions(ctx, list[i].ID); err != nil {
				return view, err
			}
		}
	}
	return view, nil
}

// goalMeasures are the measures with a number, those that the swimmer's page leads with first.
func goalMeasures() []kick.Definition {
	var lead, rest []kick.Definition
	for _, id := range leadMeasures {
		if d, ok := report.Definition(id); ok {
			lead = append(lead, d)
		}
	}
	for _, d := range kick.Definitions() {
		if d.Unit != "" && !slices.Contains(leadMeasures, d.ID) {
			rest = append(rest, d)
		}
	}
	return append(lead, rest...)
}

func newGoalView(g record.Goal, all TrendsView) GoalView {
	d, _ := report.Definition(g.Measure)
	view := GoalView{Goal: g, Name: d.Name, Overdue: g.Overdue(record.Date(today()))}
	view.Aim = string(g.Sense) + " " + view.Number(g.Target)
	if t, ok := all.of(g.Measure); ok {
		view.Stop = &t.Stops[len(t.Stops)-1]
		view.Since = view.Stop.On >= record.DateOf(g.Created)
		view.Reach = limit.Against(view.Stop.Mean, g.Target, g.Sense == record.AtMost)
	}
	return view
}

func (v TrendsView) of(measure string) (Trend, bool) {
	for _, list := range [][]Trend{v.Lead, v.Rest} {
		for _, t := range list {
			if t.ID == measure {
				return t, true
			}
		}
	}
	return Trend{}, false
}

// Number writes a target of the goal's measure with its unit.
func (g GoalView) Number(target float64) string {
	d, _ := report.Definition(g.Measure)
	return report.WithUnit(g.Measure, d.Unit, target)
}

// Words says in sentences where the newest visit stands.
func (g GoalView) Words() []string {
	if g.Stop == nil {
		return []string{"No visit has given this measure yet."}
	}
	m := g.Stop.Mean
	now := fmt.Sprintf("%s on %s", report.Value(m), longDate(g.Stop.On))
	if band := report.Spread(m); band != "" {
		now += ", band " + band
	}
	words := []string{}
	if !g.Since {
		words = append(words, "Not filmed since it was set.")
	}
	switch g.Reach {
	case limit.Reached:
		words = append(words, fmt.Sprintf("Reached: %s. The whole band is %s the goal.", now, g.side()))
		if !g.Since {
			words = append(words, "It was reached before it was set; set it further.")
		}
	case limit.Undecided:
		words = append(words, fmt.Sprintf("Not told apart from the goal: %s. More kicks and more runs of one visit make the band narrower.", now))
	case limit.NotReached:
		words = append(words, fmt.Sprintf("Not reached: %s. %s to go.", now, g.amount(g.Target-m.Value)))
	default:
		words = append(words, fmt.Sprintf("Not judged: %s, without a band.", now))
	}
	return append(words, g.doubts()...)
}

// side says where a band lies that reaches the goal.
func (g GoalView) side() string {
	if g.Sense == record.AtMost {
		return "at or below"
	}
	return "at or above"
}

// amount writes how far it is.
func (g GoalView) amount(x float64) string {
	return report.Distance(g.Measure, g.Stop.Mean.Unit, math.Abs(x))
}

// doubts say what a step to the goal could not show, and what growth adds.
func (g GoalView) doubts() []string {
	var words []string
	c := g.Stop.Change
	if g.Reach == limit.NotReached && c != nil && c.Verdict != limit.Refused && math.Abs(g.Target-g.Stop.Mean.Value) < c.Smallest {
		words = append(words, fmt.Sprintf("A step from there to the goal is less than what shows from one visit to the next, %s.", g.amount(c.Smallest)))
	}
	if g.Stop.HeightM > 0 {
		words = append(words, "The swimmer may be growing: part of a change in lengths and speeds is growth.")
	}
	return words
}

// SetGoal keeps a new goal, or, with its id, changes one that stands; day and target are as
// record.Goal has them. Errors about fields are record.Faults. A goal whose day has passed is
// refused, and so is a second one of a measure.
func (a *App) SetGoal(ctx context.Context, g record.Goal) (record.Goal, error) {
	if g.On.Valid() && g.On < record.Date(today()) {
		return g, record.Faults{{Field: "on", Text: "has passed; write a day to come"}}
	}
	var kept record.Goal
	err := a.store.Together(ctx, func(ctx context.Context) error {
		if g.ID == "" {
			if err := a.oneGoal(ctx, g); err != nil {
				return err
			}
			var err error
			kept, err = a.store.AddGoal(ctx, g)
			return err
		}
		var err error
		kept, err = a.store.ChangeGoal(ctx, g)
		return err
	})
	return kept, err
}

// oneGoal refuses a second goal of a measure that stands.
func (a *App) oneGoal(ctx context.Context, g record.Goal) error {
	had, err := a.store.Goals(ctx, g.SwimmerID)
	if err != nil {
		return err
	}
	if slices.ContainsFunc(had, func(h record.Goal) bool { return h.Measure == g.Measure && h.ID != g.ID && !h.Removed }) {
		return record.Faults{{Field: "measure", Text: "has a goal already; change that one, or close it first"}}
	}
	return nil
}

// Goal returns a goal as it stands.
func (a *App) Goal(ctx context.Context, id string) (record.Goal, error) {
	return a.store.Goal(ctx, id)
}

// CloseGoal takes a goal off the list, reached or given up; GoalAgain brings it back.
func (a *App) CloseGoal(ctx context.Context, id, by string) (record.Goal, error) {
	return a.alterGoal(ctx, id, by, func(g *record.Goal) error {
		g.Removed = true
		return nil
	})
}

// GoalAgain makes an earlier version of a goal stand again: an undo that reaches to the
// first. The version is added anew; none is lost.
func (a *App) GoalAgain(ctx context.Context, id string, seq int64, by string) (record.Goal, error) {
	return a.alterGoal(ctx, id, by, func(g *record.Goal) error {
		versions, err := a.store.GoalVersions(ctx, id)
		if err != nil {
			return err
		}
		at := slices.IndexFunc(versions, func(v record.Goal) bool { return v.Seq == seq })
		if at < 0 {
			return ErrNotFound
		}
		*g = versions[at]
		if g.Removed {
			return nil
		}
		return a.oneGoal(ctx, *g)
	})
}

func (a *App) alterGoal(ctx context.Context, id, by string, alter func(*record.Goal) error) (record.Goal, error) {
	var now record.Goal
	err := a.store.Together(ctx, func(ctx context.Context) error {
		g, err := a.store.Goal(ctx, id)
		if err != nil {
			return err
		}
		if err := alter(&g); err != nil {
			return err
		}
		g.By = by
		now, err = a.store.ChangeGoal(ctx, g)
		return err
	})
	return now, err
}
