package web

import (
	"net/http"
	"slices"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// sessionPage is who does what at one session, on screen and on paper.
type sessionPage struct {
	shell
	View poolside.SessionView
}

func (s *server) session(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	var swimmers []string
	if q.Has("swimmers") {
		swimmers = slices.DeleteFunc(strings.Split(strings.Join(q["swimmers"], ","), ","), func(id string) bool { return id == "" })
	}
	view, err := s.opt.App.Session(r.Context(), r.PathValue("id"), record.Date(q.Get("on")), swimmers)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "session", sessionPage{s.shell("Session of "+view.Squad.Name, "practice"), view})
}

// retestsPage lists the retests of a squad.
type retestsPage struct {
	shell
	Squad    record.Squad
	Due      []poolside.RetestDue
	Cautions []string
}

func (s *server) retests(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.Session(r.Context(), r.PathValue("id"), "", []string{})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	due, err := s.opt.App.RetestsDue(r.Context(), view.Squad.ID)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "retests", retestsPage{s.shell("Retests of "+view.Squad.Name, "practice"), view.Squad, due, view.Cautions})
}
