package web

import (
	"bytes"
	"context"
	"html/template"
	"io/fs"
	"mime"
	"net/http"
	"net/url"
	"strings"
	"sync"

	"underkick/internal/poolside"
)

// withNames answers every page within the context in which the use cases know no name while
// names are hidden, and takes out of what is sent the names that somebody wrote into a text.
// It is the one place through which all pages and files pass. hide is Hiding, or HidingAlways
// for what is sent to a phone.
func (s *server) withNames(hide hider, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if strings.HasPrefix(r.URL.Path, s.static+"/") {
			next.ServeHTTP(w, r)
			return
		}
		ctx, disguise, err := hide(r.Context())
		if err != nil {
			s.fail(w, r, err)
			return
		}
		r = r.WithContext(ctx)
		if disguise == nil {
			next.ServeHTTP(w, r)
			return
		}
		masked := &maskedWriter{ResponseWriter: w, text: func(text string) string { return disguise.Text(text, ownWords()) }}
		next.ServeHTTP(masked, r)
		if err := masked.send(); err != nil {
			s.opt.Log.Debug("answer not delivered", "path", r.URL.Path, "err", err)
		}
	})
}

// hider returns a context in which no name is known and what hides names in texts; nil where
// they are shown.
type hider func(ctx context.Context) (context.Context, *poolside.Disguise, error)

// maskedWriter holds back what is text until it is whole, and hides the names in it and in
// the names of files.
type maskedWriter struct {
	http.ResponseWriter
	text    func(string) string
	buf     bytes.Buffer
	status  int
	decided bool
	holding bool
}

// Unwrap lets http.ResponseController reach the connection.
func (m *maskedWriter) Unwrap() http.ResponseWriter { return m.ResponseWriter }

// WriteHeader decides by the kind of the answer whether it is held back.
func (m *maskedWriter) WriteHeader(status int) {
	if m.decided {
		return
	}
	m.decided, m.status = true, status
	h := m.Header()
	if name := h.Get("Content-Disposition"); name != "" {
		h.Set("Content-Disposition", m.fileName(name))
	}
	if to := h.Get("Location"); to != "" {
		h.Set("Location", m.text(to))
	}
	kind, _, _ := mime.ParseMediaType(h.Get("Content-Type"))
	m.holding = kind == "" || strings.HasPrefix(kind, "text/") || strings.HasSuffix(kind, "json") || strings.HasSuffix(kind, "xml")
	if m.holding {
		h.Del("Content-Length")
		return
	}
	m.ResponseWriter.WriteHeader(status)
}

func (m *maskedWriter) fileName(disposition string) string {
	kind, params, err := mime.ParseMediaType(disposition)
	if err != nil {
		return m.text(disposition)
	}
	if name, ok := params["filename"]; ok {
		params["filename"] = m.text(name)
	}
	return mime.FormatMediaType(kind, params)
}

// Write holds text back and passes the rest on.
func (m *maskedWriter) Write(p []byte) (int, error) {
	m.WriteHeader(http.StatusOK)
	if m.holding {
		return m.buf.Write(p)
	}
	return m.ResponseWriter.Write(p)
}

// send sends what was held back.
func (m *maskedWriter) send() error {
	if !m.holding {
		return nil
	}
	m.ResponseWriter.WriteHeader(m.status)
	_, err := m.ResponseWriter.Write([]byte(m.text(m.buf.String())))
	return err
}

// ownWords returns the words that stand on the pages themselves and in their scripts, in
// small letters: see poolside.OwnWords.
var ownWords = sync.OnceValue(func() map[string]bool {
	var texts []string
	for _, tree := range []struct {
		files fs.FS
		root  string
	}{{templateFiles, "templates"}, {staticFiles, "static/js"}} {
		err := fs.WalkDir(tree.files, tree.root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			text, err := fs.ReadFile(tree.files, path)
			texts = append(texts, string(text))
			return err
		})
		if err != nil {
			panic("web: embedded files cannot be read: " + err.Error()) // they were parsed at the start
		}
	}
	return poolside.OwnWords(texts...)
})

// hidingPages are the pages as they are shown while names are hidden: the header says so.
func hidingPages(pages map[string]*template.Template) (map[string]*template.Template, error) {
	hiding := make(map[string]*template.Template, len(pages))
	for name, page := range pages {
		t, err := page.Clone()
		if err != nil {
			return nil, err
		}
		hiding[name] = t.Funcs(template.FuncMap{"hiding": func() bool { return true }})
	}
	return hiding, nil
}

// page returns a page's template as it is shown to this request. A phone has no button for
// the names.
func (s *server) page(r *http.Request, name string) *template.Template {
	if poolside.Hidden(r.Context()) && s.opt.LAN == nil {
		return s.hiding[name]
	}
	return s.pages[name]
}

// hideNames switches the hiding of names and leads back to where it was asked.
func (s *server) hideNames(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.fail(w, r, err)
		return
	}
	if err := s.opt.App.SetPseudonyms(r.Context(), r.PostFormValue("hide") == "yes"); err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, cameFrom(r), http.StatusSeeOther)
}

// cameFrom returns the path of our page that a form was on, the first page where it is not
// known.
func cameFrom(r *http.Request) string {
	from, err := url.Parse(r.Referer())
	if err != nil || from.Host != r.Host || !strings.HasPrefix(from.Path, "/") || strings.HasPrefix(from.Path, "//") {
		return "/"
	}
	return from.RequestURI()
}

// whileHidden answers with what to do first where a page would have to hold a real name.
func (s *server) whileHidden(w http.ResponseWriter, r *http.Request, what string) bool {
	if !poolside.Hidden(r.Context()) {
		return false
	}
	s.problem(w, r, http.StatusConflict, "Names are hidden", what+" shows real names. Show the names first, with the button at the top of the page; nobody who should not should look on.")
	return true
}
