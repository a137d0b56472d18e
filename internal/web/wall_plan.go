package web

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/wall"
)

// wallPage is the plan of an event: the answer, if there is one, and the form.
type wallPage struct {
	shell
	Swimmer  record.Swimmer
	Plan     record.Plan // ID empty: not kept yet
	Form     wallForm
	Problem  string
	Sheet    *wallSheet // nil: nothing planned yet
	Cautions []string
}

func (s *server) wallPage(v poolside.WallsView, form wallForm) wallPage {
	p := wallPage{Swimmer: v.Swimmer, Plan: v.Plan, Form: form, Problem: sentence(v.Problem), Cautions: poolside.BreathCautions()}
	title := "Plan an event for " + v.Swimmer.Name
	p.Form.Action = "/swimmer/" + v.Swimmer.ID + "/walls/new"
	if v.Plan.ID != "" {
		title = v.Plan.Name + ", " + v.Swimmer.Name
		p.Form.Action = "/plan/" + v.Plan.ID
	}
	p.shell, p.Form.Own = s.shell(title, "walls"), v.Own
	if v.Answer != nil {
		p.Sheet = newWallSheet(v)
	}
	return p
}

func (s *server) newWalls(w http.ResponseWriter, r *http.Request) {
	v, err := s.opt.App.NewWalls(r.Context(), r.PathValue("id"), poolside.WallInput{})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	form := wallForm{Input: poolside.WallInput{Event: wall.Event{Pool: wall.Pool25m, Stroke: wall.Freestyle, Distance: 100}}}
	s.render(w, r, http.StatusOK, "wall_plan", s.wallPage(v, form))
}

func (s *server) addWalls(w http.ResponseWriter, r *http.Request) {
	s.keepWalls(w, r, poolside.WallsView{Swimmer: record.Swimmer{ID: r.PathValue("id")}})
}

func (s *server) changeWalls(w http.ResponseWriter, r *http.Request) {
	kept, err := s.opt.App.WallPlan(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.keepWalls(w, r, kept)
}

// keepWalls keeps the form as a new plan or as a new version of one.
func (s *server) keepWalls(w http.ResponseWriter, r *http.Request, kept poolside.WallsView) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	form := wallForm{Input: poolside.WallInput{Meet: kept.Input.Meet, Done: kept.Input.Done}}
	form.read(r)
	name := form.Name
	if name == "" {
		name = form.Input.Event.String()
	}
	id, err := "", error(nil)
	if len(form.Faults) == 0 {
		id, err = s.opt.App.KeepWalls(r.Context(), kept.Swimmer.ID, kept.Plan.ID, name, form.Input)
	}
	if err == nil && len(form.Faults) == 0 {
		http.Redirect(w, r, "/plan/"+id, http.StatusSeeOther)
		return
	}
	s.formFailed(w, r, err, &form.Faults, func(status int) {
		v, err := s.opt.App.NewWalls(r.Context(), kept.Swimmer.ID, poolside.WallInput{})
		if err != nil {
			s.fail(w, r, err)
			return
		}
		v.Plan = kept.Plan
		s.render(w, r, status, "wall_plan", s.wallPage(v, form))
	})
}

func (s *server) wallPlan(w http.ResponseWriter, r *http.Request) {
	v, err := s.opt.App.WallPlan(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "wall_plan", s.wallPage(v, wallForm{Input: v.Input, Name: v.Plan.Name}))
}

func (s *server) wallJSON(w http.ResponseWriter, r *http.Request) {
	v, err := s.opt.App.WallPlan(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if v.Answer == nil {
		s.json(w, r, http.StatusUnprocessableEntity, map[string]string{"problem": sentence(v.Problem)})
		return
	}
	w.Header().Set("Content-Disposition", `attachment; filename="walls.json"`)
	s.json(w, r, http.StatusOK, v.Answer)
}

// takeDone takes what was done at a meet, wall by wall.
func (s *server) takeDone(w http.ResponseWriter, r *http.Request) {
	v, err := s.opt.App.WallPlan(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	form := wallForm{Input: v.Input, Name: v.Plan.Name}
	done := wallForm{typed: map[string]string{}}
	walls, _ := v.Input.Event.Walls() // a kept event is one
	form.Input.Meet, form.Input.Done = strings.TrimSpace(r.PostFormValue("meet")), nil
	for i := range walls {
		if d, ok := done.done(r, i+1); ok {
			form.Input.Done = append(form.Input.Done, d)
		}
	}
	err = nil
	if len(done.Faults) == 0 {
		_, err = s.opt.App.KeepWalls(r.Context(), v.Swimmer.ID, v.Plan.ID, v.Plan.Name, form.Input)
	}
	if err == nil && len(done.Faults) == 0 {
		http.Redirect(w, r, "/plan/"+v.Plan.ID+"#done", http.StatusSeeOther)
		return
	}
	var faults record.Faults
	if err != nil && !errors.As(err, &faults) {
		s.fail(w, r, err)
		return
	}
	p := s.wallPage(v, wallForm{Input: v.Input, Name: v.Plan.Name})
	p.Form.Faults = append(done.Faults, faults...)
	if p.Sheet != nil {
		p.Sheet.Meet = form.Input.Meet
		p.Sheet.keepTyped(done.typed)
	}
	s.render(w, r, http.StatusUnprocessableEntity, "wall_plan", p)
}

// done reads one wall's row; false where nothing was typed.
func (f *wallForm) done(r *http.Request, number int) (wall.Done, bool) {
	n := strconv.Itoa(number)
	d := wall.Done{Wall: number, Kicks: -1}
	if strings.TrimSpace(r.PostFormValue("done_kicks_"+n)) != "" {
		d.Kicks = f.whole(r, "done_kicks_"+n)
	}
	d.Breakout, d.To15 = f.number(r, "done_out_"+n), f.number(r, "done_15_"+n)
	return d, d.Kicks >= 0 || d.Breakout > 0 || d.To15 > 0
}
