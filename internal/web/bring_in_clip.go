package web

import (
	"context"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// clipCases is what the page of a clip's runs needs of package poolside.
type clipCases interface {
	Clip(ctx context.Context, clipID string) (poolside.ClipView, error)
	KeepRuns(ctx context.Context, clipID string, choices []poolside.RunChoice) (jobID string, err error)
	LookForRuns(ctx context.Context, clipID string) (jobID string, err error)
	Preview(ctx context.Context, clipID string, k int) ([]byte, error)
}

func (s *server) clipRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /clip/{id}", s.clip)
	mux.HandleFunc("POST /clip/{id}/runs", s.keepRuns)
	mux.HandleFunc("POST /clip/{id}/find-runs", s.findRuns)
	mux.HandleFunc("GET /clip/{id}/preview/{file}", s.preview)
}

// clipPage is a clip with its check card and its runs on the motion ribbon.
type clipPage struct {
	shell
	poolside.ClipView
	Rows   []runRow
	Ribbon template.HTML
	Thumbs []int
	Faults record.Faults

	Unasked bool // no consent for filming is recorded for the visit's day
}

// LastFrame is the number of the clip's last picture.
func (p clipPage) LastFrame() int { return p.Clip.Facts.Frames - 1 }

// runRow is one stretch of the form; the last one is empty, for a run of the coach's own.
type runRow struct {
	N        int
	RunID    string
	From, To string
	Position record.Position
	Habit    bool
	Kept     bool
	Keep     bool
	Marks    int
	Words    string // what is seen there
	FirstNo  int    // frames of the two pictures beside the fields
	LastNo   int
}

// Known reports whether the row stands for a stretch already; what was only typed does not.
func (r runRow) Known() bool { return r.LastNo > 0 }

func (s *server) clip(w http.ResponseWriter, r *http.Request) {
	s.clipForm(w, r, http.StatusOK, nil, nil)
}

// clipForm shows the clip; rows that were typed stand in place of what is kept.
func (s *server) clipForm(w http.ResponseWriter, r *http.Request, status int, typed []runRow, faults record.Faults) {
	view, err := s.opt.App.Clip(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if gone := view.Clip.FilmGone; !gone.IsZero() {
		s.problem(w, r, http.StatusGone, "The film is erased", "The film of this clip was erased on "+day(string(record.DateOf(gone)))+". What was measured before stands on the swimmer's page.")
		return
	}
	page := clipPage{shell: s.shell("Runs of "+view.Clip.Name, "bring-in"), ClipView: view, Faults: faults}
	switch err := s.opt.App.MayOn(r.Context(), view.Swimmer.ID, record.ForFilming, view.Visit.On); {
	case errors.Is(err, poolside.ErrConsent):
		page.Unasked = true
	case err != nil:
		s.fail(w, r, err)
		return
	}
	page.Rows = rowsOf(view)
	for i := range min(len(page.Rows), len(typed)) {
		row := &page.Rows[i]
		row.From, row.To, row.Position, row.Keep = typed[i].From, typed[i].To, typed[i].Position, typed[i].Keep
	}
	page.Ribbon = motionRibbon(view, page.Rows)
	for k := range poolside.PreviewPictures {
		page.Thumbs = append(page.Thumbs, k)
	}
	s.render(w, r, status, "clip", page)
}

func rowsOf(v poolside.ClipView) []runRow {
	var rows []runRow
	for i, p := range v.Runs {
		rows = append(rows, runRow{
			N: i, RunID: p.RunID, From: strconv.Itoa(p.From), To: strconv.Itoa(p.To), Position: p.Position, Habit: p.Habit,
			Kept: p.Kept, Keep: p.Kept, Marks: p.Marks, Words: seenWords(p.Seen), FirstNo: p.From, LastNo: p.To,
		})
	}
	return append(rows, runRow{N: len(rows)})
}

// seenWords says what film alone shows of a run.
func seenWords(r *poolside.SeenRun) string {
	if r == nil {
		return ""
	}
	way := "to the left"
	if r.Right {
		way = "to the right"
	}
	if r.Frequency == 0 {
		return "A swimmer crosses " + way + "; no steady kicking is seen."
	}
	return fmt.Sprintf("A swimmer crosses %s: about %s, %.2f per second.", way, plural(r.Kicks, "whole kick", "whole kicks"), r.Frequency)
}

func (s *server) keepRuns(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.problem(w, r, http.StatusBadRequest, "The form did not arrive", "Go back and send it again.")
		return
	}
	choices, rows, faults := runChoices(r.PostForm)
	if len(faults) > 0 {
		s.clipForm(w, r, http.StatusUnprocessableEntity, rows, faults)
		return
	}
	job, err := s.opt.App.KeepRuns(r.Context(), r.PathValue("id"), choices)
	var wrong record.Faults
	if errors.As(err, &wrong) {
		s.clipForm(w, r, http.StatusUnprocessableEntity, rows, wrong)
		return
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/job/"+job, http.StatusSeeOther)
}

// runChoices reads the rows of the form, in order.
func runChoices(form url.Values) (choices []poolside.RunChoice, rows []runRow, faults record.Faults) {
	for i := 0; form.Has(fmt.Sprintf("from_%d", i)) && i < 50; i++ {
		get := func(name string) string { return strings.TrimSpace(form.Get(fmt.Sprintf("%s_%d", name, i))) }
		row := runRow{N: i, RunID: get("run"), From: get("from"), To: get("to"), Position: record.Position(get("position")), Keep: get("keep") != ""}
		c := poolside.RunChoice{RunID: row.RunID, Position: row.Position, Keep: row.Keep}
		for name, at := range map[string]*int{"from": &c.From, "to": &c.To} {
			n, err := strconv.Atoi(get(name))
			if err != nil && row.Keep {
				faults = append(faults, record.Fault{Field: fmt.Sprintf("%s_%d", name, i), Text: "is no frame number; write digits"})
			}
			*at = n
		}
		rows, choices = append(rows, row), append(choices, c)
	}
	return choices, rows, faults
}

func (s *server) findRuns(w http.ResponseWriter, r *http.Request) {
	job, err := s.opt.App.LookForRuns(r.Context(), r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/job/"+job, http.StatusSeeOther)
}

// preview answers with one small picture of a clip, to find one's way by.
func (s *server) preview(w http.ResponseWriter, r *http.Request) {
	text, isJPEG := strings.CutSuffix(r.PathValue("file"), ".jpg")
	k, err := strconv.Atoi(text)
	if !isJPEG || err != nil {
		s.fail(w, r, poolside.ErrNotFound)
		return
	}
	picture, err := s.opt.App.Preview(r.Context(), r.PathValue("id"), k)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.keptPicture(w, r, picture)
}
