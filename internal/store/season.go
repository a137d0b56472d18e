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
	Word     string
	Sentence string
	Body     json.RawMessage // as Result.Body, without "kicks"
}

// Briefs returns the measured runs of a swimmer, oldest first.
func (s *Store) Briefs(ctx context.Context, swimmerID string) ([]Brief, error) {
	list, err := many(ctx, s.reader(ctx), func(scan func(...any) error) (Brief, error) {
		var b Brief
		var body string
		err := scan(append(append(visitTargets(&b.Visit), runTargets(&b.Run)...), &b.Word, &b.Sentence, &body)...)
		b.Body = json.RawMessage(body)
		return b, err
	}, `SELECT `+visitColumns+`, `+runColumns+`, e.word, e.sentence, b.body
		FROM swimmer w
		JOIN run r ON r.swimmer_id = w.id
		JOIN clip c ON c.id = r.clip_id
		JOIN visit v ON v.id = c.visit_id
		JOIN result e ON e.id = (SELECT max(id) FROM result WHERE run_id = r.id)
		JOIN result_brief b ON b.result_id = e.id
		WHERE w.pub = $1 ORDER BY v.on_date, v.id, c.id, r.from_frame, r.id`, swimmerID)
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

// SeasonRow is a swimmer with what lists say of the season.
type SeasonRow struct {
	Swimmer record.Swimmer
	Line    json.RawMessage // nil where it has to be made
}

// Season returns the swimmers of a squad by name with the lines that were made
// by a method and still stand.
func (s *Store) Season(ctx context.Context, squadID, method string) ([]SeasonRow, error) {
	list, err := many(ctx, s.reader(ctx), func(scan func(...any) error) (SeasonRow, error) {
		var r SeasonRow
		var line sql.NullString
		err := scan(append(swimmerTargets(&r.Swimmer), &line)...)
		if line.Valid {
			r.Line = json.RawMessage(line.String)
		}
		return r, err
	}, `SELECT `+swimmerColumns+`, l.line
		FROM swimmer w JOIN squad q ON q.id = w.squad_id
		LEFT JOIN season_line l ON l.swimmer_id = w.id AND l.method = $2
		WHERE q.pub = $1 ORDER BY w.name COLLATE NOCASE, w.id`, squadID, method)
	return list, explain("list the season", err)
}

// Scatters returns how the repeated runs of a squad's swimmers scatter, of every
// swimmer whose line by that method stands. Call Season first and make what is
// missing.
func (s *Store) Scatters(ctx context.Context, squadID, method string) ([]json.RawMessage, error) {
	list, err := many(ctx, s.reader(ctx), func(scan func(...any) error) (json.RawMessage, error) {
		var text string
		err := scan(&text)
		return json.RawMessage(text), err
	}, `SELECT l.scatter FROM season_line l JOIN swimmer w ON w.id = l.swimmer_id JOIN squad q ON q.id = w.squad_id
		WHERE q.pub = $1 AND l.method = $2 AND l.scatter <> '{}' ORDER BY w.id`, squadID, method)
	return list, explain("list the squad's scatter", err)
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
