package web

import (
	"bytes"
	"io"
	"net/http"

	"underkick/internal/kick"
	"underkick/internal/poolside"
	"underkick/internal/report"
)

func (s *server) measuresJSON(w http.ResponseWriter, r *http.Request) {
	s.download(w, r, "application/json", "measures.json", report.WriteJSON)
}

func (s *server) measuresCSV(w http.ResponseWriter, r *http.Request) {
	s.download(w, r, "text/csv; charset=utf-8", "measures.csv", report.WriteSummaryCSV)
}

func (s *server) curvesCSV(w http.ResponseWriter, r *http.Request) {
	s.download(w, r, "text/csv; charset=utf-8", "curves.csv", report.WriteSignalsCSV)
}

func (s *server) kicksCSV(w http.ResponseWriter, r *http.Request) {
	s.download(w, r, "text/csv; charset=utf-8", "kicks.csv", report.WriteKicksCSV)
}

// measured returns a run's kicks for a file; where there is nothing to save it has said so.
func (s *server) measured(w http.ResponseWriter, r *http.Request, kick int) (view poolside.KickView, ok bool) {
	view, err := s.opt.App.Kick(r.Context(), r.PathValue("id"), kick)
	switch {
	case err != nil:
		s.fail(w, r, err)
	case view.Result == nil:
		s.problem(w, r, http.StatusConflict, "There is nothing to save yet", view.Problem)
	default:
		return view, true
	}
	return view, false
}

// download answers with a run's result as a file.
func (s *server) download(w http.ResponseWriter, r *http.Request, kind, name string, write func(io.Writer, *kick.Result) error) {
	view, ok := s.measured(w, r, 0)
	if !ok {
		return
	}
	var buf bytes.Buffer
	if err := write(&buf, view.Result); err != nil {
		s.fail(w, r, err)
		return
	}
	s.file(w, r, kind, "run-"+view.Run.ID+"-"+name, &buf)
}
