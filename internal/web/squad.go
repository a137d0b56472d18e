package web

import (
	"net/http"

	"underkick/internal/poolside"
)

type squadPage struct {
	shell
	poolside.SquadView
}

func (s *server) squad(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.Squad(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "squad", squadPage{s.shell("Squad", "squad"), view})
}
