package web

import (
	"net/http"
	"strings"

	"underkick/internal/kick"
	"underkick/internal/report"
)

// measuresPage lists every definition by group.
type measuresPage struct {
	shell
	Groups []definitionGroup
}

type definitionGroup struct {
	ID, Name    string
	Definitions []definitionEntry
}

type definitionEntry struct {
	ID, Name, Unit, Meaning, Formula, Source, Limits string
}

func (s *server) measures(w http.ResponseWriter, r *http.Request) {
	page := measuresPage{shell: s.shell("Measures and their definitions", "measures")}
	for _, d := range kick.Definitions() {
		if n := len(page.Groups); n == 0 || page.Groups[n-1].Name != d.Group {
			page.Groups = append(page.Groups, definitionGroup{ID: fragment(d.Group), Name: d.Group})
		}
		g := &page.Groups[len(page.Groups)-1]
		g.Definitions = append(g.Definitions, definitionEntry{
			ID: d.ID, Name: d.Name, Unit: report.Unit(d.ID, d.Unit), Meaning: d.Meaning,
			Formula: d.Formula, Source: d.Source, Limits: d.Limits,
		})
	}
	s.render(w, r, http.StatusOK, "measures", page)
}

// fragment turns a heading into the name of its place on the page.
func fragment(heading string) string {
	return strings.Join(strings.Fields(strings.ToLower(heading)), "-")
}

// aboutPage holds the licence and the notices.
type aboutPage struct {
	shell
	Licence, Notices string
}

func (s *server) about(w http.ResponseWriter, r *http.Request) {
	s.render(w, r, http.StatusOK, "about", aboutPage{s.shell("About underkick", "about"), s.opt.Licence, s.opt.Notices})
}
