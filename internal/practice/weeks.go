package practice

import (
	"time"

	"underkick/internal/record"
)

// MondayOf returns the Monday of the week of a day; a day that is none stays as it is.
func MondayOf(day record.Date) record.Date {
	t, err := time.Parse(time.DateOnly, string(day))
	if err != nil {
		return day
	}
	return day.AddDays(-(int(t.Weekday()) + 6) % 7)
}

// WeekOf returns the week of a practice begun on a day that another day falls in,
// counted from 1. Weeks begin on Mondays, so the first may be short. It is 0 or less
// before the first week, and 0 where a day is none.
func WeekOf(begun, day record.Date) int {
	a, err1 := time.Parse(time.DateOnly, string(MondayOf(begun)))
	b, err2 := time.Parse(time.DateOnly, string(MondayOf(day)))
	if err1 != nil || err2 != nil {
		return 0
	}
	return int(b.Sub(a).Hours()/(24*7)) + 1
}

// OnDay returns what of a practice is done on a day: its amount in that week, and
// what is different in it.
func OnDay(g record.Given, day record.Date) (record.Dose, string) {
	return g.Drill.InWeek(g.Amount, WeekOf(g.From, day))
}

// Task is what is done of one practice in a week.
type Task struct {
	Given  record.Given
	Week   int         // of the practice, from 1
	Dose   record.Dose // in this week
	Words  string      // what is different in it, "" = nothing
	Retest bool        // its retest falls in this week
}

// Week is one week of all that a swimmer practises.
type Week struct {
	Monday record.Date
	Tasks  []Task
}

// Sunday is the last day of the week.
func (w Week) Sunday() record.Date { return w.Monday.AddDays(6) }

// MostShown bounds how many weeks Weeks returns: the longest practice there is, begun
// in the middle of a week, and what overlaps it.
const MostShown = MostWeeks + 2

// Weeks lays out what is practised, week by week: from the first week of what goes on
// to the week of the last retest, MostShown at most; weeks before the one of a day
// are left out first. A practice stands in every week up to its retest, and in the
// week of the day for as long as nobody ended it. What is ended or taken back is left
// out. None for nothing given.
func Weeks(given []record.Given, day record.Date) []Week {
	first, last := record.Date(""), record.Date("")
	var list []record.Given
	for _, g := range given {
		if g.Removed || g.Ended != "" && g.Ended <= day || !g.From.Valid() || !g.RetestOn.Valid() {
			continue
		}
		list = append(list, g)
		if from := MondayOf(g.From); first == "" || from < first {
			first = from
		}
		last = max(last, MondayOf(g.RetestOn))
	}
	if len(list) == 0 {
		return nil
	}
	now := MondayOf(day)
	last = max(last, now)
	if WeekOf(first, last) > MostShown {
		first = max(first, min(now, last.AddDays(-7*(MostShown-1))))
	}
	var weeks []Week
	for monday := first; monday <= last && len(weeks) < MostShown; monday = monday.AddDays(7) {
		weeks = append(weeks, weekOf(list, monday, now))
	}
	return weeks
}

func weekOf(given []record.Given, monday, now record.Date) Week {
	w := Week{Monday: monday}
	sunday := w.Sunday()
	for _, g := range given {
		retest := MondayOf(g.RetestOn)
		over := g.Ended != "" && g.Ended <= monday
		if g.From > sunday || over || retest < monday && monday != now {
			continue
		}
		t := Task{Given: g, Week: WeekOf(g.From, monday), Retest: retest == monday}
		t.Dose, t.Words = g.Drill.InWeek(g.Amount, t.Week)
		w.Tasks = append(w.Tasks, t)
	}
	return w
}
