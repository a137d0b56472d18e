package kick

import (
	"math"
	"slices"

	"underkick/internal/body"
	"underkick/internal/series"
)

// Rules for gaps (measures.md, From film to signals 3).
const (
	fillGap         = 0.1 // s; longer gaps stay gaps
	bridgeHarmonics = 3   // of the periodic curve laid across a gap
	bridgeReach     = 1.5 // kicks on either side that it is fitted to
)

// place puts a path on the grid, short gaps filled.
func (p *prepared) place(t []float64, path *body.Path) track {
	k := track{x: onGrid(t, path.X, p.grid), y: onGrid(t, path.Y, p.grid)}
	if path.VX != nil {
		k.vx, k.vy = onGrid(t, path.VX, p.grid), onGrid(t, path.VY, p.grid)
	}
	return k
}

// onGrid resamples one curve. Gaps of the curve up to fillGap are bridged by the
// local cubic; longer ones stay NaN.
func onGrid(t, x []float64, g grid) []float64 {
	if len(t) == len(g.t) && alike(t, g) && !slices.ContainsFunc(x, math.IsNaN) {
		return slices.Clone(x)
	}
	var kt, kx []float64
	for i, v := range x {
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			kt, kx = append(kt, t[i]), append(kx, v)
		}
	}
	out := series.Resample(kt, kx, g.t)
	for j := 1; j < len(kt); j++ {
		if kt[j]-kt[j-1] <= math.Max(fillGap, 1.5*g.dt)+1e-9 {
			continue
		}
		for i := range out {
			if g.t[i] > kt[j-1]+1e-9 && g.t[i] < kt[j]-1e-9 {
				out[i] = math.NaN()
			}
		}
	}
	return out
}

// alike reports whether t is the grid to a thousandth of a step.
func alike(t []float64, g grid) bool {
	for i := range t {
		if math.Abs(t[i]-g.t[i]) > 1e-3*g.dt {
			return false
		}
	}
	return true
}

// bridge lays the periodic curve of the kicks around it across every short gap of
// a raw curve: mean, drift and three harmonics of the kick frequency fitted to the
// known samples nearby, and on it the line between the misfits at the gap's ends.
// x is the curve as it came at times t, out the same on the grid. Where the tempo
// is not known or the fit is not determined, the cubic of onGrid stays.
func (p *prepared) bridge(t, x, out []float64) {
	if math.IsNaN(p.tempo) {
		return
	}
	gaps := p.shortGaps(t, x)
	inGap := make([]bool, len(out))
	for _, g := range gaps {
		for i := g[0]; i < g[1]; i++ {
			inGap[i] = true
		}
	}
	for _, g := range gaps {
		p.bridgeOne(out, g, inGap)
	}
}

// shortGaps returns the stretches [from, to) of the grid that lie inside the gaps
// of a curve that are short enough to fill.
func (p *prepared) shortGaps(t, x []float64) [][2]int {
	var out [][2]int
	last := math.NaN()
	for i, v := range x {
		if math.IsNaN(v) {
			continue
		}
		if wide := t[i] - last; wide > 1.5*p.dt && wide <= fillGap+1e-9 {
			lo, hi := p.span(last, t[i])
			if hi-lo >= 2 {
				out = append(out, [2]int{lo + 1, hi})
			}
		}
		last = t[i]
	}
	return out
}

func (p *prepared) bridgeOne(out []float64, gap [2]int, inGap []bool) {
	reach := int(math.Round(bridgeReach / (p.tempo * p.dt)))
	lo, hi := max(gap[0]-reach, 0), min(gap[1]+reach, len(out))
	phase, known := make([]float64, hi-lo), make([]float64, hi-lo)
	for i := lo; i < hi; i++ {
		phase[i-lo], known[i-lo] = p.tempo*p.t[i], out[i]
		if inGap[i] {
			known[i-lo] = math.NaN()
		}
	}
	f, err := series.FitFourier(phase, known, nil, bridgeHarmonics, true)
	if err != nil {
		return
	}
	before, after := gap[0]-1, gap[1]
	misfit := func(i int) float64 { return out[i] - f.At(p.tempo*p.t[i]) }
	a, b := misfit(before), misfit(after)
	for i := gap[0]; i < gap[1]; i++ {
		u := float64(i-before) / float64(after-before)
		out[i] = f.At(p.tempo*p.t[i]) + (1-u)*a + u*b
	}
}

func longestRun(x []float64) []float64 {
	var best []float64
	for _, r := range runs(x) {
		if r[1]-r[0] > len(best) {
			best = x[r[0]:r[1]]
		}
	}
	return best
}

// runs returns the stretches [from, to) of known samples.
func runs(x []float64) [][2]int {
	var out [][2]int
	from := -1
	for i, v := range x {
		switch known := !math.IsNaN(v); {
		case known && from < 0:
			from = i
		case !known && from >= 0:
			out, from = append(out, [2]int{from, i}), -1
		}
	}
	if from >= 0 {
		out = append(out, [2]int{from, len(x)})
	}
	return out
}
