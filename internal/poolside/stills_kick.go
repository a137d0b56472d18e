package poolside

import (
	"fmt"
	"math"
	"slices"

	"underkick/internal/drawing"
	"underkick/internal/kick"
)

// candidates are the kicks from which one is chosen: the counted ones, else every whole
// one.
func candidates(r *kick.Result) []kick.Kick {
	var counted, whole []kick.Kick
	for _, k := range r.Kicks {
		if k.Number == 0 {
			continue
		}
		whole = append(whole, k)
		if k.Counted {
			counted = append(counted, k)
		}
	}
	if len(counted) > 0 {
		return counted
	}
	return whole
}

// bestMarkedKick is the kick whose legs have the least standard error at its key
// moments, root mean square over hip, knee, ankle and toe. There is at least one.
func (m *Measured) bestMarkedKick() (number int, why string) {
	kicks := candidates(m.Result)
	best := math.Inf(1)
	number = kicks[0].Number
	for _, k := range kicks {
		if sd := m.momentSD(k); sd < best {
			best, number = sd, k.Number
		}
	}
	if math.IsInf(best, 1) {
		return number, fmt.Sprintf("Kick %d: the first one; every frame was marked, so that no kick is marked better.", number)
	}
	return number, fmt.Sprintf("Kick %d: the best-marked one, its legs known to %.0f mm at the key moments (standard error).", number, 1000*best)
}

// momentSD is the root mean square standard error of the legs at a kick's key moments,
// m; +Inf where it is not known.
func (m *Measured) momentSD(k kick.Kick) float64 {
	sum, n := 0.0, 0
	for _, moment := range k.Moments.List() {
		i := drawing.Nearest(m.motion.T, moment.T)
		for _, l := range legMarks {
			if p := m.motion.Paths[l]; p != nil && p.SD != nil && !math.IsNaN(p.SD[i]) {
				sum, n = sum+p.SD[i]*p.SD[i], n+1
			}
		}
	}
	if n == 0 {
		return math.Inf(1)
	}
	return math.Sqrt(sum / float64(n))
}

// averageKick is the kick nearest to the mean of the candidates' curves: toe path and
// foot speed over the phase, each in parts of its root mean square about its own mean.
func (m *Measured) averageKick() (number int, why string) {
	kicks := candidates(m.Result)
	number = kicks[0].Number
	curves := curvesOf(m.Result, kicks)
	best := math.Inf(1)
	for _, c := range curves {
		if d := farFromMean(c, curves); d < best {
			best, number = d, c.Kick
		}
	}
	return number, fmt.Sprintf("Kick %d: of %d kicks the one nearest to their mean in toe path and foot speed. No kick is a mean; this one was swum.", number, len(kicks))
}

func curvesOf(r *kick.Result, kicks []kick.Kick) []kick.Curve {
	var out []kick.Curve
	for _, c := range r.Signals.Curves {
		if slices.ContainsFunc(kicks, func(k kick.Kick) bool { return k.Number == c.Kick }) {
			out = append(out, c)
		}
	}
	return out
}

// farFromMean is how far a curve lies from the mean of all; 0 for curves without signals.
func farFromMean(c kick.Curve, all []kick.Curve) float64 {
	far := 0.0
	for _, of := range []func(kick.Curve) []float64{
		func(c kick.Curve) []float64 { return c.ToeX }, func(c kick.Curve) []float64 { return c.ToeY }, func(c kick.Curve) []float64 { return c.FootSpeed },
	} {
		mean, own := meanCurve(all, of), of(c)
		if len(own) != len(mean) {
			continue
		}
		level := 0.0
		for _, v := range mean {
			level += v / float64(len(mean))
		}
		var off, size float64
		for i, v := range mean {
			off, size = off+(own[i]-v)*(own[i]-v), size+(v-level)*(v-level)
		}
		if size > 0 {
			far += off / size
		}
	}
	return math.Sqrt(far)
}

// meanCurve is the mean of a signal over the kicks that have it.
func meanCurve(all []kick.Curve, of func(kick.Curve) []float64) []float64 {
	mean, n := make([]float64, kick.CurveSamples), 0
	for _, c := range all {
		if y := of(c); len(y) == len(mean) {
			n++
			for i, v := range y {
				mean[i] += v
			}
		}
	}
	for i := range mean {
		mean[i] /= float64(max(n, 1))
	}
	return mean
}
