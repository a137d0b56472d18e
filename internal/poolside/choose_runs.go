package poolside

import (
	"context"
	"errors"
	"slices"

	"underkick/internal/limit"
	"underkick/internal/record"
	"underkick/internal/store"
)

// mostListed is up to how many measured runs of a squad a list to choose from holds them
// all. Beyond that nobody finds one, and the page takes long.
const mostListed = 600

// fewestNewest is how many of a swimmer's newest runs such a list holds at least: whole
// days, until there are so many.
const fewestNewest = 3

// lineRun is a measured run as lists to choose from name it.
type lineRun struct {
	ID    string      `json:"id"`
	On    record.Date `json:"on"`
	Word  string      `json:"word,omitempty"`
	Speed *linePoint  `json:"speed,omitempty"`
}

// newestOf are the runs of a swimmer's newest days, oldest first.
func newestOf(briefs []store.Brief, own []limit.Run) []lineRun {
	var list []lineRun
	for i, b := range slices.Backward(briefs) {
		if len(list) >= fewestNewest && list[len(list)-1].On != b.Visit.On {
			break
		}
		list = append(list, lineRun{ID: b.Run.ID, On: b.Visit.On, Word: b.Word, Speed: pointOf("speed", b.Visit.On, own[i:i+1])})
	}
	slices.Reverse(list)
	return list
}

// measured is the run as the store's lists have it, with its speed.
func (r lineRun) measured(swimmerID string) store.Measured {
	m := store.Measured{RunID: r.ID, SwimmerID: swimmerID, On: r.On, Word: r.Word}
	if s := r.Speed; s != nil {
		m.Values = []record.Value{{
			Measure: "speed", Unit: "m/s", Value: float64(s.Value), SD: float64(s.SD), Low: float64(s.Low), High: float64(s.High), N: s.N,
		}}
	}
	return m
}

// runsToChoose returns the swimmers of a squad by name with their measured runs, oldest
// first, and the speed of each. In a large squad these are the newest runs of each swimmer,
// and cut is true; all are listed of the swimmers whose, and of those whose runs are among
// whose.
func (a *App) runsToChoose(ctx context.Context, squadID string, whose []string) (rows []store.RosterRow, cut bool, err error) {
	swimmers, lines, err := a.season(ctx, squadID)
	if err != nil {
		return nil, false, err
	}
	total := 0
	for _, l := range lines {
		total += l.Measured
	}
	if total <= mostListed {
		rows, err = a.store.Roster(ctx, squadID, "speed")
		return rows, false, err
	}
	whole := map[string]bool{}
	for _, id := range whose {
		whole[id] = true
		r, err := a.store.Run(ctx, id)
		if err != nil && !errors.Is(err, ErrNotFound) {
			return nil, false, err
		}
		whole[r.SwimmerID] = true
	}
	for i, w := range swimmers {
		row := store.RosterRow{Swimmer: w, LastVisit: lines[i].LastVisit}
		if whole[w.ID] {
			if row.Measured, err = a.store.Measured(ctx, w.ID, "speed"); err != nil {
				return nil, false, err
			}
		} else {
			for _, r := range lines[i].Newest {
				row.Measured = append(row.Measured, r.measured(w.ID))
			}
			cut = cut || len(lines[i].Newest) < lines[i].Measured
		}
		rows = append(rows, row)
	}
	return rows, cut, nil
}
