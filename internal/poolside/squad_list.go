package poolside

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"underkick/internal/kick"
	"underkick/internal/record"
)

// SwimmerRow is one swimmer in the squad table.
type SwimmerRow struct {
	ID         string
	Name       string // as it is shown
	Pseudonym  string // "" when none was given
	Level      record.Level
	LastVisit  string        // date as YYYY-MM-DD, "" when never filmed
	LastRunID  string        // newest measured run, "" when none was
	Finding    string        // its finding in a word or two, "" when there is none
	Limiter    string        // "facing", "sweep", "build", "tempo"; "" when the finding names none
	Speed      *kick.Measure // of the newest measured run, nil when there is none
	Tempo      *kick.Measure // kick frequency of the same run
	Trend      []TrendPoint  // speed by visit, oldest first
	Measured   int           // measured runs
	Practising []string      // what is practised now, in words
	RetestOn   string        // day on which the next retest is due, "" = none
	RetestDue  bool          // that day has come
	GoalOn     string        // day of the next goal that stands, "" = none
	GoalDue    bool          // that day has passed
	Consent    string        // how consent to filming stands, in words; "" = nothing to say
	ConsentEnd string        // its last day, "" = none named or none given
	ConsentDue bool          // it is missing, has ended or ends within ConsentSoonDays
	Alike      []string      // other swimmers whose name reads the same
	Renewing   Renewing
}

// TrendPoint is the speed of a visit's like runs with its band, m/s.
type TrendPoint struct {
	On               string // day of the visit
	Value, Low, High float64
	Runs             int
}

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

// visitWeeks without a visit count as due (common practice: filmed every four to
// eight weeks, no source).
const visitWeeks = 8

// ConsentSoonDays before its last day a consent counts as ending.
const ConsentSoonDays = 30

// SquadList returns the squads with the swimmers that a query asks for. Words that
// it does not know are an ErrInput.
func (a *App) SquadList(ctx context.Context, q SquadQuery) (SquadView, error) {
	if err := q.Check(); err != nil {
		return SquadView{}, err
	}
	view, err := a.Squad(ctx)
	if err != nil {
		return SquadView{}, err
	}
	for _, s := range view.Squads {
		view.Names = append(view.Names, SquadName{s.ID, s.Name})
	}
	view.narrow(q, record.Date(today()))
	return view, nil
}

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

// swimmerRows lists a squad by name.
func (a *App) swimmerRows(ctx context.Context, squadID string, consents map[string][]record.Consent) ([]SwimmerRow, error) {
	swimmers, lines, err := a.season(ctx, squadID)
	if err != nil {
		return nil, err
	}
	given, err := a.store.GivenNow(ctx, squadID)
	if err != nil {
		return nil, err
	}
	goals, err := a.store.GoalsOfSquad(ctx, squadID)
	if err != nil {
		return nil, err
	}
	day := record.Date(today())
	rows := make([]SwimmerRow, len(swimmers))
	for i, w := range swimmers {
		rows[i] = lines[i].row(w)
		rows[i].practise(given[w.ID], lines[i].MeasuredOn, day)
		if next := goals[w.ID]; len(next) > 0 {
			rows[i].GoalOn, rows[i].GoalDue = string(next[0].On), next[0].Overdue(day)
		}
		rows[i].consent(stateOf(w.BirthYear, consents[w.ID], day))
	}
	if Hidden(ctx) { // the order of the names would tell them
		slices.SortStableFunc(rows, func(a, b SwimmerRow) int { return cmp.Compare(a.Name, b.Name) })
		return rows, nil
	}
	names := make([]string, len(rows))
	for i, r := range rows {
		names[i] = r.Name
	}
	for i, alike := range record.Namesakes(names) {
		for _, k := range alike {
			rows[i].Alike = append(rows[i].Alike, names[k])
		}
	}
	return rows, nil
}

// practise fills in what is practised on a day and when the next retest is due that no
// measured visit has done; last is the day of the newest.
func (r *SwimmerRow) practise(given []record.Given, last, day record.Date) {
	for _, g := range given {
		if g.Practised(day) {
			r.Practising = append(r.Practising, g.Drill.Title)
		}
	}
	if due, ok := nextRetest(given, last, day); ok {
		r.RetestOn, r.RetestDue = string(due.On), due.On <= day
	}
}

// consent fills in how consent to filming stands.
func (r *SwimmerRow) consent(s ConsentState) {
	until := s.Until[record.ForFilming]
	switch {
	case !s.Allowed[record.ForFilming]:
		r.Consent, r.ConsentDue = "no consent to filming", true
	case until != "":
		r.Consent, r.ConsentEnd = "consent until "+longDate(until), string(until)
		r.ConsentDue = until <= s.On.AddDays(ConsentSoonDays)
	}
}

func (l seasonLine) row(w record.Swimmer) SwimmerRow {
	row := SwimmerRow{
		ID: w.ID, Name: w.Name, Pseudonym: w.Pseudonym, Level: w.Level,
		LastVisit: string(l.LastVisit), LastRunID: l.LastRun, Finding: l.Word, Measured: l.Measured,
		Speed: l.Speed.measure("speed", "m/s"), Tempo: l.Tempo.measure("kick_frequency", "Hz"),
	}
	if slices.Contains(limiters, l.Word) {
		row.Limiter = l.Word
	}
	for _, p := range l.Trend {
		row.Trend = append(row.Trend, TrendPoint{On: string(p.On), Value: float64(p.Value), Low: float64(p.Low), High: float64(p.High), Runs: p.Runs})
	}
	return row
}
