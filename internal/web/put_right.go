package web

import (
	"context"
	"net/http"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// rightCases is what the pages that put records right need of package poolside.
type rightCases interface {
	PutRight(ctx context.Context, clipID string) (poolside.PutRightView, error)
	MoveClip(ctx context.Context, clipID, swimmerID string, on record.Date, pool string) error
	MoveRun(ctx context.Context, runID, swimmerID string) error
	SetAside(ctx context.Context, runID, why string) error
	UpdateVisit(ctx context.Context, v record.Visit) error
	Squads(ctx context.Context) ([]record.Squad, error)
	SquadFacts(ctx context.Context, id string) (record.Squad, error)
	UpdateSquad(ctx context.Context, q record.Squad) error
}

// rightForm is what was typed of one of the forms, with what was wrong.
type rightForm struct {
	Swimmer, On, Pool, Notes, Aside string
	Faults                          record.Faults
}

type putRightPage struct {
	shell
	poolside.PutRightView
	ClipForm  rightForm
	VisitForm rightForm
	RunForm   rightForm
	Run       string // of RunForm
}

// choice is the swimmers to choose from with the one that is chosen.
type choice struct {
	Squads []poolside.RightSquad
	Chosen string
}

// Choose returns the swimmers with one of them chosen.
func (p putRightPage) Choose(swimmerID string) choice { return choice{p.Squads, swimmerID} }

func (s *server) putRight(w http.ResponseWriter, r *http.Request) {
	s.putRightPage(w, r, http.StatusOK, func(*putRightPage) {})
}

// putRightPage shows the forms as things stand, or as typed puts in.
func (s *server) putRightPage(w http.ResponseWriter, r *http.Request, status int, typed func(*putRightPage)) {
	view, err := s.opt.App.PutRight(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := putRightPage{shell: s.shell("Put right: "+view.Clip.Name, "squad"), PutRightView: view}
	stands := rightForm{Swimmer: view.Owner.ID, On: string(view.Visit.On), Pool: view.Visit.Pool, Notes: view.Visit.Notes}
	page.ClipForm, page.VisitForm = stands, stands
	typed(&page)
	s.render(w, r, status, "put_right", page)
}

func readRight(r *http.Request) rightForm {
	return rightForm{
		Swimmer: r.PostFormValue("swimmer"), On: r.PostFormValue("on"), Pool: strings.TrimSpace(r.PostFormValue("pool")), Notes: r.PostFormValue("notes"),
	}
}

// right does what a form asks, and leads to where; the page comes again with what is wrong.
func (s *server) right(w http.ResponseWriter, r *http.Request, form *rightForm, do func() error, where string, typed func(*putRightPage)) {
	if err := do(); err != nil {
		s.formFailed(w, r, err, &form.Faults, func(status int) { s.putRightPage(w, r, status, typed) })
		return
	}
	http.Redirect(w, r, where, http.StatusSeeOther)
}

// moveClip gives a clip to another swimmer, day or pool.
func (s *server) moveClip(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	form := readRight(r)
	s.right(w, r, &form, func() error {
		return s.opt.App.MoveClip(r.Context(), r.PathValue("id"), form.Swimmer, record.Date(form.On), form.Pool)
	}, "/swimmer/"+form.Swimmer, func(p *putRightPage) { p.ClipForm = form })
}

// moveRun gives a run of the clip to another swimmer.
func (s *server) moveRun(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	form := readRight(r)
	s.rightRun(w, r, &form, func(run string) error { return s.opt.App.MoveRun(r.Context(), run, form.Swimmer) })
}

// setAside sets a run of the clip aside, or lets it count again.
func (s *server) setAside(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	form := rightForm{Aside: strings.TrimSpace(r.PostFormValue("aside"))}
	act := r.PostFormValue("act")
	s.rightRun(w, r, &form, func(run string) error {
		switch {
		case act == "count":
			return s.opt.App.SetAside(r.Context(), run, "")
		case form.Aside == "":
			return record.Faults{{Field: "aside", Text: "is empty; say why, so that you know it next year"}}
		}
		return s.opt.App.SetAside(r.Context(), run, form.Aside)
	})
}

// rightRun does what a form asks of a run of the clip.
func (s *server) rightRun(w http.ResponseWriter, r *http.Request, form *rightForm, do func(run string) error) {
	run, clip := r.PathValue("run"), r.PathValue("id")
	s.right(w, r, form, func() error {
		had, err := s.opt.App.Run(r.Context(), run)
		if err == nil && had.ClipID != clip {
			err = poolside.ErrNotFound
		}
		if err != nil {
			return err
		}
		return do(run)
	}, "/clip/"+clip+"/put-right", func(p *putRightPage) { p.RunForm, p.Run = *form, run })
}

// changeVisit changes the day, the pool and the notes of the clip's visit.
func (s *server) changeVisit(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	form := readRight(r)
	clip := r.PathValue("id")
	s.right(w, r, &form, func() error {
		view, err := s.opt.App.PutRight(r.Context(), clip)
		if err != nil {
			return err
		}
		v := view.Visit
		v.On, v.Pool, v.Notes = record.Date(form.On), form.Pool, form.Notes
		return s.opt.App.UpdateVisit(r.Context(), v)
	}, "/clip/"+clip+"/put-right", func(p *putRightPage) { p.VisitForm = form })
}

// squadFactsPage is a squad's name and notes.
type squadFactsPage struct {
	shell
	Squad  record.Squad
	Faults record.Faults
}

func (s *server) editSquad(w http.ResponseWriter, r *http.Request) {
	q, err := s.opt.App.SquadFacts(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "squad_edit", squadFactsPage{shell: s.shell("Facts about "+q.Name, "squad"), Squad: q})
}

func (s *server) changeSquad(w http.ResponseWriter, r *http.Request) {
	if s.whileHidden(w, r, "Changing a squad's notes") {
		return
	}
	q, err := s.opt.App.SquadFacts(r.Context(), r.PathValue("id"))
	if err == nil {
		err = r.ParseForm()
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := squadFactsPage{shell: s.shell("Facts about "+q.Name, "squad"), Squad: q}
	page.Squad.Name, page.Squad.Notes = strings.TrimSpace(r.PostFormValue("name")), r.PostFormValue("notes")
	if err := s.opt.App.UpdateSquad(r.Context(), page.Squad); err != nil {
		s.formFailed(w, r, err, &page.Faults, func(status int) { s.render(w, r, status, "squad_edit", page) })
		return
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

func (s *server) rightRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /clip/{id}/put-right", s.putRight)
	mux.HandleFunc("POST /clip/{id}/put-right", s.moveClip)
	mux.HandleFunc("POST /clip/{id}/put-right/visit", s.changeVisit)
	mux.HandleFunc("POST /clip/{id}/put-right/run/{run}", s.moveRun)
	mux.HandleFunc("POST /clip/{id}/put-right/run/{run}/aside", s.setAside)
	mux.HandleFunc("GET /squad/{id}/edit", s.editSquad)
	mux.HandleFunc("POST /squad/{id}/edit", s.changeSquad)
}
