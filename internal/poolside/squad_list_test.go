package poolside

import (
	"testing"

	"underkick/internal/record"
)

// A retest stands as due until a visit on its day, or up to a week before, was measured.
func TestARetestThatWasFilmedIsNotDue(t *testing.T) {
	given := []record.Given{{From: "2026-09-20", Weeks: 5, RetestOn: "2026-10-24"}}
	for _, c := range []struct {
		last record.Date
		due  bool
	}{{"", true}, {"2026-09-20", true}, {"2026-10-20", false}, {"2026-10-24", false}, {"2026-10-30", false}} {
		var row SwimmerRow
		row.practise(given, c.last, "2026-11-01")
		if row.RetestDue != c.due || (row.RetestOn != "") != c.due {
			t.Errorf("last measured %q: due %v on %q", c.last, row.RetestDue, row.RetestOn)
		}
	}
}
