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
	var why []string
	for _, f := range []struct{ name, a, b string }{
		{"effort", c.Effort, d.Effort}, {"start", c.Start, d.Start}, {"position", c.Position, d.Position},
	} {
		a, b := fold(f.a), fold(f.b)
		switch {
		case a == "" || b == "":
			why = append(why, fmt.Sprintf("State the %s of both runs.", f.name))
		case a != b:
			why = append(why, fmt.Sprintf("The %s differs: %s now, %s then.", f.name, f.a, f.b))
		}
	}
	if a, b := fold(c.Equipment), fold(d.Equipment); a != b {
		why = append(why, fmt.Sprintf("The equipment differs: %s now, %s then.", orNone(c.Equipment), orNone(d.Equipment)))
	}
	return why
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
