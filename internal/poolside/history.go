package poolside

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"time"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/record"
	"underkick/internal/report"
	"underkick/internal/store"
)

// problemOf splits errors: what a coach can mend goes onto the page.
func problemOf(err error) (string, bool) {
	var faults record.Faults
	if errors.Is(err, ErrInput) || errors.As(err, &faults) {
		return err.Error(), true
	}
	return "", false
}

// ownRuns returns the swimmer's measured runs as the finding compares them,
// oldest first.
func (a *App) ownRuns(ctx context.Context, w record.Swimmer) ([]limit.Run, error) {
	visits, err := a.store.Filmed(ctx, w.ID)
	if err != nil {
		return nil, err
	}
	var runs []limit.Run
	for i := len(visits) - 1; i >= 0; i-- { // the store lists the newest visit first
		for _, c := range visits[i].Clips {
			for _, r := range c.Runs {
				if r.Measured == nil {
					continue
				}
				result, err := a.keptResult(ctx, r.Run.ID)
				if err != nil {
					return nil, err
				}
				rc := store.Whole{Visit: visits[i].Visit, Run: r.Run}
				runs = append(runs, limitRun(rc, result))
			}
		}
	}
	return runs, nil
}

// keptResult reads the newest result of a run.
func (a *App) keptResult(ctx context.Context, runID string) (*kick.Result, error) {
	results, err := a.store.Results(ctx, runID)
	if err != nil {
		return nil, err
	}
	if len(results) == 0 {
		return nil, fmt.Errorf("result of run %s: %w", runID, ErrNotFound)
	}
	r, err := report.ReadJSON(bytes.NewReader(results[0].Body))
	if err != nil {
		return nil, fmt.Errorf("result of run %s: %w", runID, err)
	}
	return r, nil
}

// repeats returns the groups of runs that one swimmer of the squad swam on one
// visit under like conditions: they give the squad's typical error.
func (a *App) repeats(ctx context.Context, squadID string) ([][]*kick.Result, error) {
	roster, err := a.store.Roster(ctx, squadID, "speed")
	if err != nil {
		return nil, err
	}
	var groups [][]*kick.Result
	for _, r := range roster {
		if !twiceOnOneDay(r.Measured) {
			continue
		}
		runs, err := a.ownRuns(ctx, r.Swimmer)
		if err != nil {
			return nil, err
		}
		groups = append(groups, alikeRuns(runs)...)
	}
	return groups, nil
}

func twiceOnOneDay(runs []store.Measured) bool {
	seen := map[record.Date]bool{}
	for _, r := range runs {
		if seen[r.On] {
			return true
		}
		seen[r.On] = true
	}
	return false
}

// alikeRuns groups runs of one visit and like conditions, two or more.
func alikeRuns(runs []limit.Run) [][]*kick.Result {
	var groups [][]*kick.Result
	used := make([]bool, len(runs))
	for i, r := range runs {
		if used[i] {
			continue
		}
		group := []*kick.Result{r.Result}
		for j := i + 1; j < len(runs); j++ {
			if !used[j] && runs[j].Visit == r.Visit && len(r.Conditions.Unlike(runs[j].Conditions)) == 0 {
				used[j] = true
				group = append(group, runs[j].Result)
			}
		}
		if len(group) > 1 {
			groups = append(groups, group)
		}
	}
	return groups
}

func personOf(w record.Swimmer) limit.Person {
	return limit.Person{BirthYear: w.BirthYear, Sex: w.Sex.Body(), Level: limit.Level(w.Level)}
}

// yearOf returns the year of a day, 0 when not known.
func yearOf(d record.Date) int {
	if t, err := time.Parse(time.DateOnly, string(d)); err == nil {
		return t.Year()
	}
	return 0
}

// longDate writes a day as a sentence says it: 3 May 2026.
func longDate(d record.Date) string {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return string(d)
	}
	return t.Format("2 January 2006")
}
