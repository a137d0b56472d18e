package poolside

import (
	"errors"
	"math"

	"underkick/internal/body"
	"underkick/internal/kick"
	"underkick/internal/limit/worth"
)

// FacingWorth is how well the worth of facing is known with marks of one kind: what the
// model expects of a foot pointed 10 degrees more in the marked run, held against what it
// expects in the exact one. Differences of speed, m/s. Model against model: how far the
// model is from water is not in it.
type FacingWorth struct {
	N, Refused int     // runs with an answer, and without
	True       float64 // mean of the exact runs
	Bias, RMS  float64 // mean and root mean square of marked less exact
}

// facingChange is what is asked of the model.
var facingChange = []worth.Change{{Name: "foot", Amount: 10}}

// facingWorth returns what the model expects of facingChange, m/s; NaN where it refuses
// the run or the change.
func facingWorth(r worth.Run, s body.Subject) (float64, error) {
	asker, err := worth.NewAsker(r, s, worthSeed)
	if errors.Is(err, worth.ErrRefused) {
		return math.NaN(), nil
	}
	if err != nil {
		return math.NaN(), err
	}
	got, err := asker.Ask(facingChange)
	if err != nil {
		return math.NaN(), nil // cannot be asked of this kick
	}
	return got.SpeedChange.Value, nil
}

// exactWorth is facingWorth of a clip's exact motion.
func exactWorth(r *kick.Result, motion body.Motion, s body.Subject) (float64, error) {
	s, err := (&Measured{motion: motion}).subject(s)
	if err != nil {
		return math.NaN(), err
	}
	return facingWorth(worth.Run{Result: r, ScaleRel: -1, Offset: -1}, s)
}

// worthPair is a marked run's answer and the exact one's.
type worthPair struct{ got, truth float64 }

// worthOf holds a measured run of clip i against the exact one.
func (e *evaluator) worthOf(i int, m *Measured) (worthPair, error) {
	p := worthPair{math.NaN(), e.exact[i].worth}
	s, err := m.subject(e.clips[i].input(nil).Subject)
	if err != nil {
		return p, err
	}
	p.got, err = facingWorth(m.worthRun(), s)
	return p, err
}

// gatherWorth sums pairs up; nil for none.
func gatherWorth(pairs []worthPair) *FacingWorth {
	if len(pairs) == 0 {
		return nil
	}
	w := &FacingWorth{}
	for _, p := range pairs {
		d := p.got - p.truth
		if math.IsNaN(d) {
			w.Refused++
			continue
		}
		w.N++
		w.True += p.truth
		w.Bias += d
		w.RMS += d * d
	}
	n := float64(w.N)
	w.True, w.Bias, w.RMS = w.True/n, w.Bias/n, math.Sqrt(w.RMS/n)
	return w
}
