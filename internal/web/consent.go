package web

import (
	"net/http"
	"strings"
	"time"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// consentPage is a swimmer's consents with their history, and the form for one more.
type consentPage struct {
	shell
	poolside.ConsentView
	Form   record.Consent
	Faults record.Faults
	Notice string // what the last act led to
	Today  string
}

// Names reports whether the form's consent names a purpose.
func (p consentPage) Names(purpose record.Purpose) bool {
	for _, q := range p.Form.For {
		if q == purpose {
			return true
		}
	}
	return false
}

func (s *server) consent(w http.ResponseWriter, r *http.Request) {
	s.consentForm(w, r, http.StatusOK, consentPage{Form: record.Consent{For: []record.Purpose{record.ForFilming}}})
}

func (s *server) consentForm(w http.ResponseWriter, r *http.Request, status int, page consentPage) {
	var err error
	if page.ConsentView, err = s.opt.App.Consent(r.Context(), r.PathValue("id")); err != nil {
		s.fail(w, r, err)
		return
	}
	page.Today = time.Now().Format(time.DateOnly)
	if page.Form.On == "" && len(page.Faults) == 0 {
		page.Form.On = record.Date(page.Today)
	}
	if page.Form.As == "" {
		page.Form.As = page.State.Giver
	}
	page.shell = s.shell("Consent for "+page.Swimmer.Name, "squad")
	s.render(w, r, status, "consent", page)
}

// addConsent records a consent.
func (s *server) addConsent(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	if s.whileHidden(w, r, "Recording a consent") {
		return
	}
	form := record.Consent{
		SwimmerID: r.PathValue("id"), GivenBy: strings.TrimSpace(r.PostFormValue("given_by")), As: record.Giver(r.PostFormValue("as")),
		On: record.Date(r.PostFormValue("on")), Until: record.Date(r.PostFormValue("until")), Notes: r.PostFormValue("notes"),
	}
	for _, p := range r.PostForm["for"] {
		form.For = append(form.For, record.Purpose(p))
	}
	page := consentPage{Form: form}
	if form.On == "" {
		page.Faults = record.Faults{{Field: "on", Text: "is missing; write the day on which it was given"}}
		s.consentForm(w, r, http.StatusUnprocessableEntity, page)
		return
	}
	warning, err := s.opt.App.AddConsent(r.Context(), form)
	if err != nil {
		s.formFailed(w, r, err, &page.Faults, func(status int) { s.consentForm(w, r, status, page) })
		return
	}
	if warning != "" { // recorded, and worth a word: the page says why it allows nothing
		s.consentForm(w, r, http.StatusOK, consentPage{Notice: warning, Form: record.Consent{For: []record.Purpose{record.ForFilming}}})
		return
	}
	http.Redirect(w, r, "/swimmer/"+form.SwimmerID+"/consent", http.StatusSeeOther)
}

// withdrawConsent withdraws one; what other consents still allow is said.
func (s *server) withdrawConsent(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	id := r.PathValue("id")
	state, err := s.opt.App.WithdrawConsent(r.Context(), id, r.PathValue("consent"), record.Date(r.PostFormValue("withdrawn")))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if words := state.Words(); !strings.HasPrefix(words, "none") {
		s.consentForm(w, r, http.StatusOK, consentPage{
			Notice: "It is withdrawn. Another consent still allows " + words + "; withdraw that too if it was meant.",
			Form:   record.Consent{For: []record.Purpose{record.ForFilming}},
		})
		return
	}
	http.Redirect(w, r, "/swimmer/"+id+"/consent", http.StatusSeeOther)
}
