package poolside

import (
	"context"
	"fmt"
	"strings"

	"underkick/internal/limit"
	"underkick/internal/report"
	"underkick/internal/store"
)

// SetReference names the run that a run is held against, "" = none.
func (a *App) SetReference(ctx context.Context, runID, againstID string) error {
	if againstID == "" {
		return a.store.SetReference(ctx, runID, "")
	}
	now, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return err
	}
	own, err := a.ownRuns(ctx, now.Swimmer)
	if err != nil {
		return err
	}
	for _, c := range referenceChoices(now, nil, own) {
		if c.ID == againstID && len(c.Why) > 0 {
			return inputf("the run of %s cannot be the reference: %s", c.When, strings.Join(c.Why, " "))
		}
	}
	return a.store.SetReference(ctx, runID, againstID)
}

// referenceChoices lists the swimmer's other measured runs, newest first, with what keeps
// each from being the reference.
func referenceChoices(rc store.Whole, chosen *RunName, own []limit.Run) []ReferenceChoice {
	var list []ReferenceChoice
	now := limitRun(rc, nil).Conditions
	for i := len(own) - 1; i >= 0; i-- {
		r := own[i]
		if r.ID == rc.Run.ID {
			continue
		}
		c := ReferenceChoice{RunName: RunName{ID: r.ID, When: r.When}, Chosen: chosen != nil && chosen.ID == r.ID}
		if speed, ok := r.Result.Measure("speed"); ok {
			c.Speed = report.Value(speed)
		}
		c.Why, c.Warn = now.Differs(r.Conditions), now.Unstated(r.Conditions)
		if n := r.Result.Counted; n < 4 || !r.Result.Steady {
			c.Why = append(c.Why, fmt.Sprintf("It has %d steady kicks; a reference needs four.", steadyKicks(n, r.Result.Steady)))
		}
		list = append(list, c)
	}
	return list
}

func steadyKicks(n int, steady bool) int {
	if !steady {
		return 0
	}
	return n
}
