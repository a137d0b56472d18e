package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"os"
	"strconv"
	"strings"

	"underkick/internal/film"
	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/store"
)

// problemPage says what went wrong and what to do.
type problemPage struct {
	shell
	Words     string
	RequestID string // only where the log says more
}

// problem answers with a page, or with JSON where JSON was asked.
func (s *server) problem(w http.ResponseWriter, r *http.Request, status int, title, words string) {
	if wantsJSON(r) {
		s.json(w, r, status, map[string]string{"problem": words})
		return
	}
	page := problemPage{shell: s.shell(title, ""), Words: words}
	if status >= http.StatusInternalServerError {
		page.RequestID = idOf(r)
	}
	s.render(w, r, status, "problem", page)
}

func wantsJSON(r *http.Request) bool {
	return r.Header.Get("Content-Type") == "application/json" || r.Header.Get("Sec-Fetch-Dest") == "empty"
}

// fail answers for an error of a use case. What the person can mend is said in
// the error's own words; anything else goes to the log with the request's id.
func (s *server) fail(w http.ResponseWriter, r *http.Request, err error) {
	var faults record.Faults
	var tooLarge *http.MaxBytesError
	switch {
	case errors.Is(err, context.Canceled):
		return // the person went away
	case errors.Is(err, poolside.ErrNotFound) || errors.Is(err, film.ErrRange):
		s.problem(w, r, http.StatusNotFound, "This is not here", "It was taken away, or the address is mistyped. Look for it from the squad's page.")
	case errors.As(err, &tooLarge):
		s.problem(w, r, http.StatusRequestEntityTooLarge, "This is too large",
			fmt.Sprintf("At most %d MB are taken at once. Cut the clip to the underwater part and bring it in again.", tooLarge.Limit>>20))
	case errors.Is(err, os.ErrDeadlineExceeded):
		s.problem(w, r, http.StatusRequestTimeout, "Nothing more came", "The sending stopped half-way, and nothing of it was kept. Send it again.")
	case errors.As(err, &faults) || unusable(err):
		s.problem(w, r, http.StatusUnprocessableEntity, "This cannot be used as it is", sentence(err.Error()))
	case errors.Is(err, film.ErrNoEngine):
		s.opt.Log.Error("no film engine", "path", r.URL.Path, "request", idOf(r), "err", err)
		s.problem(w, r, http.StatusServiceUnavailable, "Film cannot be read here", sentence(err.Error()))
	case errors.Is(err, store.ErrFull) || errors.Is(err, store.ErrReadOnly) || errors.Is(err, store.ErrDamaged):
		s.opt.Log.Error("store failed", "path", r.URL.Path, "request", idOf(r), "err", err)
		s.problem(w, r, http.StatusInsufficientStorage, "The data folder does not take it", sentence(err.Error()))
	default:
		s.opt.Log.Error("answer failed", "path", r.URL.Path, "request", idOf(r), "err", err)
		s.problem(w, r, http.StatusInternalServerError, "Something failed here",
			"The program met an error of its own. What was saved before stays. Try again; if it comes back, keep the log.")
	}
}

// unusable reports whether an error is about what a person gave and says in its
// own words what to do.
func unusable(err error) bool {
	return errors.Is(err, poolside.ErrInput) || errors.Is(err, film.ErrRefused) || errors.Is(err, store.ErrEmpty)
}

// sentence starts a message with a capital, unless with a file's name, and ends
// it with a stop.
func sentence(text string) string {
	if text == "" {
		return text
	}
	first, _, _ := strings.Cut(text, " ")
	if c := text[0]; c >= 'a' && c <= 'z' && !strings.Contains(first, ".") {
		text = string(c-'a'+'A') + text[1:]
	}
	if last := text[len(text)-1]; last != '.' && last != '?' && last != '!' {
		text += "."
	}
	return text
}

// json answers with JSON; a value that cannot be written is our own error.
func (s *server) json(w http.ResponseWriter, r *http.Request, status int, v any) {
	body, err := json.Marshal(v)
	if err != nil {
		s.opt.Log.Error("answer failed", "path", r.URL.Path, "request", idOf(r), "err", err)
		status, body = http.StatusInternalServerError, []byte(`{"problem":"The program met an error of its own."}`)
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	if _, err := w.Write(body); err != nil {
		s.opt.Log.Debug("answer not delivered", "path", r.URL.Path, "err", err)
	}
}

// picture answers with a JPEG.
func (s *server) picture(w http.ResponseWriter, r *http.Request, picture []byte) {
	w.Header().Set("Content-Type", "image/jpeg")
	w.Header().Set("Content-Length", strconv.Itoa(len(picture)))
	if _, err := w.Write(picture); err != nil {
		s.opt.Log.Debug("picture not delivered", "path", r.URL.Path, "err", err)
	}
}

// keptPicture is picture of what does not change, so that the browser may keep it; it shows
// people, so only this browser.
func (s *server) keptPicture(w http.ResponseWriter, r *http.Request, picture []byte) {
	w.Header().Set("Cache-Control", "private, max-age=86400, immutable")
	s.picture(w, r, picture)
}

func (s *server) unknown(w http.ResponseWriter, r *http.Request) {
	s.fail(w, r, poolside.ErrNotFound)
}

// readJSON reads a request's JSON of exactly the shape of into. Otherwise it answers with
// the problem and returns false.
func (s *server) readJSON(w http.ResponseWriter, r *http.Request, into any, title, words string) bool {
	dec := json.NewDecoder(r.Body)
	dec.DisallowUnknownFields()
	if err := dec.Decode(into); err != nil {
		s.problem(w, r, http.StatusBadRequest, title, words)
		return false
	}
	return true
}

// readMark reads a marking action into act. Otherwise it answers with the problem and
// returns false.
func (s *server) readMark(w http.ResponseWriter, r *http.Request, act any) bool {
	if !strings.HasPrefix(r.Header.Get("Content-Type"), "application/json") {
		s.problem(w, r, http.StatusUnsupportedMediaType, "Marks come as JSON", "The marking page sends them; send application/json.")
		return false
	}
	return s.readJSON(w, r, act, cannotReadMark, "The marking action is no JSON of the expected shape. Load the page again.")
}

// markFailed answers for a marking action that was not taken.
func (s *server) markFailed(w http.ResponseWriter, r *http.Request, err error) {
	if errors.Is(err, poolside.ErrAction) {
		s.problem(w, r, http.StatusBadRequest, cannotReadMark, sentence(err.Error()))
		return
	}
	s.fail(w, r, err)
}

const cannotReadMark = "This mark cannot be read"
