package compare

import (
	"math"

	"underkick/internal/kick"
)

// Typical returns the number of the counted kick that lies nearest to the run's mean
// kick: least mean square of (curve - mean)/SD over toe height and foot speed. With
// fewer than three counted kicks it is the first; 0 without one.
func Typical(r *kick.Result) int {
	var counted []kick.Kick
	for _, k := range r.Kicks {
		if k.Counted {
			counted = append(counted, k)
		}
	}
	switch len(counted) {
	case 0:
		return 0
	case 1, 2:
		return counted[0].Number
	}
	best, least := counted[0].Number, math.Inf(1)
	sums := make([]sum, len(counted))
	for _, s := range signals {
		if s.id != ToeAcross && s.id != "foot_speed" {
			continue
		}
		mean := s.curve(r)
		for i, k := range counted {
			sums[i].add(mean, s.over(r, k))
		}
	}
	for i, k := range counted {
		if d := sums[i].total / float64(sums[i].n); d < least {
			best, least = k.Number, d
		}
	}
	return best
}

// sum collects how far a kick lies from the mean kick, in squared scatters.
type sum struct {
	total float64
	n     int
}

func (s *sum) add(mean Curve, values []float64) {
	for i, v := range values {
		if d := (v - mean.Mean[i]) / mean.SD[i]; !math.IsNaN(d) && !math.IsInf(d, 0) {
			s.total, s.n = s.total+d*d, s.n+1
		}
	}
}
