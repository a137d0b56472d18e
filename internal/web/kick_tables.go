package web

import (
	"underkick/internal/chart"
	"underkick/internal/kick"
	"underkick/internal/limit"
	"underkick/internal/report"
)

// measureGroup is a group of the full table.
type measureGroup struct {
	Name string
	Rows []measurePiece
}

func measureGroups(r *kick.Result) []measureGroup {
	var groups []measureGroup
	for _, m := range r.Summary {
		name := ""
		if d, ok := report.Definition(m.ID); ok {
			name = d.Group
		}
		if n := len(groups); n == 0 || groups[n-1].Name != name {
			groups = append(groups, measureGroup{Name: name})
		}
		g := &groups[len(groups)-1]
		g.Rows = append(g.Rows, piece(m))
	}
	return groups
}

// kickRow is a row of the kick-by-kick table.
type kickRow struct {
	Number  int
	Start   string
	Counted bool
	Cells   []string
	Why     string
}

// kickColumns are the measures of the kick-by-kick table; all others stand in
// the CSV file.
var kickColumns = []string{"kick_length", "toe_amplitude", "facing", "sweep", "build", "knee_flexion_max", "foot_peak_speed_down"}

func (p *kickPage) fillKickTable() {
	var shown []kick.Measure
	for _, id := range kickColumns {
		if m, ok := p.Result.Measure(id); ok {
			shown = append(shown, m)
			head := limit.Name(id)
			if u := report.Unit(id, m.Unit); u != "" {
				head += ", " + u
			}
			p.KickColumns = append(p.KickColumns, head)
		}
	}
	for _, k := range p.Result.Kicks {
		row := kickRow{Number: k.Number, Start: chart.FormatNumber(k.Start, 2), Counted: k.Counted, Why: k.Why}
		for _, m := range shown {
			cell := "–"
			if v, ok := k.Values[m.ID]; ok {
				cell = report.Number(m.ID, m.Unit, v)
			}
			row.Cells = append(row.Cells, cell)
		}
		p.KickRows = append(p.KickRows, row)
	}
}
