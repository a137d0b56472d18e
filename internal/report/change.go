package report

import (
	"fmt"

	"underkick/internal/limit"
)

// ChangeWords says what became of a measure since the earlier visit.
func ChangeWords(c limit.Change) string {
	name := limit.Name(c.Measure)
	if c.Verdict == limit.Refused {
		text := name + ": no verdict against " + c.When + "."
		for _, why := range c.Why {
			text += " " + why
		}
		return text
	}
	text := fmt.Sprintf("%s: %s since %s (%s then, %s now; smallest real change %s).", name, c.Verdict, c.When,
		WithUnit(c.Measure, c.Unit, c.Then), WithUnit(c.Measure, c.Unit, c.Now), WithUnit(c.Measure, c.Unit, c.Smallest))
	if c.Exploratory {
		text += " Exploratory."
	}
	return text
}
