package poolside

import (
	"context"
	"fmt"

	"underkick/internal/drawing"
	"underkick/internal/store"
)

// CompareChoices are the runs that may be compared, by squad and swimmer.
type CompareChoices struct {
	Swimmers []CompareSwimmer // those with a measured run
	Cut      bool             // of some only the newest runs are listed
}

// CompareSwimmer is a swimmer with measured runs, newest first.
type CompareSwimmer struct {
	ID, Name, Squad string
	Runs            []CompareChoice
}

// CompareChoice is a measured run.
type CompareChoice struct {
	ID    string
	Visit string // day in words
	Words string // day, speed, and the number of the run where a day has several
}

// CompareChoices lists the measured runs; of large squads the newest of each swimmer, and all
// of the swimmers whose, or whose runs, are given.
func (a *App) CompareChoices(ctx context.Context, whose ...string) (CompareChoices, error) {
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return CompareChoices{}, err
	}
	var out CompareChoices
	for _, q := range squads {
		roster, cut, err := a.runsToChoose(ctx, q.ID, whose)
		if err != nil {
			return out, fmt.Errorf("list the runs of squad %s: %w", q.ID, err)
		}
		out.Cut = out.Cut || cut
		for _, r := range roster {
			if len(r.Measured) > 0 {
				out.Swimmers = append(out.Swimmers, CompareSwimmer{
					ID: r.Swimmer.ID, Name: a.ShownName(ctx, r.Swimmer), Squad: q.Name, Runs: choicesOf(r.Measured),
				})
			}
		}
	}
	return out, nil
}

func choicesOf(oldestFirst []store.Measured) []CompareChoice {
	onDay, n := map[string]int{}, map[string]int{}
	for _, m := range oldestFirst {
		onDay[string(m.On)]++
	}
	out := make([]CompareChoice, len(oldestFirst))
	for i, m := range oldestFirst {
		day := string(m.On)
		n[day]++
		c := CompareChoice{ID: m.RunID, Visit: longDate(m.On), Words: longDate(m.On)}
		if onDay[day] > 1 {
			c.Words += fmt.Sprintf(", run %d", n[day])
		}
		if speed := keptMeasure(m.Values, "speed"); speed != nil {
			c.Words += ", " + valueWithBand(*speed)
		}
		out[len(out)-1-i] = c
	}
	return out
}

// RetestPair returns the newest run and the newest run of the visit before it, earlier
// first; nothing where the swimmer has fewer than two measured visits.
func (s CompareSwimmer) RetestPair() []string {
	for _, r := range s.Runs {
		if r.Visit != s.Runs[0].Visit {
			return []string{r.ID, s.Runs[0].ID}
		}
	}
	return nil
}

// FilmScene is what is drawn on one picture in a comparison's window.
type FilmScene struct {
	Frame int // picture of the clip
	Crop  drawing.Crop
	Scene drawing.Scene // in px of the whole picture
}

// ScenesAsk says what is drawn of a run's film.
type ScenesAsk struct {
	Kick   int // number of the kick
	Legs   bool
	Layers drawing.Switches
}

// CompareScenes draws the pictures of one kick of a run, from the last before its start
// to the first after its end. An error wraps ErrInput where the run cannot be measured
// and ErrNotFound where it or the kick is not there.
func (a *App) CompareScenes(ctx context.Context, runID string, ask ScenesAsk) ([]FilmScene, error) {
	whole, err := a.store.RunWhole(ctx, runID)
	if err != nil {
		return nil, err
	}
	c := comparedRun{whole: whole, ComparedRun: ComparedRun{Run: whole.Run, Clip: whole.Clip}}
	if err := a.measureOne(ctx, &c, CompareAsk{Legs: ask.Legs}); err != nil {
		return nil, err
	}
	if c.Problem != "" {
		return nil, inputf("%s", c.Problem)
	}
	k := wholeKick(c.Result, ask.Kick)
	if k == nil {
		return nil, fmt.Errorf("kick %d of run %s: %w", ask.Kick, runID, ErrNotFound)
	}
	frame, err := pictureSize(c.Clip)
	if err != nil {
		return nil, err
	}
	drawn := c.measured.drawn()
	var out []FilmScene
	first, last := drawing.Nearest(c.Film.Times, k.Start), drawing.Nearest(c.Film.Times, k.End)
	for i := max(first-1, 0); i <= min(last+1, len(c.Film.Frames)-1); i++ {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		frame.Crop, frame.Kick = c.Film.crop(i), k.Number
		out = append(out, FilmScene{Frame: c.Film.Frames[i], Crop: frame.Crop, Scene: drawn.Scene(i, ask.Layers, frame)})
	}
	return out, nil
}
