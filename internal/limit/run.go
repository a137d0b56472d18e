package limit

import (
	"fmt"
	"strings"

	"underkick/internal/kick"
)

// Conditions are what must be alike before two runs are compared. The words are
// those kept with the run; "" = not stated, except Equipment, where it is none.
type Conditions struct {
	Effort    string // "easy", "race", "max"
	Start     string // "push-off", "still", "dive"
	Position  string // "prone", "supine", "side"
	Equipment string // fins, snorkel ...
	MarkedBy  string // who marked; matters for facing only
}

// Run is one measured run of the swimmer.
type Run struct {
	ID         string
	Visit      string // public id of the visit; runs of one visit are averaged
	When       string // the visit's day as a sentence says it, such as "3 May 2026"
	Conditions Conditions
	Result     *kick.Result
}

// Unlike returns why two runs must not be compared, one sentence each; empty =
// they are alike.
func (c Conditions) Unlike(d Conditions) []string {
	return append(c.Unstated(d), c.Differs(d)...)
}

// Unstated names what must be alike and is not stated of both runs, one sentence each.
func (c Conditions) Unstated(d Conditions) []string {
	var why []string
	for _, f := range c.beside(d) {
		if f.now == "" || f.then == "" {
			why = append(why, fmt.Sprintf("State the %s of both runs.", f.name))
		}
	}
	return why
}

// Differs names the conditions that are stated and differ, one sentence each.
func (c Conditions) Differs(d Conditions) []string {
	var why []string
	for _, f := range c.beside(d) {
		if f.now != "" && f.then != "" && f.now != f.then {
			why = append(why, fmt.Sprintf("The %s differs: %s now, %s then.", f.name, f.now, f.then))
		}
	}
	if a, b := fold(c.Equipment), fold(d.Equipment); a != b {
		why = append(why, fmt.Sprintf("The equipment differs: %s now, %s then.", orNone(c.Equipment), orNone(d.Equipment)))
	}
	return why
}

// condition is one condition of two runs.
type condition struct{ name, now, then string }

func (c Conditions) beside(d Conditions) []condition {
	return []condition{
		{"effort", fold(c.Effort), fold(d.Effort)}, {"start", fold(c.Start), fold(d.Start)}, {"position", fold(c.Position), fold(d.Position)},
	}
}

// markedAlike reports whether facing may be compared: it stands or falls with
// how alike ankle and toe are marked.
func (c Conditions) markedAlike(d Conditions) bool {
	a := fold(c.MarkedBy)
	return a != "" && a == fold(d.MarkedBy)
}

func fold(s string) string { return strings.ToLower(strings.TrimSpace(s)) }

func orNone(s string) string {
	if fold(s) == "" {
		return "none"
	}
	return s
}
