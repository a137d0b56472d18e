package web

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// seasonCases are the use cases behind the squad table, trends and retests.
type seasonCases interface {
	SquadList(ctx context.Context, q poolside.SquadQuery) (poolside.SquadView, error)
	Trends(ctx context.Context, swimmerID string) (poolside.TrendsView, error)
	Retest(ctx context.Context, swimmerID string, q poolside.RetestQuery) (poolside.RetestView, error)
}

type squadPage struct {
	shell
	poolside.SquadView
	Query    poolside.SquadQuery
	Filtered bool // rows may have been left out
	Shown    int
	Of       int
	Problem  string // why the query was not followed
}

// Limiters lists what a finding may name.
func (squadPage) Limiters() []string { return poolside.Limiters() }

// Dues lists what may be due, with words.
func (squadPage) Dues() [][2]string { return poolside.Dues() }

// Sorts lists the orders, with words.
func (squadPage) Sorts() [][2]string { return poolside.Sorts() }

func (s *server) squad(w http.ResponseWriter, r *http.Request) {
	asked := r.URL.Query()
	page := squadPage{shell: s.shell("Squad", "squad"), Query: poolside.SquadQuery{
		Squad: asked.Get("squad"), Name: strings.TrimSpace(asked.Get("name")), Limiter: asked.Get("limiter"), Due: asked.Get("due"),
		Level: record.Level(asked.Get("level")), Sort: asked.Get("sort"),
	}}
	q := page.Query
	q.Sort = ""
	page.Filtered = q != poolside.SquadQuery{}
	view, err := s.opt.App.SquadList(r.Context(), page.Query)
	status := http.StatusOK
	if errors.Is(err, poolside.ErrInput) {
		page.Problem, status, err = err.Error(), http.StatusBadRequest, nil
		view, err = s.opt.App.SquadList(r.Context(), poolside.SquadQuery{})
		page.Query, page.Filtered = poolside.SquadQuery{}, false
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page.SquadView = view
	for _, section := range view.Squads {
		page.Shown, page.Of = page.Shown+len(section.Rows), page.Of+section.Of
	}
	s.render(w, r, status, "squad", page)
}
