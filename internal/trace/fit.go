package trace

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"underkick/internal/body"
)

// Options are the choices of Fit. The zero value is the default.
type Options struct {
	// MarkSD is the standard error per axis of marks that state none, in the
	// unit of the marks. 0 takes 0.3 % of the body's marked length: clicks
	// scatter by about 2 pixels on a body of 720.
	MarkSD float64
	// Harmonics is the most harmonics a landmark may get, 1 to 6. 0 means 6.
	Harmonics int
	// Period fixes the kick period, s. 0 lets the marks decide.
	Period float64
	// Guess is what was guessed at the same times, nil when nothing was. The traces of
	// its landmarks are then the guess put right by the marks; those may be none.
	Guess *Guess

	alike bool // all landmarks move with the common tuning, none with its own
}

// clickShare is the default click noise as a share of the body's length.
const clickShare = 0.003

// Landmark tells how the fit of one landmark came out. Lengths are in the unit
// of the marks and per axis.
type Landmark struct {
	Marks       int     // marked frames used
	Harmonics   int     // chosen by cross-validation
	MarkSD      float64 // standard error of a mark as the fit sees it, median
	ResidualRMS float64 // root mean square of mark minus trace; outliers left out
	LeaveOneOut float64 // root mean square of mark minus the trace fitted without it; outliers left out
	Stretch     float64 // factor on the standard errors because the marks scatter otherwise than the model says; 1 = none
}

// Traces are the paths of all landmarks over the frames. They are not changed
// after they were made and may be used by several goroutines.
type Traces struct {
	Period    float64                      // mean kick period, s
	Landmarks [body.NumLandmarks]*Landmark // nil where the landmark was not traced
	Outliers  []int                        // indexes of marks that do not fit and hardly count, rising
	Warnings  []string                     // what the reader of the traces should know

	times   []float64
	clock   clock
	threads []*thread
	tracks  []*track // in the order of threads
	tuning  tuning
	guess   *Guess    // nil without one
	spare   []*thread // marks alone, for landmarks whose guess does not cover all frames

	guessTuning tuning  // of the landmarks that are guessed
	rival       *Traces // with another period that the marks do not rule out; nil when they do
}

// check panics when an option is out of its range.
func (opt Options) check() {
	if !(opt.MarkSD >= 0) || math.IsInf(opt.MarkSD, 0) || opt.Harmonics < 0 || opt.Harmonics > mostHarmonics ||
		!(opt.Period >= 0) || math.IsInf(opt.Period, 0) {
		panic("trace: options out of range")
	}
}

// start checks and sorts the marks.
func start(times []float64, marks []body.Mark, opt Options) ([]*track, []string, error) {
	if err := checkTimes(times); err != nil {
		return nil, nil, err
	}
	if err := checkMarks(marks); err != nil {
		return nil, nil, err
	}
	size := bodySize(marks)
	markSD := opt.MarkSD
	if markSD == 0 {
		markSD = clickShare * size
	}
	if markSD == 0 {
		return nil, nil, fmt.Errorf("%w: all %d lie on one point; mark the landmarks on at least %d frames of the run", ErrTooFewMarks, len(marks), Fewest)
	}
	var kept []*track
	var warnings []string
	for _, tr := range sortTracks(snap(marks, times), markSD) {
		if len(tr.spots) < Fewest {
			warnings = append(warnings, fmt.Sprintf("%v is marked on %d frames and is not traced: mark it on at least %d", tr.landmark, len(tr.spots), Fewest))
			continue
		}
		if len(tr.spots) < 8 {
			warnings = append(warnings, fmt.Sprintf("%v is marked on only %d frames: its trace is uncertain between them", tr.landmark, len(tr.spots)))
		}
		kept = append(kept, tr)
	}
	if len(kept) == 0 {
		return nil, nil, fmt.Errorf("%w: no landmark is marked on %d frames; mark about four frames per kick, at other moments in each kick", ErrTooFewMarks, Fewest)
	}
	return kept, warnings, nil
}

// snap moves the times of marks that are within a tenth of a millisecond of a
// frame onto it, so that rounded tables and films meet.
func snap(marks []body.Mark, times []float64) []body.Mark {
	out := slices.Clone(marks)
	for i := range out {
		k, _ := slices.BinarySearch(times, out[i].Time)
		for _, j := range []int{k - 1, k} {
			if j >= 0 && j < len(times) && math.Abs(times[j]-out[i].Time) < 1e-4 {
				out[i].Time = times[j]
			}
		}
	}
	return out
}

// Fit fits the model of the package comment to marks and evaluates it at times
// (s, strictly rising: the film's frames). Marks are taken at their own Time;
// their order does not matter. Two marks of one landmark at the same time count
// as their mean.
//
// A landmark needs marks on at least five frames; those with fewer are left out
// with a warning. When none is left the error wraps ErrTooFewMarks. Other errors
// say which time or mark cannot be used. The result is deterministic. It panics
// when opt is out of range or its guess was made for other times.
//
// With a guess its landmarks need no mark: how they differ from the guess is fitted
// to the marks there are, with the guess's habits as what is known beforehand.
func Fit(times []float64, marks []body.Mark, opt Options) (*Traces, error) {
	opt.check()
	if opt.Guess != nil {
		return opt.Guess.fit(times, marks, opt)
	}
	tracks, warnings, err := start(times, marks, opt)
	if err != nil {
		return nil, err
	}
	f := &Traces{times: times, Warnings: warnings, Period: opt.Period}
	rival := 0.0
	if f.Period == 0 {
		f.Period, rival = findPeriod(tracks)
	}
	sizeTracks(tracks, f.Period)
	f.clock = clock{origin: times[0], period: f.Period}
	each(tracks, func(_ int, tr *track) { tr.judge(&f.clock, startTuning, tuneHarmonics) })
	class := newClass(tracks)
	if bent := bendClock(f.clock, tracks); class.prefers(&bent, &f.clock) {
		f.clock = bent
	}
	f.tracks, f.tuning = tracks, class.learn(&f.clock)
	f.threads = make([]*thread, len(tracks))
	most := opt.Harmonics
	if most == 0 {
		most = mostHarmonics
	}
	nodes := instants(times, tracks)
	each(tracks, func(i int, tr *track) { f.threads[i] = f.thread(tr, most, nodes, !opt.alike) })
	f.report()
	if rival > 0 {
		f.doubt(marks, opt, rival)
	}
	return f, nil
}

// doubt fits the marks once more with another period that they do not rule out.
func (f *Traces) doubt(marks []body.Mark, opt Options, period float64) {
	opt.Period = period
	other, err := Fit(f.times, marks, opt)
	if err != nil {
		return // the marks were good for the first fit; one period less to doubt
	}
	if f.agrees(other) {
		return
	}
	f.rival = other
	f.Warnings = append(f.Warnings, fmt.Sprintf("the marks do not settle the kick: %.2f s long, or %.2f s? The traces are uncertain; mark a few more frames, some of them close together within one kick", f.Period, period))
}

// each runs fn on all items at the same time.
func each[T any](items []T, fn func(int, T)) {
	var wg sync.WaitGroup
	for i, item := range items {
		wg.Go(func() { fn(i, item) })
	}
	wg.Wait()
}
