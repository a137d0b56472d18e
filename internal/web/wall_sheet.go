package web

import (
	"fmt"
	"html/template"
	"strconv"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/wall"
)

// wallSheet is a plan as the page and the print-out show it.
type wallSheet struct {
	Event   string
	Rule    string
	Kinds   []wallKind
	Rows    []wallRow
	Total   string
	Worth   string // what the limiter's worth would bring; "" where none was given
	Reasons []string
	Used    []usedRow
	Meet    string
	Done    []doneRow
	PlanID  string
	Limit   int // the swimmer's own most kicks, 0 = none
}

// wallKind is one kind of wall: its sentences and its drawing.
type wallKind struct {
	Name    string
	Lines   []string
	Chart   template.HTML
	Costs   []costRow
	Each    []kickStartRow
	Problem string
}

// wallRow is one wall in the table that a swimmer takes along.
type wallRow struct {
	Name, Stroke, Kicks, First, Out, Under, To15, Mark string
}

type costRow struct{ Kicks, Cost, Out string }

type kickStartRow struct {
	Number    int
	At, Speed string
}

type usedRow struct {
	Name, Value, From string
	Assumed           bool
}

// doneRow is one wall as it was swum, with what is said of it.
type doneRow struct {
	Number           int
	Name             string
	Kicks, Out, To15 string // as typed
	Words, Cost      string
}

func newWallSheet(v poolside.WallsView) *wallSheet {
	a := v.Answer
	s := &wallSheet{Event: a.Event.String(), Rule: a.Event.Rule(), PlanID: v.Plan.ID, Meet: v.Input.Meet, Limit: v.Input.MostKicks}
	seen := map[string]bool{}
	for _, w := range a.Walls {
		s.Rows = append(s.Rows, newWallRow(w))
		name := kindName(w, a.Event.Stroke == wall.Medley)
		if !seen[name] {
			seen[name] = true
			s.Kinds = append(s.Kinds, newWallKind(name, w))
		}
	}
	if t := a.Total; t.Planned > 0 {
		s.Total = fmt.Sprintf("%s in all, %s under water over %s.", plural(t.Kicks, "kick", "kicks"), bandText(t.Underwater, 1, "s"), bandText(t.Distance, 0, "m"))
	}
	if a.Gain.Known() {
		of := "the limiter"
		if a.Limiter != "" {
			of += ", " + a.Limiter + ","
		}
		s.Worth = fmt.Sprintf("If %s brought the %.2f m/s that the model expects, it would save about %s over all walls planned, if everything else stays.", of, a.Worth.Value, bandText(a.Gain, 2, "s"))
	}
	for _, r := range a.Reasons {
		s.Reasons = append(s.Reasons, r.Text)
	}
	for _, u := range a.Used {
		value := fmt.Sprintf("%.2f ± %.2f", u.Value, 1.96*u.SD)
		if u.SD == 0 {
			value = typed(u.Value)
		}
		s.Used = append(s.Used, usedRow{u.Name, strings.TrimSpace(value + " " + u.Unit), u.From, u.Assumed})
	}
	s.fillDone(v)
	return s
}

func kindName(w wall.Wall, medley bool) string {
	name := "After a turn"
	if w.Number == 1 {
		name = "After the start"
	}
	if medley {
		name += ", " + string(w.Stroke)
	}
	return name
}

func newWallRow(w wall.Wall) wallRow {
	row := wallRow{Name: w.Name, Stroke: string(w.Stroke), Kicks: "–", First: "–", Out: "–", Under: "–", To15: "–"}
	switch {
	case w.Stroke == wall.Breaststroke:
		row.Kicks = "1, in the pull-out"
		return row
	case w.Refused:
		return row
	}
	row.First = windowText(w.Plan)
	if w.Kicks < 0 {
		return row
	}
	row.Kicks = kicksText(w.Plan)
	row.Out, row.Under, row.To15 = bandText(w.Breakout, 1, "m"), bandText(w.Underwater, 1, "s"), bandText(w.To15, 2, "s")
	if w.Plan.Mark != wall.Limit {
		row.Mark = bandText(w.ToMark, 2, "s")
	}
	return row
}

func newWallKind(name string, w wall.Wall) wallKind {
	k := wallKind{Name: name}
	if w.Refused {
		k.Problem = w.Reasons[0].Text
		return k
	}
	k.Lines = wallLines(w.Plan)
	k.Chart = wallChart(name, w.Plan)
	for _, e := range w.EachKick {
		k.Each = append(k.Each, kickStartRow{e.Number, bandText(e.At, 1, "m"), bandText(e.Speed, 2, "m/s")})
	}
	for _, c := range w.Costs {
		cost := signedSeconds(c.Cost)
		if c.Kicks == w.Kicks {
			cost = "the plan"
		}
		k.Costs = append(k.Costs, costRow{strconv.Itoa(c.Kicks), cost, bandText(c.Breakout, 1, "m")})
	}
	return k
}

// fillDone makes a row for every wall, with what was typed and what is said of it.
func (s *wallSheet) fillDone(v poolside.WallsView) {
	compared := map[int]wall.Compared{}
	for _, c := range v.Answer.Compared {
		compared[c.Wall] = c
	}
	for _, w := range v.Answer.Walls {
		row := doneRow{Number: w.Number, Name: w.Name}
		if c, ok := compared[w.Number]; ok {
			if c.Kicks >= 0 {
				row.Kicks = strconv.Itoa(c.Kicks)
			}
			row.Out, row.To15, row.Words = typed(c.Breakout), typed(c.To15), c.Words
			if c.Cost.Known() && c.MoreKicks != 0 {
				row.Cost = "The model's cost of this number of kicks: " + signedSeconds(c.Cost) + "."
			}
		}
		s.Done = append(s.Done, row)
	}
}

// keepTyped puts back what was typed into the rows.
func (s *wallSheet) keepTyped(as map[string]string) {
	for i := range s.Done {
		n := strconv.Itoa(s.Done[i].Number)
		s.Done[i].Kicks, s.Done[i].Out, s.Done[i].To15 = as["done_kicks_"+n], as["done_out_"+n], as["done_15_"+n]
	}
}

// AnyDone reports whether something was swum.
func (s *wallSheet) AnyDone() bool {
	for _, d := range s.Done {
		if d.Words != "" {
			return true
		}
	}
	return false
}
