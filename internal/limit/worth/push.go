package worth

import (
	"math"

	"underkick/internal/body"
	"underkick/internal/swim"
)

// PushLine is one kick's push: model estimates, for comparing kicks of one run.
type PushLine struct {
	Kick      int     // kick.Kick.Number
	Index     float64 // impulse of the downkick, the run's largest = 100
	FeetShare float64 // the feet's part of the forward impulse of all segments over the kick, 0 to 1
}

// pushes puts the model's loads on the filmed run. off is by how much the model's net
// impulse over the downkicks and the change of the filmed body's momentum differ, as a
// share of the latter. Nothing is had where the landmarks have gaps.
func pushes(m *swim.Model, f *filmed, factor float64) (lines []PushLine, off float64) {
	mo, ok := f.throughWater()
	if !ok {
		return nil, math.NaN()
	}
	loads, err := m.Filmed(mo, false)
	if err != nil {
		return nil, math.NaN() // gaps: no push, and nothing to check
	}
	var net, gain, best float64
	for _, k := range f.run.Result.Kicks {
		if !k.Counted {
			continue
		}
		down := loads.Between(k.Start, k.Bottom)
		net, gain = net+down.Total()-factor*down.Drag, gain+down.Gain
		forward, whole := 0.0, loads.Between(k.Start, k.End)
		for _, p := range whole.Push {
			forward += math.Max(0, p)
		}
		lines = append(lines, PushLine{k.Number, down.Total(), math.Max(0, whole.Push[body.Feet]) / forward})
		best = math.Max(best, down.Total())
	}
	for i := range lines {
		lines[i].Index *= 100 / best
	}
	return lines, math.Abs(net-gain) / math.Abs(gain)
}

// throughWater is the run in the travel frame with its way through the water, from the
// first counted kick to the last.
func (f *filmed) throughWater() (body.Motion, bool) {
	s := &f.run.Result.Signals
	if s.Origin == nil || len(f.spans) == 0 {
		return body.Motion{}, false
	}
	first, last := f.spans[0][0], f.spans[len(f.spans)-1][1]
	from, to := 0, len(s.T)
	for from < to && s.T[from] < first-0.05 {
		from++
	}
	for to > from && s.T[to-1] > last+0.05 {
		to--
	}
	m := body.Motion{T: s.T[from:to]}
	for _, l := range chained {
		p := f.motion.Paths[l]
		if p == nil {
			continue
		}
		q := &body.Path{X: make([]float64, to-from), Y: make([]float64, to-from)}
		for i := range q.X {
			q.X[i], q.Y[i] = p.X[from+i]+s.Origin.X[from+i], p.Y[from+i]+s.Origin.Y[from+i]
		}
		m.Paths[l] = q
	}
	return m, true
}
