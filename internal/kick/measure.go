package kick

import (
	"context"
	"fmt"
	"math"

	"underkick/internal/body"
)

// run is a prepared swimmer with the kicks found: what the error draws start from.
type run struct {
	pool   *scene // oriented, in the pool's axes
	travel *scene // the same in the travel frame, derived
	prep   *prepared
	found  []found
	kicks  []cycle // the counted ones
	number []int   // index into found of each counted kick
	line   line
	moving bool
	steady bool
	shares []*[body.NumLandmarks]float64 // of the centre of mass by table of body masses; the first is the swimmer's
	facts  facts
	given  body.Subject // as it came in
	known  body.Subject // completed
}

// MeasureRun finds the kicks of a run and computes every measure of Definitions.
//
// m holds the landmarks in the pool plane, m, y up; it may go either way along x.
// Paths without VX are filtered and differentiated here (Cutoff says how), the
// others are taken as they are. s may be empty: what is assumed instead is in
// Warnings and in the bands. The same input and Seed give the same result.
//
// A run without a whole kick is a Result whose measures have no value and say
// why. An error wraps ErrMotion or body.ErrNoDirection when nothing can be
// measured at all, or ctx.Err() when it was stopped.
func MeasureRun(ctx context.Context, m body.Motion, s body.Subject, opt Options) (*Result, error) {
	opt = opt.withDefaults()
	p, err := prepare(m, opt.Supine)
	if err != nil {
		return nil, err
	}
	if p.kicker() == noLandmark {
		return nil, fmt.Errorf("%w: neither toe nor ankle is marked; mark the toe to see kicks", ErrMotion)
	}
	known, warnings := s.CompleteFrom(m)
	r := &run{prep: p, pool: &p.scene, given: s, known: known}
	r.centreShares(m)
	r.facts = factsOf(m, known)
	r.findKicks()
	values := r.values(r.travel, r.kicks)
	errs, err := r.draw(ctx, m, opt)
	if err != nil {
		return nil, fmt.Errorf("measure kicks: %w", err)
	}
	b := &builder{run: r, opt: opt, errs: errs, values: values}
	return b.result(warnings), nil
}

// centreShares sets the landmarks' shares in the centre of mass, with both tables
// of body masses where the sex is not known; a nil share follows the hip.
func (r *run) centreShares(m body.Motion) {
	w, _, ok := body.Weights(m, r.known)
	if !ok {
		r.shares = []*[body.NumLandmarks]float64{nil}
		return
	}
	r.shares = append(r.shares, &w)
	if r.given.Sex == body.SexUnknown {
		other := r.known
		other.Sex = body.Female
		if w, _, ok := body.Weights(m, other); ok {
			r.shares = append(r.shares, &w)
		}
	}
}

// Foot and shank areas of a swimmer of 1.80 m and 75 kg, m2 (hydrodynamics.md,
// section 6); only their ratio is used where the height is not known.
const (
	usualFootArea  = 0.040
	usualShankArea = 0.091
)

func factsOf(m body.Motion, s body.Subject) facts {
	f := facts{height: s.Height, footArea: usualFootArea, shankArea: usualShankArea}
	lengths := body.MeasuredLengths(m)
	if s.Height > 0 && s.Mass > 0 {
		f.footArea, f.shankArea, f.areasKnown = s.FootArea(lengths), s.ShankArea(lengths), true
	}
	at := 0.0
	f.places[0] = at
	for i, g := range [...]body.Segment{body.Thighs, body.Shanks, body.Feet} {
		if at += lengths[g]; lengths[g] <= 0 {
			at = math.NaN()
		}
		f.places[i+1] = at
	}
	return f
}

// threshold is the smallest toe travel that is a kick, m.
func (r *run) threshold() float64 {
	h := r.facts.height
	if !(h > 0) {
		h = defaultHeight
	}
	return minAmplitude * h
}

// rounds is how often kicks and travel line are found from each other; the line
// settles to a thousandth of a degree in two.
const rounds = 3

// findKicks finds kicks and travel line from each other, drops leading kicks
// until the rest is steady, and leaves the travel scene derived.
func (r *run) findKicks() {
	r.pool.centre(r.shares[0])
	r.line, r.moving = r.pool.roughLine()
	for range rounds {
		r.look()
		if len(r.kicks) == 0 {
			return
		}
		if l, ok := r.pool.fitLine(r.pool.phasesOf(r.kicks), meanPeriod(r.kicks)); ok || !r.moving {
			r.line, r.moving = l, ok
		}
	}
	r.look()
}

// look finds the kicks with the travel line as it stands.
func (r *run) look() {
	r.travel = r.pool.like()
	r.travel.copyFrom(r.pool)
	r.travel.centre(r.shares[0])
	r.travel.turn(r.line)
	r.travel.derive()
	r.found = r.travel.search(r.travel.lm[r.travel.kicker()].y, r.threshold())
	r.kicks, r.number = r.kicks[:0], r.number[:0]
	var speeds []float64
	for i, f := range r.found {
		if f.whole && f.why == "" {
			r.kicks, r.number = append(r.kicks, f.cycle), append(r.number, i)
			u := (r.travel.at(r.travel.com.x, f.next.T) - r.travel.at(r.travel.com.x, f.top.T)) / f.period()
			speeds = append(speeds, u)
		}
	}
	d := 0
	if r.moving { // without travel there is no speed to be steady
		d = dropUntilSteady(speeds)
	}
	for _, i := range r.number[:d] {
		r.found[i].why = StillFalling
	}
	r.kicks, r.number, speeds = r.kicks[d:], r.number[d:], speeds[d:]
	r.steady = !r.moving || steady(speeds)
}

func meanPeriod(kicks []cycle) float64 {
	sum := 0.0
	for _, c := range kicks {
		sum += c.period()
	}
	return sum / float64(len(kicks))
}

// values evaluates every kick and the run's own numbers.
func (r *run) values(s *scene, kicks []cycle) values {
	v := values{kicks: make([]row, len(kicks))}
	for k, c := range kicks {
		v.kicks[k] = s.evaluate(c, &r.facts)
	}
	v.run = overRun(v.kicks, kicks)
	return v
}

// values are the measures of each counted kick and of the run.
type values struct {
	kicks []row
	run   row
}

// overRun is the run's own value of every measure: the mean over kicks, except
// for speed, tempo and what is made of them, which come from the whole stretch:
//
//	U = displacement / time, f = K / time, L = U/f, St = f A / U.
func overRun(rows []row, kicks []cycle) (out row) {
	for j := range out {
		sum, n := 0.0, 0
		for k := range rows {
			if v := rows[k][j]; !math.IsNaN(v) {
				sum += v
				n++
			}
		}
		out[j] = sum / float64(n)
	}
	for _, j := range circular {
		out[j] = meanPhase(rows, j)
	}
	time, way, n := 0.0, 0.0, 0
	for k, c := range kicks {
		if l := rows[k][kickLength]; !math.IsNaN(l) {
			time, way, n = time+c.period(), way+l, n+1
		}
	}
	if len(kicks) > 0 {
		out[kickFrequency] = 1 / meanPeriod(kicks)
	}
	out[speed] = way / time
	out[kickLength] = Length(out[speed], out[kickFrequency])
	out[frequencyAmplitude] = out[kickFrequency] * out[toeAmplitude]
	out[strouhal] = Strouhal(out[kickFrequency], out[toeAmplitude], out[speed])
	out[slip] = out[speed] / out[waveSpeed]
	out[slenderBodyEfficiency] = SlenderBodyEfficiency(out[slip])
	return out
}

// meanPhase is the circular mean of one slot, in 0..1, and puts the kicks' values
// within half a turn of it, so that their scatter is not that of a wrapped number.
func meanPhase(rows []row, j slot) float64 {
	var re, im float64
	for k := range rows {
		if v := rows[k][j]; !math.IsNaN(v) {
			s, c := math.Sincos(2 * math.Pi * v)
			re, im = re+c, im+s
		}
	}
	if re == 0 && im == 0 {
		return math.NaN()
	}
	mean := math.Atan2(im, re) / (2 * math.Pi)
	mean -= math.Floor(mean)
	for k := range rows {
		if v := rows[k][j]; !math.IsNaN(v) {
			rows[k][j] = mean + math.Remainder(v-mean, 1)
		}
	}
	return mean
}
