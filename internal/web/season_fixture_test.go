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
