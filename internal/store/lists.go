package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"slices"

	"underkick/internal/record"
)

// Measured is the newest result of a run as lists and trends need it.
type Measured struct {
	RunID     string
	SwimmerID string
	On        record.Date // day of the visit
	ResultID  string
	Method    string
	Word      string         // finding in a word or two
	Sentence  string         // its sentence
	Values    []record.Value // of the measures asked for, in the order of the summary
}

// RosterRow is a swimmer in the list of a squad.
type RosterRow struct {
	Swimmer   record.Swimmer
	LastVisit record.Date // newest visit with a clip or run of the swimmer, "" = never
	Measured  []Measured  // measured runs, oldest first
}

// Last returns the newest measured run, nil if there is none.
func (r RosterRow) Last() *Measured {
	if len(r.Measured) == 0 {
		return nil
	}
	return &r.Measured[len(r.Measured)-1]
}

// Roster returns the swimmers of a squad by name, with their last visit and
// the given measures (none = all) of every measured run.
func (s *Store) Roster(ctx context.Context, squadID string, measures ...string) ([]RosterRow, error) {
	r := s.reader(ctx)
	rows, err := many(ctx, r, func(scan func(...any) error) (RosterRow, error) {
		var row RosterRow
		err := scan(append(swimmerTargets(&row.Swimmer), &row.LastVisit)...)
		return row, err
	}, `SELECT `+swimmerColumns+`, max(
			coalesce((SELECT max(v.on_date) FROM clip c JOIN visit v ON v.id = c.visit_id WHERE c.swimmer_id = w.id), ''),
			coalesce((SELECT max(v.on_date) FROM run r JOIN clip c ON c.id = r.clip_id JOIN visit v ON v.id = c.visit_id WHERE r.swimmer_id = w.id), ''))
		FROM swimmer w JOIN squad q ON q.id = w.squad_id WHERE q.pub = $1
		ORDER BY w.name COLLATE NOCASE, w.id`, squadID)
	if err != nil {
		return nil, explain("list squad", err)
	}
	list, err := measured(ctx, r, `JOIN squad q ON q.id = w.squad_id WHERE q.pub = $1`+counting, squadID, measures)
	if err != nil {
		return nil, explain("list squad", err)
	}
	bySwimmer := map[string][]Measured{}
	for _, m := range list {
		bySwimmer[m.SwimmerID] = append(bySwimmer[m.SwimmerID], m)
	}
	for i := range rows {
		rows[i].Measured = bySwimmer[rows[i].Swimmer.ID]
	}
	return rows, nil
}

// counting leaves out the runs r that are set aside.
const counting = ` AND r.aside = ''`

// Measured returns the measured runs of a swimmer that count, oldest first, with the given
// measures (none = all).
func (s *Store) Measured(ctx context.Context, swimmerID string, measures ...string) ([]Measured, error) {
	list, err := measured(ctx, s.reader(ctx), `WHERE w.pub = $1`+counting, swimmerID, measures)
	return list, explain("list measured runs", err)
}

// measured lists runs with their newest result, oldest first. where narrows
// the swimmers w down by id, $1; the measures follow as one JSON list, $2.
func measured(ctx context.Context, r reader, where, id string, measures []string) ([]Measured, error) {
	args, join := []any{id}, `LEFT JOIN result_value x ON x.result_id = e.id`
	if len(measures) > 0 {
		wanted, err := json.Marshal(measures)
		if err != nil {
			return nil, err
		}
		args, join = append(args, string(wanted)), join+` AND x.measure IN (SELECT value FROM json_each($2))`
	}
	var list []Measured
	err := each(ctx, r, func(scan func(...any) error) error {
		var m Measured
		var v record.Value
		var measure sql.NullString
		var sd, low, high sql.NullFloat64
		if err := scan(&m.RunID, &m.SwimmerID, &m.On, &m.ResultID, &m.Method, &m.Word, &m.Sentence,
			&measure, &v.Unit, &v.Value, &sd, &low, &high, &v.N); err != nil {
			return err
		}
		if n := len(list); n == 0 || list[n-1].ResultID != m.ResultID {
			list = append(list, m)
		}
		if measure.Valid {
			v.Measure, v.SD, v.Low, v.High = measure.String, orNaN(sd), orNaN(low), orNaN(high)
			last := &list[len(list)-1]
			last.Values = append(last.Values, v)
		}
		return nil
	}, `SELECT r.pub, w.pub, v.on_date, e.pub, e.method, e.word, e.sentence,
			x.measure, coalesce(x.unit, ''), coalesce(x.value, 0), x.sd, x.low, x.high, coalesce(x.n, 0)
		FROM swimmer w
		JOIN run r ON r.swimmer_id = w.id
		JOIN clip c ON c.id = r.clip_id
		JOIN visit v ON v.id = c.visit_id
		JOIN result e ON e.id = (SELECT max(id) FROM result WHERE run_id = r.id)
		`+join+` `+where+`
		ORDER BY v.on_date, c.id, r.from_frame, r.id, x.place`, args...)
	return list, err
}

// Whole is a run with all it belongs to; Run is zero when asked for a clip.
type Whole struct {
	Squad   record.Squad
	Swimmer record.Swimmer // of the run; of the clip when asked for a clip
	Visit   record.Visit
	Clip    record.Clip
	Run     record.Run
}

// RunWhole returns a run with all it belongs to; the swimmer has the height and the mass
// that were measured nearest to the visit's day.
func (s *Store) RunWhole(ctx context.Context, runID string) (Whole, error) {
	w, err := one(ctx, s.reader(ctx), func(scan func(...any) error) (Whole, error) {
		var w Whole
		err := scan(slices.Concat(squadTargets(&w.Squad), swimmerTargets(&w.Swimmer), visitTargets(&w.Visit), clipTargets(&w.Clip), runTargets(&w.Run))...)
		return w, err
	}, `SELECT `+squadColumns+`, `+swimmerColumns+`, `+visitColumns+`, `+clipColumns+`, `+runColumns+`
		FROM run r JOIN clip c ON c.id = r.clip_id JOIN visit v ON v.id = c.visit_id
		JOIN swimmer w ON w.id = r.swimmer_id JOIN squad q ON q.id = w.squad_id WHERE r.pub = $1`, runID)
	if err != nil {
		return w, explain("read run", err)
	}
	history, err := growthOn(ctx, s.reader(ctx), w.Swimmer.ID)
	w.Swimmer = w.Swimmer.Grown(history, w.Visit.On)
	return w, explain("read run", err)
}

// ClipWhole returns a clip with all it belongs to.
func (s *Store) ClipWhole(ctx context.Context, clipID string) (Whole, error) {
	w, err := one(ctx, s.reader(ctx), func(scan func(...any) error) (Whole, error) {
		var w Whole
		err := scan(slices.Concat(squadTargets(&w.Squad), swimmerTargets(&w.Swimmer), visitTargets(&w.Visit), clipTargets(&w.Clip))...)
		return w, err
	}, `SELECT `+squadColumns+`, `+swimmerColumns+`, `+visitColumns+`, `+clipColumns+`
		FROM clip c JOIN visit v ON v.id = c.visit_id
		JOIN swimmer w ON w.id = c.swimmer_id JOIN squad q ON q.id = w.squad_id WHERE c.pub = $1`, clipID)
	return w, explain("read clip", err)
}

// FilmedVisit is a visit with the clips that show one swimmer.
type FilmedVisit struct {
	Visit record.Visit
	Clips []FilmedClip // in the order of bringing in
}

// FilmedClip is a clip with the runs of one swimmer.
type FilmedClip struct {
	Clip record.Clip
	Runs []FilmedRun // in the order of swimming
}

// FilmedRun is a run in a list.
type FilmedRun struct {
	Run      record.Run
	Marks    int       // marks that stand
	Measured *Measured // nil until it was measured; with all values
}

// Filmed returns everything filmed of a swimmer, newest visit first: the
// swimmer's own clips and others' clips with a run of the swimmer.
func (s *Store) Filmed(ctx context.Context, swimmerID string) ([]FilmedVisit, error) {
	r := s.reader(ctx)
	clips, err := many(ctx, r, func(scan func(...any) error) (Whole, error) {
		var w Whole
		err := scan(append(visitTargets(&w.Visit), clipTargets(&w.Clip)...)...)
		return w, err
	}, `SELECT `+visitColumns+`, `+clipColumns+` FROM clip c JOIN visit v ON v.id = c.visit_id JOIN swimmer w ON w.pub = $1
		WHERE c.swimmer_id = w.id OR c.id IN (SELECT clip_id FROM run WHERE swimmer_id = w.id)
		ORDER BY v.on_date DESC, v.id DESC, c.id`, swimmerID)
	if err != nil {
		return nil, explain("list clips", err)
	}
	runs, err := many(ctx, r, func(scan func(...any) error) (FilmedRun, error) {
		var f FilmedRun
		err := scan(append(runTargets(&f.Run), &f.Marks)...)
		return f, err
	}, `SELECT `+runColumns+`, r.mark_count FROM run r JOIN swimmer w ON w.id = r.swimmer_id WHERE w.pub = $1 ORDER BY r.from_frame, r.id`, swimmerID)
	if err != nil {
		return nil, explain("list runs", err)
	}
	done, err := measured(ctx, r, `WHERE w.pub = $1`, swimmerID, nil)
	if err != nil {
		return nil, explain("list measured runs", err)
	}
	return assemble(clips, runs, done), nil
}

func assemble(clips []Whole, runs []FilmedRun, done []Measured) []FilmedVisit {
	byRun := make(map[string]*Measured, len(done))
	for i := range done {
		byRun[done[i].RunID] = &done[i]
	}
	byClip := map[string][]FilmedRun{}
	for _, f := range runs {
		f.Measured = byRun[f.Run.ID]
		byClip[f.Run.ClipID] = append(byClip[f.Run.ClipID], f)
	}
	var visits []FilmedVisit
	for _, c := range clips {
		if n := len(visits); n == 0 || visits[n-1].Visit.ID != c.Visit.ID {
			visits = append(visits, FilmedVisit{Visit: c.Visit})
		}
		last := &visits[len(visits)-1]
		last.Clips = append(last.Clips, FilmedClip{Clip: c.Clip, Runs: byClip[c.Clip.ID]})
	}
	return visits
}
