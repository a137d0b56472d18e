package poolside

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"underkick/internal/compare"
	"underkick/internal/drawing"
	"underkick/internal/limit"
)

// demoRuns loads the demo and returns its runs by the name of their clip.
func demoRuns(t *testing.T) (*App, map[string]string) {
	t.Helper()
	app := openDemo(t)
	squads, err := app.store.Squads(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	runs := map[string]string{}
	for _, q := range squads {
		roster, err := app.store.Roster(t.Context(), q.ID, "speed")
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range roster {
			filmed, err := app.store.Filmed(t.Context(), r.Swimmer.ID)
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range filmed {
				for _, c := range v.Clips {
					for _, run := range c.Runs {
						runs[strings.TrimSuffix(c.Clip.Name, ".mp4")] = run.Run.ID
					}
				}
			}
		}
	}
	return app, runs
}

// TestCompareTheDemo compares clips of unlike rate, direction, size and position.
func TestCompareTheDemo(t *testing.T) {
	app, runs := demoRuns(t)
	t.Run("one swimmer at two dates", func(t *testing.T) { comparesARetest(t, app, runs) })
	t.Run("repeats of one visit", func(t *testing.T) { comparesRepeats(t, app, runs) })
	t.Run("four swimmers filmed unlike", func(t *testing.T) { comparesFour(t, app, runs) })
	t.Run("a known difference", func(t *testing.T) { namesTheKnown(t, app, runs) })
	t.Run("drawn on the film", func(t *testing.T) { drawsScenes(t, app, runs) })
	t.Run("chosen", func(t *testing.T) { choosesRuns(t, app, runs) })
	t.Run("refused", func(t *testing.T) { refusesRuns(t, app, runs) })
}

func comparesARetest(t *testing.T, app *App, runs map[string]string) {
	ids := []string{runs["joren-october-1"], runs["joren-august"]} // the later one first
	view, err := app.Compare(t.Context(), CompareAsk{Runs: ids})
	if err != nil || view.Problem != "" {
		t.Fatal(view.Problem, err)
	}
	if !view.OneSwimmer || view.Runs[0].Run.ID != runs["joren-august"] || view.Runs[0].Short != "29 August 2026" {
		t.Errorf("the earlier run does not come first: %s, %s", view.Runs[0].Short, view.Runs[1].Short)
	}
	if len(view.First) == 0 || len(view.First) > compare.FirstSaid || !strings.HasPrefix(view.First[0], "Speed: ") || len(view.Most[0].Verdicts) == 0 {
		t.Errorf("said first: %q", view.First)
	}
	speed := view.Table[0]
	if speed.ID != "speed" {
		t.Fatalf("first row %s", speed.ID)
	}
	a := speed.Against[0]
	if a.Verdict == limit.Refused || math.IsNaN(a.Smallest) || math.IsNaN(a.Difference) {
		t.Errorf("speed of a retest: %+v", a)
	}
	// The verdict is the rule's own: beyond the smallest real change or not.
	if beyond := math.Abs(a.Difference) > a.Smallest; beyond != (a.Verdict == limit.Higher || a.Verdict == limit.Lower) {
		t.Errorf("difference %.3f, smallest real change %.3f, verdict %q", a.Difference, a.Smallest, a.Verdict)
	}
}

func comparesRepeats(t *testing.T, app *App, runs map[string]string) {
	view, err := app.Compare(t.Context(), CompareAsk{Runs: []string{runs["joren-october-1"], runs["joren-october-2"]}})
	if err != nil {
		t.Fatal(err)
	}
	if a := view.Table[0].Against[0]; a.Verdict != limit.Refused || a.Why[0] != oneVisit {
		t.Errorf("repeats get %+v", a)
	}
	if view.Runs[0].Short == view.Runs[1].Short {
		t.Errorf("both runs are called %q", view.Runs[0].Short)
	}
}

func comparesFour(t *testing.T, app *App, runs map[string]string) {
	names := []string{"mira-october", "bram-october", "tessa-november", "nilo-november"}
	var ids []string
	for _, n := range names {
		ids = append(ids, runs[n])
	}
	view, err := app.Compare(t.Context(), CompareAsk{Runs: ids})
	if err != nil || view.Problem != "" {
		t.Fatal(view.Problem, err)
	}
	tempo := []float64{2.3, 2.15, 1.75, 2.25} // of the recipes in package demo
	for i, r := range view.Runs {
		if r.Run.ID != ids[i] {
			t.Errorf("run %d is out of order", i+1)
		}
		if want := names[i] == "nilo-november"; r.Film.Mirror != want {
			t.Errorf("%s mirrored: %v", names[i], r.Film.Mirror)
		}
		if want := map[bool]string{true: "up", false: "down"}[names[i] == "tessa-november"]; r.Film.Front != want {
			t.Errorf("%s: front side %s", names[i], r.Film.Front)
		}
		k := wholeKick(r.Result, r.Chosen)
		if k == nil || math.Abs((k.End-k.Start)*tempo[i]-1) > 0.1 {
			t.Errorf("%s: kick %d takes %.3f s, truth %.3f s", names[i], r.Chosen, k.End-k.Start, 1/tempo[i])
		}
		showsTheWholeSwimmer(t, names[i], app, r)
		holdsThePhase(t, names[i], r)
	}
	said := 0
	for _, m := range view.Most {
		said += len(m.Sentences)
	}
	if len(view.First) != compare.FirstSaid || !view.More || said <= len(view.First) {
		t.Errorf("of %d differences these are said first: %q", said, view.First)
	}
	for i := 1; i < len(view.Runs); i++ {
		for _, row := range view.Table {
			if a := row.Against[i-1]; a.Verdict != limit.Refused || a.Why[0] != compare.TwoSwimmers {
				t.Errorf("%s of two swimmers: %+v", row.ID, a)
			}
		}
	}
}

// showsTheWholeSwimmer checks that the window holds the body on every picture of the
// chosen kick, equally large in every film, hands to the right.
func showsTheWholeSwimmer(t *testing.T, name string, app *App, r ComparedRun) {
	t.Helper()
	scenes, err := app.CompareScenes(t.Context(), r.Run.ID, ScenesAsk{Kick: r.Chosen, Layers: drawing.Only(drawing.BodyLayer)})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range scenes {
		low, high := math.Inf(1), math.Inf(-1)
		for _, shape := range s.Scene.Through(s.Crop, 1).Layers[0].Shapes { // 1 = the window's width
			line, ok := shape.(drawing.Line)
			if !ok || line.Role != drawing.Body || len(line.Points) < 6 {
				continue
			}
			for _, p := range line.Points {
				low, high = min(low, p.X), max(high, p.X)
				if p.X < 0 || p.X > 1 || p.Y < 0 || p.Y > 1/WindowAspect {
					t.Fatalf("%s, frame %d: a landmark lies outside the window at (%.2f, %.2f)", name, s.Frame, p.X, p.Y)
				}
			}
			if hands, toes := line.Points[0], line.Points[len(line.Points)-1]; hands.X < toes.X {
				t.Fatalf("%s, frame %d swims to the left", name, s.Frame)
			}
		}
		// Arms-up length is 1.71 of the 1.95 lengths of the window; a bent body is shorter.
		if size := high - low; size < 0.72 || size > 0.90 {
			t.Errorf("%s, frame %d: the body takes %.2f of the window", name, s.Frame, size)
			return
		}
	}
}

// holdsThePhase checks that at every phase there is a picture within half a frame.
func holdsThePhase(t *testing.T, name string, r ComparedRun) {
	t.Helper()
	k := wholeKick(r.Result, r.Chosen)
	half := 0.5 / r.Result.FrameRate
	for p := 0.0; p <= 1; p += 0.01 {
		i := drawing.Nearest(r.Film.Times, k.At(p))
		if d := math.Abs(r.Film.Times[i] - k.At(p)); d > half*1.001 {
			t.Errorf("%s: at phase %.2f the nearest picture is %.4f s off, half a frame is %.4f s", name, p, d, half)
			return
		}
	}
}

// namesTheKnown compares Mira, who kicks well all round, with Edda, whose recipe cuts the
// sweep short: what is named is in the recipe.
func namesTheKnown(t *testing.T, app *App, runs map[string]string) {
	view, err := app.Compare(t.Context(), CompareAsk{Runs: []string{runs["mira-october"], runs["edda-november"]}})
	if err != nil || view.Problem != "" {
		t.Fatal(view.Problem, err)
	}
	t.Log(view.Most[0].Heading)
	for _, s := range view.Most[0].Sentences {
		t.Log(s)
	}
	if len(view.Most[0].Sentences) == 0 {
		t.Error("nothing is named between a swimmer who kicks well and one whose sweep is cut short")
	}
	for _, row := range view.Table {
		if row.ID == "sweep" && !(row.Against[0].High < 0) {
			t.Errorf("sweep of Edda against Mira: %+v", row.Against[0])
		}
	}
}

func drawsScenes(t *testing.T, app *App, runs map[string]string) {
	if _, err := app.CompareScenes(t.Context(), runs["mira-october"], ScenesAsk{Kick: 99}); !errors.Is(err, ErrNotFound) {
		t.Errorf("a kick that is not there: %v", err)
	}
	scenes, err := app.CompareScenes(t.Context(), runs["mira-october"], ScenesAsk{Kick: 2, Legs: true, Layers: drawing.All()})
	if err != nil || len(scenes) < 30 {
		t.Fatalf("%d scenes, %v", len(scenes), err)
	}
	for i := 1; i < len(scenes); i++ {
		if scenes[i].Frame != scenes[i-1].Frame+1 {
			t.Fatalf("frame %d comes after %d", scenes[i].Frame, scenes[i-1].Frame)
		}
	}
}

func choosesRuns(t *testing.T, app *App, runs map[string]string) {
	choices, err := app.CompareChoices(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(choices.Swimmers, func(s CompareSwimmer) bool { return s.Name == "Joren Pike" })
	if at < 0 || len(choices.Swimmers[at].Runs) != 3 {
		t.Fatalf("choices %+v", choices)
	}
	pair := choices.Swimmers[at].RetestPair()
	if len(pair) != 2 || pair[0] != runs["joren-august"] {
		t.Errorf("test and retest %v of %v", pair, runs)
	}
	for _, s := range choices.Swimmers {
		if s.Name == "Mira Tallow" && s.RetestPair() != nil {
			t.Error("one visit makes a retest")
		}
	}
}

func refusesRuns(t *testing.T, app *App, runs map[string]string) {
	one := runs["mira-october"]
	for _, ids := range [][]string{nil, {one}, {one, one}, {one, runs["joren-august"], runs["bram-october"], runs["edda-november"], runs["tessa-november"]}} {
		if _, err := app.Compare(t.Context(), CompareAsk{Runs: ids}); !errors.Is(err, ErrInput) {
			t.Errorf("%d runs: %v", len(ids), err)
		}
	}
	if _, err := app.Compare(t.Context(), CompareAsk{Runs: []string{one, "nobody"}}); !errors.Is(err, ErrNotFound) {
		t.Errorf("a run that is not there: %v", err)
	}
}
