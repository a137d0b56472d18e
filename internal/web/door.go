package web

import (
	"net"
	"net/http"
	"strings"
)

// sessionCookie names the cookie of a door. Browsers keep cookies by host and
// not by port; with the port in the name two servers of one computer do not end
// each other's sessions.
func sessionCookie(r *http.Request) string {
	name := "underkick_session"
	if a, ok := r.Context().Value(http.LocalAddrContextKey).(net.Addr); ok {
		if _, port, err := net.SplitHostPort(a.String()); err == nil {
			name += "_" + port
		}
	}
	return name
}

// setSession hands a session to the browser: no script reads it, and no request
// that another site causes brings it along. It ends with the browser.
func setSession(w http.ResponseWriter, r *http.Request, secret string) {
	http.SetCookie(w, &http.Cookie{Name: sessionCookie(r), Value: secret, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
}

func endCookie(w http.ResponseWriter, r *http.Request) {
	http.SetCookie(w, &http.Cookie{Name: sessionCookie(r), Path: "/", MaxAge: -1, HttpOnly: true, SameSite: http.SameSiteStrictMode})
}

// sessionOf returns the session a request brings, "" when it brings none.
func sessionOf(r *http.Request) string {
	cookie, err := r.Cookie(sessionCookie(r))
	if err != nil {
		return ""
	}
	return cookie.Value
}

// withSession asks for a session, so that another person logged in on the same
// computer cannot read along. The address that the command line prints brings a
// one-time token as ?session=TOKEN; it opens a session and leads to the first
// page, so that the token stands in no address shown later. Style sheets hold
// nothing of anybody's and are open.
func (s *server) withSession(next http.Handler) http.Handler {
	keys := s.opt.Keys
	if keys == nil {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodGet && strings.HasPrefix(r.URL.Path, s.static+"/") {
			next.ServeHTTP(w, r)
			return
		}
		alive := keys.Alive(sessionOf(r))
		if token := r.URL.Query().Get("session"); token != "" && r.Method == http.MethodGet {
			if secret, ok := keys.Redeem(token); ok {
				setSession(w, r, secret)
				alive = true
			}
			if alive { // the address was opened a second time in the same browser
				http.Redirect(w, r, "/", http.StatusSeeOther)
				return
			}
		}
		if !alive {
			s.problem(w, r, http.StatusForbidden, "This page needs a session",
				"Every address that the program prints opens the pages once, in one browser, until that is closed or unused for twelve hours. "+
					"For another, press Enter in the window where underkick runs and open what it prints; or stop it and start it again.")
			return
		}
		next.ServeHTTP(w, r)
	})
}
