package web

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// privacyCases is what the pages on consent, growth, hidden names and erasing need.
type privacyCases interface {
	Hiding(ctx context.Context) (context.Context, *poolside.Disguise, error)
	HidingAlways(ctx context.Context) (context.Context, *poolside.Disguise, error)
	SetPseudonyms(ctx context.Context, on bool) error

	MayShow(ctx context.Context, swimmerID string, p record.Purpose) error
	MayOn(ctx context.Context, swimmerID string, p record.Purpose, on record.Date) error
	ConsentStates(ctx context.Context) (map[string]poolside.ConsentState, error)
	Consent(ctx context.Context, swimmerID string) (poolside.ConsentView, error)
	AddConsent(ctx context.Context, c record.Consent) (warning string, err error)
	WithdrawConsent(ctx context.Context, swimmerID, consentID string, on record.Date) (poolside.ConsentState, error)

	Growth(ctx context.Context, swimmerID string) ([]record.Growth, error)
	KeepGrowth(ctx context.Context, g record.Growth) (runs int, err error)
	RemoveGrowth(ctx context.Context, swimmerID string, on record.Date) (runs int, err error)

	Due(ctx context.Context) (poolside.DueView, error)
	SetFilmRule(ctx context.Context, squadID string, months int) error
	EraseFilm(ctx context.Context, clipID string) error
}

func (s *server) privacyRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /privacy", s.privacy)
	mux.HandleFunc("POST /names", s.hideNames)
	mux.HandleFunc("POST /privacy/film-rule", s.setFilmRule)
	mux.HandleFunc("POST /clip/{id}/erase-film", s.eraseFilm)
	mux.HandleFunc("GET /swimmer/{id}/consent", s.consent)
	mux.HandleFunc("POST /swimmer/{id}/consent", s.addConsent)
	mux.HandleFunc("POST /swimmer/{id}/consent/{consent}/withdraw", s.withdrawConsent)
	mux.HandleFunc("POST /swimmer/{id}/growth", s.keepGrowth)
	mux.HandleFunc("POST /swimmer/{id}/growth/remove", s.removeGrowth)
}

// privacyPage is the page on names, consent and what is due for erasing.
type privacyPage struct {
	shell
	poolside.DueView
	Consents []consentLine
	Faults   record.Faults
	SquadID  string // whose rule was typed wrongly
	Typed    string
}

// consentLine is a swimmer with what is allowed today.
type consentLine struct {
	ID, Name string
	State    poolside.ConsentState
}

func (s *server) privacy(w http.ResponseWriter, r *http.Request) {
	s.privacyForm(w, r, http.StatusOK, privacyPage{})
}

func (s *server) privacyForm(w http.ResponseWriter, r *http.Request, status int, page privacyPage) {
	var err error
	if page.DueView, err = s.opt.App.Due(r.Context()); err != nil {
		s.fail(w, r, err)
		return
	}
	states, err := s.opt.App.ConsentStates(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	squads, err := s.opt.App.Squad(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	for _, q := range squads.Squads {
		for _, row := range q.Rows {
			page.Consents = append(page.Consents, consentLine{row.ID, row.Name, states[row.ID]})
		}
	}
	page.shell = s.shell("Privacy", "privacy")
	s.render(w, r, status, "privacy", page)
}

// setFilmRule sets for how long a squad keeps film.
func (s *server) setFilmRule(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	page := privacyPage{SquadID: r.PostFormValue("squad"), Typed: strings.TrimSpace(r.PostFormValue("film_months"))}
	months, err := 0, error(nil)
	if page.Typed != "" {
		if months, err = strconv.Atoi(page.Typed); err != nil {
			page.Faults = record.Faults{{Field: "film_months", Text: "is no whole number; write months, such as 24, or leave it empty for no rule"}}
		}
	}
	if len(page.Faults) == 0 {
		err = s.opt.App.SetFilmRule(r.Context(), page.SquadID, months)
	} else {
		err = nil
	}
	if err != nil || len(page.Faults) > 0 {
		s.formFailed(w, r, err, &page.Faults, func(status int) { s.privacyForm(w, r, status, page) })
		return
	}
	http.Redirect(w, r, "/privacy#film", http.StatusSeeOther)
}

// eraseFilm erases one film after a person said so twice: by the tick and by the button.
func (s *server) eraseFilm(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	if r.PostFormValue("sure") != "yes" {
		s.problem(w, r, http.StatusUnprocessableEntity, "Nothing was erased", "Tick the box beside the button first: what is erased cannot be brought back.")
		return
	}
	if err := s.opt.App.EraseFilm(r.Context(), r.PathValue("id")); err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/privacy#film", http.StatusSeeOther)
}
