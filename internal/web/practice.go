package web

import (
	"context"
	"net/http"

	"underkick/internal/limit"
	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
)

// practiceCases is what the pages of practice need of package poolside.
type practiceCases interface {
	PracticeFor(ctx context.Context, runID string, dryLand bool) (poolside.PracticeView, error)
}

func (s *server) practiceRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /practice", s.practiceLibrary)
	mux.HandleFunc("GET /run/{id}/practice", s.practiceFor)
}

// practicePage lists drills: for a finding, or the library.
type practicePage struct {
	shell
	Heading  string
	Sentence string // the finding's
	For      string // what is practised and why
	RunID    string // "" in the library
	DryLand  bool
	Serves   record.Serves // chosen in the library, "" = all
	All      []record.Serves
	Drills   []drillCard
	LeftOut  []string
	Cautions []string
}

// drillCard is one drill as the page shows it.
type drillCard struct {
	practice.Choice
	Why  string // by which rules it was chosen, "" in the library
	Seen []seenMeasure
}

// seenMeasure is a measure in which a drill shows.
type seenMeasure struct{ ID, Name string }

func (s *server) practiceLibrary(w http.ResponseWriter, r *http.Request) {
	serves := record.Serves(r.FormValue("serves"))
	view, err := poolside.PracticeLibrary(serves)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := practicePage{shell: s.shell("Practice", "practice"), Heading: "Practice", Serves: serves, All: record.AllServes(), Cautions: view.Cautions}
	page.Drills = cards(view)
	s.render(w, r, http.StatusOK, "practice", page)
}

func (s *server) practiceFor(w http.ResponseWriter, r *http.Request) {
	id, dry := r.PathValue("id"), r.FormValue("place") == "dry"
	view, err := s.opt.App.PracticeFor(r.Context(), id, dry)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := practicePage{
		shell: s.shell("Practice", "practice"), Heading: "Practice for " + view.Swimmer.Name, Sentence: view.Sentence, For: view.For,
		RunID: id, DryLand: dry, All: record.AllServes(), LeftOut: view.LeftOut, Cautions: view.Cautions,
	}
	page.Drills = cards(view)
	s.render(w, r, http.StatusOK, "practice", page)
}

func cards(view poolside.PracticeView) []drillCard {
	out := make([]drillCard, len(view.Choices))
	for i, c := range view.Choices {
		out[i].Choice = c
		if len(c.Rules) > 0 {
			out[i].Why = c.Text()
		}
		for _, id := range c.Drill.Measures {
			out[i].Seen = append(out[i].Seen, seenMeasure{id, limit.Name(id)})
		}
	}
	return out
}
