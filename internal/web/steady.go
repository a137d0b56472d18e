package web

import (
	"context"
	"net/http"
)

// steadyCases is what the pages need to steady a run.
type steadyCases interface {
	SetSteady(ctx context.Context, runID string, on bool) error
}

// setSteady says that the camera of a run moved or stood still, or stops the work on it, and
// goes back to the page from which that was said.
func (s *server) setSteady(w http.ResponseWriter, r *http.Request) {
	run, err := s.opt.App.Run(r.Context(), r.PathValue("id"))
	if err == nil {
		if job := r.PostFormValue("stop"); job != "" {
			err = s.opt.App.CancelJob(r.Context(), job)
		} else {
			err = s.opt.App.SetSteady(r.Context(), run.ID, r.PostFormValue("on") == "yes")
		}
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	next := "/run/" + run.ID
	if r.PostFormValue("from") != "kick" {
		next += "/mark#steady"
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
}

// SteadyFrom names the page in the form that steadies a run.
func (markPage) SteadyFrom() string { return "mark" }

// SteadyFrom names the page in the form that steadies a run.
func (kickPage) SteadyFrom() string { return "kick" }
