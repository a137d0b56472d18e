package web

import (
	"net/http"
	"slices"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// lessonStartPage is the form of a new lesson.
type lessonStartPage struct {
	shell
	Templates []templateChoice
	Squads    []poolside.LessonChoiceSquad
	Start     poolside.LessonStart
	Faults    record.Faults
	Problem   string
}

// templateChoice is a template to begin from.
type templateChoice struct {
	ID           record.LessonTemplate
	Title, Words string
}

// Has reports whether a run is chosen.
func (p lessonStartPage) Has(run string) bool { return slices.Contains(p.Start.RunIDs, run) }

func (s *server) newLesson(w http.ResponseWriter, r *http.Request) {
	start := poolside.LessonStart{Template: record.FacingLesson, Audience: record.InSquad, Paper: record.A4}
	if run := r.FormValue("run"); run != "" {
		start.RunIDs, start.Template = []string{run}, record.OneSwimmer
	}
	s.lessonStart(w, r, http.StatusOK, lessonStartPage{Start: start})
}

func (s *server) lessonStart(w http.ResponseWriter, r *http.Request, status int, p lessonStartPage) {
	choices, err := s.opt.App.LessonChoices(r.Context(), p.Start.RunIDs...)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	for _, t := range record.LessonTemplates() {
		title, words := poolside.LessonTemplateWords(t)
		p.Templates = append(p.Templates, templateChoice{t, title, words})
	}
	p.shell, p.Squads = s.shell("New lesson", "lessons"), choices.Squads
	s.render(w, r, status, "lesson_new", p)
}

func (s *server) addLesson(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	p := lessonStartPage{Start: poolside.LessonStart{
		Template: record.LessonTemplate(r.PostFormValue("template")), Title: strings.TrimSpace(r.PostFormValue("title")),
		SquadID: r.PostFormValue("squad"), RunIDs: r.PostForm["run"],
		Audience: record.Audience(r.PostFormValue("audience")), Paper: record.Paper(r.PostFormValue("paper")),
	}}
	id, err := s.opt.App.NewLesson(r.Context(), p.Start)
	if err == nil {
		http.Redirect(w, r, "/lesson/"+id+"/edit", http.StatusSeeOther)
		return
	}
	if unusable(err) {
		p.Problem, err = sentence(err.Error()), nil
	}
	s.formFailed(w, r, err, &p.Faults, func(status int) { s.lessonStart(w, r, status, p) })
}
