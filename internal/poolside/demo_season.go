package poolside

import (
	"context"
	"fmt"
	"slices"

	"underkick/internal/practice"
	"underkick/internal/record"
)

// demoPractice is what one of the invented swimmers was given: the first drill of a place
// that the rules propose for the finding of a clip.
type demoPractice struct {
	clip     string
	place    record.Place
	from     record.Date
	weeks    int
	retestOn record.Date // "" = after the weeks
	ended    record.Date // "" = goes on
	notes    string
}

// demoPractices are the season of the squad on a day. The one who comes back practised
// between his two visits and goes on by what the retest said; the retest of another is
// due; a third is in the middle of it, by weeks counted from the day.
func demoPractices(day record.Date) []demoPractice {
	const between, back = "2026-08-31", "2026-10-24" // the Monday after the first visit; the second
	return []demoPractice{
		{clip: demoRun, place: record.UnderWater, from: between, weeks: 8, retestOn: back, ended: back, notes: "Lane 2, first thing."},
		{clip: demoRun, place: record.DryLand, from: between, weeks: 8, retestOn: back, ended: back},
		{clip: demoReference, place: record.UnderWater, from: "2026-10-26", weeks: 6},
		{clip: "bram-october", place: record.UnderWater, from: "2026-10-26", weeks: 4, notes: "Before the main set."},
		{clip: "edda-november", place: record.UnderWater, from: demoMonday(day), weeks: 5},
		{clip: "edda-november", place: record.DryLand, from: demoMonday(day), weeks: 5, notes: "At home, after school."},
	}
}

// demoMonday is the Monday two weeks before the week of a day, but not before the first
// Monday after the squad's last visit.
func demoMonday(day record.Date) record.Date {
	return max(practice.MondayOf(day).AddDays(-14), "2026-11-09")
}

// season gives the demo's swimmers what they practise, as a coach would.
func (l *demoLoader) season(ctx context.Context) error {
	for _, p := range demoPractices(record.Date(today())) {
		g, err := l.given(ctx, p)
		if err != nil {
			return fmt.Errorf("give practice for %s: %w", p.clip, err)
		}
		if p.ended == "" || g.Ended != "" {
			continue
		}
		if _, err := l.app.EndGiven(ctx, g.ID, p.ended, g.By); err != nil {
			return fmt.Errorf("end practice for %s: %w", p.clip, err)
		}
	}
	return l.goal(ctx)
}

// goal sets the one who comes back a goal that his last visit did not reach.
func (l *demoLoader) goal(ctx context.Context) error {
	whole, err := l.app.store.RunWhole(ctx, l.runs[demoReference])
	if err != nil {
		return err
	}
	had, err := l.app.store.Goals(ctx, whole.Swimmer.ID)
	if err != nil || len(had) > 0 {
		return err
	}
	_, err = l.app.SetGoal(ctx, record.Goal{
		SwimmerID: whole.Swimmer.ID, Measure: "speed", Sense: record.AtLeast, Target: 1.7, On: record.Date(today()).AddDays(90), Notes: "For the spring meet.", By: l.demo.Clips[0].Run.MarkedBy,
	})
	if err != nil {
		return fmt.Errorf("set the demo's goal: %w", err)
	}
	return nil
}

// given returns a practice of the demo; it is given where it was not yet.
func (l *demoLoader) given(ctx context.Context, p demoPractice) (record.Given, error) {
	run := l.runs[p.clip]
	whole, err := l.app.store.RunWhole(ctx, run)
	if err != nil {
		return record.Given{}, err
	}
	have, err := l.app.store.Given(ctx, whole.Swimmer.ID)
	if err != nil {
		return record.Given{}, err
	}
	if i := slices.IndexFunc(have, func(g record.Given) bool { return g.RunID == run && g.Drill.Place == p.place }); i >= 0 {
		return have[i], nil
	}
	view, err := l.app.PracticeFor(ctx, run, PracticeOptions{DryLand: p.place == record.DryLand})
	if err != nil {
		return record.Given{}, err
	}
	for _, c := range view.Choices {
		if c.Drill.Place != p.place {
			continue
		}
		kept, err := l.app.Give(ctx, Giving{
			RunID: run, Drills: []string{c.Drill.ID}, From: p.from, Weeks: p.weeks, RetestOn: p.retestOn, Notes: p.notes, By: l.demo.Clips[0].Run.MarkedBy,
		})
		if err != nil {
			return record.Given{}, err
		}
		return kept[0], nil
	}
	return record.Given{}, fmt.Errorf("no drill %s is proposed", p.place)
}
