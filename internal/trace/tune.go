package trace

import "math"

// tuneHarmonics is the number of harmonics while the tuning is learnt.
const tuneHarmonics = 4

// tuneMarks bounds the marks per landmark that learning looks at: beyond it a
// middle stretch is used, which keeps the spacing of the marks.
const tuneMarks = 400

// learn finds the tuning under which the marks of the given tracks are most
// likely (marginal likelihood, all of them together, with the weak priors of
// tuning.prior), by a search along the coordinates with shrinking steps.
func learn(tracks []*track, c *clock) tuning {
	var cut []*track
	for _, tr := range tracks {
		cut = append(cut, tr.middle(tuneMarks))
	}
	score := func(u tuning) float64 {
		sum := u.prior()
		for _, tr := range cut {
			ch := tr.layout(c, tr.own(), tuneHarmonics, u.noise, false)
			ch.wanders(u.wander(tr.amp, c.period))
			f := ch.forward(false)
			co, ok := ch.coefficients(f, ch.cols)
			if !ok {
				return math.Inf(-1)
			}
			sum += co.logLik
		}
		return sum
	}
	best := startTuning
	top := score(best)
	for _, step := range []float64{0.8, 0.8, 0.4, 0.2} {
		for _, knob := range best.knobs() {
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
	return best
}

// knobs returns the values that learning turns.
func (u *tuning) knobs() []*float64 {
	return []*float64{&u.restSize, &u.slowSize, &u.noise, &u.restTime, &u.slowTime}
}

// prior returns the log prior density of the tuning, up to a constant: normal
// in the logarithms around startTuning. The stated click noise is believed to
// about a third unless the marks say otherwise.
func (u tuning) prior() float64 {
	sum := 0.0
	for _, k := range []struct{ value, start, sd float64 }{
		{u.slowSize, startTuning.slowSize, 1},
		{u.slowTime, startTuning.slowTime, 0.4},
		{u.restSize, startTuning.restSize, 1},
		{u.restTime, startTuning.restTime, 0.4},
		{u.noise, startTuning.noise, 0.3},
	} {
		d := math.Log(k.value/k.start) / k.sd
		sum -= 0.5 * d * d
	}
	return sum
}

// middle returns the track, or a copy with its middle n spots.
func (tr *track) middle(n int) *track {
	if len(tr.spots) <= n {
		return tr
	}
	cut := *tr
	from := (len(tr.spots) - n) / 2
	cut.spots = tr.spots[from : from+n]
	return &cut
}
