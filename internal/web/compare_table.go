package web

import (
	"html/template"
	"math"
	"slices"

	"underkick/internal/chart"
	"underkick/internal/compare"
	"underkick/internal/kick"
	"underkick/internal/poolside"
	"underkick/internal/report"
)

// compareTable holds measures side by side.
type compareTable struct {
	Runs []comparedPiece
	Rows []compareRow
}

// compareRow is one measure of all runs.
type compareRow struct {
	ID, Name, Meaning string
	Cells             []compareCell
}

// compareCell is one run's number and what it is against the first run's.
type compareCell struct {
	Value, Spread string
	Bar           template.HTML // all bars of a row share one line
	Reasons       []string
	Doubtful      bool
	First         bool
	Difference    string // with its band
	Verdict       string
	Why           string
}

// firstRows are shown at once: speed, rhythm and the qualities. The rest is folded away.
var firstRows = []string{"speed", "kick_frequency", "kick_length", "toe_amplitude", "facing", "sweep", "build", "knee_flexion_max"}

func (p *comparePage) fillTable(view poolside.CompareView) {
	p.Table.Runs, p.Folded.Runs = p.Runs, p.Runs
	for _, row := range view.Table {
		r := compareRow{ID: row.ID, Name: row.Name}
		if d, ok := report.Definition(row.ID); ok {
			r.Meaning = d.Meaning
		}
		lo, hi := sharedEnds(row.Cells)
		for i, m := range row.Cells {
			cell := compareCell{Value: report.Value(m), Spread: report.Spread(m), First: i == 0, Doubtful: report.Doubtful(m)}
			for _, why := range m.Reasons {
				cell.Reasons = append(cell.Reasons, why.Text)
			}
			cell.Bar = sharedBar(m, lo, hi)
			if i > 0 {
				cell.against(row, row.Against[i-1], view.OneSwimmer)
			}
			r.Cells = append(r.Cells, cell)
		}
		if slices.Contains(firstRows, row.ID) {
			p.Table.Rows = append(p.Table.Rows, r)
		} else {
			p.Folded.Rows = append(p.Folded.Rows, r)
		}
	}
}

// against writes the difference to the first run and its verdict.
func (c *compareCell) against(row compare.Row, a compare.Against, oneSwimmer bool) {
	if !math.IsNaN(a.Difference) {
		c.Difference = report.Difference(row.ID, row.Unit, a.Difference)
		if band := report.DifferenceBand(row.ID, row.Unit, a.Low, a.High); band != "" {
			c.Difference += " (" + band + ")"
		}
	}
	c.Verdict = string(a.Verdict)
	if len(a.Why) > 0 && a.Why[0] != compare.TwoSwimmers {
		c.Why = a.Why[0]
	}
	switch {
	case len(a.Why) > 0 && a.Why[0] == compare.TwoSwimmers:
		c.Verdict = "no verdict: two swimmers"
		if len(a.Why) > 1 {
			c.Why = a.Why[1]
		}
	case !math.IsNaN(a.Smallest):
		c.Why = "smallest real change " + report.Distance(row.ID, row.Unit, a.Smallest)
		if a.Exploratory {
			c.Why += ", exploratory"
		}
		if a.Borrowed {
			c.Why += ", published typical error"
		}
	}
}

// sharedEnds are the ends of the line on which all runs' bars stand.
func sharedEnds(cells []kick.Measure) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, m := range cells {
		for _, v := range []float64{m.Value, m.Low, m.High} {
			if m.Text == "" && !math.IsNaN(v) {
				lo, hi = math.Min(lo, v), math.Max(hi, v)
			}
		}
	}
	margin := math.Max((hi-lo)/10, 0.1*math.Max(math.Abs(lo), math.Abs(hi)))
	return lo - margin, hi + margin
}

// sharedBar draws a run's number on the row's line.
func sharedBar(m kick.Measure, lo, hi float64) template.HTML {
	if m.Text != "" || math.IsNaN(m.Value) || !(hi > lo) {
		return ""
	}
	b := chart.Bar{Title: report.Value(m), Width: 160, Value: m.Value, Low: m.Low, High: m.High, Min: lo, Max: hi}
	if s := report.Spread(m); s != "" {
		b.Title += ", band " + s
	}
	if report.Doubtful(m) {
		b.Class = "doubtful"
	}
	return template.HTML(b.SVG()) //nolint:gosec // chart escapes every text
}
