package poolside

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"underkick/internal/practice"
	"underkick/internal/record"
)

// SessionView is who practises what at one session at the pool.
type SessionView struct {
	Squad     record.Squad
	On        record.Date
	Swimmers  []SessionSwimmer // all of the squad, to choose from
	Stations  []SessionStation
	Equipment []practice.Kit
	Idle      []string // who was chosen and practises nothing on the day
	Retests   []RetestDue
	Cautions  []string
}

// SessionSwimmer is a swimmer of the squad.
type SessionSwimmer struct {
	ID, Name string // as it is shown now
	Chosen   bool
	Stations []int // numbers of the stations, from 1
}

// SessionStation is a drill with who does it.
type SessionStation struct {
	Number int // from 1
	Drill  record.Drill
	Rows   []SessionRow
}

// SessionRow is swimmers who do the same amount of a station's drill.
type SessionRow struct {
	Names []string
	Dose  string   // of this session, as it is in that week
	Words string   // what is different in that week, "" = nothing
	Notes []string // of single swimmers, "Name: text"
}

// Session lays out a session of a squad on a day ("" = today): what the chosen
// swimmers (nil = all) practise then, grouped by drill.
func (a *App) Session(ctx context.Context, squadID string, on record.Date, swimmers []string) (SessionView, error) {
	if on == "" {
		on = record.Date(today())
	}
	if !on.Valid() {
		return SessionView{}, inputf("%q is no day; write it as YYYY-MM-DD", string(on))
	}
	squad, err := a.store.Squad(ctx, squadID)
	if err != nil {
		return SessionView{}, err
	}
	view := SessionView{Squad: squad, On: on, Cautions: PracticeCautions()}
	all, err := a.store.Swimmers(ctx, squadID)
	if err != nil {
		return view, err
	}
	given, err := a.store.GivenNow(ctx, squadID)
	if err != nil {
		return view, err
	}
	var chosen []record.Given
	names := map[string]string{}
	for _, w := range all {
		s := SessionSwimmer{ID: w.ID, Name: a.ShownName(ctx, w), Chosen: swimmers == nil || slices.Contains(swimmers, w.ID)}
		names[w.ID] = s.Name
		if s.Chosen {
			chosen = append(chosen, given[w.ID]...)
		}
		view.Swimmers = append(view.Swimmers, s)
	}
	for _, id := range swimmers {
		if names[id] == "" {
			return view, fmt.Errorf("swimmer %s of squad %s: %w", id, squadID, ErrNotFound)
		}
	}
	view.fill(practice.Stations(chosen, on), names)
	if swimmers != nil && len(swimmers) == 0 {
		return view, nil // nobody comes
	}
	if view.Retests, err = a.RetestsDue(ctx, squadID); err != nil {
		return view, err
	}
	view.Retests = slices.DeleteFunc(view.Retests, func(d RetestDue) bool {
		return d.On > on || !slices.ContainsFunc(view.Swimmers, func(s SessionSwimmer) bool { return s.ID == d.SwimmerID && s.Chosen })
	})
	return view, nil
}

// fill writes stations, and at which of them each swimmer is.
func (v *SessionView) fill(stations []practice.Station, names map[string]string) {
	v.Equipment = practice.Equipment(stations)
	at := map[string][]int{}
	for i, s := range stations {
		station := SessionStation{Number: i + 1, Drill: s.Drill}
		for _, g := range s.Given {
			at[g.SwimmerID] = append(at[g.SwimmerID], i+1)
			station.add(names[g.SwimmerID], g, v.On)
		}
		v.Stations = append(v.Stations, station)
	}
	for i := range v.Swimmers {
		s := &v.Swimmers[i]
		s.Stations = at[s.ID]
		if s.Chosen && len(s.Stations) == 0 {
			v.Idle = append(v.Idle, s.Name)
		}
	}
}

func (s *SessionStation) add(name string, g record.Given, on record.Date) {
	amount, words := practice.OnDay(g, on)
	dose := amount.Session()
	at := slices.IndexFunc(s.Rows, func(r SessionRow) bool { return r.Dose == dose && r.Words == words })
	if at < 0 {
		at = len(s.Rows)
		s.Rows = append(s.Rows, SessionRow{Dose: dose, Words: words})
	}
	row := &s.Rows[at]
	row.Names = append(row.Names, name)
	if notes := strings.TrimSpace(g.Notes); notes != "" {
		row.Notes = append(row.Notes, name+": "+notes)
	}
}
