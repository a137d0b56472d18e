package web

import (
	"net/http"

	"underkick/internal/poolside"
)

// jobPage shows background work; it loads itself again until the work has ended.
type jobPage struct {
	shell
	Job      poolside.JobView
	FilmNote string // why film is slow here
}

// Ended reports whether nothing more will happen.
func (p jobPage) Ended() bool { return p.Job.State != "waiting" && p.Job.State != "running" }

func (s *server) job(w http.ResponseWriter, r *http.Request) {
	job, err := s.opt.App.Job(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := jobPage{Job: job, FilmNote: s.opt.App.FilmNote()}
	title := "Reading the clip"
	switch job.State {
	case "done":
		title = "The clip is read"
	case "failed":
		title = "The clip could not be read"
	case "cancelled":
		title = "Reading was stopped"
	}
	page.shell = s.shell(title, "bring-in")
	s.render(w, r, http.StatusOK, "job", page)
}

func (s *server) cancelJob(w http.ResponseWriter, r *http.Request) {
	id := r.PathValue("id")
	if err := s.opt.App.CancelJob(r.Context(), id); err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/job/"+id, http.StatusSeeOther)
}

func (s *server) readAgain(w http.ResponseWriter, r *http.Request) {
	job, err := s.opt.App.ReadAgain(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/job/"+job, http.StatusSeeOther)
}
