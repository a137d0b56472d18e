package store

import (
	"context"
	"database/sql"
	"encoding/json"

	"underkick/internal/record"
)

const givenColumns = `g.pub, w.pub, coalesce(r.pub, ''), g.drill, g.body, g.chosen, g.why, g.created,
	(SELECT who FROM given_version WHERE given_id = g.id AND seq = 1),
	v.seq, v.amount, v.from_date, v.weeks, v.retest_on, v.notes, v.ended, v.removed, v.who, v.at`

// givenFrom joins what is given with its versions v; a query narrows down which.
const givenFrom = ` FROM given g JOIN swimmer w ON w.id = g.swimmer_id LEFT JOIN run r ON r.id = g.run_id
	JOIN given_version v ON v.given_id = g.id`

// newestGiven keeps the version that stands.
const newestGiven = ` AND v.seq = (SELECT max(seq) FROM given_version WHERE given_id = g.id)`

func scanGiven(scan func(...any) error) (record.Given, error) {
	return givenWith(scan, func(body string) (d record.Drill, err error) {
		err = json.Unmarshal([]byte(body), &d)
		return d, err
	})
}

// givenWith scans what is given with a function that reads the text of its drill.
func givenWith(scan func(...any) error, drill func(body string) (record.Drill, error)) (record.Given, error) {
	var g record.Given
	var body, amount string
	err := scan(&g.ID, &g.SwimmerID, &g.RunID, &g.DrillID, &body, &g.Chosen, &g.Why, stamp{&g.Created}, &g.GivenBy,
		&g.Seq, &amount, &g.From, &g.Weeks, &g.RetestOn, &g.Notes, &g.Ended, &g.Removed, &g.By, stamp{&g.At})
	if err != nil {
		return g, err
	}
	if g.Drill, err = drill(body); err != nil {
		return g, err
	}
	err = json.Unmarshal([]byte(amount), &g.Amount)
	g.Dose = g.Amount.String()
	return g, err
}

// AddGiven keeps a drill given to a swimmer; ID, Dose, GivenBy, Created, Seq and At
// are set here. A run must be one of the swimmer's.
func (s *Store) AddGiven(ctx context.Context, g record.Given) (record.Given, error) {
	g.ID, g.Created, g.Seq, g.Dose = newID(), s.moment(), 1, g.Amount.String()
	g.At, g.GivenBy = g.Created, g.By
	err := s.write(ctx, "give practice", func(tx *sql.Tx) error {
		if err := g.Validate(); err != nil {
			return err
		}
		swimmer, err := rowID(ctx, tx, "swimmer", g.SwimmerID)
		if err != nil {
			return err
		}
		run, err := runOfSwimmer(ctx, tx, g.RunID, swimmer)
		if err != nil {
			return err
		}
		body, err := json.Marshal(g.Drill)
		if err != nil {
			return err
		}
		var id int64
		err = tx.QueryRowContext(ctx, `INSERT INTO given (pub, swimmer_id, run_id, drill, body, chosen, why, created)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8) RETURNING id`,
			g.ID, swimmer, run, g.DrillID, string(body), g.Chosen, g.Why, timeText(g.Created)).Scan(&id)
		if err != nil {
			return err
		}
		return writeGivenVersion(ctx, tx, id, g)
	})
	return g, err
}

// runOfSwimmer returns the row of a run, none for "".
func runOfSwimmer(ctx context.Context, r reader, runID string, swimmer int64) (sql.NullInt64, error) {
	if runID == "" {
		return sql.NullInt64{}, nil
	}
	id, err := one(ctx, r, func(scan func(...any) error) (int64, error) {
		var id int64
		err := scan(&id)
		return id, err
	}, `SELECT id FROM run WHERE pub = $1 AND swimmer_id = $2`, runID, swimmer)
	return sql.NullInt64{Int64: id, Valid: true}, err
}

// ChangeGiven adds a version to what is given: amount, from, weeks, retest, notes,
// ended, removed and by are taken over, all else stays. It returns what stands.
func (s *Store) ChangeGiven(ctx context.Context, g record.Given) (record.Given, error) {
	var now record.Given
	err := s.write(ctx, "change practice", func(tx *sql.Tx) error {
		before, err := readGiven(ctx, tx, g.ID)
		if err != nil {
			return err
		}
		now = before
		now.Amount, now.From, now.Weeks, now.RetestOn = g.Amount, g.From, g.Weeks, g.RetestOn
		now.Notes, now.Ended, now.Removed, now.By = g.Notes, g.Ended, g.Removed, g.By
		now.Seq, now.At, now.Dose = before.Seq+1, s.moment(), now.Amount.String()
		validate := now.Validate
		if (now.Ended != "" || now.Removed) && now.Amount == before.Amount && now.Notes == before.Notes {
			validate = now.ValidateOver // ends as it stood, by whatever rules it was kept
		}
		if err := validate(); err != nil {
			return err
		}
		id, err := rowID(ctx, tx, "given", g.ID)
		if err != nil {
			return err
		}
		return writeGivenVersion(ctx, tx, id, now)
	})
	return now, err
}

func writeGivenVersion(ctx context.Context, tx *sql.Tx, given int64, g record.Given) error {
	amount, err := json.Marshal(g.Amount)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO given_version (given_id, seq, amount, from_date, weeks, retest_on, notes, ended, removed, who, at)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
		given, g.Seq, string(amount), g.From, g.Weeks, g.RetestOn, g.Notes, g.Ended, g.Removed, g.By, timeText(g.At))
	return err
}

// OneGiven returns what was given as it stands, removed or not.
func (s *Store) OneGiven(ctx context.Context, id string) (record.Given, error) {
	g, err := readGiven(ctx, s.reader(ctx), id)
	return g, explain("read practice", err)
}

func readGiven(ctx context.Context, r reader, id string) (record.Given, error) {
	return one(ctx, r, scanGiven, `SELECT `+givenColumns+givenFrom+` WHERE g.pub = $1`+newestGiven, id)
}

// GivenVersions returns every version of what was given, oldest first.
func (s *Store) GivenVersions(ctx context.Context, id string) ([]record.Given, error) {
	list, err := many(ctx, s.reader(ctx), scanGiven, `SELECT `+givenColumns+givenFrom+` WHERE g.pub = $1 ORDER BY v.seq`, id)
	return list, explain("read practice", err)
}

// Given returns all that a swimmer was given, newest first, the removed among them.
func (s *Store) Given(ctx context.Context, swimmerID string) ([]record.Given, error) {
	list, err := many(ctx, s.reader(ctx), scanGiven, `SELECT `+givenColumns+givenFrom+` WHERE w.pub = $1`+newestGiven+`
		ORDER BY v.from_date DESC, g.id DESC`, swimmerID)
	return list, explain("list practice", err)
}

// GivenNow returns what the swimmers of a squad practise or are about to: neither
// ended nor removed, newest first, by swimmer. Drills of one text are shared and not to be
// changed.
func (s *Store) GivenNow(ctx context.Context, squadID string) (map[string][]record.Given, error) {
	bySwimmer := map[string][]record.Given{}
	read := map[string]record.Drill{} // many swimmers practise the same drill
	drill := func(body string) (record.Drill, error) {
		d, have := read[body]
		if have {
			return d, nil
		}
		err := json.Unmarshal([]byte(body), &d)
		read[body] = d
		return d, err
	}
	err := each(ctx, s.reader(ctx), func(scan func(...any) error) error {
		g, err := givenWith(scan, drill)
		bySwimmer[g.SwimmerID] = append(bySwimmer[g.SwimmerID], g)
		return err
	}, `SELECT `+givenColumns+givenFrom+` JOIN squad q ON q.id = w.squad_id WHERE q.pub = $1 AND v.ended = '' AND v.removed = 0`+newestGiven+`
		ORDER BY v.from_date DESC, g.id DESC`, squadID)
	if err != nil {
		return nil, explain("list practice", err)
	}
	return bySwimmer, nil
}
