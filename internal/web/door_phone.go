package web

import (
	"context"
	"net/http"
	"path"
	"time"

	"underkick/internal/kick"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

// phonePage lists the swimmers who have a pseudonym, by it.
type phonePage struct {
	shell
	Rows    []poolside.SwimmerRow
	Unnamed int  // swimmers not listed
	Took    bool // a clip has just come in
}

// phoneFindingPage is a swimmer's last finding.
type phoneFindingPage struct {
	shell
	Sentence string
	On       string
	Speed    *kick.Measure
}

// phoneRows returns the swimmers with a pseudonym, whose names are dropped here
// so that no template can show them, and how many have none.
func (s *server) phoneRows(ctx context.Context) (rows []poolside.SwimmerRow, unnamed int, err error) {
	view, err := s.opt.App.Squad(ctx)
	if err != nil {
		return nil, 0, err
	}
	for _, squad := range view.Squads {
		for _, row := range squad.Rows {
			if row.Pseudonym == "" {
				unnamed++
				continue
			}
			row.Name, row.Alike = "", nil
			rows = append(rows, row)
		}
	}
	return rows, unnamed, nil
}

// phoneRow finds one listed swimmer; nil when there is none.
func (s *server) phoneRow(ctx context.Context, id string) (*poolside.SwimmerRow, error) {
	rows, _, err := s.phoneRows(ctx)
	for _, row := range rows {
		if row.ID == id {
			return &row, err
		}
	}
	return nil, err
}

func (s *server) phone(w http.ResponseWriter, r *http.Request) {
	rows, unnamed, err := s.phoneRows(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "phone", phonePage{
		shell: s.shell("Swimmers", "squad"), Rows: rows, Unnamed: unnamed, Took: r.URL.Query().Has("took"),
	})
}

func (s *server) phoneFinding(w http.ResponseWriter, r *http.Request) {
	row, err := s.phoneRow(r.Context(), r.PathValue("id"))
	if err == nil && row == nil {
		err = poolside.ErrNotFound
	}
	if err != nil {
		s.fail(w, r, err)
		return
	}
	view, err := s.opt.App.Swimmer(r.Context(), row.ID)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.render(w, r, http.StatusOK, "phone_finding", phoneFindingPage{
		shell: s.shell(row.Pseudonym, "squad"), Sentence: view.Sentence, On: row.LastVisit, Speed: row.Speed,
	})
}

// phoneBringPage is the form for a clip from the phone.
type phoneBringPage struct {
	bringInPage
	Rows []poolside.SwimmerRow
}

func (s *server) phoneBringIn(w http.ResponseWriter, r *http.Request) {
	s.phoneBringForm(w, r, http.StatusOK, bringInPage{SwimmerID: r.URL.Query().Get("swimmer"), On: time.Now().Format(time.DateOnly)})
}

func (s *server) phoneBringForm(w http.ResponseWriter, r *http.Request, status int, form bringInPage) {
	rows, _, err := s.phoneRows(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	form.shell = s.shell("Bring in a clip", "bring-in")
	s.render(w, r, status, "phone_bring", phoneBringPage{bringInPage: form, Rows: rows})
}

// phoneTakeClip takes a clip for a listed swimmer. What becomes of it is shown
// on the computer alone.
func (s *server) phoneTakeClip(w http.ResponseWriter, r *http.Request) {
	parts, err := r.MultipartReader()
	if err != nil {
		s.problem(w, r, http.StatusBadRequest, "No clip came in", "The form arrived incomplete. Go back, choose the clip again and send it.")
		return
	}
	form := bringInPage{}
	file, err := form.readFields(parts)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	row, err := s.phoneRow(r.Context(), form.SwimmerID)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	again := func(status int) { s.phoneBringForm(w, r, status, form) }
	if row == nil {
		form.Faults = append(form.Faults, record.Fault{Field: "swimmer", Text: "is missing; choose the swimmer"})
	}
	if file == nil || file.FileName() == "" {
		form.Faults = append(form.Faults, record.Fault{Field: "clip", Text: "is missing; choose a film file"})
	}
	if len(form.Faults) > 0 {
		again(http.StatusUnprocessableEntity)
		return
	}
	// FileName holds no folders: mime/multipart takes the base of what was sent.
	_, err = s.opt.App.BringIn(r.Context(), poolside.BringIn{
		SwimmerID: row.ID, On: record.Date(form.On), Pool: form.Pool, FileName: path.Base(file.FileName()), Content: file,
	})
	if err == nil {
		http.Redirect(w, r, "/?took", http.StatusSeeOther)
		return
	}
	if unusable(err) {
		form.Problem, err = sentence(err.Error()), nil
	}
	s.formFailed(w, r, err, &form.Faults, again)
}
