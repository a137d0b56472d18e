package trace

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"underkick/internal/body"
	"underkick/internal/spread"
)

// start is where the tuning of a track starts.
func (tr *track) start() tuning {
	if tr.base != nil {
		return startGuess
	}
	return startTuning
}

// harmonics is the number of harmonics while the tuning is learnt.
func (tr *track) harmonics() int {
	if tr.base != nil {
		return guessHarmonics
	}
	return tuneHarmonics
}

// tuned returns the tuning that a track was fitted with.
func (f *Traces) tuned(tr *track) tuning {
	if tr.base != nil {
		return f.guessTuning
	}
	return f.tuning
}

// known tells whether frame i can have a place as far as the guess goes.
func (th *thread) known(i int) bool { return th.base == nil || th.base.known(i) }

// thread fits a track for good.
func (f *Traces) thread(tr *track, most int, nodes []float64, own bool) *thread {
	if own {
		tr.learnOwn(&f.clock, f.tuned(tr))
	}
	return tr.trace(&f.clock, f.tuned(tr), most, nodes)
}

// Guessed tells whether a landmark's trace is the guess put right by the marks; else
// it stands on marks alone.
func (f *Traces) Guessed(l body.Landmark) bool { return f.guess != nil && f.guess.bases[l] != nil }

// fit is Fit about a guess.
func (g *Guess) fit(times []float64, marks []body.Mark, opt Options) (*Traces, error) {
	if !slices.Equal(times, g.times) {
		panic("trace: the guess was made for other times")
	}
	if err := checkMarks(marks); err != nil {
		return nil, err
	}
	if opt.MarkSD == 0 {
		opt.MarkSD = clickShare * g.length
	}
	f := &Traces{times: times, Period: g.clock.period, clock: g.clock, guess: g, tuning: startTuning, guessTuning: startGuess}
	marked, warnings := g.marked(marks, opt)
	f.Warnings = warnings
	guessed := g.tracks(marks, opt.MarkSD)
	most := opt.Harmonics
	if most == 0 {
		most = mostHarmonics
	}
	sizeTracks(marked, f.Period)
	// A guess that lost the swimmer after a kick or two knows no tempo that could be trusted
	// where it is missing: there the marks alone serve, if they are enough.
	gaps := g.gaps()
	var alone *Traces
	var spared []*track
	if len(gaps) > 0 {
		if alone = g.alone(marks, opt); alone != nil {
			marked, spared = g.spared(marked)
			f.tuning = alone.tuning
		}
	}
	each(marked, func(_ int, tr *track) { tr.judge(&f.clock, startTuning, min(tuneHarmonics, most)) })
	if alone == nil && len(marked) > 0 {
		f.tuning = newClass(marked).learn(&f.clock)
	}
	each(guessed, func(_ int, tr *track) { tr.judge(&f.clock, startGuess, guessHarmonics) })
	if known, n := withSpots(guessed); n >= fewestHabit {
		f.guessTuning = class(known).learn(&f.clock)
	}
	all := append(slices.Clone(marked), guessed...)
	nodes := instants(times, all)
	threads := make([]*thread, len(all))
	each(all, func(i int, tr *track) { threads[i] = f.thread(tr, most, nodes, true) })
	var traced [body.NumLandmarks]bool // about the guess
	for i, th := range threads {
		if th == nil {
			continue
		}
		th.outliers = slices.DeleteFunc(th.outliers, func(i int) bool { return i >= len(marks) }) // the places pointed at are no marks
		traced[th.landmark] = traced[th.landmark] || all[i].base != nil
	}
	for i, th := range threads {
		if th != nil && th.base == nil && traced[th.landmark] {
			f.spare = append(f.spare, th)
			continue
		}
		f.tracks, f.threads = append(f.tracks, all[i]), append(f.threads, th)
	}
	for _, tr := range spared {
		if k := slices.IndexFunc(alone.threads, func(th *thread) bool { return th.landmark == tr.landmark }); k >= 0 && traced[tr.landmark] {
			f.spare = append(f.spare, alone.threads[k])
		}
	}
	f.report()
	f.Warnings = append(f.Warnings, gaps...)
	return f, nil
}

// alone fits the marks without the guess; nil where they are too few.
func (g *Guess) alone(marks []body.Mark, opt Options) *Traces {
	opt.Guess = nil
	f, err := Fit(g.times, marks, opt)
	if err != nil {
		return nil
	}
	return f
}

// spared parts the tracks that stand on marks alone into those of landmarks that are not
// guessed at all, and those that the guess covers a part of.
func (g *Guess) spared(marked []*track) (unguessed, spared []*track) {
	for _, tr := range marked {
		if g.bases[tr.landmark] == nil {
			unguessed = append(unguessed, tr)
		} else {
			spared = append(spared, tr)
		}
	}
	return unguessed, spared
}

// gaps says which landmarks were seen on a part of the run only.
func (g *Guess) gaps() []string {
	var names []string
	for l, b := range g.bases {
		if b != nil && b.covers < mostlySeen {
			names = append(names, body.Landmark(l).String())
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []string{fmt.Sprintf("the guess does not cover all of the run (%s): where it is missing, only landmarks marked on at least %d frames are traced", strings.Join(names, ", "), Fewest)}
}

// marked returns the tracks that stand on marks alone: of landmarks that are not
// guessed, or not on all frames.
func (g *Guess) marked(marks []body.Mark, opt Options) ([]*track, []string) {
	var own []body.Mark
	var from []int // of each own among the marks
	for i, m := range marks {
		if b := g.bases[m.Landmark]; b == nil || slices.ContainsFunc(b.path.X, math.IsNaN) {
			own, from = append(own, m), append(from, i)
		}
	}
	if len(own) == 0 {
		return nil, nil
	}
	tracks, warnings, err := start(g.times, own, Options{MarkSD: opt.MarkSD})
	if err != nil {
		return nil, nil // too few; the guess alone is left
	}
	for _, tr := range tracks {
		for _, s := range tr.spots {
			for k, i := range s.from {
				s.from[k] = from[i]
			}
		}
	}
	return tracks, warnings
}

// tracks returns a track of differences for every guessed landmark, with or without
// marks.
func (g *Guess) tracks(marks []body.Mark, markSD float64) []*track {
	all := slices.Clone(marks)
	for _, p := range g.pointed {
		if !slices.ContainsFunc(marks, func(m body.Mark) bool { return m.Landmark == p.Landmark && m.Frame == p.Frame }) {
			all = append(all, p)
		}
	}
	var out []*track
	found := sortTracks(snap(all, g.times), markSD)
	for l, b := range g.bases {
		if b == nil {
			continue
		}
		tr := &track{landmark: body.Landmark(l), base: b, click: markSD}
		if k := slices.IndexFunc(found, func(tr *track) bool { return tr.landmark == body.Landmark(l) }); k >= 0 {
			for _, s := range found[k].spots {
				var ok bool
				if s.x, s.y, ok = b.difference(&s); ok {
					tr.spots = append(tr.spots, s)
				}
			}
		}
		out = append(out, tr)
	}
	return out
}

// withSpots returns the tracks that have any, and how many there are.
func withSpots(tracks []*track) (some []*track, spots int) {
	for _, tr := range tracks {
		if len(tr.spots) > 0 {
			some = append(some, tr)
			spots += len(tr.spots)
		}
	}
	return some, spots
}

// guessMarks is how many marks' worth of belief the habits' standard errors get.
const guessMarks = 20.0

// guessFree is how many degrees of freedom the habits have for a clip they were not
// learnt on, and fewestHabit the least number of places from which they are judged.
const (
	guessFree   = 6
	fewestHabit = 8
)

// traceGuessed fits the differences from the guess and evaluates them over all
// instants.
func (tr *track) traceGuessed(c *clock, u tuning, all []float64) *thread {
	if !tr.judge(c, u, guessHarmonics) {
		return nil
	}
	th := &thread{landmark: tr.landmark, base: tr.base, report: Landmark{Marks: len(tr.spots), Harmonics: guessHarmonics}}
	left, ok := tr.leaveOut(c, u, guessHarmonics)
	if !ok {
		return nil
	}
	th.measure(tr, left)
	first, last := tr.span()
	from, _ := slices.BinarySearch(all, first)
	to, _ := slices.BinarySearch(all, last)
	return th.settle(tr, c, u, all[from:to+1])
}

// belief is how many marks' worth the standard errors of a track stand on, and the
// factor for learning its sizes from so few: Student's t in place of the normal.
func (tr *track) belief() (marks, factor float64) {
	marks, free := stretchMarks, len(tr.spots)-5
	if tr.base != nil {
		marks, free = guessMarks, guessFree+2*len(tr.spots)
	}
	return marks, spread.T95(max(free, 2)) / spread.T95(1<<30)
}
