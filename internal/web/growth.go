package web

import (
	"net/http"

	"underkick/internal/record"
)

// growthForm is the part of a swimmer's facts on height and mass by day.
type growthForm struct {
	Rows   []record.Growth // newest first
	Faults record.Faults
	On     string
	Height string // as typed
	Mass   string
}

// keepGrowth keeps a height, a mass or both of a day.
func (s *server) keepGrowth(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	form := growthForm{On: r.PostFormValue("on"), Height: r.PostFormValue("height_m"), Mass: r.PostFormValue("mass_kg")}
	g := record.Growth{SwimmerID: r.PathValue("id"), On: record.Date(form.On)}
	for _, n := range []struct {
		field, typed string
		value        *float64
	}{{"height_m", form.Height, &g.HeightM}, {"mass_kg", form.Mass, &g.MassKg}} {
		x, fault := numberField(n.typed)
		if fault != "" {
			form.Faults = append(form.Faults, record.Fault{Field: n.field, Text: fault})
		}
		*n.value = x
	}
	var err error
	if len(form.Faults) == 0 {
		_, err = s.opt.App.KeepGrowth(r.Context(), g)
	}
	if err != nil || len(form.Faults) > 0 {
		s.formFailed(w, r, err, &form.Faults, func(status int) { s.editAgain(w, r, status, form) })
		return
	}
	http.Redirect(w, r, "/swimmer/"+g.SwimmerID+"/edit#growth", http.StatusSeeOther)
}

// editAgain shows a swimmer's facts with what is wrong in the part on growth.
func (s *server) editAgain(w http.ResponseWriter, r *http.Request, status int, growth growthForm) {
	view, err := s.opt.App.Swimmer(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.editForm(w, r, status, swimmerForm{Swimmer: view.Swimmer, Growth: growth})
}

// removeGrowth takes a wrong entry away.
func (s *server) removeGrowth(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	id := r.PathValue("id")
	if _, err := s.opt.App.RemoveGrowth(r.Context(), id, record.Date(r.PostFormValue("on"))); err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/swimmer/"+id+"/edit#growth", http.StatusSeeOther)
}
