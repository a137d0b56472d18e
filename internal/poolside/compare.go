package poolside

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"sync"

	"underkick/internal/compare"
	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/record"
	"underkick/internal/store"
)

// How many runs are compared at once.
const (
	LeastCompared = 2
	MostCompared  = 4
)

// CompareAsk names the runs to compare.
type CompareAsk struct {
	Runs  []string       // ids, two to four, no run twice
	Kicks map[string]int // number of the kick shown, by run id; 0 or absent = the typical one
	Legs  bool           // the films show the legs alone, not the whole body
}

// CompareView is the page of two to four compared runs. Where Problem is not empty
// nothing but the runs stands in it.
type CompareView struct {
	Runs       []ComparedRun
	Problem    string        // why there is no comparison
	OneSwimmer bool          // all runs are of one swimmer
	Table      []compare.Row // one row per measure
	First      []string      // the most important in words, one to three sentences
	More       bool          // Most says more than First
	Most       []MostView    // all of it: of every run after the first against the first
	Notes      []string      // what the reader has to know before the numbers
}

// ComparedRun is one run of a comparison.
type ComparedRun struct {
	Run     record.Run
	Swimmer record.Swimmer
	Name    string // as it is shown now
	Clip    record.Clip
	Visit   record.Visit
	When    string // the visit's day in words
	Short   string // what sentences call the run: a name, a day, or both
	Problem string // why it cannot be compared, "" when it can

	Result *kick.Result
	Curves []compare.Curve
	Chosen int // number of the kick that the film shows; 0 = it has none
	Film   FilmWindow
}

// MostView says what became of a run against the first, and where the two differ most.
type MostView struct {
	Verdicts  []string // of one swimmer: on speed and on what changed
	Heading   string
	Sentences []string // largest difference first; empty = none beyond its band
}

// Compare measures the runs and lays them beside each other. Runs of one swimmer alone
// come out in the order in which they were filmed, others in the order asked for. An
// error wraps ErrInput when the number of runs is not two to four or one stands twice,
// and ErrNotFound when there is no such run.
func (a *App) Compare(ctx context.Context, ask CompareAsk) (CompareView, error) {
	list, err := a.comparedRuns(ctx, ask)
	if err != nil {
		return CompareView{}, err
	}
	view := CompareView{OneSwimmer: oneSwimmer(list)}
	for _, c := range list {
		view.Runs = append(view.Runs, c.ComparedRun)
		if c.Problem != "" && view.Problem == "" {
			view.Problem = fmt.Sprintf("%s cannot be compared yet. %s", c.Short, c.Problem)
		}
	}
	if view.Problem != "" {
		return view, nil
	}
	runs := make([]compare.Run, len(list))
	for i, c := range list {
		runs[i] = compare.Run{Run: limitRun(c.whole, c.Result), Swimmer: c.Swimmer.ID, Short: c.Short}
		view.Runs[i].Curves = compare.Curves(c.Result)
	}
	scatter := sync.OnceValues(func() (limit.Scatters, error) { return a.scatter(ctx, list[0].Swimmer.SquadID) })
	var judged []compare.Judged
	var pairs []compare.Said
	for i := 1; i < len(list); i++ {
		j, err := judgeRuns([2]comparedRun{list[0], list[i]}, [2]limit.Run{runs[0].Run, runs[i].Run}, scatter)
		if err != nil {
			return view, err
		}
		judged = append(judged, j)
		pairs = append(pairs, compare.Most(runs[0], runs[i]))
	}
	view.Table = compare.NewTable(runs, judged)
	view.say(pairs)
	view.Notes = append(compare.Unlike(runs), a.consentNotes(ctx, list)...)
	return view, nil
}

// CompareFilms returns the runs with their films alone, in the order of Compare. A run
// that cannot be measured is an error that wraps ErrInput.
func (a *App) CompareFilms(ctx context.Context, ask CompareAsk) ([]ComparedRun, error) {
	list, err := a.comparedRuns(ctx, ask)
	if err != nil {
		return nil, err
	}
	runs := make([]ComparedRun, len(list))
	for i, c := range list {
		if c.Problem != "" {
			return nil, inputf("%s", c.Problem)
		}
		runs[i] = c.ComparedRun
	}
	return runs, nil
}

// comparedRun is a run with what it was measured from.
type comparedRun struct {
	ComparedRun
	whole    store.Whole
	measured *Measured // nil with a Problem
}

// comparedRuns reads and measures the runs of a comparison, up to two at a time, and
// puts them in order.
func (a *App) comparedRuns(ctx context.Context, ask CompareAsk) ([]comparedRun, error) {
	if n := len(ask.Runs); n < LeastCompared || n > MostCompared {
		return nil, inputf("%d runs were chosen; choose two to four to compare", n)
	}
	list := make([]comparedRun, len(ask.Runs))
	for i, id := range ask.Runs {
		if slices.Contains(ask.Runs[:i], id) {
			return nil, inputf("a run was chosen twice; choose another one to compare it with")
		}
		whole, err := a.store.RunWhole(ctx, id)
		if err != nil {
			return nil, err
		}
		list[i].whole = whole
		list[i].ComparedRun = ComparedRun{
			Run: whole.Run, Swimmer: whole.Swimmer, Clip: whole.Clip, Visit: whole.Visit,
			Name: a.ShownName(ctx, whole.Swimmer), When: longDate(whole.Visit.On),
		}
	}
	if oneSwimmer(list) {
		slices.SortStableFunc(list, func(p, q comparedRun) int { return cmp.Compare(p.Visit.On, q.Visit.On) })
	}
	nameRuns(list)
	return list, a.measureCompared(ctx, list, ask)
}

// measureCompared measures the runs, two at a time: a run takes one processor for
// tenths of a second.
func (a *App) measureCompared(ctx context.Context, list []comparedRun, ask CompareAsk) error {
	errs := make([]error, len(list))
	slots := make(chan struct{}, 2)
	var all sync.WaitGroup
	for i := range list {
		all.Go(func() {
			slots <- struct{}{}
			defer func() { <-slots }()
			errs[i] = a.measureOne(ctx, &list[i], ask)
		})
	}
	all.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func (a *App) measureOne(ctx context.Context, c *comparedRun, ask CompareAsk) error {
	var err error
	if slowMotionView(c.Clip).Ask {
		err = inputf("Say how fast the clip was filmed: the file plays at one rate and names another, and every speed hangs on it.")
	} else {
		c.measured, _, err = a.measureKept(ctx, c.whole)
	}
	if problem, ok := problemOf(err); ok {
		c.Problem = problem
		return nil
	}
	if err != nil {
		return fmt.Errorf("measure run %s: %w", c.Run.ID, err)
	}
	c.Result = c.measured.Result
	if c.Chosen = ask.Kicks[c.Run.ID]; wholeKick(c.Result, c.Chosen) == nil {
		c.Chosen = compare.Typical(c.Result)
	}
	if c.Chosen == 0 {
		c.Problem = "No whole kick is counted in it. Set the run's frames so that it holds one from toe top to toe top, and mark it."
		return nil
	}
	c.Film = c.measured.window(c.whole, ask.Legs)
	return nil
}

// oneVisit is why two runs of one visit bear no verdict.
const oneVisit = "Both runs are of one visit: they are repeats, and a retest needs two visits."

// tooFewForVerdict is why a run that is not steady enough bears none.
const tooFewForVerdict = "One of the runs has fewer than three steady whole kicks, so there is no verdict."

// judgeRuns judges two runs of one swimmer, earlier against later, by the retest's
// rules; nothing for two swimmers. squad gives how repeats scatter in the swimmer's squad.
func judgeRuns(pair [2]comparedRun, runs [2]limit.Run, squad func() (limit.Scatters, error)) (compare.Judged, error) {
	first, second := pair[0], pair[1]
	if first.Swimmer.ID != second.Swimmer.ID {
		return compare.Judged{}, nil
	}
	if first.Visit.ID == second.Visit.ID {
		return compare.Judged{Why: []string{oneVisit}}, nil
	}
	j := compare.Judged{Swapped: second.Visit.On < first.Visit.On}
	if j.Swapped {
		runs[0], runs[1] = runs[1], runs[0]
	}
	scatter, err := squad()
	if err != nil {
		return j, fmt.Errorf("judge the change between two runs: %w", err)
	}
	stops := limit.Season(runs[:], scatter, nil)
	if len(stops) < 2 {
		j.Why = []string{tooFewForVerdict}
		return j, nil
	}
	j.Changes, j.Why = stops[1].Changes, stops[1].Why
	return j, nil
}
