package store

import (
	"context"
	"database/sql"
	"encoding/json"

	"underkick/internal/record"
)

const swimmerColumns = `w.pub, (SELECT pub FROM squad WHERE id = w.squad_id), w.name, w.pseudonym, w.sex, w.birth_year,
	w.height_m, w.height_on, w.mass_kg, w.mass_on, w.level, coalesce(nullif(w.strokes, '[]'), 'null'), w.habit, w.notes, w.created`

func scanSwimmer(scan func(...any) error) (record.Swimmer, error) {
	var w record.Swimmer
	err := scan(swimmerTargets(&w)...)
	return w, err
}

func swimmerTargets(w *record.Swimmer) []any {
	return []any{
		&w.ID, &w.SquadID, &w.Name, &w.Pseudonym, &w.Sex, &w.BirthYear,
		&w.HeightM, &w.HeightOn, &w.MassKg, &w.MassOn, &w.Level,
		asJSON{&w.Strokes},
		&w.Habit, &w.Notes,
		stamp{&w.Created},
	}
}

// AddSwimmer keeps a new swimmer. A name that others in the squad have too is
// kept; see AlikeSwimmers.
func (s *Store) AddSwimmer(ctx context.Context, w record.Swimmer) (record.Swimmer, error) {
	w.ID, w.Created = newID(), s.moment()
	err := s.write(ctx, "add swimmer", func(tx *sql.Tx) error {
		if err := w.Validate(); err != nil {
			return err
		}
		squad, err := rowID(ctx, tx, "squad", w.SquadID)
		if err != nil {
			return err
		}
		var id int64
		err = tx.QueryRowContext(ctx, `INSERT INTO swimmer (pub, squad_id, name, pseudonym, sex, birth_year, level, strokes, habit, notes, created)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11) RETURNING id`,
			w.ID, squad, w.Name, w.Pseudonym, w.Sex, w.BirthYear, w.Level, strokesText(w), w.Habit, w.Notes, timeText(w.Created)).Scan(&id)
		if err != nil {
			return err
		}
		return takeGrowth(ctx, tx, id, w, s)
	})
	return w, err
}

// Swimmer returns the swimmer of an id.
func (s *Store) Swimmer(ctx context.Context, id string) (record.Swimmer, error) {
	w, err := one(ctx, s.reader(ctx), scanSwimmer, `SELECT `+swimmerColumns+` FROM swimmer w WHERE w.pub = $1`, id)
	return w, explain("read swimmer", err)
}

// Swimmers returns the swimmers of a squad by name.
func (s *Store) Swimmers(ctx context.Context, squadID string) ([]record.Swimmer, error) {
	list, err := many(ctx, s.reader(ctx), scanSwimmer, `SELECT `+swimmerColumns+`
		FROM swimmer w JOIN squad q ON q.id = w.squad_id WHERE q.pub = $1
		ORDER BY w.name COLLATE NOCASE, w.id`, squadID)
	return list, explain("list swimmers", err)
}

// AlikeSwimmers returns the swimmers of a squad whose name could be taken for
// name (record.Alike), without the one of the id except.
func (s *Store) AlikeSwimmers(ctx context.Context, squadID, name, except string) ([]record.Swimmer, error) {
	all, err := s.Swimmers(ctx, squadID)
	if err != nil {
		return nil, err
	}
	var alike []record.Swimmer
	for _, w := range all {
		if w.ID != except && record.Alike(w.Name, name) {
			alike = append(alike, w)
		}
	}
	return alike, nil
}

// UpdateSwimmer changes everything but the id and the day of creation. The height and the
// mass go into the history, as of HeightOn and MassOn; what stays in the record is the
// newest of the history. 0 says nothing of them.
func (s *Store) UpdateSwimmer(ctx context.Context, w record.Swimmer) error {
	return s.write(ctx, "change swimmer", func(tx *sql.Tx) error {
		if err := w.Validate(); err != nil {
			return err
		}
		squad, err := rowID(ctx, tx, "squad", w.SquadID)
		if err != nil {
			return err
		}
		id, err := rowID(ctx, tx, "swimmer", w.ID)
		if err != nil {
			return err
		}
		err = execOne(ctx, tx, `UPDATE swimmer SET squad_id = $1, name = $2, pseudonym = $3, sex = $4, birth_year = $5,
			level = $6, strokes = $7, habit = $8, notes = $9 WHERE id = $10`,
			squad, w.Name, w.Pseudonym, w.Sex, w.BirthYear, w.Level, strokesText(w), w.Habit, w.Notes, id)
		if err != nil {
			return err
		}
		return takeGrowth(ctx, tx, id, w, s)
	})
}

// strokesText is the main strokes as JSON.
func strokesText(w record.Swimmer) string {
	if len(w.Strokes) == 0 {
		return "[]"
	}
	text, err := json.Marshal(w.Strokes)
	if err != nil {
		panic("store: strokes cannot be written as JSON: " + err.Error()) // words always can
	}
	return string(text)
}

// DeleteSwimmer deletes a swimmer with all runs and every clip in which no
// other swimmer has a run; a clip that others need goes to one of them. The
// films of deleted clips leave the disk before it returns.
func (s *Store) DeleteSwimmer(ctx context.Context, id string) error {
	return s.removing(ctx, "delete swimmer", func(tx *sql.Tx) ([]string, error) {
		swimmer, err := rowID(ctx, tx, "swimmer", id)
		if err != nil {
			return nil, err
		}
		return deleteSwimmer(ctx, tx, swimmer)
	})
}

// deleteSwimmer deletes a swimmer's row with runs and clips, and returns the films that
// nobody needs any more.
func deleteSwimmer(ctx context.Context, tx *sql.Tx, swimmer int64) ([]string, error) {
	if err := clearLessons(ctx, tx, swimmer); err != nil {
		return nil, err
	}
	if _, err := tx.ExecContext(ctx, `DELETE FROM run WHERE swimmer_id = $1`, swimmer); err != nil {
		return nil, err
	}
	if err := bequeath(ctx, tx, swimmer); err != nil {
		return nil, err
	}
	files, err := deleteClips(ctx, tx, `swimmer_id = $1`, swimmer)
	if err != nil {
		return nil, err
	}
	return files, execOne(ctx, tx, `DELETE FROM swimmer WHERE id = $1`, swimmer)
}

// bequeath gives the clips of a swimmer in which others have runs to one of
// them, or, where that one has the same film already, the runs to that clip.
func bequeath(ctx context.Context, tx *sql.Tx, swimmer int64) error {
	type gift struct{ clip, heir, twin int64 }
	gifts, err := many(ctx, tx, func(scan func(...any) error) (gift, error) {
		var g gift
		err := scan(&g.clip, &g.heir, &g.twin)
		return g, err
	}, `WITH shared AS (
			SELECT c.id, c.visit_id, c.hash, min(r.swimmer_id) AS heir
			FROM clip c JOIN run r ON r.clip_id = c.id WHERE c.swimmer_id = $1 GROUP BY c.id)
		SELECT h.id, h.heir, coalesce(o.id, 0) FROM shared h
		LEFT JOIN clip o ON o.visit_id = h.visit_id AND o.swimmer_id = h.heir AND o.hash = h.hash`, swimmer)
	if err != nil {
		return err
	}
	for _, g := range gifts {
		if g.twin != 0 {
			_, err = tx.ExecContext(ctx, `UPDATE run SET clip_id = $1 WHERE clip_id = $2`, g.twin, g.clip)
		} else {
			_, err = tx.ExecContext(ctx, `UPDATE clip SET swimmer_id = $1 WHERE id = $2`, g.heir, g.clip)
		}
		if err != nil {
			return err
		}
	}
	return nil
}
