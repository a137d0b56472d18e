package web

import (
	"fmt"
	"math"
	"net/http"
	"strconv"

	"underkick/internal/drawing"
	"underkick/internal/poolside"
)

// filmsAnswer is what the films' script needs.
type filmsAnswer struct {
	Aspect float64      `json:"aspect"` // width of the window to its height
	Bytes  int          `json:"bytes"`  // bound for decoded pictures
	Runs   []filmAnswer `json:"runs"`
}

type filmAnswer struct {
	ID       string       `json:"id"`
	Pictures string       `json:"pictures"` // address of the folder
	Shrink   float64      `json:"shrink"`   // px of a picture per px of the clip
	Mirror   bool         `json:"mirror"`
	Frames   []int        `json:"frames"`
	Times    []float64    `json:"times"` // s
	X        []float64    `json:"x"`     // middle of the window, px of the clip
	Y        []float64    `json:"y"`
	W        []float64    `json:"w"` // width of the window
	Kicks    []kickAnswer `json:"kicks"`
	Chosen   int          `json:"chosen"`
	Figure   figureAnswer `json:"figure"`
}

type kickAnswer struct {
	Number  int                `json:"number"`
	Start   float64            `json:"start"` // s
	Bottom  float64            `json:"bottom"`
	End     float64            `json:"end"`
	Moments map[string]float64 `json:"moments"`
}

// figureAnswer is the body seen from the hip; null where a place is not known.
type figureAnswer struct {
	Times  []float64              `json:"times"`
	Points map[string]pointAnswer `json:"points"`
}

type pointAnswer struct {
	X []*float64 `json:"x"`
	Y []*float64 `json:"y"`
}

// pictureBytes bounds the decoded pictures that the page keeps while it plays.
const pictureBytes = 192 << 20

func (s *server) compareFilms(w http.ResponseWriter, r *http.Request) {
	runs, err := s.opt.App.CompareFilms(r.Context(), askOf(r.URL.Query()))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	answer := filmsAnswer{Aspect: poolside.WindowAspect, Bytes: pictureBytes}
	for _, run := range runs {
		answer.Runs = append(answer.Runs, filmOf(run))
	}
	s.json(w, r, http.StatusOK, answer)
}

func filmOf(run poolside.ComparedRun) filmAnswer {
	f := run.Film
	a := filmAnswer{
		ID: run.Run.ID, Pictures: "/clip/" + run.Clip.ID + "/frame/", Shrink: 1, Mirror: f.Mirror,
		Frames: f.Frames, Times: rounded(f.Times, 1e6), X: rounded(f.X, 100), Y: rounded(f.Y, 100), W: rounded(f.W, 100), Chosen: run.Chosen,
		Figure: figureAnswer{Times: rounded(run.Result.Signals.T, 1e6), Points: map[string]pointAnswer{}},
	}
	if f.WidthPx > poolside.PictureWidth {
		a.Shrink = float64(poolside.PictureWidth) / float64(f.WidthPx)
	}
	for _, k := range run.Result.Kicks {
		if k.Number == 0 {
			continue
		}
		moments := map[string]float64{}
		for _, m := range k.Moments.List() {
			moments[m.Name] = m.T
		}
		a.Kicks = append(a.Kicks, kickAnswer{k.Number, k.Start, k.Bottom, k.End, moments})
	}
	for name, p := range f.Figure {
		a.Figure.Points[name] = pointAnswer{orNull(p.X), orNull(p.Y)}
	}
	return a
}

// rounded keeps a list short as text.
func rounded(list []float64, per float64) []float64 {
	out := make([]float64, len(list))
	for i, v := range list {
		out[i] = math.Round(v*per) / per
	}
	return out
}

func orNull(list []float64) []*float64 {
	out := make([]*float64, len(list))
	for i, v := range list {
		if !math.IsNaN(v) {
			v = math.Round(v*1e4) / 1e4
			out[i] = &v
		}
	}
	return out
}

// drawnAnswer is what is drawn on the pictures of one kick.
type drawnAnswer struct {
	Scenes []sceneAnswer `json:"scenes"`
}

type sceneAnswer struct {
	Frame int    `json:"frame"`
	SVG   string `json:"svg"`
}

func (s *server) compareDrawn(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	number, err := strconv.Atoi(q.Get("kick"))
	if err != nil {
		s.fail(w, r, poolside.ErrNotFound)
		return
	}
	layers, err := drawing.ParseSwitches(q.Get("layers"))
	if err != nil {
		s.fail(w, r, fmt.Errorf("%w: %w", poolside.ErrInput, err))
		return
	}
	scenes, err := s.opt.App.CompareScenes(r.Context(), q.Get("run"), poolside.ScenesAsk{Kick: number, Legs: q.Get("view") == "legs", Layers: layers})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	answer := drawnAnswer{Scenes: []sceneAnswer{}}
	for _, sc := range scenes {
		svg := drawing.SVG(sc.Scene, drawing.Sheet{Crop: sc.Crop, WidthPx: sc.Crop.W, HeightPx: sc.Crop.H, Class: "film drawn"})
		answer.Scenes = append(answer.Scenes, sceneAnswer{sc.Frame, svg})
	}
	s.json(w, r, http.StatusOK, answer)
}
