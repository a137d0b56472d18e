package web

import (
	"context"
	"encoding/json"
	"net/http"

	"underkick/internal/camera"
	"underkick/internal/poolside"
)

// lensCases is what the pages need to find the lens of a run.
type lensCases interface {
	TryLens(ctx context.Context, runID string, lines []camera.Line) (poolside.LensView, error)
	SetLens(ctx context.Context, runID string, lines []camera.Line) error
}

// readLines reads the lines of the form; without the field there are none.
func (s *server) readLines(w http.ResponseWriter, r *http.Request) (lines []camera.Line, ok bool) {
	text := r.FormValue("lines_px")
	if text == "" {
		return nil, true
	}
	if err := json.Unmarshal([]byte(text), &lines); err != nil {
		s.problem(w, r, http.StatusBadRequest, "These lines cannot be read", "The lines are no lists of points. Mark them on the picture again.")
		return nil, false
	}
	return lines, true
}

// tryLens says what lens the lines of the form would give.
func (s *server) tryLens(w http.ResponseWriter, r *http.Request) {
	lines, ok := s.readLines(w, r)
	if !ok {
		return
	}
	view, err := s.opt.App.TryLens(r.Context(), r.PathValue("id"), lines)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if view.Problem != "" {
		view.Problem = sentence(view.Problem)
	}
	s.json(w, r, http.StatusOK, view)
}

// setLens keeps the lens that the lines give; without lines it takes the lens away.
func (s *server) setLens(w http.ResponseWriter, r *http.Request) {
	lines, ok := s.readLines(w, r)
	if !ok {
		return
	}
	run, err := s.opt.App.Run(r.Context(), r.PathValue("id"))
	if err == nil {
		err = s.opt.App.SetLens(r.Context(), run.ID, lines)
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/run/"+run.ID+"/mark#lens", http.StatusSeeOther)
}
