package web

import (
	"context"
	"crypto/rand"
	"fmt"
	"html/template"
	"io/fs"
	"log/slog"
	"net/http"
	"time"

	"underkick/internal/door"
)

// Options sets up the server. Only App is needed.
type Options struct {
	App          UseCases
	Log          *slog.Logger  // nil: nothing is logged
	Version      string        // shown on the about page
	Licence      string        // text of the licence, for the about page
	Notices      string        // notices of the software contained, for the about page
	Keys         *door.Keys    // sessions asked of every request; nil = none
	LAN          *door.LAN     // set: the phone pages alone, for the local network; Keys is not used
	MaxClipBytes int64         // largest clip taken; 0 = DefaultMaxClipBytes
	BodyPatience time.Duration // how long the next piece of what is sent may take; 0 = a minute
}

// DefaultMaxClipBytes is the largest clip that is taken unless set otherwise.
const DefaultMaxClipBytes = 8 << 30

type server struct {
	opt    Options
	pages  map[string]*template.Template
	hiding map[string]*template.Template // the same as they are shown while names are hidden
	static string                        // "/static/HASH"
}

// New returns the handler of all pages. It fails when the embedded templates or
// static files do not fit together.
func New(opt Options) (http.Handler, error) {
	if opt.Log == nil {
		opt.Log = slog.New(slog.DiscardHandler)
	}
	if opt.MaxClipBytes == 0 {
		opt.MaxClipBytes = DefaultMaxClipBytes
	}
	templates, err := fs.Sub(templateFiles, "templates")
	if err != nil {
		return nil, fmt.Errorf("open templates: %w", err)
	}
	assets, err := fs.Sub(staticFiles, "static")
	if err != nil {
		return nil, fmt.Errorf("open static files: %w", err)
	}
	pages, err := parsePages(templates, pageParts)
	if err != nil {
		return nil, err
	}
	hash, err := treeHash(assets)
	if err != nil {
		return nil, err
	}
	hiding, err := hidingPages(pages)
	if err != nil {
		return nil, err
	}
	s := &server{opt: opt, pages: pages, hiding: hiding, static: "/static/" + hash}
	mux := http.NewServeMux()
	mux.Handle("GET "+s.static+"/", serveStatic(assets, hash))
	if opt.LAN != nil {
		s.phoneRoutes(mux)
		return s.phoneGuarded(mux), nil
	}
	s.routes(mux)
	return s.guarded(mux), nil
}

// guarded puts the guards around the pages, outermost first: request id and log,
// headers, host, cross-origin writes, session, hidden names, body limits.
func (s *server) guarded(pages http.Handler) http.Handler {
	return s.logged(withHeaders(s.onlyThisComputer(s.ownWrites(s.withSession(s.withNames(s.opt.App.Hiding, s.withLimits(pages)))))))
}

func (s *server) routes(mux *http.ServeMux) {
	mux.HandleFunc("GET /{$}", s.squad)
	mux.HandleFunc("GET /swimmer/new", s.newSwimmer)
	mux.HandleFunc("POST /swimmer/new", s.addSwimmer)
	mux.HandleFunc("GET /swimmer/{id}", s.swimmer)
	mux.HandleFunc("GET /swimmer/{id}/edit", s.editSwimmer)
	mux.HandleFunc("POST /swimmer/{id}/edit", s.changeSwimmer)
	mux.HandleFunc("GET /bring-in", s.bringIn)
	mux.HandleFunc("POST /bring-in", s.takeClip)
	mux.HandleFunc("GET /job/{id}", s.job)
	mux.HandleFunc("POST /job/{id}/cancel", s.cancelJob)
	mux.HandleFunc("GET /clip/{id}/frame/{file}", s.frame)
	mux.HandleFunc("POST /clip/{id}/read-again", s.readAgain)
	mux.HandleFunc("POST /clip/{id}/true-fps", s.setTrueFPS)
	mux.HandleFunc("GET /run/{id}", s.kick)
	mux.HandleFunc("GET /run/{id}/measures.json", s.measuresJSON)
	mux.HandleFunc("GET /run/{id}/measures.csv", s.measuresCSV)
	mux.HandleFunc("GET /run/{id}/kicks.csv", s.kicksCSV)
	mux.HandleFunc("GET /run/{id}/curves.csv", s.curvesCSV)
	mux.HandleFunc("GET /run/{id}/what-if.json", s.whatIf)
	mux.HandleFunc("GET /run/{id}/worth.json", s.worthJSON)
	mux.HandleFunc("POST /run/{id}/worth/stop", s.stopWorth)
	mux.HandleFunc("POST /run/{id}/worth/again", s.worthAgain)
	mux.HandleFunc("POST /run/{id}/reference", s.setReference)
	mux.HandleFunc("GET /run/{id}/model", s.model)
	mux.HandleFunc("GET /run/{id}/mark", s.mark)
	mux.HandleFunc("GET /run/{id}/marking.json", s.markingJSON)
	mux.HandleFunc("POST /run/{id}/marks", s.takeMark)
	mux.HandleFunc("GET /run/{id}/guess.json", s.guessJSON)
	mux.HandleFunc("POST /run/{id}/guess", s.startGuess)
	mux.HandleFunc("POST /run/{id}/guess-on", s.goOnGuess)
	mux.HandleFunc("POST /run/{id}/guess-stop", s.stopGuess)
	mux.HandleFunc("POST /run/{id}/guess-switch", s.switchGuess)
	mux.HandleFunc("GET /run/{id}/marks.json", s.marksFile)
	mux.HandleFunc("POST /run/{id}/marks-file", s.takeMarksFile)
	mux.HandleFunc("POST /run/{id}/scale", s.setScale)
	mux.HandleFunc("GET /run/{id}/scale/grid.json", s.scaleGrid)
	mux.HandleFunc("POST /run/{id}/lens", s.setLens)
	mux.HandleFunc("GET /run/{id}/lens/fit.json", s.tryLens)
	mux.HandleFunc("POST /run/{id}/steady", s.setSteady)
	mux.HandleFunc("GET /run/{id}/steady.json", s.worthJSON)
	mux.HandleFunc("POST /run/{id}/conditions", s.setConditions)
	s.wallRoutes(mux)
	s.filmingRoutes(mux)
	s.clipRoutes(mux)
	s.privacyRoutes(mux)
	s.practiceRoutes(mux)
	s.keepRoutes(mux)
	s.seasonRoutes(mux)
	s.goalRoutes(mux)
	s.rightRoutes(mux)
	s.lessonRoutes(mux)
	s.drawingRoutes(mux)
	s.stillsRoutes(mux)
	s.remarkRoutes(mux)
	s.compareRoutes(mux)
	s.clipOutRoutes(mux)
	mux.HandleFunc("GET /measures", s.measures)
	mux.HandleFunc("GET /about", s.about)
	mux.HandleFunc("/", s.unknown)
}

// shell returns what every page shows around its content.
func (s *server) shell(title, section string) shell {
	return shell{Title: title, Section: section, Static: s.static, Version: s.opt.Version, Phone: s.opt.LAN != nil}
}

type requestID struct{}

// logged gives every request an id and writes one line for each that failed.
func (s *server) logged(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		ctx := context.WithValue(r.Context(), requestID{}, rand.Text()[:8])
		began := time.Now()
		next.ServeHTTP(w, r.WithContext(ctx))
		s.opt.Log.Debug("answered", "method", r.Method, "path", r.URL.Path, "took_ms", time.Since(began).Milliseconds())
	})
}

func idOf(r *http.Request) string {
	id, _ := r.Context().Value(requestID{}).(string)
	return id
}
