package trace

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"underkick/internal/series"
)

// clock turns time into kick phase: even, plus a smooth deviation for swimmers
// whose tempo changes, written in cubic B-splines one kick apart.
type clock struct {
	origin float64   // s; phase 0 of the even part
	period float64   // s
	bend   []float64 // spline weights, cycles; nil = even
}

// at returns the phase (cycles) at time t and its rate (cycles per second).
func (c *clock) at(t float64) (phase, rate float64) {
	phase, rate = (t-c.origin)/c.period, 1/c.period
	if len(c.bend) == 0 {
		return phase, rate
	}
	first, weights, slopes := c.spline(t)
	for k := range weights {
		b := c.bend[first+k]
		phase += b * weights[k]
		rate += b * slopes[k] / c.period
	}
	return phase, rate
}

// spline returns the four cubic B-splines that are not zero at t, their
// derivatives by kick, and the index of the first. Beyond the ends the last
// piece is continued with a constant slope.
func (c *clock) spline(t float64) (first int, weights, slopes [4]float64) {
	p := (t - c.origin) / c.period
	pieces := float64(len(c.bend) - 3)
	inside := min(max(p, 0), pieces)
	first = min(int(inside), len(c.bend)-4)
	s := inside - float64(first)
	weights = [4]float64{
		(1 - s) * (1 - s) * (1 - s) / 6,
		(3*s*s*s - 6*s*s + 4) / 6,
		(-3*s*s*s + 3*s*s + 3*s + 1) / 6,
		s * s * s / 6,
	}
	slopes = [4]float64{-(1 - s) * (1 - s) / 2, (3*s*s - 4*s) / 2, (-3*s*s + 2*s + 1) / 2, s * s / 2}
	for k := range weights {
		weights[k] += slopes[k] * (p - inside)
	}
	return first, weights, slopes
}

// tempoSD is the expected change of tempo from kick to kick, as a share: the
// second difference of the spline weights in cycles. Judgement: trained kickers
// hold their tempo within a few per cent.
const tempoSD = 0.03

// bendRounds is how often phase and curves are fitted in turn.
const bendRounds = 4

// bendClock fits the smooth deviation of the phase to the tracks and returns the
// bent clock; the given one is not changed. Curves (three harmonics and a
// straight path per coordinate) and phase are fitted in turn; the phase by
// Gauss-Newton steps with a penalty on changes of tempo. Marks count less the
// further they are off (Huber).
func bendClock(even clock, tracks []*track) clock {
	first, last := wholeSpan(tracks)
	kicks := (last - first) / even.period
	if kicks < 2.5 {
		return even
	}
	bent := clock{origin: first, period: even.period, bend: make([]float64, int(math.Ceil(kicks))+3)}
	for range bendRounds {
		if !bent.step(tracks) {
			return even
		}
	}
	return bent
}

// step makes one Gauss-Newton step of the deviation.
func (c *clock) step(tracks []*track) bool {
	n := len(c.bend)
	normal := make([]float64, n*n)
	rhs := make([]float64, n)
	for _, tr := range tracks {
		if len(tr.spots) < 10 {
			continue // its own curve would follow any phase
		}
		c.gatherTrack(tr, normal, rhs)
	}
	for i := 1; i+1 < n; i++ {
		for a, wa := range [3]float64{1, -2, 1} {
			for b, wb := range [3]float64{1, -2, 1} {
				normal[(i-1+a)*n+i-1+b] += wa * wb / (tempoSD * tempoSD)
				rhs[i-1+a] -= wa * wb / (tempoSD * tempoSD) * c.bend[i-1+b]
			}
		}
	}
	for i := range n {
		// A common shift of phase changes nothing; a light pull keeps it at 0.
		normal[i*n+i] += 10
		rhs[i] -= 10 * c.bend[i]
	}
	var chol mat.Cholesky
	if !chol.Factorize(mat.NewSymDense(n, normal)) {
		return false
	}
	sol := mat.NewVecDense(n, nil)
	if chol.SolveVecTo(sol, mat.NewVecDense(n, rhs)) != nil {
		return false
	}
	for i := range n {
		c.bend[i] += min(max(sol.AtVec(i), -0.25), 0.25)
	}
	return true
}

// gatherTrack adds what one landmark says about the phase to the equations.
func (c *clock) gatherTrack(tr *track, normal, rhs []float64) {
	m := len(tr.spots)
	phase, x, y, weight := make([]float64, m), make([]float64, m), make([]float64, m), make([]float64, m)
	for i, s := range tr.spots {
		phase[i], _ = c.at(s.t)
		x[i], y[i], weight[i] = s.x, s.y, 1/s.loose
	}
	harmonics := min(3, (m-4)/2)
	for _, z := range [][]float64{x, y} {
		curve, err := series.FitFourier(phase, z, weight, harmonics, true)
		if err != nil {
			continue
		}
		off := make([]float64, m)
		sum, count := 0.0, 0.0
		for i := range z {
			off[i] = z[i] - curve.At(phase[i])
			sum += off[i] * off[i] * weight[i]
			count += weight[i]
		}
		free := count - float64(2+2*harmonics)
		if free < 2 {
			continue
		}
		c.gatherCoordinate(tr, curve, off, sum/free, normal, rhs)
	}
}

func (c *clock) gatherCoordinate(tr *track, curve series.Fourier, off []float64, variance float64, normal, rhs []float64) {
	n := len(c.bend)
	if variance <= 0 {
		return
	}
	for i, s := range tr.spots {
		p, _ := c.at(s.t)
		first, weights, _ := c.spline(s.t)
		rate := curve.Rate(p) - curve.Trend
		w := 1 / (variance * s.loose)
		if d := math.Abs(off[i]) / math.Sqrt(variance); d > 2 {
			w *= 2 / d
		}
		for a, wa := range weights {
			rhs[first+a] += w * rate * wa * off[i]
			for b, wb := range weights {
				normal[(first+a)*n+first+b] += w * rate * rate * wa * wb
			}
		}
	}
}
