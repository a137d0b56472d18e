package web

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"math"
	"slices"
	"sync"

	"underkick/internal/body"
	"underkick/internal/compare"
	"underkick/internal/drawing"
	"underkick/internal/kick"
	"underkick/internal/kick/kicktest"
	"underkick/internal/limit"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

// comparedFilm is a made-up film of a made-up swimmer. Every picture of it has one
// colour that tells its number, so that what a page shows can be read back from it.
type comparedFilm struct {
	id       string
	times    []float64
	tempo    float64 // kicks per second
	left     bool
	supine   bool
	position record.Position
}

// comparedFilms differ in rate, evenness of their times, tempo, direction and position.
var comparedFilms = []comparedFilm{
	{id: "k1", times: kicktest.Times(0.05, 2.6, 60), tempo: 2.2, position: record.Prone},
	{id: "k2", times: kicktest.Times(0.3, 3.2, 240), tempo: 1.7, left: true, supine: true, position: record.Supine},
	{id: "k3", times: kicktest.Times(7.013, 3, 50), tempo: 2.5, left: true, position: record.Prone},
	{id: "k4", times: uneven(2.6, 90), tempo: 2.0, supine: true, position: record.Supine},
}

// uneven are the times of a film whose pictures come at varying intervals.
func uneven(seconds, rate float64) []float64 {
	times := kicktest.Times(0, seconds, rate)
	for i := range times {
		times[i] += 0.35 / rate * math.Sin(1.7*float64(i))
	}
	return times
}

var comparedRuns = sync.OnceValues(func() ([]poolside.ComparedRun, error) {
	var runs []poolside.ComparedRun
	for i, f := range comparedFilms {
		s := kicktest.Reference()
		s.Frequency = f.tempo
		s.Size = func(n int) float64 { return 1 + 0.03*float64((n*7)%5-2)/2 }
		if i == 1 {
			s.Joints[body.KneeJoint].Mean += 20 * math.Pi / 180
		}
		sx, sy := 1.0, 1.0
		if f.left {
			sx = -1
		}
		if f.supine {
			sy = -1
		}
		r, err := kick.MeasureRun(context.Background(), s.Fitted(f.times).Transform(sx, 0, 0, sy), s.Subject, kick.Options{Supine: f.supine, Seed: 7, Draws: 40})
		if err != nil {
			return nil, err
		}
		runs = append(runs, f.run(i, r))
	}
	return runs, nil
})

func (f comparedFilm) run(i int, r *kick.Result) poolside.ComparedRun {
	n := len(f.times)
	w := poolside.FilmWindow{
		WidthPx: 320, HeightPx: 180, Times: f.times, Mirror: f.left, Front: map[bool]string{false: "down", true: "up"}[f.supine],
		Figure: map[string]poolside.FigurePath{},
	}
	for k := range n {
		w.Frames, w.X, w.Y, w.W = append(w.Frames, 100+k), append(w.X, 160), append(w.Y, 90), append(w.W, 200)
	}
	for l, p := range r.Signals.Points {
		if p != nil {
			w.Figure[body.Landmark(l).String()] = poolside.FigurePath{X: p.X, Y: p.Y}
		}
	}
	name := fmt.Sprintf("Swimmer <%d>", i+1)
	return poolside.ComparedRun{
		Run:     record.Run{ID: f.id, ClipID: f.id, Position: f.position},
		Swimmer: record.Swimmer{ID: f.id, Name: name}, Name: name, Short: name, When: "3 May 2026",
		Clip:   record.Clip{ID: f.id, Facts: record.Facts{WidthPx: 320, HeightPx: 180}},
		Result: r, Curves: compare.Curves(r), Chosen: compare.Typical(r), Film: w,
	}
}

// colourOf is the colour of a picture; frameOf reads it back.
func colourOf(frame int) color.RGBA {
	level := func(n int) uint8 { return uint8(16*(n&15) + 8) }
	return color.RGBA{level(frame), level(frame >> 4), level(frame >> 8), 255}
}

func frameOf(r, g, b int) int { return r/16 + g/16<<4 + b/16<<8 }

// comparedPicture is a picture of one of the made-up films.
func comparedPicture(clipID string, n int) ([]byte, bool) {
	known := slices.ContainsFunc(comparedFilms, func(f comparedFilm) bool { return f.id == clipID })
	if !known {
		return nil, false
	}
	img := image.NewRGBA(image.Rect(0, 0, 320, 180))
	draw.Draw(img, img.Bounds(), image.NewUniform(colourOf(n)), image.Point{}, draw.Src)
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		return nil, false
	}
	return b.Bytes(), true
}

func (f *fixture) CompareChoices(context.Context, ...string) (poolside.CompareChoices, error) {
	one := poolside.CompareSwimmer{ID: "w1", Name: f.swimmer.Name, Squad: "Harbour Juniors", Runs: []poolside.CompareChoice{
		{ID: "r1", Visit: "3 May 2026", Words: "3 May 2026, 1.40 m/s"}, {ID: "r0", Visit: "8 March 2026", Words: "8 March 2026, 1.30 m/s"},
	}}
	other := poolside.CompareSwimmer{ID: "w2", Name: "Mira Okonja", Squad: "Harbour Juniors", Runs: []poolside.CompareChoice{{ID: "k1", Visit: "3 May 2026", Words: "3 May 2026, 1.40 m/s"}}}
	return poolside.CompareChoices{Swimmers: []poolside.CompareSwimmer{one, other}}, f.fail
}

func (f *fixture) Compare(ctx context.Context, ask poolside.CompareAsk) (poolside.CompareView, error) {
	runs, err := f.CompareFilms(ctx, ask)
	if err != nil {
		return poolside.CompareView{}, err
	}
	view := poolside.CompareView{Runs: runs, Notes: []string{"A note <of the runs>."}}
	var list []compare.Run
	var judged []compare.Judged
	var pairs []compare.Said
	for i, r := range runs {
		list = append(list, compare.Run{Run: limit.Run{ID: r.Run.ID, Result: r.Result}, Swimmer: r.Swimmer.ID, Short: r.Short})
		if i > 0 {
			judged = append(judged, compare.Judged{})
			said := compare.Most(list[0], list[i])
			pairs = append(pairs, said)
			view.Most = append(view.Most, poolside.MostView{Heading: said.Heading, Sentences: said.Words()})
		}
	}
	view.Table = compare.NewTable(list, judged)
	view.First, view.More = compare.First(nil, pairs), true
	return view, nil
}

func (f *fixture) CompareFilms(_ context.Context, ask poolside.CompareAsk) ([]poolside.ComparedRun, error) {
	if len(ask.Runs) < poolside.LeastCompared {
		return nil, fmt.Errorf("choose two to four runs: %w", poolside.ErrInput)
	}
	all, err := comparedRuns()
	if err != nil {
		return nil, err
	}
	var runs []poolside.ComparedRun
	for i, id := range ask.Runs {
		if slices.Contains(ask.Runs[:i], id) {
			return nil, fmt.Errorf("a run was chosen twice: %w", poolside.ErrInput)
		}
		at := slices.IndexFunc(all, func(r poolside.ComparedRun) bool { return r.Run.ID == id })
		if at < 0 {
			return nil, poolside.ErrNotFound
		}
		r := all[at]
		if n := ask.Kicks[id]; n > 0 {
			r.Chosen = n
		}
		runs = append(runs, r)
	}
	return runs, nil
}

func (f *fixture) CompareScenes(ctx context.Context, runID string, ask poolside.ScenesAsk) ([]poolside.FilmScene, error) {
	other := "k1"
	if runID == other {
		other = "k2"
	}
	runs, err := f.CompareFilms(ctx, poolside.CompareAsk{Runs: []string{runID, other}})
	if err != nil {
		return nil, err
	}
	var out []poolside.FilmScene
	for _, n := range runs[0].Film.Frames {
		s := drawing.Scene{Layers: []drawing.Layer{{ID: drawing.BodyLayer, Shapes: []drawing.Shape{drawing.Disc{Role: drawing.Body, At: drawing.Point{X: 160, Y: 90}, R: 4}}}}}
		out = append(out, poolside.FilmScene{Frame: n, Crop: drawing.Crop{X: 60, Y: 40, W: 200, H: 100, Mirror: runs[0].Film.Mirror}, Scene: s})
	}
	return out, nil
}
