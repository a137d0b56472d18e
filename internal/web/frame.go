package web

import (
	"net/http"
	"strconv"
	"strings"

	"underkick/internal/poolside"
)

// frame answers with one picture of a clip by its index. A clip's pictures never
// change, so the browser may keep them; they show people, so only this browser.
func (s *server) frame(w http.ResponseWriter, r *http.Request) {
	text, isJPEG := strings.CutSuffix(r.PathValue("file"), ".jpg")
	n, err := strconv.Atoi(text)
	if !isJPEG || err != nil || n < 0 {
		s.fail(w, r, poolside.ErrNotFound)
		return
	}
	picture, err := s.opt.App.Picture(r.Context(), r.PathValue("id"), n)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.keptPicture(w, r, picture)
}
