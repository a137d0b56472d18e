package web

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"

	"underkick/internal/poolside"
)

// takeMarksFile brings the marks of a file into a run: the file itself, and for
// keypoints of another list the file that maps their names.
func (s *server) takeMarksFile(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseMultipartForm(formBytes); err != nil {
		s.fail(w, r, fmt.Errorf("%w: the form arrived incomplete; choose the file again", errors.Join(err, poolside.ErrInput)))
		return
	}
	run, err := s.opt.App.Run(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	file, _, err := r.FormFile("marks")
	if err != nil {
		s.marksFileRefused(w, r, "No file came in. Choose a file with landmarks and send it again.")
		return
	}
	var mapping io.Reader
	if m, _, err := r.FormFile("mapping"); err == nil {
		mapping = m
	}
	notes, err := s.opt.App.ImportMarks(r.Context(), run.ID, run.MarkedBy, file, mapping)
	switch {
	case errors.Is(err, poolside.ErrInput):
		s.marksFileRefused(w, r, "Nothing was brought in. "+sentence(err.Error()))
	case err != nil:
		s.fail(w, r, err)
	case len(notes) > 0:
		s.markForm(w, r, http.StatusOK, func(page *markPage) { page.Notes = notes })
	default:
		http.Redirect(w, r, "/run/"+run.ID+"/mark", http.StatusSeeOther)
	}
}

func (s *server) marksFileRefused(w http.ResponseWriter, r *http.Request, words string) {
	s.markForm(w, r, http.StatusUnprocessableEntity, func(page *markPage) { page.Problem = words })
}

// marksFile answers with a run's marks as our marks file.
func (s *server) marksFile(w http.ResponseWriter, r *http.Request) {
	run, err := s.opt.App.Run(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	var buf bytes.Buffer
	if err := s.opt.App.WriteMarks(r.Context(), run.ID, &buf); err != nil {
		s.fail(w, r, err)
		return
	}
	s.file(w, r, "application/json", "run-"+run.ID+".marks.json", &buf)
}

// file answers with a file to keep.
func (s *server) file(w http.ResponseWriter, r *http.Request, kind, name string, content *bytes.Buffer) {
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	if _, err := content.WriteTo(w); err != nil {
		s.opt.Log.Debug("file not delivered", "path", r.URL.Path, "err", err)
	}
}
