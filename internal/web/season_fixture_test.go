package web

import (
	"context"
	"fmt"

	"underkick/internal/poolside"
)

func (f *fixture) SquadList(ctx context.Context, q poolside.SquadQuery) (poolside.SquadView, error) {
	if q.Due == "yesterday" {
		return poolside.SquadView{}, fmt.Errorf("%w: choose another", poolside.ErrInput)
	}
	view, err := f.Squad(ctx)
	for i := range view.Squads {
		s := &view.Squads[i]
		s.Of = len(s.Rows)
		view.Names = append(view.Names, poolside.SquadName{ID: s.ID, Name: s.Name})
		if q.Name != "" && len(s.Rows) > 0 {
			s.Rows = s.Rows[:1]
		}
	}
	return view, err
}

func (f *fixture) Trends(_ context.Context, id string) (poolside.TrendsView, error) {
	if id != f.swimmer.ID {
		return poolside.TrendsView{}, poolside.ErrNotFound
	}
	return poolside.TrendsView{SwimmerID: id}, f.fail
}

func (f *fixture) Retest(_ context.Context, id string, q poolside.RetestQuery) (poolside.RetestView, error) {
	switch {
	case id != f.swimmer.ID:
		return poolside.RetestView{}, poolside.ErrNotFound
	case q.Test == "2020-01-01":
		return poolside.RetestView{}, fmt.Errorf("%w: no measured run is of that day", poolside.ErrInput)
	}
	return poolside.RetestView{Swimmer: f.swimmer, Problem: "A retest needs two visits with measured runs. There is none."}, f.fail
}
