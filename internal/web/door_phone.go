package web

import (
	"context"
	"errors"
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
	Rows    []phoneLine
	Unnamed int  // swimmers not listed
	Took    bool // a clip has just come in
	Unasked bool // and no consent for filming is recorded for it
}

// phoneFindingPage is a swimmer's last finding.
type phoneFindingPage struct {
	shell
	Sentence string
	On       string
	Speed    *kick.Measure
}

// phoneLine is a swimmer as the phone sees one: by pseudonym. Without consent for showing in
// the squad nothing of what was found is in it.
type phoneLine struct {
	ID, Pseudonym string
	Withheld      bool // there is no such consent
	LastVisit     string
	Finding       string
	Speed         *kick.Measure
}

// phoneRows returns the swimmers with a pseudonym, and how many have none. Names, and what
// no consent allows to be shown, are dropped here, so that no template can show them.
func (s *server) phoneRows(ctx context.Context) (rows []phoneLine, unnamed int, err error) {
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
			line := phoneLine{ID: row.ID, Pseudonym: row.Pseudonym}
			switch err := s.opt.App.MayShow(ctx, row.ID, record.ForSquad); {
			case errors.Is(err, poolside.ErrConsent):
				line.Withheld = true
			case err != nil:
				return nil, 0, err
			default:
				line.LastVisit, line.Finding, line.Speed = row.LastVisit, row.Finding, row.Speed
			}
			rows = append(rows, line)
		}
	}
	return rows, unnamed, nil
}

// phoneRow finds one listed swimmer; nil when there is none.
func (s *server) phoneRow(ctx context.Context, id string) (*phoneLine, error) {
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
		shell: s.shell("Swimmers", "squad"), Rows: rows, Unnamed: unnamed, Took: r.URL.Query().Has("took"), Unasked: r.URL.Query().Get("took") == "unasked",
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
	if row.Withheld {
		s.problem(w, r, http.StatusForbidden, "This is not shown here",
			"There is no consent for showing "+row.Pseudonym+" in the squad. It is recorded on the computer, on the swimmer's consent page.")
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
	Rows []phoneLine
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
		s.formCutOff(w, r, err)
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
		address := "/?took"
		if s.opt.App.MayOn(r.Context(), row.ID, record.ForFilming, record.Date(form.On)) != nil {
			address += "=unasked"
		}
		http.Redirect(w, r, address, http.StatusSeeOther)
		return
	}
	if unusable(err) {
		form.Problem, err = sentence(err.Error()), nil
	}
	s.formFailed(w, r, err, &form.Faults, again)
}
