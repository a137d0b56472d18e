package web

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/report"
)

// goalCases is what the pages of goals need of package poolside.
type goalCases interface {
	Goals(ctx context.Context, swimmerID string) (poolside.GoalsView, error)
	Goal(ctx context.Context, id string) (record.Goal, error)
	SetGoal(ctx context.Context, g record.Goal) (record.Goal, error)
	CloseGoal(ctx context.Context, id, by string) (record.Goal, error)
	GoalAgain(ctx context.Context, id string, seq int64, by string) (record.Goal, error)
}

// goalForm sets a goal, or changes one. What was typed stays when something is wrong.
type goalForm struct {
	ID      string // of the goal that is changed, "" = a new one
	Measure string
	Sense   string
	Target  string // as pages write the measure
	On      string
	Notes   string
	By      string
	Faults  record.Faults
}

type goalsPage struct {
	shell
	poolside.GoalsView
	Form    goalForm
	Changed goalForm // of one goal, with what was wrong
}

// Of returns the form that changes a goal, as it was typed or as the goal stands.
func (p goalsPage) Of(g poolside.GoalView) goalForm {
	if p.Changed.ID == g.ID {
		return p.Changed
	}
	return goalForm{
		ID: g.ID, Measure: g.Measure, Sense: string(g.Sense), On: string(g.On), Notes: g.Notes,
		Target: strconv.FormatFloat(report.Shown(g.Measure, unitOf(g.Measure), g.Target), 'g', 6, 64),
	}
}

// shownUnit returns the unit in which a measure is typed and shown.
func shownUnit(measure string) string { return report.Unit(measure, unitOf(measure)) }

func unitOf(measure string) string {
	d, _ := report.Definition(measure)
	return d.Unit
}

func (s *server) goals(w http.ResponseWriter, r *http.Request) {
	s.goalsPage(w, r, http.StatusOK, goalsPage{Form: goalForm{Measure: r.URL.Query().Get("measure"), Sense: string(record.AtLeast)}})
}

func (s *server) goalsPage(w http.ResponseWriter, r *http.Request, status int, page goalsPage) {
	var err error
	if page.GoalsView, err = s.opt.App.Goals(r.Context(), r.PathValue("id")); err != nil {
		s.fail(w, r, err)
		return
	}
	page.shell = s.shell("Goals of "+page.Swimmer.Name, "squad")
	s.render(w, r, status, "goals", page)
}

// read reads the form into a goal.
func (f *goalForm) read(r *http.Request) record.Goal {
	f.Measure, f.Sense, f.Target, f.On = r.PostFormValue("measure"), r.PostFormValue("sense"), r.PostFormValue("target"), r.PostFormValue("on")
	f.Notes, f.By = strings.TrimSpace(r.PostFormValue("notes")), strings.TrimSpace(r.PostFormValue("by"))
	g := record.Goal{ID: f.ID, SwimmerID: r.PathValue("id"), Measure: f.Measure, Sense: record.Sense(f.Sense), On: record.Date(f.On), Notes: f.Notes, By: f.By}
	x, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(f.Target), ",", ".", 1), 64)
	if err != nil {
		f.Faults = append(f.Faults, record.Fault{Field: "target", Text: "is no number; write digits, such as 1.5"})
	}
	g.Target = report.FromShown(f.Measure, unitOf(f.Measure), x)
	return g
}

// setGoal keeps a new goal of a swimmer.
func (s *server) setGoal(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	var form goalForm
	g := form.read(r)
	s.keepGoal(w, r, g, &form, func(status int) { s.goalsPage(w, r, status, goalsPage{Form: form}) })
}

// changeGoal changes one that stands.
func (s *server) changeGoal(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	form := goalForm{ID: r.PathValue("goal")}
	had, err := s.opt.App.Goal(r.Context(), form.ID)
	if err == nil && had.SwimmerID != r.PathValue("id") {
		err = poolside.ErrNotFound
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	r.PostForm.Set("measure", had.Measure) // which never changes
	g := form.read(r)
	s.keepGoal(w, r, g, &form, func(status int) {
		s.goalsPage(w, r, status, goalsPage{Form: goalForm{Sense: string(record.AtLeast)}, Changed: form})
	})
}

func (s *server) keepGoal(w http.ResponseWriter, r *http.Request, g record.Goal, form *goalForm, again func(status int)) {
	var err error
	if len(form.Faults) == 0 {
		_, err = s.opt.App.SetGoal(r.Context(), g)
	}
	if err != nil || len(form.Faults) > 0 {
		s.formFailed(w, r, err, &form.Faults, again)
		return
	}
	http.Redirect(w, r, "/swimmer/"+g.SwimmerID+"/goals", http.StatusSeeOther)
}

// closeGoal takes a goal off the list.
func (s *server) closeGoal(w http.ResponseWriter, r *http.Request) {
	s.alterGoal(w, r, func() error {
		_, err := s.opt.App.CloseGoal(r.Context(), r.PathValue("goal"), "")
		return err
	})
}

// goalAgain makes an earlier version stand again.
func (s *server) goalAgain(w http.ResponseWriter, r *http.Request) {
	s.alterGoal(w, r, func() error {
		seq, err := strconv.ParseInt(r.PostFormValue("seq"), 10, 64)
		if err != nil {
			return poolside.ErrNotFound
		}
		_, err = s.opt.App.GoalAgain(r.Context(), r.PathValue("goal"), seq, "")
		return err
	})
}

func (s *server) alterGoal(w http.ResponseWriter, r *http.Request, alter func() error) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	page := goalsPage{Form: goalForm{Sense: string(record.AtLeast)}}
	if err := alter(); err != nil {
		s.formFailed(w, r, err, &page.Form.Faults, func(status int) { s.goalsPage(w, r, status, page) })
		return
	}
	http.Redirect(w, r, "/swimmer/"+r.PathValue("id")+"/goals", http.StatusSeeOther)
}

func (s *server) goalRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /swimmer/{id}/goals", s.goals)
	mux.HandleFunc("POST /swimmer/{id}/goals", s.setGoal)
	mux.HandleFunc("POST /swimmer/{id}/goals/{goal}", s.changeGoal)
	mux.HandleFunc("POST /swimmer/{id}/goals/{goal}/close", s.closeGoal)
	mux.HandleFunc("POST /swimmer/{id}/goals/{goal}/again", s.goalAgain)
}
