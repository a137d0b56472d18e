package web

import (
	"cmp"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/wall"
)

type swimmerPage struct {
	shell
	poolside.SwimmerView
	Season seasonPiece
}

// visitsOpen is how many visits a swimmer's page shows unfolded.
const visitsOpen = 5

// Newest are the visits that are shown at once.
func (p swimmerPage) Newest() []poolside.VisitView { return p.Visits[:min(visitsOpen, len(p.Visits))] }

// Earlier are those that are folded away.
func (p swimmerPage) Earlier() []poolside.VisitView { return p.Visits[len(p.Newest()):] }

func (s *server) swimmer(w http.ResponseWriter, r *http.Request) {
	view, err := s.opt.App.Swimmer(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	season, err := s.season(r, view.Swimmer.ID)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "swimmer", swimmerPage{s.shell(view.Swimmer.Name, "squad"), view, season})
}

// swimmerForm is the page of a swimmer's facts, new or changed. What was typed
// stays in the fields when something is wrong.
type swimmerForm struct {
	shell
	Swimmer   record.Swimmer
	Faults    record.Faults
	Squads    []poolside.SquadSection // to choose from, for a new swimmer
	SquadName string                  // of a new squad
	Others    []record.Squad          // that the swimmer may belong to, for one who is there
	Growth    growthForm              // of one who is there

	typed map[string]string // number fields as typed
}

// Typed returns a number field as it was typed, or as it is kept.
func (f swimmerForm) Typed(field string) string {
	if text, ok := f.typed[field]; ok {
		return text
	}
	switch field {
	case "height_m":
		return typed(f.Swimmer.HeightM)
	case "mass_kg":
		return typed(f.Swimmer.MassKg)
	case "birth_year":
		return typed(float64(f.Swimmer.BirthYear))
	}
	return ""
}

// read takes the form's fields over into the swimmer and notes numbers that are
// none.
func (f *swimmerForm) read(r *http.Request) {
	f.typed = map[string]string{}
	w := &f.Swimmer
	w.Name = strings.TrimSpace(r.PostFormValue("name"))
	w.Pseudonym = strings.TrimSpace(r.PostFormValue("pseudonym"))
	w.Sex = record.Sex(r.PostFormValue("sex"))
	w.Level = record.Level(r.PostFormValue("level"))
	w.Habit = record.Position(r.PostFormValue("habit"))
	w.Notes = r.PostFormValue("notes")
	w.Strokes = nil
	for _, stroke := range r.PostForm["strokes"] {
		w.Strokes = append(w.Strokes, wall.Stroke(stroke))
	}
	w.BirthYear = int(f.number(r, "birth_year"))
}

// readBody takes over the height and the mass of a new swimmer, and when they were measured.
func (f *swimmerForm) readBody(r *http.Request) {
	w := &f.Swimmer
	w.HeightM, w.MassKg = f.number(r, "height_m"), f.number(r, "mass_kg")
	on := record.Date(cmp.Or(r.PostFormValue("measured_on"), time.Now().Format(time.DateOnly)))
	if w.HeightM > 0 {
		w.HeightOn = on
	}
	if w.MassKg > 0 {
		w.MassOn = on
	}
}

// Swims reports whether a stroke is one of the swimmer's main strokes.
func (f swimmerForm) Swims(stroke wall.Stroke) bool {
	return slices.Contains(f.Swimmer.Strokes, stroke)
}

func (f *swimmerForm) number(r *http.Request, field string) float64 {
	f.typed[field] = r.PostFormValue(field)
	x, fault := numberField(f.typed[field])
	if fault != "" {
		f.Faults = append(f.Faults, record.Fault{Field: field, Text: fault})
	}
	return x
}

// numberField reads a number as people type it, with a point or a comma; empty
// is 0 = not known. The second result says what is wrong.
func numberField(text string) (float64, string) {
	text = strings.Replace(strings.TrimSpace(text), ",", ".", 1)
	if text == "" {
		return 0, ""
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || x < 0 {
		return 0, "is no number; write digits, such as 1.72, or leave it empty"
	}
	return x, ""
}

func (s *server) newSwimmer(w http.ResponseWriter, r *http.Request) {
	if s.whileHidden(w, r, "Adding a swimmer") {
		return
	}
	s.newSwimmerForm(w, r, http.StatusOK, swimmerForm{})
}

func (s *server) newSwimmerForm(w http.ResponseWriter, r *http.Request, status int, form swimmerForm) {
	view, err := s.opt.App.Squad(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	form.shell, form.Squads = s.shell("Add a swimmer", "squad"), view.Squads
	if form.Swimmer.SquadID == "" && form.SquadName == "" && len(view.Squads) > 0 && status == http.StatusOK {
		form.Swimmer.SquadID = view.Squads[0].ID
	}
	s.render(w, r, status, "new_swimmer", form)
}

func (s *server) addSwimmer(w http.ResponseWriter, r *http.Request) {
	if s.whileHidden(w, r, "Adding a swimmer") {
		return
	}
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	form := swimmerForm{SquadName: strings.TrimSpace(r.PostFormValue("squad_name"))}
	form.read(r)
	form.readBody(r)
	form.Swimmer.SquadID = r.PostFormValue("squad")
	id, err := s.keepNewSwimmer(r, &form)
	if err != nil || len(form.Faults) > 0 {
		s.formFailed(w, r, err, &form.Faults, func(status int) { s.newSwimmerForm(w, r, status, form) })
		return
	}
	http.Redirect(w, r, "/swimmer/"+id, http.StatusSeeOther)
}

// keepNewSwimmer keeps the swimmer, and first the new squad that was named. The
// swimmer is checked before the squad is made, so that a mistake leaves nothing.
func (s *server) keepNewSwimmer(r *http.Request, form *swimmerForm) (string, error) {
	fresh := form.Swimmer.SquadID == ""
	if fresh {
		if err := (record.Squad{Name: form.SquadName}).Validate(); err != nil {
			form.Faults = append(form.Faults, record.Fault{Field: "squad_name", Text: "is empty; choose a squad, or name a new one"})
		}
	}
	check := form.Swimmer
	if fresh {
		check.SquadID = "new"
	}
	var faults record.Faults
	if err := check.Validate(); errors.As(err, &faults) {
		form.Faults = append(form.Faults, faults...)
	}
	if len(form.Faults) > 0 {
		return "", nil
	}
	if fresh {
		squad, err := s.opt.App.AddSquad(r.Context(), record.Squad{Name: form.SquadName})
		if err != nil {
			return "", err
		}
		form.Swimmer.SquadID = squad
	}
	id, _, err := s.opt.App.AddSwimmer(r.Context(), form.Swimmer)
	return id, err
}

// formFailed shows the form again when the error is about its fields, and the
// error page otherwise.
func (s *server) formFailed(w http.ResponseWriter, r *http.Request, err error, faults *record.Faults, again func(status int)) {
	var more record.Faults
	if errors.As(err, &more) {
		*faults = append(*faults, more...)
		err = nil
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	again(http.StatusUnprocessableEntity)
}

func (s *server) editSwimmer(w http.ResponseWriter, r *http.Request) {
	if s.whileHidden(w, r, "Changing a swimmer's facts") {
		return
	}
	view, err := s.opt.App.Swimmer(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.editForm(w, r, http.StatusOK, swimmerForm{Swimmer: view.Swimmer})
}

func (s *server) editForm(w http.ResponseWriter, r *http.Request, status int, form swimmerForm) {
	var err error
	if form.Growth.Rows, err = s.opt.App.Growth(r.Context(), form.Swimmer.ID); err != nil {
		s.fail(w, r, err)
		return
	}
	if form.Others, err = s.opt.App.Squads(r.Context()); err != nil {
		s.fail(w, r, err)
		return
	}
	form.shell = s.shell("Facts about "+form.Swimmer.Name, "squad")
	s.render(w, r, status, "edit", form)
}

func (s *server) changeSwimmer(w http.ResponseWriter, r *http.Request) {
	if s.whileHidden(w, r, "Changing a swimmer's facts") {
		return
	}
	view, err := s.opt.App.Swimmer(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	form := swimmerForm{Swimmer: view.Swimmer}
	form.read(r)
	form.Swimmer.SquadID = cmp.Or(r.PostFormValue("squad"), form.Swimmer.SquadID)
	if len(form.Faults) == 0 {
		_, err = s.opt.App.UpdateSwimmer(r.Context(), form.Swimmer)
	}
	if err != nil || len(form.Faults) > 0 {
		s.formFailed(w, r, err, &form.Faults, func(status int) { s.editForm(w, r, status, form) })
		return
	}
	http.Redirect(w, r, "/swimmer/"+form.Swimmer.ID, http.StatusSeeOther)
}
