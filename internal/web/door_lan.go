package web

import (
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strconv"
	"strings"
	"time"

	"underkick/internal/door"
)

const (
	passphraseBytes = 8 << 10
	formPatience    = 15 * time.Second // for a form without a clip to arrive
	// phoneClipBytes bounds a clip that comes over the local network: some
	// minutes of phone film.
	phoneClipBytes = 2 << 30
)

// enterPage asks for the passphrase.
type enterPage struct {
	shell
	Wrong string // what was wrong with the last attempt, in words
}

// phoneRoutes are all the pages the local network reaches. None shows a name, a
// picture, a mark or a note, and none changes anything but to bring in a clip.
func (s *server) phoneRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /enter", s.enter)
	mux.HandleFunc("POST /enter", s.tryPassphrase)
	mux.HandleFunc("POST /leave", s.leave)
	mux.HandleFunc("GET /{$}", s.phone)
	mux.HandleFunc("GET /finding/{id}", s.phoneFinding)
	mux.HandleFunc("GET /bring-in", s.phoneBringIn)
	mux.HandleFunc("POST /bring-in", s.phoneTakeClip)
	mux.HandleFunc("/", s.unknown)
}

// phoneGuarded puts the guards around the phone pages, in the order of guarded.
func (s *server) phoneGuarded(pages http.Handler) http.Handler {
	return s.logged(withHeaders(s.onlyNamedHosts(s.ownWrites(s.withPassphrase(s.withNames(s.opt.App.HidingAlways, s.withPhoneLimits(pages)))))))
}

// onlyNamedHosts answers to the addresses that were printed alone, and only to a private
// network: a router that lets requests in from outside reaches nothing.
func (s *server) onlyNamedHosts(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if from, err := netip.ParseAddrPort(r.RemoteAddr); err != nil || door.CheckLANAddress(from.Addr()) != nil {
			s.problem(w, r, http.StatusForbidden, "This came from outside", "The phone pages answer to the local network alone.")
			return
		}
		if !slices.Contains(s.opt.LAN.Hosts, r.Host) {
			s.problem(w, r, http.StatusMisdirectedRequest, "This address is not ours",
				"Open the address that the program printed for the phone when it started, number by number.")
			return
		}
		next.ServeHTTP(w, r)
	})
}

// withPassphrase sends whoever has no session to the passphrase. Style sheets
// hold nothing of anybody's and are open.
func (s *server) withPassphrase(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		open := r.URL.Path == "/enter" || r.Method == http.MethodGet && strings.HasPrefix(r.URL.Path, s.static+"/")
		switch {
		case open || s.opt.LAN.Keys.Alive(sessionOf(r)):
			next.ServeHTTP(w, r)
		case r.Method == http.MethodGet:
			http.Redirect(w, r, "/enter", http.StatusSeeOther)
		default:
			s.problem(w, r, http.StatusForbidden, "The session has ended", "Nothing was taken. Enter the passphrase and send it again.")
		}
	})
}

func (s *server) withPhoneLimits(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		limit := int64(passphraseBytes)
		switch {
		case r.Method == http.MethodPost && r.URL.Path == "/bring-in":
			limit = min(s.opt.MaxClipBytes, phoneClipBytes) + formBytes
			s.bounded(w, r, limit)
			next.ServeHTTP(w, r)
			return
		case r.Method == http.MethodPost: // strangers too may send this
			if err := http.NewResponseController(w).SetReadDeadline(time.Now().Add(formPatience)); err != nil {
				s.opt.Log.Debug("no deadline", "path", r.URL.Path, "err", err)
			}
		}
		if err := http.NewResponseController(w).SetWriteDeadline(time.Now().Add(phonePatience)); err != nil {
			s.opt.Log.Debug("no deadline", "path", r.URL.Path, "err", err)
		}
		r.Body = http.MaxBytesReader(w, r.Body, limit)
		if s.formRead(w, r) {
			next.ServeHTTP(w, r)
		}
	})
}

func (s *server) enter(w http.ResponseWriter, r *http.Request) {
	s.enterForm(w, r, http.StatusOK, "")
}

func (s *server) enterForm(w http.ResponseWriter, r *http.Request, status int, wrong string) {
	s.render(w, r, status, "phone_enter", enterPage{shell: s.shell("Enter the passphrase", ""), Wrong: wrong})
}

func (s *server) tryPassphrase(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	address, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		address = r.RemoteAddr
	}
	secret, wait := s.opt.LAN.Enter(address, r.PostFormValue("passphrase"))
	switch {
	case wait > 0:
		seconds := int(wait/time.Second) + 1
		w.Header().Set("Retry-After", strconv.Itoa(seconds))
		s.opt.Log.Warn("passphrase not tried: too many were wrong", "path", r.URL.Path)
		s.enterForm(w, r, http.StatusTooManyRequests, fmt.Sprintf("Too many were wrong. This one was not tried; wait %s.", plural(seconds, "second", "seconds")))
	case secret == "":
		s.opt.Log.Warn("wrong passphrase", "path", r.URL.Path)
		s.enterForm(w, r, http.StatusForbidden, "This is not the passphrase. Capitals and spaces count.")
	default:
		setSession(w, r, secret)
		http.Redirect(w, r, "/", http.StatusSeeOther)
	}
}

func (s *server) leave(w http.ResponseWriter, r *http.Request) {
	s.opt.LAN.Keys.End(sessionOf(r))
	endCookie(w, r)
	http.Redirect(w, r, "/enter", http.StatusSeeOther)
}
