package web

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"underkick/internal/limit"
	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
)

// practiceCases is what the pages of practice need of package poolside.
type practiceCases interface {
	PracticeLibrary(ctx context.Context, serves record.Serves) (poolside.PracticeView, error)
	PracticeFor(ctx context.Context, runID string, opt poolside.PracticeOptions) (poolside.PracticeView, error)
	Drill(ctx context.Context, id string) (record.Drill, error)
	PracticeWeeks(ctx context.Context, swimmerID string) (poolside.WeeksView, error)
	givenCases
	ownDrillCases
}

func (s *server) practiceRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /practice", s.practiceLibrary)
	mux.HandleFunc("GET /practice/drill/{id}", s.drill)
	mux.HandleFunc("GET /swimmer/{id}/practice/weeks", s.practiceWeeks)
	mux.HandleFunc("GET /practice/own/file", s.ownDrillsFile)
	mux.HandleFunc("POST /practice/own/file", s.takeDrillsFile)
	mux.HandleFunc("GET /run/{id}/practice", s.practiceFor)
	mux.HandleFunc("POST /run/{id}/practice", s.giveForRun)
	mux.HandleFunc("GET /swimmer/{id}/practice", s.practising)
	mux.HandleFunc("POST /swimmer/{id}/practice", s.giveToSwimmer)
	mux.HandleFunc("POST /given/{id}/change", s.changeGiven)
	mux.HandleFunc("POST /given/{id}/end", s.endGiven)
	mux.HandleFunc("POST /given/{id}/remove", s.removeGiven)
	mux.HandleFunc("POST /given/{id}/again", s.givenAgain)
	mux.HandleFunc("GET /squad/{id}/session", s.session)
	mux.HandleFunc("GET /squad/{id}/retests", s.retests)
	mux.HandleFunc("GET /practice/own", s.ownDrills)
	mux.HandleFunc("GET /practice/own/new", s.newDrill)
	mux.HandleFunc("POST /practice/own/new", s.addDrill)
	mux.HandleFunc("GET /practice/own/{id}", s.editDrill)
	mux.HandleFunc("POST /practice/own/{id}", s.changeDrill)
	mux.HandleFunc("POST /practice/own/{id}/retire", s.retireDrill)
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

	Squads    []poolside.SquadSection // of the library: session sheets and retests
	SwimmerID string                  // of the run
	Now       []record.Given
	Kit       []kitChoice
	Form      giveForm
}

// kitChoice is equipment that may not be there.
type kitChoice struct {
	Name    string
	Missing bool
}

// drillCard is one drill as the page shows it.
type drillCard struct {
	practice.Choice
	Why    string // by which rules it was chosen, "" in the library
	Seen   []seenMeasure
	Own    bool
	Give   bool // can be ticked here
	Ticked bool
}

// Rest is the rest between repeats where all doses have the same, else "".
func (c drillCard) Rest() string {
	for _, d := range c.Drill.Doses {
		if d.Rest != c.Drill.Doses[0].Rest {
			return ""
		}
	}
	return c.Drill.Doses[0].Rest
}

// seenMeasure is a measure in which a drill shows.
type seenMeasure struct{ ID, Name string }

func (s *server) practiceLibrary(w http.ResponseWriter, r *http.Request) {
	serves := record.Serves(r.FormValue("serves"))
	view, err := s.opt.App.PracticeLibrary(r.Context(), serves)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	squads, err := s.opt.App.Squad(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := practicePage{shell: s.shell("Practice", "practice"), Heading: "Practice", Serves: serves, All: record.AllServes(), Squads: squads.Squads, Cautions: view.Cautions}
	page.Drills = cards(view)
	for i := range page.Drills {
		page.Drills[i].Dose = record.Dose{} // every one is shown
	}
	s.render(w, r, http.StatusOK, "practice", page)
}

func (s *server) practiceFor(w http.ResponseWriter, r *http.Request) {
	s.practiceForm(w, r, http.StatusOK, giveForm{})
}

// practiceForm shows the drills proposed for a run with the form that gives them.
func (s *server) practiceForm(w http.ResponseWriter, r *http.Request, status int, form giveForm) {
	opt := practiceOptions(r)
	view, err := s.opt.App.PracticeFor(r.Context(), r.PathValue("id"), opt)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	form.complete(view)
	form.Action = practiceAddress(view.Run.ID, opt)
	page := practicePage{
		shell: s.shell("Practice", "practice"), Heading: "Practice for " + view.Name, Sentence: view.Sentence, For: view.For,
		RunID: view.Run.ID, SwimmerID: view.Swimmer.ID, DryLand: opt.DryLand, All: record.AllServes(), LeftOut: view.LeftOut, Cautions: view.Cautions,
		Now: view.Now, Form: form,
	}
	for _, name := range view.Equipment {
		page.Kit = append(page.Kit, kitChoice{name, slices.Contains(view.Without, name)})
	}
	page.Drills = cards(view)
	for i := range page.Drills {
		page.Drills[i].Give = true
		page.Drills[i].Ticked = slices.Contains(form.Chosen, page.Drills[i].Drill.ID)
	}
	s.render(w, r, status, "practice", page)
}

// practiceOptions reads what the address narrows the choice down to.
func practiceOptions(r *http.Request) poolside.PracticeOptions {
	q := r.URL.Query()
	return poolside.PracticeOptions{DryLand: q.Get("place") == "dry", Without: q["without"]}
}

func practiceAddress(runID string, opt poolside.PracticeOptions) string {
	q := url.Values{}
	if opt.DryLand {
		q.Set("place", "dry")
	}
	for _, name := range opt.Without {
		q.Add("without", name)
	}
	if len(q) == 0 {
		return "/run/" + runID + "/practice"
	}
	return "/run/" + runID + "/practice?" + q.Encode()
}

func cards(view poolside.PracticeView) []drillCard {
	out := make([]drillCard, len(view.Choices))
	for i, c := range view.Choices {
		out[i] = newCard(c)
	}
	return out
}

func newCard(c practice.Choice) drillCard {
	card := drillCard{Choice: c, Own: strings.HasPrefix(c.Drill.ID, record.OwnPrefix)}
	if len(c.Rules) > 0 {
		card.Why = c.Text()
	}
	for _, id := range c.Drill.Measures {
		card.Seen = append(card.Seen, seenMeasure{id, limit.Name(id)})
	}
	return card
}

// drillName names a drill in a list to choose from.
func drillName(d record.Drill) string {
	own := ""
	if strings.HasPrefix(d.ID, record.OwnPrefix) {
		own = ", your own"
	}
	return fmt.Sprintf("%s (%s, %s%s)", d.Title, d.Serves, d.Place, own)
}
