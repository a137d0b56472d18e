package poolside

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"underkick/internal/record"
	"underkick/internal/wall"
)

// SquadWalls is the walls page: every squad with every swimmer's newest plan.
type SquadWalls struct {
	Squads []SquadWallSection
}

// SquadWallSection is one squad of the walls page.
type SquadWallSection struct {
	ID, Name string
	Rows     []SquadWallRow
}

// SquadWallRow is one swimmer's plan in the table of the squad; Turn is nil where there is
// none, or none with numbers.
type SquadWallRow struct {
	SwimmerID, Name string
	PlanID, Event   string
	More            int // other plans of the swimmer
	Start, Turn     *wall.Plan
	Total           wall.Totals
	Problem         string
}

// SquadWalls plans the newest plan of every swimmer.
func (a *App) SquadWalls(ctx context.Context) (SquadWalls, error) {
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return SquadWalls{}, err
	}
	var view SquadWalls
	for _, q := range squads {
		section, err := a.squadWallSection(ctx, q)
		if err != nil {
			return SquadWalls{}, fmt.Errorf("plan the walls of squad %s: %w", q.ID, err)
		}
		view.Squads = append(view.Squads, section)
	}
	return view, nil
}

func (a *App) squadWallSection(ctx context.Context, q record.Squad) (SquadWallSection, error) {
	section := SquadWallSection{ID: q.ID, Name: q.Name}
	swimmers, err := a.store.Swimmers(ctx, q.ID)
	if err != nil {
		return section, err
	}
	plans, err := a.store.PlansOfSquad(ctx, q.ID)
	if err != nil {
		return section, err
	}
	newest, count := map[string]record.Plan{}, map[string]int{}
	for _, p := range plans {
		if p.Kind == record.WallPlan && !p.Removed {
			newest[p.SwimmerID] = p
			count[p.SwimmerID]++
		}
	}
	for _, w := range swimmers {
		row := SquadWallRow{SwimmerID: w.ID, Name: w.Name}
		if p, ok := newest[w.ID]; ok {
			row.PlanID, row.Event, row.More = p.ID, p.Name, count[w.ID]-1
		}
		section.Rows = append(section.Rows, row)
	}
	return section, a.fillWallRows(ctx, section.Rows)
}

// fillWallRows plans all rows, as many at a time as there are cores.
func (a *App) fillWallRows(ctx context.Context, rows []SquadWallRow) error {
	errs := make([]error, len(rows))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(len(rows), runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(rows); i = int(next.Add(1)) - 1 {
				if rows[i].PlanID != "" {
					errs[i] = a.fillWallRow(ctx, &rows[i])
				}
			}
		})
	}
	wg.Wait()
	return errors.Join(errs...)
}

func (a *App) fillWallRow(ctx context.Context, row *SquadWallRow) error {
	v, err := a.WallPlan(ctx, row.PlanID)
	if err != nil {
		return err
	}
	if v.Answer == nil {
		row.Problem = v.Problem
		return nil
	}
	row.Event, row.Total = v.Input.Event.String(), v.Answer.Total
	for i, w := range v.Answer.Walls {
		switch {
		case w.Kicks < 0 && row.Problem == "" && len(w.Reasons) > 0:
			row.Problem = w.Reasons[0].Text
		case i == 0 && w.Kicks >= 0:
			row.Start = w.Plan
		case i > 0 && w.Kicks >= 0 && row.Turn == nil:
			row.Turn = w.Plan
		}
	}
	return nil
}
