package web

import (
	"errors"
	"io"
	"net/http"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// markersPage lists who marks how exactly.
type markersPage struct {
	shell
	poolside.MarkersView
	Faults record.Faults
}

func (s *server) markers(w http.ResponseWriter, r *http.Request) {
	s.markersForm(w, r, http.StatusOK, nil)
}

func (s *server) markersForm(w http.ResponseWriter, r *http.Request, status int, faults record.Faults) {
	view, err := s.opt.App.Markers(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := markersPage{MarkersView: view, Faults: faults}
	page.shell = s.shell("Who marks, and how exactly", "about")
	s.render(w, r, status, "markers", page)
}

func (s *server) setMarker(w http.ResponseWriter, r *http.Request) {
	err := s.opt.App.SetMarkerName(r.Context(), r.PostFormValue("marker"))
	var faults record.Faults
	if errors.As(err, &faults) {
		s.markersForm(w, r, http.StatusUnprocessableEntity, faults)
		return
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/markers", http.StatusSeeOther)
}

func (s *server) markersCSV(w http.ResponseWriter, r *http.Request) {
	var text strings.Builder
	if err := s.opt.App.WriteMarkers(r.Context(), &text); err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="markers.csv"`)
	if _, err := io.WriteString(w, text.String()); err != nil {
		s.opt.Log.Debug("answer not delivered", "path", r.URL.Path, "err", err)
	}
}
