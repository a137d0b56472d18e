package web

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"strings"
)

//go:embed templates
var templateFiles embed.FS

// pageParts lists every page with the parts it uses. Start-up fails when a
// file is missing here, or named here and missing there.
var pageParts = map[string][]string{
	"squad":         {"banded"},
	"swimmer":       {"banded", "cautions_breath", "conditions", "goal", "trend", "visit"},
	"goals":         {"cautions_breath", "goal"},
	"new_swimmer":   {"swimmer_fields"},
	"edit":          {"swimmer_fields", "growth"},
	"consent":       {"cautions_filming"},
	"privacy":       nil,
	"keep":          nil,
	"erase":         nil,
	"erasing":       nil,
	"bring_in":      {"cautions_filming"},
	"job":           nil,
	"filming_card":  {"number_field"},
	"clip":          nil,
	"put_right":     nil,
	"squad_edit":    nil,
	"clip_out":      nil,
	"made_clip":     nil,
	"mark":          {"stage", "conditions", "lens", "steady"},
	"stills":        {"conditions", "layers"},
	"kick":          {"measure_row", "conditions", "worth", "what_if", "steady", "layers"},
	"model":         nil,
	"measures":      nil,
	"about":         nil,
	"retest":        {"cautions_breath", "verdict_table"},
	"practice":      {"cautions_breath", "drill_card", "give_fields"},
	"practising":    {"cautions_breath", "drill_card", "give_fields"},
	"drill":         {"cautions_breath", "drill_card"},
	"given_weeks":   {"cautions_breath"},
	"session":       {"cautions_breath"},
	"retests":       {"cautions_breath"},
	"own_drills":    {"cautions_breath", "drill_card"},
	"drill_form":    {"cautions_breath"},
	"squad_walls":   {"cautions_breath"},
	"swimmer_walls": {"cautions_breath", "click_track"},
	"wall_plan":     {"cautions_breath", "plan_turns", "wall_fields", "number_field"},
	"ladder":        {"cautions_breath", "plan_turns", "click_track"},
	"lessons":       nil,
	"lesson":        nil,
	"lesson_new":    nil,
	"lesson_edit":   {"lesson_about", "lesson_fields"},
	"sheet":         nil,
	"remark":        {"blind", "stage"},
	"pair":          {"blind", "stage"},
	"alike":         nil,
	"markers":       nil,
	"compare":       {"compare_rows"},
	"problem":       nil,
	"phone_enter":   nil,
	"phone":         {"banded"},
	"phone_bring":   {"cautions_filming"},
	"phone_finding": {"banded"},
}

// shell is what every page shows around its own content.
type shell struct {
	Title   string // of the browser's tab
	Section string // of the navigation's entries, the one lit; "" for none
	Static  string // "/static/HASH"
	Version string
	Phone   bool // a page for the local network: leads to no page of the computer
}

// parsePages parses layout + parts + page for every page and checks that no
// file is left over.
func parsePages(files fs.FS, parts map[string][]string) (map[string]*template.Template, error) {
	used := map[string]bool{"layout.html": true}
	pages := map[string]*template.Template{}
	for name, list := range parts {
		names := []string{"layout.html"}
		for _, p := range list {
			names = append(names, "parts/"+p+".html")
		}
		names = append(names, "pages/"+name+".html")
		t, err := template.New("layout.html").Funcs(words).Option("missingkey=error").ParseFS(files, names...)
		if err != nil {
			return nil, fmt.Errorf("parse page %s: %w", name, err)
		}
		pages[name] = t
		for _, n := range names {
			used[n] = true
		}
	}
	return pages, leftOver(files, used)
}

func leftOver(files fs.FS, used map[string]bool) error {
	var unused []string
	err := fs.WalkDir(files, ".", func(p string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && path.Ext(p) == ".html" && !used[p] {
			unused = append(unused, p)
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("list templates: %w", err)
	}
	if len(unused) > 0 {
		slices.Sort(unused)
		return fmt.Errorf("templates that no page uses: %s", strings.Join(unused, ", "))
	}
	return nil
}

// render writes a page, or the error page when the template fails: nothing is
// sent before the whole page stands in memory.
func (s *server) render(w http.ResponseWriter, r *http.Request, status int, page string, data any) {
	var buf bytes.Buffer
	if err := s.page(r, page).Execute(&buf, data); err != nil {
		s.fail(w, r, fmt.Errorf("render page %s: %w", page, err))
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	if _, err := buf.WriteTo(w); err != nil {
		s.opt.Log.Debug("answer not delivered", "page", page, "err", err)
	}
}
