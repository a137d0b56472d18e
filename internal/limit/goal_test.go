package limit

import (
	"math"
	"testing"

	"underkick/internal/kick"
)

// A goal is judged by the band alone, so these follow from the definition: the ends of the
// band belong to it, and at most is at least of the negative.
func TestAgainst(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]struct {
		value, low, high, target float64
		atMost                   bool
		want                     Reach
	}{
		"whole band past":           {1.6, 1.55, 1.65, 1.5, false, Reached},
		"its low end at the target": {1.6, 1.5, 1.7, 1.5, false, Reached},
		"value past, band not":      {1.52, 1.45, 1.59, 1.5, false, Undecided},
		"value short, band not":     {1.48, 1.40, 1.56, 1.5, false, Undecided},
		"whole band short":          {1.3, 1.25, 1.35, 1.5, false, NotReached},
		"its high end at it":        {1.4, 1.3, 1.5, 1.5, false, Undecided},
		"at most, past":             {2.0, 1.9, 2.1, 2.2, true, Reached},
		"at most, its high end":     {2.1, 2.0, 2.2, 2.2, true, Reached},
		"at most, undecided":        {2.1, 2.0, 2.3, 2.2, true, Undecided},
		"at most, short":            {2.5, 2.4, 2.6, 2.2, true, NotReached},
		"negative":                  {-5, -6, -4, -10, true, NotReached},
		"no value":                  {nan, nan, nan, 1, false, Unmeasured},
		"no band":                   {1.5, nan, nan, 1, false, Unmeasured},
	} {
		m := kick.Measure{Value: c.value, Low: c.low, High: c.high}
		if got := Against(m, c.target, c.atMost); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}
