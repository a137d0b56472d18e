package web

import (
	"cmp"
	"context"
	"net/http"
	"strconv"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/practice"
	"underkick/internal/record"
)

// givenCases is what the pages of practice given need of package poolside.
type givenCases interface {
	Give(ctx context.Context, in poolside.Giving) ([]record.Given, error)
	Practising(ctx context.Context, swimmerID string) (poolside.PractisingView, error)
	ChangeGiven(ctx context.Context, id string, c poolside.GivenChange) (record.Given, error)
	EndGiven(ctx context.Context, id string, on record.Date, by string) (record.Given, error)
	RemoveGiven(ctx context.Context, id, by string) (record.Given, error)
	GivenAgain(ctx context.Context, id string, seq int64, by string) (record.Given, error)
	RetestsDue(ctx context.Context, squadID string) ([]poolside.RetestDue, error)
	Session(ctx context.Context, squadID string, on record.Date, swimmers []string) (poolside.SessionView, error)
}

// giveForm is the form that gives drills. What was typed stays when something is
// wrong.
type giveForm struct {
	Action   string
	Chosen   []string // ids ticked
	Other    string   // id of a drill that the rules do not propose
	Others   []drillOption
	From     string
	Weeks    string
	RetestOn string // "" = as proposed
	Proposed record.Date
	Why      string
	Notes    string
	By       string // who gives it
	Faults   record.Faults
}

// drillOption is a drill in a list to choose from.
type drillOption struct {
	ID, Name string
	Never    bool // cannot be given; the name says why
}

// Least and Most bound the weeks.
func (giveForm) Least() int { return practice.LeastWeeks }
func (giveForm) Most() int  { return practice.MostWeeks }

func options(drills []record.Drill) []drillOption {
	list := make([]drillOption, len(drills))
	for i, d := range drills {
		list[i] = drillOption{ID: d.ID, Name: drillName(d)}
	}
	return list
}

// otherOptions names with each drill what giving it goes against.
func otherOptions(others []poolside.OtherDrill) []drillOption {
	list := make([]drillOption, len(others))
	for i, o := range others {
		list[i] = drillOption{o.Drill.ID, drillName(o.Drill), o.Never != ""}
		if o.Never != "" {
			list[i].Name += ": " + o.Never
		} else if len(o.Against) > 0 {
			list[i].Name += ": " + strings.Join(o.Against, "; ")
		}
	}
	return list
}

// complete puts in what is proposed and what may be chosen.
func (f *giveForm) complete(view poolside.PracticeView) {
	f.Others, f.Proposed = otherOptions(view.Others), view.RetestOn
	f.By = cmp.Or(f.By, view.By)
	if f.From == "" {
		f.From = string(view.From)
	}
	if f.Weeks == "" {
		f.Weeks = strconv.Itoa(view.Weeks)
	}
}

// read reads the form; the giving is of what could be read.
func (f *giveForm) read(r *http.Request) poolside.Giving {
	f.Chosen, f.Other = r.PostForm["drill"], r.PostFormValue("other")
	f.From, f.Weeks, f.RetestOn = strings.TrimSpace(r.PostFormValue("from")), strings.TrimSpace(r.PostFormValue("weeks")), strings.TrimSpace(r.PostFormValue("retest_on"))
	f.Why, f.Notes, f.By = r.PostFormValue("why"), r.PostFormValue("notes"), strings.TrimSpace(r.PostFormValue("by"))
	if f.By == "" {
		f.Faults = append(f.Faults, record.Fault{Field: "by", Text: "is empty; say who gives it"})
	}
	in := poolside.Giving{From: record.Date(f.From), RetestOn: record.Date(f.RetestOn), Why: f.Why, Notes: f.Notes, By: f.By, Drills: f.Chosen}
	if f.Other != "" {
		in.Drills = append(in.Drills[:len(in.Drills):len(in.Drills)], f.Other)
	}
	in.Weeks = wholeField(f.Weeks, "weeks", &f.Faults)
	return in
}

// wholeField reads a whole number, 0 where nothing was typed.
func wholeField(text, field string, faults *record.Faults) int {
	text = strings.TrimSpace(text)
	if text == "" {
		return 0
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		*faults = append(*faults, record.Fault{Field: field, Text: "is no whole number; write digits, such as 5"})
	}
	return max(n, 0)
}

func (s *server) giveForRun(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	var form giveForm
	in := form.read(r)
	in.RunID, in.Options = r.PathValue("id"), practiceOptions(r)
	s.give(w, r, in, &form, func(status int) { s.practiceForm(w, r, status, form) })
}

func (s *server) giveToSwimmer(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	var form giveForm
	in := form.read(r)
	in.SwimmerID = r.PathValue("id")
	s.give(w, r, in, &form, func(status int) { s.practisingPage(w, r, status, form, "", nil) })
}

func (s *server) give(w http.ResponseWriter, r *http.Request, in poolside.Giving, form *giveForm, again func(status int)) {
	var err error
	if len(form.Faults) == 0 {
		var kept []record.Given
		if kept, err = s.opt.App.Give(r.Context(), in); err == nil {
			http.Redirect(w, r, "/swimmer/"+kept[0].SwimmerID+"/practice", http.StatusSeeOther)
			return
		}
	}
	s.formFailed(w, r, err, &form.Faults, again)
}

// practisedPage is what a swimmer practises, and the print-out of it.
type practisedPage struct {
	shell
	View  poolside.PractisingView
	Now   []givenCard
	Next  []givenCard
	Past  []givenCard
	Form  giveForm
	Least int
	Most  int
}

// givenCard is something given as the page shows it.
type givenCard struct {
	poolside.GivenView
	Card   drillCard
	Each   int
	Unit   string // "kicks" or "seconds"
	Who    string // proposed for who changes it
	Faults record.Faults
	Open   bool // its form stands open
}

func (s *server) practising(w http.ResponseWriter, r *http.Request) {
	s.practisingPage(w, r, http.StatusOK, giveForm{}, "", nil)
}

// practisingPage shows the page, with the faults of the form that gives, or of the
// one that changes what was given under an id.
func (s *server) practisingPage(w http.ResponseWriter, r *http.Request, status int, form giveForm, wrongID string, faults record.Faults) {
	swimmer := r.PathValue("id")
	if wrongID != "" {
		swimmer = r.PostFormValue("swimmer")
	}
	view, err := s.opt.App.Practising(r.Context(), swimmer)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	form.Action, form.Others = "/swimmer/"+view.Swimmer.ID+"/practice", options(view.Drills)
	form.By = cmp.Or(form.By, view.By)
	if form.From == "" {
		form.From = string(view.Today)
	}
	if form.Weeks == "" {
		form.Weeks = strconv.Itoa(view.Weeks)
	}
	page := practisedPage{shell: s.shell("Practice of "+view.Name, "practice"), View: view, Form: form, Least: practice.LeastWeeks, Most: practice.MostWeeks}
	for _, part := range []struct {
		from []poolside.GivenView
		to   *[]givenCard
	}{{view.Now, &page.Now}, {view.Coming, &page.Next}, {view.Past, &page.Past}} {
		for _, g := range part.from {
			card := newGivenCard(g, wrongID, faults)
			card.Who = view.By
			*part.to = append(*part.to, card)
		}
	}
	s.render(w, r, status, "practising", page)
}

func newGivenCard(g poolside.GivenView, wrongID string, faults record.Faults) givenCard {
	card := givenCard{GivenView: g, Card: newCard(practice.Choice{Drill: g.Drill, Dose: g.Amount}), Each: g.Amount.Kicks, Unit: "kicks"}
	if g.Amount.Seconds > 0 {
		card.Each, card.Unit = g.Amount.Seconds, "seconds"
	}
	if g.ID == wrongID {
		card.Faults, card.Open = faults, true
	}
	return card
}

func (s *server) changeGiven(w http.ResponseWriter, r *http.Request) {
	s.alterGiven(w, r, func(id string, faults *record.Faults) (record.Given, error) {
		whole := func(field string) *int {
			n := wholeField(r.PostFormValue(field), field, faults)
			return &n
		}
		notes, retest := r.PostFormValue("notes"), record.Date(strings.TrimSpace(r.PostFormValue("retest_on")))
		c := poolside.GivenChange{Repeats: whole("repeats"), Each: whole("each"), PerWeek: whole("per_week"), Weeks: whole("weeks"), Notes: &notes, By: r.PostFormValue("by")}
		if was := r.PostFormValue("retest_was"); string(retest) != was { // else it moves with the weeks
			c.RetestOn = &retest
		}
		if len(*faults) > 0 {
			return record.Given{}, nil
		}
		return s.opt.App.ChangeGiven(r.Context(), id, c)
	})
}

func (s *server) endGiven(w http.ResponseWriter, r *http.Request) {
	s.alterGiven(w, r, func(id string, _ *record.Faults) (record.Given, error) {
		return s.opt.App.EndGiven(r.Context(), id, record.Date(strings.TrimSpace(r.PostFormValue("ended"))), r.PostFormValue("by"))
	})
}

func (s *server) removeGiven(w http.ResponseWriter, r *http.Request) {
	s.alterGiven(w, r, func(id string, _ *record.Faults) (record.Given, error) {
		return s.opt.App.RemoveGiven(r.Context(), id, r.PostFormValue("by"))
	})
}

func (s *server) givenAgain(w http.ResponseWriter, r *http.Request) {
	s.alterGiven(w, r, func(id string, faults *record.Faults) (record.Given, error) {
		seq := wholeField(r.PostFormValue("seq"), "seq", faults)
		return s.opt.App.GivenAgain(r.Context(), id, int64(seq), r.PostFormValue("by"))
	})
}

// alterGiven changes something given and goes back to the swimmer's page.
func (s *server) alterGiven(w http.ResponseWriter, r *http.Request, alter func(id string, faults *record.Faults) (record.Given, error)) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	var faults record.Faults
	id := r.PathValue("id")
	g, err := alter(id, &faults)
	if err == nil && len(faults) == 0 {
		http.Redirect(w, r, "/swimmer/"+g.SwimmerID+"/practice#"+id, http.StatusSeeOther)
		return
	}
	s.formFailed(w, r, err, &faults, func(status int) { s.practisingPage(w, r, status, giveForm{}, id, faults) })
}
