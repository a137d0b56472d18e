package practice

import (
	"slices"
	"testing"

	"underkick/internal/record"
)

// 25 November 2026 is a Wednesday (ISO 8601 calendar: 2026-W48-3).
func TestWeeksBeginOnMondays(t *testing.T) {
	for day, want := range map[record.Date]record.Date{"2026-11-25": "2026-11-23", "2026-11-23": "2026-11-23", "2026-11-29": "2026-11-23", "2026-11-30": "2026-11-30", "2027-01-01": "2026-12-28", "soon": "soon"} {
		if got := MondayOf(day); got != want {
			t.Errorf("the Monday of %s is %s, want %s", day, got, want)
		}
	}
	for _, c := range []struct {
		begun, day record.Date
		want       int
	}{
		{"2026-11-25", "2026-11-25", 1},
		{"2026-11-25", "2026-11-29", 1},
		{"2026-11-25", "2026-11-30", 2},
		{"2026-11-29", "2026-11-30", 2},
		{"2026-11-23", "2026-12-28", 6},
		{"2026-11-25", "2026-11-22", 0},
		{"2026-11-25", "2026-11-15", -1},
		{"soon", "2026-11-25", 0},
		{"2026-03-23", "2026-03-30", 2}, // over the change to summer time
	} {
		if got := WeekOf(c.begun, c.day); got != c.want {
			t.Errorf("begun %s, on %s it is week %d, want %d", c.begun, c.day, got, c.want)
		}
	}
}

func gave(t *testing.T, id, from, retest, ended string) record.Given {
	d := drill(t, id)
	return record.Given{ID: id, DrillID: id, Drill: d, Amount: record.Dose{Repeats: 8, Kicks: 5, Rest: record.RestUnderWater, PerWeek: 3}, From: record.Date(from), RetestOn: record.Date(retest), Ended: record.Date(ended)}
}

func TestWeeks(t *testing.T) {
	given := []record.Given{
		gave(t, "finish-in-front", "2026-11-11", "2026-12-16", ""), // Wednesdays
		gave(t, "rock-on-the-mat", "2026-11-30", "2026-12-21", ""),
		gave(t, "quiet-hands", "2026-10-01", "2026-11-05", "2026-11-06"), // over
	}
	weeks := Weeks(given, "2026-11-25")
	if len(weeks) != 7 || weeks[0].Monday != "2026-11-09" || weeks[6].Monday != "2026-12-21" || weeks[6].Sunday() != "2026-12-27" {
		t.Fatalf("%d weeks, %+v", len(weeks), weeks)
	}
	var tasks []int
	for _, w := range weeks {
		tasks = append(tasks, len(w.Tasks))
	}
	if !slices.Equal(tasks, []int{1, 1, 1, 2, 2, 2, 1}) {
		t.Errorf("tasks by week %v", tasks)
	}
	for i, want := range []int{5, 5, 8, 8, 8} { // 60 % of 8, then all
		task := weeks[i].Tasks[0]
		if task.Week != i+1 || task.Dose.Repeats != want || task.Retest || task.Words == "" {
			t.Errorf("week %d: %d of %+v, %q", i+1, task.Week, task.Dose, task.Words)
		}
	}
	if !weeks[5].Tasks[0].Retest || weeks[5].Tasks[1].Retest || !weeks[6].Tasks[0].Retest {
		t.Error("retests do not stand in their weeks")
	}
	if got := Weeks(nil, "2026-11-25"); got != nil {
		t.Errorf("of nothing: %v", got)
	}
	if got := Weeks(given[2:], "2026-11-25"); got != nil {
		t.Errorf("of what is over: %v", got)
	}
}

// What is past its retest and not ended stands in the week of the day; a retest far
// ahead, or a practice long gone, does not fill more than the bound.
func TestWeeksAreBounded(t *testing.T) {
	past := Weeks([]record.Given{gave(t, "quiet-hands", "2026-09-01", "2026-10-06", "")}, "2026-11-25")
	if last := past[len(past)-1]; last.Monday != "2026-11-23" || len(last.Tasks) != 1 || last.Tasks[0].Retest {
		t.Errorf("past its retest: %+v", last)
	}
	for _, w := range past {
		if w.Monday > "2026-10-05" && w.Monday < "2026-11-23" && len(w.Tasks) > 0 {
			t.Errorf("something stands in %s, past the retest", w.Monday)
		}
	}
	for _, c := range []record.Given{gave(t, "quiet-hands", "2026-11-25", "2030-01-01", ""), gave(t, "quiet-hands", "2020-01-01", "2020-02-01", ""), gave(t, "quiet-hands", "2020-01-01", "2030-01-01", "")} {
		weeks := Weeks([]record.Given{c}, "2026-11-25")
		if len(weeks) == 0 || len(weeks) > MostShown {
			t.Errorf("from %s to %s: %d weeks", c.From, c.RetestOn, len(weeks))
		}
	}
	long := Weeks([]record.Given{gave(t, "quiet-hands", "2020-01-01", "2020-02-01", "")}, "2026-11-25")
	if last := long[len(long)-1]; last.Monday != "2026-11-23" || len(last.Tasks) != 1 {
		t.Errorf("never ended: %+v", last)
	}
	ended := gave(t, "quiet-hands", "2026-11-09", "2026-12-21", "2026-12-01")
	weeks := Weeks([]record.Given{ended}, "2026-11-25")
	if len(weeks) == 0 || len(weeks[3].Tasks) != 1 || len(weeks[4].Tasks) != 0 {
		t.Errorf("ended on a later day: %+v", weeks)
	}
}
