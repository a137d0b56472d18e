package wall

import (
	"fmt"
	"strings"
)

// Done is what was done at one wall of a meet, as typed. Zero times and distances and
// negative kicks are not known.
type Done struct {
	Wall     int     `json:"wall"` // number, 1 = the start
	Kicks    int     `json:"kicks"`
	Breakout float64 `json:"breakout_m,omitempty"`
	To15     float64 `json:"to_15_s,omitempty"`
}

// Compared holds one wall against its plan.
type Compared struct {
	Done
	Name      string   `json:"name"`
	MoreKicks int      `json:"more_kicks"` // than planned; 0 where not known
	Cost      Band     `json:"cost_s"`     // what the other number of kicks costs by the model, s
	Slower    *float64 `json:"slower_s"`   // than the plan's time to 15 m; nil where not known
	Words     string   `json:"words"`
}

// Compare holds what was done against the plan, wall by wall, in the order typed. Walls that
// the event does not have and those without a plan say so.
func (s *Sheet) Compare(done []Done) []Compared {
	var list []Compared
	for _, d := range done {
		c := Compared{Done: d, Cost: Unknown()}
		if d.Wall < 1 || d.Wall > len(s.Walls) {
			c.Words = "The event has no such wall."
		} else {
			w := s.Walls[d.Wall-1]
			c.Name = w.Name
			c.compare(w.Plan)
		}
		list = append(list, c)
	}
	return list
}

func (c *Compared) compare(p *Plan) {
	if p.Kicks < 0 {
		c.Words = "There is no plan for this wall."
		return
	}
	if c.Kicks >= 0 {
		c.MoreKicks = c.Kicks - p.Kicks
		c.Cost = p.CostOf(c.Kicks)
		c.Words = kicksWords(c.Kicks, p)
	}
	if c.Breakout > 0 {
		c.Words += " " + against("The breakout", c.Breakout, p.Breakout, "m", "further", "shorter")
		if c.Breakout > Limit && p.Stroke != Breaststroke {
			c.Words += " It lies beyond 15 m, which the rule does not allow."
		}
	}
	if c.To15 > 0 {
		c.Slower = number(c.To15 - p.To15.Value)
		c.Words += " " + against("The time to 15 m", c.To15, p.To15, "s", "slower", "faster")
		if c.To15 < p.To15.Low {
			c.Words += " The watch is right: the plan's speeds do not fit this swimmer, measure them anew."
		}
	}
	c.Words = strings.TrimSpace(c.Words)
}

func kicksWords(kicks int, p *Plan) string {
	switch {
	case kicks >= p.AsFast[0] && kicks <= p.AsFast[1]:
		return "As many kicks as are fast."
	case kicks < p.AsFast[0]:
		return fmt.Sprintf("%d fewer than planned.", p.Kicks-kicks)
	}
	more := fmt.Sprintf("%d more than planned", kicks-p.Kicks)
	switch p.Bound {
	case "own":
		return more + ", beyond the swimmer's own limit."
	case "rule":
		return more + ": the 15 m rule leaves no room for them."
	}
	return more + ": longer under water than is fast."
}

// against says whether a number lies within the plan's band.
func against(what string, got float64, plan Band, unit, above, below string) string {
	switch {
	case got > plan.High:
		return fmt.Sprintf("%s is %.2f %s %s than the plan, beyond its band.", what, got-plan.Value, unit, above)
	case got < plan.Low:
		return fmt.Sprintf("%s is %.2f %s %s than the plan, beyond its band.", what, plan.Value-got, unit, below)
	}
	return what + " lies within the plan's band."
}
