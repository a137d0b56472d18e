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
	return section, a.fillWallRows(ctx, section.Rows, newest, swimmers)
}

// fillWallRows plans all rows, as many at a time as there are cores.
func (a *App) fillWallRows(ctx context.Context, rows []SquadWallRow, plans map[string]record.Plan, swimmers []record.Swimmer) error {
	errs := make([]error, len(rows))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(len(rows), runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(rows); i = int(next.Add(1)) - 1 {
				if rows[i].PlanID != "" {
					errs[i] = a.fillWallRow(ctx, &rows[i], plans[rows[i].SwimmerID], swimmers[i])
				}
			}
		})
	}
	wg.Wait()
	return errors.Join(errs...)
}

func (a *App) fillWallRow(ctx context.Context, row *SquadWallRow, p record.Plan, w record.Swimmer) error {
	var in WallInput
	if err := decodeStrict(p.Body, &in); err != nil {
		return fmt.Errorf("read plan %s: %w", p.ID, err)
	}
	who, err := a.wallSwimmer(ctx, w)
	if err != nil {
		return err
	}
	in.Worth = 0 // not in the table
	answer, err := planWalls(ctx, in, who, true)
	var faults record.Faults
	if errors.As(err, &faults) {
		row.Problem = err.Error()
		return nil
	}
	if err != nil {
		return err
	}
	row.Event, row.Total = in.Event.String(), answer.Total
	for i, l := range answer.Walls {
		switch {
		case l.Kicks < 0:
		case i == 0:
			row.Start = l.Plan
		case row.Turn == nil:
			row.Turn = l.Plan
		}
	}
	if answer.Total.Planned == 0 {
		row.Problem = answer.Walls[0].Why()
	}
	return nil
}
