package poolside

import (
	"cmp"
	"slices"
	"strings"

	"underkick/internal/kick"
	"underkick/internal/record"
)

// SquadQuery narrows and sorts the squad table. The zero value is everybody by
// name.
type SquadQuery struct {
	Squad   string // id; "" = all
	Name    string // part of the name as it is shown
	Limiter string // "facing", "sweep", "build", "tempo", or "none" for no finding that names one
	Due     string // one of Dues
	Level   record.Level
	Sort    string // one of Sorts
}

// What may be due, as SquadQuery names it.
const (
	DueRetest  = "retest"
	DueConsent = "consent"
	DueGoal    = "goal"
	DueVisit   = "visit"
	DueNever   = "never"
)

// Dues lists them with their words.
func Dues() [][2]string {
	return [][2]string{
		{DueRetest, "retest due"},
		{DueConsent, "consent missing or ending"},
		{DueGoal, "day of a goal passed"},
		{DueVisit, "not filmed for eight weeks"},
		{DueNever, "never filmed"},
	}
}

// Sorts lists the orders of the table with their words, the usual one first.
func Sorts() [][2]string {
	return [][2]string{
		{"name", "name"},
		{"visit", "last visit, longest ago first"},
		{"limiter", "limiter"},
		{"speed", "speed, fastest first"},
		{"tempo", "tempo, quickest first"},
		{"retest", "retest, soonest first"},
		{"consent", "consent, ending soonest first"},
	}
}

// Limiters lists what a finding may name, and "none".
func Limiters() []string { return append(slices.Clone(limiters), "none") }

// limiters are the words of findings that name one.
var limiters = []string{"facing", "sweep", "build", "tempo"}

// Check returns an ErrInput for a word of the query that nothing is known by.
func (q SquadQuery) Check() error {
	one := func(what, word string, words []string) error {
		if word == "" || slices.Contains(words, word) {
			return nil
		}
		return inputf("the squad cannot be listed by %s %q; choose one of %s", what, word, strings.Join(words, ", "))
	}
	for _, err := range []error{
		one("limiter", q.Limiter, Limiters()), one("due", q.Due, firsts(Dues())), one("order", q.Sort, firsts(Sorts())),
		one("level", string(q.Level), levelWords()),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

func firsts(pairs [][2]string) []string {
	var list []string
	for _, p := range pairs {
		list = append(list, p[0])
	}
	return list
}

func levelWords() []string {
	var list []string
	for _, l := range record.Levels() {
		list = append(list, string(l))
	}
	return list
}

// narrow keeps the rows that a query asks for and sorts them.
func (v *SquadView) narrow(q SquadQuery, today record.Date) {
	if q.Squad != "" {
		v.Squads = slices.DeleteFunc(v.Squads, func(s SquadSection) bool { return s.ID != q.Squad })
	}
	for i := range v.Squads {
		s := &v.Squads[i]
		s.Of = len(s.Rows)
		s.Rows = slices.DeleteFunc(s.Rows, func(r SwimmerRow) bool { return !q.wants(r, today) })
		slices.SortStableFunc(s.Rows, q.order)
	}
}

func (q SquadQuery) wants(r SwimmerRow, today record.Date) bool {
	limiter := r.Limiter
	if limiter == "" {
		limiter = "none"
	}
	return (q.Limiter == "" || q.Limiter == limiter) &&
		(q.Level == "" || q.Level == r.Level) &&
		(q.Name == "" || record.NameHolds(r.Name, q.Name)) &&
		(q.Due == "" || r.due(q.Due, today))
}

func (r SwimmerRow) due(what string, today record.Date) bool {
	switch what {
	case DueRetest:
		return r.RetestDue
	case DueConsent:
		return r.ConsentDue
	case DueGoal:
		return r.GoalDue
	case DueVisit:
		return r.LastVisit != "" && record.Date(r.LastVisit) < today.AddDays(-7*visitWeeks)
	case DueNever:
		return r.LastVisit == ""
	}
	return true
}

// order compares two rows; rows that have nothing to sort by come last. By name
// they stand already.
func (q SquadQuery) order(a, b SwimmerRow) int {
	switch q.Sort {
	case "visit":
		return emptyLast(a.LastVisit, b.LastVisit)
	case "limiter":
		return emptyLast(a.Limiter, b.Limiter)
	case "speed":
		return largestFirst(a.Speed, b.Speed)
	case "tempo":
		return largestFirst(a.Tempo, b.Tempo)
	case "retest":
		return emptyLast(a.RetestOn, b.RetestOn)
	case "consent":
		return emptyLast(a.ConsentEnd, b.ConsentEnd)
	}
	return 0
}

func emptyLast(a, b string) int {
	if (a == "") != (b == "") {
		return cmp.Compare(len(b), len(a))
	}
	return cmp.Compare(a, b)
}

func largestFirst(a, b *kick.Measure) int {
	switch {
	case a == nil && b == nil:
		return 0
	case a == nil:
		return 1
	case b == nil:
		return -1
	}
	return cmp.Compare(b.Value, a.Value)
}
