package web

import (
	"bytes"
	"errors"
	"fmt"
	"net/http"

	"underkick/internal/poolside"
)

// takeDrillsFile keeps the own drills of a file, all or none. What is wrong with it is
// said on the page of own drills: which drill, which field, which words.
func (s *server) takeDrillsFile(w http.ResponseWriter, r *http.Request) {
	refused := func(status int, words string) {
		s.ownDrillsPage(w, r, status, words)
	}
	err := r.ParseMultipartForm(formBytes)
	var tooLarge *http.MaxBytesError
	switch {
	case errors.As(err, &tooLarge):
		refused(http.StatusRequestEntityTooLarge, fmt.Sprintf("The file is larger than %d MB. Keep the drills in several files, or with underkick practice --own.", tooLarge.Limit>>20))
		return
	case err != nil:
		s.fail(w, r, fmt.Errorf("%w: the form arrived incomplete; choose the file again", errors.Join(err, poolside.ErrInput)))
		return
	}
	file, _, err := r.FormFile("drills")
	if err != nil {
		refused(http.StatusUnprocessableEntity, "No file came in. Choose a file of drills and send it again.")
		return
	}
	kept, err := s.opt.App.TakeDrills(r.Context(), file, "")
	switch {
	case errors.Is(err, poolside.ErrInput):
		refused(http.StatusUnprocessableEntity, "Nothing was kept. "+sentence(err.Error()))
	case err != nil:
		s.fail(w, r, err)
	default:
		http.Redirect(w, r, fmt.Sprintf("/practice/own?took=%d", len(kept)), http.StatusSeeOther)
	}
}

// ownDrillsFile answers with the own drills as the file that takeDrillsFile takes.
func (s *server) ownDrillsFile(w http.ResponseWriter, r *http.Request) {
	var text bytes.Buffer
	if err := s.opt.App.WriteDrills(r.Context(), &text); err != nil {
		s.fail(w, r, err)
		return
	}
	s.file(w, r, "application/json", "own-drills.json", &text)
}
