package web

import (
	"net/http"

	"underkick/internal/poolside"
)

// guessJSON tells the marking page how the guess of a run stands.
func (s *server) guessJSON(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.Guess(r.Context(), r.PathValue("id"))
	s.answerGuess(w, r, view, err)
}

func (s *server) answerGuess(w http.ResponseWriter, r *http.Request, view poolside.GuessView, err error) {
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, view)
}

// startGuess starts it where the page's JSON points.
func (s *server) startGuess(w http.ResponseWriter, r *http.Request) {
	var start poolside.GuessStart
	if !s.readJSON(w, r, &start, "This start cannot be read", "The guess starts from a finger tip and a toe as JSON of the expected shape. Load the page again.") {
		return
	}
	view, err := s.opt.App.StartGuess(r.Context(), r.PathValue("id"), start)
	s.answerGuess(w, r, view, err)
}

// goOnGuess takes it up again where it was started last.
func (s *server) goOnGuess(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.GuessOn(r.Context(), r.PathValue("id"))
	s.answerGuess(w, r, view, err)
}

func (s *server) stopGuess(w http.ResponseWriter, r *http.Request) {
	id := r.PathValue("id")
	if err := s.opt.App.CancelGuess(r.Context(), id); err != nil {
		s.fail(w, r, err)
		return
	}
	view, err := s.opt.App.Guess(r.Context(), id)
	s.answerGuess(w, r, view, err)
}

// switchGuess is a form: the guess on or off for all runs.
func (s *server) switchGuess(w http.ResponseWriter, r *http.Request) {
	run, err := s.opt.App.Run(r.Context(), r.PathValue("id")) // so that only our own ids go into the address
	if err == nil {
		err = s.opt.App.SetGuessing(r.Context(), r.PostFormValue("on") == "yes")
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/run/"+run.ID+"/mark", http.StatusSeeOther)
}
