package worth

import (
	"context"
	"math"
	"math/rand/v2"
	"sync"

	"gonum.org/v1/gonum/stat"

	"underkick/internal/hydro"
	"underkick/internal/spread"
	"underkick/internal/swim"
)

// pureDrag is the share of draws in which the water's loads are drag alone, with a drag
// across the feet from its own range.
const (
	pureDrag     = 0.2
	dragOnlyLow  = 2.4
	dragOnlyHigh = 3.5
)

// The bands are never narrower than these about the change.
const (
	leastHalfWidth = 0.01 // of the speed
	leastHalfShare = 0.30 // of the change
)

// drawCoefficients draws the coefficients of the water's loads from their ranges
// (hydrodynamics.md, sections 3 and 9).
func drawCoefficients(rng *rand.Rand) hydro.Coefficients {
	c := hydro.Default()
	r := Coefficients()
	for i, to := range []*float64{&c.AddedFeet, &c.AddedRest, &c.NormalFeet, &c.NormalLegs, &c.NormalTrunk, &c.Surge, &c.Forefoot, &c.FootBreadth} {
		*to = r[i].Low + (r[i].High-r[i].Low)*rng.Float64()
	}
	c.Forefoot *= deg
	if rng.Float64() < pureDrag {
		c.Shed, c.NormalFeet = 0, dragOnlyLow+(dragOnlyHigh-dragOnlyLow)*rng.Float64()
	}
	return c
}

// see returns the own kick and the pooled reference under one draw of the errors; nil =
// as measured. Runs marked alike have the same marking offsets, which marked false leaves
// out: what they have in common is no error of their difference, to first order.
func (e *estimator) see(rng *rand.Rand, marked bool) (own, ref seen, err error) {
	one := errs{rng: rng}
	if rng != nil {
		one.scale = 1 + e.own.scale*rng.NormFloat64()
		if marked || !e.SameMarking {
			one.offsets = drawOffsets(e.own.offset, rng)
		}
	}
	if own, err = e.own.see(one); err != nil {
		return own, ref, err
	}
	var runs []seen
	for _, f := range e.against {
		other := errs{rng: rng}
		if rng != nil {
			other.scale = 1 + f.scale*rng.NormFloat64()
			other.offsets = one.offsets
			if !e.SameMarking {
				other.offsets = drawOffsets(f.offset, rng)
			}
		}
		s, err := f.see(other)
		if err != nil {
			return own, ref, err
		}
		runs = append(runs, s)
	}
	if len(runs) > 0 {
		ref.kick, ref.speed = pooled(runs)
	}
	return own, ref, nil
}

// A draw's numbers, in this order; the what-ifs follow.
const (
	phiAt         = 0
	aloneAt       = phiAt + numParts
	unexplainedAt = aloneAt + numParts
	changesAt     = unexplainedAt + 1
)

// bands repeats the estimate under drawn errors and writes bands and standard deviations.
//
// Against a reference run every second draw has errors of kicks, scale and marks alone and
// gives the standard deviations that the naming rule asks for, without the marking offsets
// of runs that were marked alike; the others have other coefficients too and give the
// bands. What-ifs without a reference run always have everything.
func (e *estimator) bands(ctx context.Context) error {
	n := e.Draws
	if n == 0 {
		n = defaultDraws
	}
	if n < 0 {
		return ctx.Err()
	}
	var told sync.Mutex
	done := 0
	rows, err := spread.Draws(ctx, n, e.Seed, func(i int, rng *rand.Rand) []float64 {
		row := e.draw(rng, e.varies(i))
		if e.Progress != nil {
			told.Lock()
			defer told.Unlock()
			done++
			e.Progress(done, n)
		}
		return row
	})
	if err != nil {
		return err
	}
	e.result.Draws = n
	e.result.Dropped = dropped(rows)
	e.spreadOver(rows)
	return nil
}

// varies reports whether draw i has other coefficients.
func (e *estimator) varies(i int) bool { return len(e.against) == 0 || i%2 == 1 }

// draw is one draw; a number without a steady swim is NaN.
func (e *estimator) draw(rng *rand.Rand, coefficients bool) []float64 {
	row := make([]float64, changesAt+len(e.asked)+1) // the last is all changes together
	for i := range row {
		row[i] = math.NaN()
	}
	own, ref, err := e.see(rng, coefficients)
	if err != nil {
		return row
	}
	opt := swim.ModelOptions{Lengths: own.lengths, Rib: own.rib}
	if coefficients {
		c := drawCoefficients(rng)
		opt.Coef = &c
	}
	m := swim.NewModel(e.Subject, opt)
	if len(e.against) > 0 {
		if a, err := attribute(m, own.kick, ref.kick, own.speed, drawSteps); err == nil {
			copy(row[phiAt:], a.phi[:])
			copy(row[aloneAt:], a.alone[:])
			row[unexplainedAt] = ref.speed - own.speed - a.total
		}
	}
	if len(e.asked) == 0 {
		return row
	}
	base, err := calibrated(m, own.kick, own.speed, drawSteps)
	if err != nil {
		return row
	}
	for i, c := range e.asked {
		if a, err := c.ask(m, base, drawSteps); err == nil {
			row[changesAt+i] = a.speed
		}
	}
	if e.result.Together != nil {
		if a, err := askTogether(m, base, e.Changes, drawSteps); err == nil {
			row[changesAt+len(e.asked)] = a.speed
		}
	}
	return row
}

// dropped counts the draws of which a number that was asked for is missing.
func dropped(rows [][]float64) (count int) {
	asked := make([]bool, len(rows[0]))
	for _, row := range rows {
		for i, v := range row {
			asked[i] = asked[i] || !math.IsNaN(v)
		}
	}
	for _, row := range rows {
		for i, v := range row {
			if asked[i] && math.IsNaN(v) {
				count++
				break
			}
		}
	}
	return count
}

// spreadOver writes the bands and standard deviations of all numbers.
func (e *estimator) spreadOver(rows [][]float64) {
	r := e.result
	for p := range r.Parts {
		e.widen(&r.Parts[p].Shapley, rows, phiAt+p)
		e.widen(&r.Parts[p].SpeedChange, rows, aloneAt+p)
	}
	e.widen(&r.Unexplained, rows, unexplainedAt)
	for i := range r.Changes {
		b := &r.Changes[i].SpeedChange
		e.widen(b, rows, changesAt+i)
		if c := r.Changes[i].Change; c.Name == "foot" && c.Amount > 0 {
			b.Low = math.Min(b.Low, 0) // the published gain was not significant
		}
	}
	if r.Together != nil {
		e.widen(&r.Together.SpeedChange, rows, changesAt+len(e.asked))
		for _, l := range r.Changes {
			if b := &r.Together.SpeedChange; l.Name == "foot" && l.Amount > 0 {
				b.Low = math.Min(b.Low, b.Value-l.SpeedChange.Value)
			}
		}
	}
}

// widen writes the band and standard deviation of one number.
func (e *estimator) widen(b *Band, rows [][]float64, at int) {
	if math.IsNaN(b.Value) {
		return
	}
	var all, marks []float64
	for i, row := range rows {
		switch {
		case math.IsNaN(row[at]):
		case e.varies(i):
			all = append(all, row[at])
		default:
			marks = append(marks, row[at])
		}
	}
	if len(marks) == 0 {
		marks = all
	}
	least := math.Max(leastHalfWidth*e.result.Speed, leastHalfShare*math.Abs(b.Value))
	b.Low = math.Min(spread.Quantile(all, 0.025), b.Value-least)
	b.High = math.Max(spread.Quantile(all, 0.975), b.Value+least)
	b.SD = stat.StdDev(marks, nil)
}
