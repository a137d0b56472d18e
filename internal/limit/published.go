package limit

import (
	"fmt"
	"math"
	"strings"

	"underkick/internal/body"
	"underkick/internal/kick"
)

// Range is what is published on one measure for one group.
type Range struct {
	Group     Group
	Rows      []Row   // those that fit the swimmer, firm ones first; empty = nothing is published
	Low, High float64 // where the printed values lie, for drawing; NaN where Rows is empty

	// Orientation is true where no row is firm: the range is shown, nothing is
	// judged by it.
	Orientation bool

	judgeLow, judgeHigh float64 // mean ± 2 SD, or the printed range, of firm rows; NaN where no firm row prints a spread
}

// Published returns the published values of a measure for a group and sex. Rows
// of the other sex are left out; an unknown sex takes both. Low and High span
// mean ± SD, the printed range, or the bare mean, over the firm rows, or over
// all where none is firm.
func Published(measure string, g Group, sex body.Sex) Range {
	r := Range{Group: g, Low: math.NaN(), High: math.NaN(), judgeLow: math.NaN(), judgeHigh: math.NaN()}
	if g == NoGroup {
		return r
	}
	var soft []Row
	for _, row := range rows {
		if row.Measure != measure || row.Group != g || (row.Sex != body.SexUnknown && sex != body.SexUnknown && row.Sex != sex) {
			continue
		}
		if row.Firm() {
			r.Rows = append(r.Rows, row)
		} else {
			soft = append(soft, row)
		}
	}
	r.Orientation = len(r.Rows) == 0 && len(soft) > 0
	r.span(r.Rows)
	if r.Orientation {
		r.span(soft)
		r.judgeLow, r.judgeHigh = math.NaN(), math.NaN()
	}
	r.Rows = append(r.Rows, soft...)
	return r
}

// span widens the range to the given rows.
func (r *Range) span(list []Row) {
	for _, row := range list {
		low, high, wideLow, wideHigh := row.Mean-row.SD, row.Mean+row.SD, row.Mean-2*row.SD, row.Mean+2*row.SD
		if row.High > 0 {
			low, high, wideLow, wideHigh = row.Low, row.High, row.Low, row.High
		}
		r.Low, r.High = least(r.Low, low), greatest(r.High, high)
		if row.SD > 0 || row.High > 0 {
			r.judgeLow, r.judgeHigh = least(r.judgeLow, wideLow), greatest(r.judgeHigh, wideHigh)
		}
	}
}

// least and greatest treat NaN as nothing yet.
func least(a, b float64) float64 {
	if math.IsNaN(a) {
		return b
	}
	return min(a, b)
}

func greatest(a, b float64) float64 {
	if math.IsNaN(a) {
		return b
	}
	return max(a, b)
}

// Standing is how a run's band lies to a published range.
type Standing uint8

// The standings. Only Below and Above say that something stands out.
const (
	NothingPublished Standing = iota // no row
	OrientationOnly                  // only quotations or imposed rates
	NoSpread                         // firm means without a printed spread: nothing to judge by
	NotMeasured                      // the run has no value
	Within                           // the band is not wholly outside mean ± 2 SD
	Below                            // the whole band lies below mean - 2 SD
	Above                            // the whole band lies above mean + 2 SD
)

// Standing holds a measured value against the range. The rule: below or above
// only where the whole 95 % band of the run lies outside mean ± 2 SD of every
// firm sample (about 95 swimmers of 100 of a normal sample lie inside), or
// outside the printed least and greatest value.
func (r Range) Standing(m kick.Measure) Standing {
	switch {
	case len(r.Rows) == 0:
		return NothingPublished
	case r.Orientation:
		return OrientationOnly
	case math.IsNaN(r.judgeLow):
		return NoSpread
	case math.IsNaN(m.Value) || math.IsNaN(m.Low) || math.IsNaN(m.High):
		return NotMeasured
	case m.High < r.judgeLow:
		return Below
	case m.Low > r.judgeHigh:
		return Above
	}
	return Within
}

// Words returns the range as one sentence with its sources; for nothing
// published, a sentence that says so.
func (r Range) Words(unit string) string {
	if len(r.Rows) == 0 {
		return "No published value; the target is the coach's."
	}
	var parts, cites []string
	shown := r.Rows
	if !r.Orientation {
		shown = firm(r.Rows)
	}
	for _, row := range shown {
		parts = append(parts, row.number(unit))
		if c := row.Source.Cite(); len(cites) == 0 || cites[len(cites)-1] != c {
			cites = append(cites, c)
		}
	}
	text := fmt.Sprintf("Published for %s: %s (%s).", r.Group, strings.Join(parts, "; "), strings.Join(cites, "; "))
	if r.Orientation {
		text += " Orientation only: " + softWhy(shown)
	}
	return text
}

func firm(list []Row) []Row {
	var out []Row
	for _, row := range list {
		if row.Firm() {
			out = append(out, row)
		}
	}
	return out
}

func softWhy(list []Row) string {
	quoted, imposed := false, false
	for _, row := range list {
		quoted, imposed = quoted || row.Quoted, imposed || (row.Imposed && !row.Quoted)
	}
	switch {
	case quoted && imposed:
		return "quoted by others, or swum at an imposed kick rate."
	case imposed:
		return "swum at an imposed kick rate."
	}
	return "quoted by others, not read in the source."
}

// number writes the row's value: "1.08 ± 0.13 m/s, 35 swimmers".
func (r Row) number(unit string) string {
	var b strings.Builder
	switch {
	case r.High > 0:
		fmt.Fprintf(&b, "%s to %s", bare(r.Low, unit), Show(r.High, unit))
	case r.SD > 0:
		fmt.Fprintf(&b, "%s ± %s", bare(r.Mean, unit), Show(r.SD, unit))
	default:
		fmt.Fprintf(&b, "%s (spread not printed)", Show(r.Mean, unit))
	}
	switch r.Sex {
	case body.Female:
		b.WriteString(", female")
	case body.Male:
		b.WriteString(", male")
	}
	if r.N > 0 {
		fmt.Fprintf(&b, ", %d swimmers", r.N)
	}
	if r.Condition != "" {
		b.WriteString(", " + r.Condition)
	}
	return b.String()
}
