package web

import (
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"time"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// bringInPage is the form for a new clip.
type bringInPage struct {
	shell
	Squads    []poolside.SquadSection
	SwimmerID string
	On        string
	Pool      string
	TrueFPS   string
	Faults    record.Faults
	Problem   string // with the file, in words
}

func (s *server) bringIn(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	page := bringInPage{SwimmerID: q.Get("swimmer"), On: q.Get("on"), Pool: q.Get("pool")}
	if page.On == "" {
		page.On = time.Now().Format(time.DateOnly)
	}
	s.bringInForm(w, r, http.StatusOK, page)
}

func (s *server) bringInForm(w http.ResponseWriter, r *http.Request, status int, page bringInPage) {
	view, err := s.opt.App.Squad(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page.shell, page.Squads = s.shell("Bring in a clip", "bring-in"), view.Squads
	s.render(w, r, status, "bring_in", page)
}

// takeClip reads the form as it streams in: the fields come before the file, and
// the file goes straight to the store without being held in memory.
func (s *server) takeClip(w http.ResponseWriter, r *http.Request) {
	parts, err := r.MultipartReader()
	if err != nil {
		s.problem(w, r, http.StatusBadRequest, "No clip came in", "The form arrived incomplete. Go back, choose the file again and send it.")
		return
	}
	page := bringInPage{}
	file, err := page.readFields(parts)
	if err != nil {
		s.formCutOff(w, r, err)
		return
	}
	fps, fault := numberField(page.TrueFPS)
	if fault != "" {
		page.Faults = append(page.Faults, record.Fault{Field: "true_fps", Text: fault})
	}
	if page.SwimmerID == "" {
		page.Faults = append(page.Faults, record.Fault{Field: "swimmer", Text: "is missing; choose the swimmer"})
	}
	if file == nil || file.FileName() == "" {
		page.Faults = append(page.Faults, record.Fault{Field: "clip", Text: "is missing; choose a film file"})
	}
	if len(page.Faults) > 0 {
		s.bringInForm(w, r, http.StatusUnprocessableEntity, page)
		return
	}
	in, err := s.opt.App.BringIn(r.Context(), poolside.BringIn{
		SwimmerID: page.SwimmerID, On: record.Date(page.On), Pool: page.Pool, FileName: filepath.Base(file.FileName()), TrueFPS: fps, Content: file,
	})
	if err != nil {
		s.clipRefused(w, r, page, err)
		return
	}
	next := "/swimmer/" + page.SwimmerID
	if in.JobID != "" {
		next = "/job/" + in.JobID
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
}

// formCutOff answers for a form that could not be read to its file.
func (s *server) formCutOff(w http.ResponseWriter, r *http.Request, err error) {
	if tooLarge := (*http.MaxBytesError)(nil); errors.As(err, &tooLarge) || errors.Is(err, os.ErrDeadlineExceeded) {
		s.fail(w, r, fmt.Errorf("read the form: %w", err))
		return
	}
	s.opt.Log.Debug("form cut off", "path", r.URL.Path, "request", idOf(r), "err", err)
	s.problem(w, r, http.StatusBadRequest, "No clip came in", "The form arrived incomplete. Go back, choose the clip again and send it.")
}

// clipRefused shows the form again with what is wrong with the file or a field.
func (s *server) clipRefused(w http.ResponseWriter, r *http.Request, page bringInPage, err error) {
	if unusable(err) {
		page.Problem = sentence(err.Error())
		err = nil
	}
	s.formFailed(w, r, err, &page.Faults, func(status int) { s.bringInForm(w, r, status, page) })
}

// readFields reads the form up to the file and returns the file, nil when there
// is none.
func (p *bringInPage) readFields(parts *multipart.Reader) (*multipart.Part, error) {
	for range mostFields {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			return nil, nil //nolint:nilnil // no file in the form is no error of reading; the form says so
		}
		if err != nil {
			return nil, err
		}
		if part.FormName() == "clip" {
			return part, nil
		}
		text, err := io.ReadAll(io.LimitReader(part, 4096))
		if err != nil {
			return nil, err
		}
		p.set(part.FormName(), strings.TrimSpace(string(text)))
	}
	return nil, nil //nolint:nilnil // nor is one with more fields than ours before the file
}

func (p *bringInPage) set(field, text string) {
	switch field {
	case "swimmer":
		p.SwimmerID = text
	case "on":
		p.On = text
	case "pool":
		p.Pool = text
	case "true_fps":
		p.TrueFPS = text
	}
}
