package web

import (
	"errors"
	"mime"
	"net"
	"net/http"
	"os"
	"strings"
)

// contentPolicy lets a page load pictures, film, styles, scripts and data from this
// server alone, forbids inline styles and scripts, and lets no other page
// frame it.
const contentPolicy = "default-src 'none'; img-src 'self'; media-src 'self'; style-src 'self'; script-src 'self'; " +
	"connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

const (
	formBytes = 1 << 20  // largest form without a clip
	jsonBytes = 64 << 10 // largest marking action
	fileBytes = 64 << 20 // largest file of marks
)

// withHeaders puts the headers of the content policy on every answer. Pages
// hold people's names and are not stored by the browser unless a handler says
// otherwise.
func withHeaders(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", contentPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		next.ServeHTTP(w, r)
	})
}

// onlyThisComputer refuses requests that name another host. A foreign name
// that resolves to 127.0.0.1 (DNS rebinding) would otherwise let its page read
// everything here.
func (s *server) onlyThisComputer(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !isThisComputer(r.Host) {
			s.problem(w, r, http.StatusMisdirectedRequest, "This address is not ours",
				"Underkick answers only to this computer's own address. Open http://127.0.0.1 with the port that the program printed when it started.")
			return
		}
		next.ServeHTTP(w, r)
	})
}

func isThisComputer(hostport string) bool {
	host := hostport
	if h, _, err := net.SplitHostPort(hostport); err == nil {
		host = h
	}
	host = strings.Trim(host, "[]")
	if strings.EqualFold(host, "localhost") {
		return true
	}
	ip := net.ParseIP(host)
	return ip != nil && ip.IsLoopback()
}

// ownWrites refuses writes that a page of another origin sends.
func (s *server) ownWrites(next http.Handler) http.Handler {
	guard := http.NewCrossOriginProtection()
	guard.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.problem(w, r, http.StatusForbidden, "That came from another site",
			"Another site's page tried to change something here. Nothing was changed. Open the page from this program's own address and do it there.")
	}))
	return guard.Handler(next)
}

// withLimits bounds the body of every request, in size and in time. The clip upload has its
// own, larger bound.
func (s *server) withLimits(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		limit := int64(formBytes)
		switch files := r.Method == http.MethodPost && !plainForm(r); {
		case files && r.URL.Path == "/bring-in":
			limit = s.opt.MaxClipBytes + formBytes
		case files && strings.HasSuffix(r.URL.Path, "/marks-file"):
			limit = fileBytes
		case strings.HasPrefix(r.Header.Get("Content-Type"), "application/json"):
			limit = jsonBytes
		}
		s.bounded(w, r, limit)
		if s.formRead(w, r) {
			next.ServeHTTP(w, r)
		}
	})
}

// plainForm reports whether a form without files is sent.
func plainForm(r *http.Request) bool {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	return err == nil && kind == "application/x-www-form-urlencoded"
}

// formRead reads a form without files. One that cannot be read is answered here: false.
func (s *server) formRead(w http.ResponseWriter, r *http.Request) bool {
	if r.Method != http.MethodPost || !plainForm(r) {
		return true
	}
	err := r.ParseForm()
	if err == nil {
		return true
	}
	if tooLarge := (*http.MaxBytesError)(nil); errors.As(err, &tooLarge) || errors.Is(err, os.ErrDeadlineExceeded) {
		s.fail(w, r, err)
		return false
	}
	s.problem(w, r, http.StatusBadRequest, "The form cannot be read", "What arrived is no whole form. Go back and send it again.")
	return false
}
