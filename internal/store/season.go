package store

import (
	"context"
	"database/sql"
	"encoding/json"

	"underkick/internal/record"
)

// Brief is the newest result of a run without its kicks, as trends and verdicts
// need it.
type Brief struct {
	Visit    record.Visit
	Run      record.Run
	ResultID string
	Word     string
	Sentence string
	Body     json.RawMessage // as Result.Body, without "kicks"; nil where it was said to be known
}

// Briefs returns the measured runs of a swimmer, oldest first. The bodies of results
// whose ids are known are not read: a kept result never changes.
func (s *Store) Briefs(ctx context.Context, swimmerID string, known ...string) ([]Brief, error) {
	ids, err := json.Marshal(known)
	if err != nil {
		return nil, explain("list measured runs", err)
	}
	list, err := many(ctx, s.reader(ctx), func(scan func(...any) error) (Brief, error) {
		var b Brief
		var body sql.NullString
		err := scan(append(append(visitTargets(&b.Visit), runTargets(&b.Run)...), &b.ResultID, &b.Word, &b.Sentence, &body)...)
		if body.Valid {
			b.Body = json.RawMessage(body.String)
		}
		return b, err
	}, `SELECT `+visitColumns+`, `+runColumns+`, e.pub, e.word, e.sentence,
			CASE WHEN e.pub IN (SELECT value FROM json_each($2)) THEN NULL ELSE b.body END
		FROM swimmer w
		JOIN run r ON r.swimmer_id = w.id
		JOIN clip c ON c.id = r.clip_id
		JOIN visit v ON v.id = c.visit_id
		JOIN result e ON e.id = (SELECT max(id) FROM result WHERE run_id = r.id)
		JOIN result_brief b ON b.result_id = e.id
		WHERE w.pub = $1`+counting+` ORDER BY v.on_date, v.id, c.id, r.from_frame, r.id`, swimmerID, string(ids))
	return list, explain("list measured runs", err)
}

// LastVisit returns the day of the newest visit with a clip or run of a swimmer,
// "" where there is none.
func (s *Store) LastVisit(ctx context.Context, swimmerID string) (record.Date, error) {
	day, err := one(ctx, s.reader(ctx), func(scan func(...any) error) (record.Date, error) {
		var d record.Date
		err := scan(&d)
		return d, err
	}, `SELECT max(
			coalesce((SELECT max(v.on_date) FROM clip c JOIN visit v ON v.id = c.visit_id WHERE c.swimmer_id = w.id), ''),
			coalesce((SELECT max(v.on_date) FROM run r JOIN clip c ON c.id = r.clip_id JOIN visit v ON v.id = c.visit_id WHERE r.swimmer_id = w.id), ''))
		FROM swimmer w WHERE w.pub = $1`, swimmerID)
	return day, explain("read last visit", err)
}

// SeasonLine is what lists say of a swimmer and how the swimmer's repeated runs
// scatter; both nil where they have to be made.
type SeasonLine struct {
	SwimmerID     string
	Line, Scatter json.RawMessage
}

// SeasonStands reports of the swimmers of a squad, by age of their record, whether the
// lines that were made by a method still stand. It is what to ask before lines that were
// read earlier are taken again.
func (s *Store) SeasonStands(ctx context.Context, squadID, method string) (swimmers []string, stands []bool, err error) {
	err = each(ctx, s.reader(ctx), func(scan func(...any) error) error {
		var id string
		var made bool
		err := scan(&id, &made)
		swimmers, stands = append(swimmers, id), append(stands, made)
		return err
	}, `SELECT w.pub, l.swimmer_id IS NOT NULL
		FROM squad q JOIN swimmer w ON w.squad_id = q.id
		LEFT JOIN season_line l ON l.swimmer_id = w.id AND l.method = $2
		WHERE q.pub = $1 ORDER BY w.id`, squadID, method)
	return swimmers, stands, explain("look for the season", err)
}

// SeasonLines returns the lines of a squad's swimmers that were made by a method and
// still stand, by age of the swimmers' records.
func (s *Store) SeasonLines(ctx context.Context, squadID, method string) ([]SeasonLine, error) {
	list, err := many(ctx, s.reader(ctx), func(scan func(...any) error) (SeasonLine, error) {
		var l SeasonLine
		var line, scatter sql.NullString
		err := scan(&l.SwimmerID, &line, &scatter)
		if line.Valid {
			l.Line, l.Scatter = json.RawMessage(line.String), json.RawMessage(scatter.String)
		}
		return l, err
	}, `SELECT w.pub, l.line, l.scatter
		FROM squad q JOIN swimmer w ON w.squad_id = q.id
		LEFT JOIN season_line l ON l.swimmer_id = w.id AND l.method = $2
		WHERE q.pub = $1 ORDER BY w.id`, squadID, method)
	return list, explain("list the season", err)
}

// KeepSeason keeps what lists say of a swimmer and how the swimmer's repeated
// runs scatter. To be true it must be made and kept within one Together: what it
// stands on may change in between.
func (s *Store) KeepSeason(ctx context.Context, swimmerID, method string, line, scatter json.RawMessage) error {
	return s.write(ctx, "keep the season", func(tx *sql.Tx) error {
		return execOne(ctx, tx, `INSERT OR REPLACE INTO season_line (swimmer_id, method, line, scatter)
			SELECT id, $2, $3, $4 FROM swimmer WHERE pub = $1`, swimmerID, method, string(line), string(scatter))
	})
}
