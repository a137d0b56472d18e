package kick

import (
	"fmt"
	"math"
	"slices"

	"underkick/internal/body"
	"underkick/internal/spread"
)

// builder puts a Result together.
type builder struct {
	*run
	opt       Options
	errs      errorsOf
	values    values
	rate      float64 // pictures per second
	tooSmooth bool    // the filter had to be set below three kick frequencies
}

func (b *builder) result(warnings []string) *Result {
	b.rate = b.opt.Clip.FrameRate
	if !(b.rate > 0) {
		b.rate = b.prep.hz()
	}
	b.tooSmooth = b.prep.filtered && b.prep.cutoff < filterTempos*b.tempo()
	for k := range b.values.kicks {
		b.values.kicks[k][climb] = b.upward(b.values.kicks[k][climb])
	}
	b.values.run[climb] = b.upward(b.values.run[climb])
	res := &Result{
		Method: Method, FrameRate: b.rate, Height: b.facts.height,
		Steady: len(b.kicks) > 0 && b.steady, Counted: len(b.kicks),
		Filtered: b.prep.filtered, Line: b.lineOut(),
	}
	res.Verdicts = res.Steady && b.moving && res.Counted >= MinForVerdict
	if b.prep.filtered {
		res.Cutoff = b.prep.cutoff
	}
	withheld := [numSlots]bool{}
	for j := range numSlots {
		m := b.measure(slot(j))
		withheld[j] = slices.ContainsFunc(m.Reasons, func(r Reason) bool { return r.Withheld })
		res.Summary = append(res.Summary, m)
	}
	res.Kicks = b.kicksOut(&withheld)
	res.Signals = b.signals(res.Kicks)
	res.Warnings = append(warnings, b.warnings()...)
	return res
}

// tempo is the run's kick frequency, or the first guess where no kick is whole.
func (b *builder) tempo() float64 {
	if f := b.values.run[kickFrequency]; !math.IsNaN(f) && len(b.kicks) > 0 {
		return f
	}
	return b.prep.tempo
}

// measure is one summary value with spread, band and reasons.
func (b *builder) measure(j slot) Measure {
	d := &definitions[j]
	perKick := make([]float64, len(b.values.kicks))
	for k := range perKick {
		perKick[k] = b.values.kicks[k][j]
	}
	e := spread.Band(perKick, b.errs.constant[j], b.errs.random[j])
	half := (e.High - e.Low) / 2
	m := Measure{ID: d.ID, Unit: d.Unit, Value: b.values.run[j], SD: e.SD, N: e.N, Reasons: b.reasons(j)}
	m.Low, m.High = bounded[j].Cut(m.Value, m.Value-half, m.Value+half)
	if r, ok := b.unknown(j, e.N); ok && len(b.lacking(d.needs)) == 0 {
		m.Reasons = append(m.Reasons, r)
	}
	nan := math.NaN()
	if math.IsNaN(m.Value) || slices.ContainsFunc(m.Reasons, func(r Reason) bool { return r.Withheld }) {
		m.Value, m.SD, m.Low, m.High = nan, nan, nan, nan
		return m
	}
	if d.words {
		m.Text = peakWord(m.Value)
	}
	return m
}

// upward turns an angle against the travel line, deg, into one above the
// horizontal.
func (r *run) upward(angle float64) float64 { return r.prep.sy * (angle + r.line.angle/degree) }

// kicksOut lists every kick with its values, moments and why it is not counted.
func (b *builder) kicksOut(withheld *[numSlots]bool) []Kick {
	var out []Kick
	number := 0
	for i, f := range b.found {
		k := Kick{Start: f.top.T, Bottom: f.bottom.T, End: f.next.T, Why: f.why, Moments: noMoments()}
		if f.whole {
			number++
			k.Number = number
			k.Moments = b.travel.moments(f.cycle)
			k.Values = b.kickValues(i, f.cycle, withheld)
		}
		k.Counted = slices.Contains(b.number, i)
		out = append(out, k)
	}
	return out
}

// kickValues are a whole kick's values by id; a counted one's are those of the
// summary.
func (b *builder) kickValues(i int, c cycle, withheld *[numSlots]bool) map[string]float64 {
	var r row
	if k := slices.Index(b.number, i); k >= 0 {
		r = b.values.kicks[k]
	} else {
		r = b.travel.evaluate(c, &b.facts)
		r[climb] = b.upward(r[climb])
	}
	values := make(map[string]float64, numSlots)
	for j := range r {
		if withheld[j] && len(b.kicks) > 0 {
			r[j] = math.NaN()
		}
		values[definitions[j].ID] = r[j]
	}
	return values
}

func noMoments() Moments {
	n := math.NaN()
	return Moments{n, n, n, n, n, n, n, n}
}

// lineOut gives the travel line in the axes that came in.
func (b *builder) lineOut() Line {
	sin, cos := math.Sincos(b.line.angle)
	return Line{
		X: b.prep.sx * b.line.x, Y: b.prep.sy * b.line.y,
		Along: [2]float64{b.prep.sx * cos, b.prep.sy * sin},
		Climb: b.prep.sy * b.line.angle,
		OfHip: b.shares[0] == nil, Turned: b.prep.orient.MirroredX, Supine: b.prep.orient.MirroredY,
	}
}

// warnings are doubts about the whole run.
func (b *builder) warnings() []string {
	var out []string
	add := func(when bool, format string, args ...any) {
		if when {
			out = append(out, fmt.Sprintf(format, args...))
		}
	}
	add(b.prep.orient.Backwards, "The hip moves feet first. Hands and feet may be swapped in the landmarks.")
	add(b.prep.orient.FrontDoubtful, "The knees bend towards the front side on average. Check whether the swimmer swims on the front or on the back.")
	add(b.pool.kicker() != body.Toe, "The toe is not marked; kicks are found by the %s and all measures of the toe are left out.", b.pool.kicker())
	add(b.shares[0] == nil, "Landmarks of the centre of mass are missing; the %s is followed instead.", b.pool.anchor())
	dropped := 0
	for _, f := range b.found {
		if f.whole && f.why != "" {
			dropped++
		}
	}
	add(dropped > 0, "%s left out of the summary; see there why.", plural(dropped, "whole kick is", "whole kicks are"))
	if len(b.kicks) == 0 {
		add(true, "No whole kick is seen: from one highest toe position to the next, travelling at least %.2f m.", b.threshold())
		return out
	}
	add(!b.moving, "The swimmer moves less than %.1f m/s along the pool; the horizontal stands for the travel line.", stillBelow)
	add(math.Abs(b.line.angle) > MaxTurn, "The swimmer travels more than 10 degrees off the horizontal.")
	return out
}
