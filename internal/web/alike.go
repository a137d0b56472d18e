package web

import (
	"errors"
	"fmt"
	"net/http"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

func (s *server) takePairMark(w http.ResponseWriter, r *http.Request) {
	s.takeBlind(w, r, s.opt.App.PairMark)
}

// alikePage lets two runs of a swimmer be chosen.
type alikePage struct {
	shell
	poolside.AlikeChoices
	Names   map[string]string // of runs by id
	Problem string
}

func (s *server) alike(w http.ResponseWriter, r *http.Request) {
	s.alikeForm(w, r, http.StatusOK, "")
}

func (s *server) alikeForm(w http.ResponseWriter, r *http.Request, status int, problem string) {
	view, err := s.opt.App.AlikeChoices(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := alikePage{AlikeChoices: view, Names: map[string]string{}, Problem: problem}
	for _, c := range view.Runs {
		page.Names[c.Run.ID] = fmt.Sprintf("%s, %s", c.When, c.Clip)
	}
	page.shell = s.shell("Mark two runs of "+view.Swimmer.Name+" alike", "squad")
	s.render(w, r, status, "alike", page)
}

func (s *server) startPair(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	runs := r.PostForm["run"]
	if len(runs) != 2 {
		s.alikeForm(w, r, http.StatusUnprocessableEntity, "Choose two runs.")
		return
	}
	id, err := s.opt.App.StartPair(r.Context(), runs[0], runs[1])
	var faults record.Faults
	if errors.As(err, &faults) || unusable(err) {
		s.alikeForm(w, r, http.StatusUnprocessableEntity, sentence(err.Error()))
		return
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/alike/"+id, http.StatusSeeOther)
}

// pairPage is the page on which two runs are marked together.
type pairPage struct {
	shell
	poolside.PairView
}

func (s *server) pair(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.Pair(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := pairPage{PairView: view}
	page.shell = s.shell("Mark two runs of "+view.Swimmer.Name+" alike", "squad")
	s.render(w, r, http.StatusOK, "pair", page)
}

func (s *server) pairJSON(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.Pair(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, view.Blind)
}

// Part returns the marking part of the page.
func (p pairPage) Part() blindPart {
	return blindPart{Data: "/alike/" + p.ID + "/blind.json", Marks: "/alike/" + p.ID + "/marks", Walk: true, Landmarks: p.Blind.Landmarks}
}
