package web

import (
	"errors"
	"net/http"

	"underkick/internal/poolside"
)

// erasePage says what erasing a swimmer takes and asks for the name.
type erasePage struct {
	shell
	poolside.EraseView
	Problem string // with what was typed
}

func (s *server) erase(w http.ResponseWriter, r *http.Request) {
	s.eraseForm(w, r, http.StatusOK, "")
}

func (s *server) eraseForm(w http.ResponseWriter, r *http.Request, status int, problem string) {
	view, err := s.opt.App.WhatGoes(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, status, "erase", erasePage{s.shell("Erase "+view.Shown, "squad"), view, problem})
}

func (s *server) startErasing(w http.ResponseWriter, r *http.Request) {
	req := poolside.EraseRequest{SwimmerID: r.PathValue("id"), KeepCopies: r.PostFormValue("copies") == "keep"}
	err := s.opt.App.StartErasing(r.Context(), req, r.PostFormValue("name"))
	switch {
	case err == nil:
		http.Redirect(w, r, "/erasing", http.StatusSeeOther)
	case errors.Is(err, poolside.ErrBusy):
		s.eraseForm(w, r, http.StatusConflict, "Another swimmer is being erased. Wait for it, then erase this one.")
	case errors.Is(err, poolside.ErrInput):
		s.eraseForm(w, r, http.StatusUnprocessableEntity, "That is not the name. Nothing was erased.")
	default:
		s.fail(w, r, err)
	}
}

// erasingPage tells how far an erasure is, and what is left for the coach to deal with.
type erasingPage struct {
	shell
	Job     poolside.BesideView[poolside.Erased]
	DataDir string
}

// Working reports whether the page should load itself again.
func (p erasingPage) Working() bool { return p.Job.State == "working" }

func (s *server) erasing(w http.ResponseWriter, r *http.Request) {
	page := erasingPage{Job: s.opt.App.Erasing()}
	title := map[string]string{"working": "Erasing", "done": "The swimmer is erased", "failed": "Erasing is not finished"}[page.Job.State]
	if title == "" {
		s.fail(w, r, poolside.ErrNotFound)
		return
	}
	view, err := s.opt.App.Keep(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page.shell, page.DataDir = s.shell(title, "keep"), view.DataDir
	s.render(w, r, http.StatusOK, "erasing", page)
}
