package poolside

import (
	"context"
	"fmt"
	"math"
	"slices"

	"underkick/internal/kick"
)

// FilmingBand is what a set-up leaves of a measure.
type FilmingBand struct {
	ID       string   `json:"id"`
	Name     string   `json:"name"`
	Unit     string   `json:"unit"`
	Value    float64  `json:"value"` // of the card's swimmer
	Half     float64  `json:"half"`  // half width of the expected 95 % band, -1 = withheld
	Off      float64  `json:"off"`   // how far the bent picture puts the value beside it, uncorrected
	Withheld bool     `json:"withheld"`
	Doubts   []string `json:"doubts"` // reasons against it
	Primary  bool     `json:"primary"`
}

// FilmingChange is one change of a set-up and what it would bring.
type FilmingChange struct {
	ID    string  `json:"id"`
	Words string  `json:"words"`
	Drop  float64 `json:"drop"` // of the mean width of the primary measures' bands, 0..1; below 0 = wider
}

// FilmingBands is what a set-up leaves of the measures, and what would help.
type FilmingBands struct {
	Kicks   int             `json:"kicks"` // whole ones the bands stand on
	Bands   []FilmingBand   `json:"bands"`
	Changes []FilmingChange `json:"changes"` // best first
	Problem string          `json:"problem,omitempty"`
}

// primaryMeasures are those that a finding and a retest rest on.
var primaryMeasures = []string{"speed", "sweep", "facing", "build"}

// ExpectBands swims the reference kick before the set-up, marks it as a coach would,
// with clicks, blur and scale as they are to be expected, and measures it by the chain
// that filmed runs go; then it tries changes of the set-up. The same input gives the
// same bands. A second at most.
func ExpectBands(ctx context.Context, in FilmingInput) (FilmingBands, error) {
	if err := in.Validate(); err != nil {
		return FilmingBands{}, err
	}
	in = in.Complete()
	base, err := in.expect(ctx, 1)
	if err != nil {
		return FilmingBands{}, fmt.Errorf("expect the bands: %w", err)
	}
	if base.Kicks == 0 {
		base.Problem = "No whole kick fits into the picture, so there is nothing to expect of the measures."
	}
	if f := in.film(1); base.Kicks > 0 && f.marked(1) < fewestMarks*f.kicks {
		base.Problem = "Fewer than three marked frames a kick: the traces may come out much worse than these bands say."
	}
	before := burden(base)
	for _, c := range in.changes() {
		after, err := c.in.expect(ctx, c.runs)
		if err != nil {
			return FilmingBands{}, fmt.Errorf("expect the bands when the change is %s: %w", c.ID, err)
		}
		c.Drop = 1 - burden(after)/before
		base.Changes = append(base.Changes, c.FilmingChange)
	}
	slices.SortStableFunc(base.Changes, func(a, b FilmingChange) int { return cmpDown(a.Drop, b.Drop) })
	return base, nil
}

func cmpDown(a, b float64) int {
	switch {
	case a > b:
		return -1
	case a < b:
		return 1
	}
	return 0
}

// expect measures the swim of a completed input.
func (in FilmingInput) expect(ctx context.Context, runs int) (FilmingBands, error) {
	out := FilmingBands{Bands: []FilmingBand{}, Changes: []FilmingChange{}}
	one, all := in.film(1), in.film(runs)
	if out.Kicks = all.kicks; all.kicks == 0 || len(one.times()) < 2*leastTimes {
		out.Kicks = 0
		return out, ctx.Err()
	}
	exact, bent, err := one.seen(ctx)
	if err != nil {
		return out, err
	}
	r, err := all.measure(ctx, runs)
	if err != nil {
		return out, err
	}
	for i, d := range kick.Definitions() {
		m := r.Summary[i]
		if m.Text != "" || !(math.Abs(exact.Summary[i].Value) >= 0) {
			continue
		}
		b := FilmingBand{
			ID: m.ID, Name: d.Name, Unit: m.Unit, Value: exact.Summary[i].Value, Half: m.Half(),
			Off: bent.Summary[i].Value - exact.Summary[i].Value, Primary: slices.Contains(primaryMeasures, m.ID), Doubts: []string{},
		}
		for _, why := range m.Reasons {
			b.Doubts, b.Withheld = append(b.Doubts, why.Text), b.Withheld || why.Withheld
		}
		b.tidy(m)
		out.Bands = append(out.Bands, b)
	}
	out.Kicks = r.Counted
	return out, nil
}

// leastTimes is the fewest pictures of half a run that are worth a fit.
const leastTimes = 5

// tidy leaves no number that is none, for JSON.
func (b *FilmingBand) tidy(m kick.Measure) {
	if b.Withheld || math.IsNaN(b.Half) || !m.Known() {
		b.Withheld, b.Half = true, -1
	}
	if math.IsNaN(b.Off) {
		b.Off = 0
	}
}

// Rel is half the band and what the bent picture adds, relative to the value.
func (b FilmingBand) Rel() float64 { return math.Hypot(b.Half, b.Off) / math.Abs(b.Value) }

// Burden of a measure that no verdict can rest on, and of one with a doubt: that many
// times its value. Our choice; it puts the whole kicks and the limits of the clip
// before the width of the bands.
const (
	burdenWithheld = 1.0
	burdenDoubt    = 0.5
)

// burden is the mean over the primary measures of the relative half width of the band.
func burden(f FilmingBands) float64 {
	sum, n := 0.0, 0
	for _, b := range f.Bands {
		if !b.Primary {
			continue
		}
		n++
		one := min(b.Rel(), burdenWithheld)
		few := f.Kicks < kick.MinForVerdict
		switch {
		case b.Withheld || few:
			one = burdenWithheld
			if few { // nearer to a verdict counts
				one += float64(kick.MinForVerdict - f.Kicks)
			}
		case len(b.Doubts) > 0:
			one = max(one, burdenDoubt)
		}
		sum += one
	}
	if n == 0 {
		return burdenWithheld + kick.MinForVerdict
	}
	return sum / float64(n)
}
