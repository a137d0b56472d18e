package web

import (
	"context"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"underkick/internal/drawing"
	"underkick/internal/poolside"
)

// compareCases is what the compare page needs of package poolside.
type compareCases interface {
	CompareChoices(ctx context.Context, whose ...string) (poolside.CompareChoices, error)
	Compare(ctx context.Context, ask poolside.CompareAsk) (poolside.CompareView, error)
	CompareFilms(ctx context.Context, ask poolside.CompareAsk) ([]poolside.ComparedRun, error)
	CompareScenes(ctx context.Context, runID string, ask poolside.ScenesAsk) ([]poolside.FilmScene, error)
	Layers(ctx context.Context) (drawing.Switches, error)
}

func (s *server) compareRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /compare", s.compare)
	mux.HandleFunc("GET /compare/films.json", s.compareFilms)
	mux.HandleFunc("GET /compare/drawn.json", s.compareDrawn)
}

// comparePage is the chooser, and the comparison where runs were chosen.
type comparePage struct {
	shell
	Heading string
	Problem string
	Choices []comparePick
	Cut     bool // of some swimmers only the newest runs are listed
	Runs    []comparedPiece
	First   []string // the most important in words
	More    bool     // Most says more
	Most    []poolside.MostView
	Notes   []string
	Charts  []compareChart
	ToePath template.HTML
	Table   compareTable // speed, rhythm, the qualities
	Folded  compareTable // more measures
	Moments []string     // of the first run's kick, for jumps
	Films   string       // address of what the films need
	Legs    bool
	Whole   string // address of the page with the other window
	Layers  []compareLayer
	InOrder bool // runs are one swimmer's, by day
}

// comparePick is one field of the chooser.
type comparePick struct {
	Number int
	Groups []compareGroup
}

type compareGroup struct {
	Name string
	Runs []compareOption
}

type compareOption struct {
	ID, Words string
	Chosen    bool
}

// comparedPiece is the head of one run.
type comparedPiece struct {
	poolside.ComparedRun
	Number  int
	Key     template.HTML // sample of its line
	Drawn   string        // address of what is drawn on its film
	Picks   []kickPick
	Facts   string // frame rate, which way up, mirrored
	Warning string
}

type kickPick struct {
	Number int
	Words  string
	Chosen bool
}

// compareLayer is a switch of what is drawn on the films.
type compareLayer struct {
	ID   drawing.LayerID
	Name string
	On   bool
}

// askOf reads which runs a request names: run=ID, up to four times, kick.ID=NUMBER.
func askOf(q url.Values) poolside.CompareAsk {
	ask := poolside.CompareAsk{Kicks: map[string]int{}, Legs: q.Get("view") == "legs"}
	for _, id := range q["run"] {
		if id == "" {
			continue // a field of the chooser left empty
		}
		ask.Runs = append(ask.Runs, id)
		if n, err := strconv.Atoi(q.Get("kick." + id)); err == nil {
			ask.Kicks[id] = n
		}
	}
	return ask
}

func (s *server) compare(w http.ResponseWriter, r *http.Request) {
	ask := askOf(r.URL.Query())
	choices, err := s.opt.App.CompareChoices(r.Context(), append(slices.Clone(ask.Runs), r.URL.Query().Get("swimmer"))...)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if id := r.URL.Query().Get("swimmer"); id != "" {
		if pair := retestPair(choices, id); pair != nil {
			http.Redirect(w, r, "/compare?"+url.Values{"run": pair}.Encode(), http.StatusSeeOther)
			return
		}
	}
	page := comparePage{shell: s.shell("Compare", "compare"), Heading: "Compare runs", Choices: picks(choices, ask.Runs), Cut: choices.Cut}
	status := http.StatusOK
	if len(ask.Runs) >= poolside.LeastCompared {
		view, err := s.opt.App.Compare(r.Context(), ask)
		switch {
		case unusable(err):
			page.Problem, status = sentence(err.Error()), http.StatusUnprocessableEntity
		case err != nil:
			s.fail(w, r, err)
			return
		default:
			layers, err := s.opt.App.Layers(r.Context())
			if err != nil {
				s.fail(w, r, err)
				return
			}
			page.fill(view, ask, layers)
		}
	}
	s.render(w, r, status, "compare", page)
}

func retestPair(choices poolside.CompareChoices, swimmerID string) []string {
	for _, w := range choices.Swimmers {
		if w.ID == swimmerID {
			return w.RetestPair()
		}
	}
	return nil
}

// picks fills the chooser's fields, one more than runs are chosen but at least two.
func picks(choices poolside.CompareChoices, chosen []string) []comparePick {
	runs := 0
	for _, w := range choices.Swimmers {
		runs += len(w.Runs)
	}
	if runs < poolside.LeastCompared {
		return nil
	}
	n := min(max(len(chosen)+1, poolside.LeastCompared), poolside.MostCompared)
	out := make([]comparePick, n)
	for i := range out {
		out[i].Number = i + 1
		for _, w := range choices.Swimmers {
			g := compareGroup{Name: w.Name}
			for _, run := range w.Runs {
				g.Runs = append(g.Runs, compareOption{run.ID, run.Words, i < len(chosen) && chosen[i] == run.ID})
			}
			out[i].Groups = append(out[i].Groups, g)
		}
	}
	return out
}

// fill puts a comparison on the page.
func (p *comparePage) fill(view poolside.CompareView, ask poolside.CompareAsk, layers drawing.Switches) {
	p.Heading, p.InOrder = headingOf(view), view.OneSwimmer
	p.Problem = view.Problem
	if p.Problem != "" {
		return
	}
	address := addressOf(view, ask)
	p.Films, p.Legs = "/compare/films.json?"+address.Encode(), ask.Legs
	if address.Del("view"); !ask.Legs {
		address.Set("view", "legs")
	}
	p.Whole = "/compare?" + address.Encode()
	p.First, p.More, p.Most, p.Notes = view.First, view.More, view.Most, view.Notes
	for i, run := range view.Runs {
		p.Runs = append(p.Runs, comparedHead(i, run, ask.Legs))
	}
	for _, l := range drawing.Layers() {
		p.Layers = append(p.Layers, compareLayer{l.ID, l.Name, layers.On(l.ID)})
	}
	for _, k := range view.Runs[0].Result.Kicks {
		if k.Number == view.Runs[0].Chosen {
			for _, m := range k.Moments.List() {
				p.Moments = append(p.Moments, m.Name)
			}
		}
	}
	p.Charts, p.ToePath = compareCharts(view.Runs)
	p.fillTable(view)
}

// headingOf says who is compared.
func headingOf(view poolside.CompareView) string {
	var names []string
	for _, r := range view.Runs {
		names = append(names, r.Short)
	}
	if view.OneSwimmer {
		return view.Runs[0].Name + ": " + listed(names)
	}
	return listed(names)
}

// addressOf names the runs as they stand, with the kicks asked for.
func addressOf(view poolside.CompareView, ask poolside.CompareAsk) url.Values {
	q := url.Values{}
	for _, r := range view.Runs {
		q.Add("run", r.Run.ID)
		if n := ask.Kicks[r.Run.ID]; n > 0 {
			q.Set("kick."+r.Run.ID, strconv.Itoa(n))
		}
	}
	if ask.Legs {
		q.Set("view", "legs")
	}
	return q
}

func comparedHead(i int, run poolside.ComparedRun, legs bool) comparedPiece {
	q := url.Values{"run": {run.Run.ID}}
	if legs {
		q.Set("view", "legs")
	}
	p := comparedPiece{ComparedRun: run, Number: i + 1, Key: lineKey(i), Drawn: "/compare/drawn.json?" + q.Encode()}
	p.Facts = fmt.Sprintf("front side %s, %.0f frames per second", run.Film.Front, run.Result.FrameRate)
	if run.Film.Mirror {
		p.Facts += ", mirrored"
	}
	for _, k := range run.Result.Kicks {
		if k.Number == 0 {
			continue
		}
		pick := kickPick{Number: k.Number, Words: fmt.Sprintf("Kick %d, from %.2f s on", k.Number, k.Start), Chosen: k.Number == run.Chosen}
		if !k.Counted {
			pick.Words += ", not counted"
		}
		p.Picks = append(p.Picks, pick)
	}
	return p
}
