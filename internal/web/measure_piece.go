package web

import (
	"fmt"
	"html/template"
	"slices"

	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/report"
)

// measurePiece is one measure with its bar.
type measurePiece struct {
	ID, Name, Value, Spread, SD string
	Meaning                     string
	N                           int
	Bar                         template.HTML
	Published                   string
	Reasons                     []string
	Doubtful                    bool
}

func piece(m kick.Measure) measurePiece {
	p := measurePiece{
		ID: m.ID, Name: limit.Name(m.ID), Value: report.Value(m), Spread: report.Spread(m), N: m.N,
		SD: report.Number(m.ID, m.Unit, m.SD), Doubtful: report.Doubtful(m),
	}
	if m.Text != "" {
		p.SD = ""
	}
	if d, ok := report.Definition(m.ID); ok {
		p.Meaning = d.Meaning
	}
	for _, r := range m.Reasons {
		p.Reasons = append(p.Reasons, r.Text)
	}
	return p
}

func comparison(c limit.Comparison) measurePiece {
	p := piece(c.Measure)
	p.Name = c.Name
	var earlier []float64
	for _, o := range c.Own {
		earlier = append(earlier, o.Value)
	}
	p.Bar = report.Bar(c.Measure, c.Published, earlier)
	if len(c.Published.Rows) > 0 {
		p.Published = c.Words
	}
	return p
}

// qualityPiece is one of the three qualities, down and up.
type qualityPiece struct {
	Name     string
	Down, Up halfPiece
	Changes  []string
	Worth    string // what it is worth in the model, "" = not known
}

type halfPiece struct {
	Words   string
	Reasons []string // that hold for all rows
	Rows    []measurePiece
	SeeIt   string // address of the kick that shows it best
}

func quality(q limit.Quality) qualityPiece {
	p := qualityPiece{Name: q.Name, Down: half(q.Down, 3), Up: half(q.Up, 1)}
	for _, c := range q.Change {
		p.Changes = append(p.Changes, report.ChangeWords(c))
	}
	return p
}

// half keeps the first rows, the main measure and what explains it; the rest
// stands in the full table.
func half(h limit.Half, rows int) halfPiece {
	p := halfPiece{Words: h.Words}
	for _, c := range h.Numbers[:min(rows, len(h.Numbers))] {
		p.Rows = append(p.Rows, comparison(c))
	}
	p.shareReasons()
	if h.Kick > 0 {
		p.SeeIt = fmt.Sprintf("?kick=%d#stills", h.Kick)
	}
	return p
}

// shareReasons lifts the reasons that all rows have, so that they are said once.
func (p *halfPiece) shareReasons() {
	if len(p.Rows) < 2 {
		return
	}
	for _, reason := range p.Rows[0].Reasons {
		everywhere := !slices.ContainsFunc(p.Rows, func(row measurePiece) bool { return !slices.Contains(row.Reasons, reason) })
		if everywhere {
			p.Reasons = append(p.Reasons, reason)
		}
	}
	for i := range p.Rows {
		p.Rows[i].Reasons = slices.DeleteFunc(p.Rows[i].Reasons, func(s string) bool { return slices.Contains(p.Reasons, s) })
	}
}
