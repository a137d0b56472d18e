package web

import (
	"math"
	"net/http"
	"strings"

	"underkick/internal/limit"
	"underkick/internal/limit/worth"
	"underkick/internal/poolside"
)

// worthLine is one part of the kick in the table of worth.
type worthLine struct {
	Name, Same, Alone, Share, Effort, Evidence string
}

// worthRows are the parts of a kick by what they are worth, the same effort first.
func worthRows(r *worth.Result) []worthLine {
	if r == nil || r.Refused {
		return nil
	}
	var rows []worthLine
	for _, l := range r.Parts {
		row := worthLine{Name: l.Quality.String(), Same: "not known", Alone: "not known", Share: "–", Effort: "", Evidence: l.Evidence}
		if l.Step != "" {
			row.Name += ", " + stepWords(l.Step)
		}
		if l.Quality == worth.Rest {
			row.Name = "the rest of the kick"
		}
		if !math.IsNaN(l.SpeedChange.Value) {
			row.Same, row.Alone = signed(l.EqualEffort), strings.TrimPrefix(changeWords(l.SpeedChange), "about ")
			row.Effort = effortWords(l.PowerChange)[len(" for "):]
		}
		if !math.IsNaN(l.Shapley.Value) {
			row.Share = signed(l.Shapley.Value)
		}
		rows = append(rows, row)
	}
	return rows
}

// worthOfQuality is what stands under a quality of the kick page.
func worthOfQuality(v poolside.WorthView, name string) string {
	l, ok := limit.WorthOf(v.Result, name)
	if !ok {
		return ""
	}
	return worthPiece(l, v.Result.Reference)
}

// worthJSON tells how the work on an estimate stands.
func (s *server) worthJSON(w http.ResponseWriter, r *http.Request) {
	job, err := s.opt.App.Job(r.Context(), r.URL.Query().Get("job"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, struct {
		State    string  `json:"state"`
		Doing    string  `json:"doing"`
		Fraction float64 `json:"fraction"`
	}{job.State, job.Doing, job.Fraction})
}

// setReference names the run that a run is held against and goes back to the kick page.
func (s *server) setReference(w http.ResponseWriter, r *http.Request) {
	s.worthForm(w, r, func(id string) error { return s.opt.App.SetReference(r.Context(), id, r.PostFormValue("reference")) })
}

// stopWorth ends the work on an estimate.
func (s *server) stopWorth(w http.ResponseWriter, r *http.Request) {
	s.worthForm(w, r, func(string) error { return s.opt.App.CancelJob(r.Context(), r.PostFormValue("job")) })
}

// worthAgain begins an estimate anew.
func (s *server) worthAgain(w http.ResponseWriter, r *http.Request) {
	s.worthForm(w, r, func(id string) error { return s.opt.App.EstimateAgain(r.Context(), id) })
}

func (s *server) worthForm(w http.ResponseWriter, r *http.Request, do func(id string) error) {
	run, err := s.opt.App.Run(r.Context(), r.PathValue("id"))
	if err == nil {
		err = do(run.ID)
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/run/"+run.ID+"#worth", http.StatusSeeOther)
}
