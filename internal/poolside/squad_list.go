package poolside

import (
	"cmp"
	"context"
	"slices"

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
