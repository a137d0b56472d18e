package trace

import (
	"cmp"
	"math"
	"slices"
)

// tuneHarmonics is the number of harmonics while the tuning is learnt.
const tuneHarmonics = 4

// Learning looks at no more than tuneDensity marks per kick and tuneMarks
// marks per landmark in all, those in the middle: more say little more.
const (
	tuneDensity = 12
	tuneMarks   = 64
)

// tuneTracks is the number of landmarks, those that move most, from which the
// common tuning is learnt.
const tuneTracks = 5

// student is a track laid out once for many tunings.
type student struct {
	track  *track
	chains [2]*chain
	passes [2]*filtered
	room   [2]likelihood
	clock  *clock
}

func newStudent(tr *track, c *clock) *student {
	cut := tr.sample(c.period)
	lay := cut.layout(c, cut.own(), cut.harmonics(), false)
	copied := *cut
	cut = &copied // its factors may be tried out
	s := &student{track: cut, chains: cut.chains(lay, c, tr.start()), clock: c}
	for axis, ch := range s.chains {
		s.passes[axis] = ch.newFiltered(false)
	}
	return s
}

// logLik returns the log marginal likelihood of the track's marks.
func (s *student) logLik(u tuning) float64 {
	s.track.tune(s.chains, s.clock, u)
	sum := 0.0
	for axis := range s.chains {
		sum += s.axisLik(axis)
	}
	return sum
}

// axisLik returns the log marginal likelihood of one coordinate as it is tuned.
func (s *student) axisLik(axis int) float64 {
	ch := s.chains[axis]
	ch.pass(s.passes[axis])
	return s.room[axis].of(ch, s.passes[axis])
}

// class is the tracks from which the common tuning is learnt.
type class []*track

func newClass(tracks []*track) class {
	most := slices.Clone(tracks)
	slices.SortStableFunc(most, func(a, b *track) int { return cmp.Compare(b.reach(), a.reach()) })
	return most[:min(len(most), tuneTracks)]
}

// scorer lays the tracks out on a clock and returns the function that gives the
// log marginal likelihood of all their marks under a tuning.
func (cl class) scorer(c *clock) func(tuning) float64 {
	students := make([]*student, len(cl))
	for i, tr := range cl {
		students[i] = newStudent(tr, c)
	}
	likelihoods := make([]float64, len(cl))
	return func(u tuning) float64 {
		each(students, func(i int, s *student) { likelihoods[i] = s.logLik(u) })
		sum := 0.0
		for _, v := range likelihoods {
			sum += v
		}
		return sum
	}
}

// prefers tells whether the marks speak for the bent clock: one unit of log
// likelihood for each spline weight and two more. On the synthetic swimmers a
// steady tempo gains less than 10 by bending, changes of 4 % from kick to kick
// gain 20 to 1000.
func (cl class) prefers(bent, even *clock) bool {
	if bent.bend == nil {
		return false
	}
	gain := cl.scorer(bent)(startTuning) - cl.scorer(even)(startTuning)
	return gain > float64(len(bent.bend)+2)
}

// learn finds the tuning under which the marks are most likely (all tracks
// together, with the weak priors of tuning.prior), by a search along the
// coordinates with shrinking steps, and hedges its sizes.
func (cl class) learn(c *clock) tuning {
	likelihood := cl.scorer(c)
	guessed := cl[0].base != nil
	start := cl[0].start()
	score := func(u tuning) float64 { return u.prior(start) + likelihood(u) }
	best := start
	top := score(best)
	for _, step := range []float64{0.8, 0.4, 0.2} {
		for _, knob := range best.knobs(guessed) {
			for _, s := range []float64{step, -step} {
				was := *knob
				*knob *= math.Exp(s)
				if v := score(best); v > top {
					top = v
					break
				}
				*knob = was
			}
		}
	}
	return best.hedge(score, guessed)
}

// hedge returns the tuning with its sizes raised to their mean square under the
// marks, instead of the single best value: where few marks leave the sizes open,
// the larger ones among the possible must show in the standard errors.
func (u tuning) hedge(score func(tuning) float64, guessed bool) tuning {
	var factors, scores []float64
	for k := -3; k <= 5; k++ {
		s := math.Exp(0.4 * float64(k))
		v := u
		v.resize(s, guessed)
		factors = append(factors, s)
		scores = append(scores, score(v))
	}
	top := slices.Max(scores)
	sum, square := 0.0, 0.0
	for i, s := range factors {
		w := math.Exp(scores[i] - top)
		sum += w
		square += w * s * s
	}
	u.resize(math.Sqrt(square/sum), guessed)
	return u
}

// resize makes all that is not the same in every kick larger; of a guess, all that
// its habits leave open.
func (u *tuning) resize(by float64, guessed bool) {
	if guessed {
		u.habit *= by
		return
	}
	u.slowSize *= by
	u.restSize *= by
}

// knobs returns the values that learning turns.
func (u *tuning) knobs(guessed bool) []*float64 {
	if guessed {
		return []*float64{&u.habit, &u.restSize, &u.slowSize, &u.noise, &u.restTime}
	}
	return []*float64{&u.restSize, &u.slowSize, &u.noise, &u.restTime, &u.slowTime}
}

// prior returns the log prior density of the tuning, up to a constant: normal
// in the logarithms around start. The stated click noise is believed to
// about a third unless the marks say otherwise.
func (u tuning) prior(start tuning) float64 {
	sum := 0.0
	for _, k := range []struct{ value, start, sd float64 }{
		{u.slowSize, start.slowSize, 0.7},
		{u.slowTime, start.slowTime, 0.4},
		{u.restSize, start.restSize, 0.7},
		{u.restTime, start.restTime, 0.4},
		{u.noise, start.noise, 0.2},
		{u.habit, start.habit, 0.4},
	} {
		d := math.Log(k.value/k.start) / k.sd
		sum -= 0.5 * d * d
	}
	return sum
}

// sample returns the track, or a copy with fewer spots, as learning sees it.
func (tr *track) sample(period float64) *track {
	if len(tr.spots) <= tuneDensity {
		return tr
	}
	first, last := tr.span()
	perKick := float64(len(tr.spots)-1) * period / (last - first)
	stride := max(1, int(perKick/tuneDensity))
	kept := (len(tr.spots)-1)/stride + 1
	skip := max(0, kept-tuneMarks) / 2
	if stride == 1 && skip == 0 {
		return tr
	}
	cut := *tr
	cut.spots = nil
	for i := skip; i < kept && len(cut.spots) < tuneMarks; i++ {
		cut.spots = append(cut.spots, tr.spots[i*stride])
	}
	return &cut
}
