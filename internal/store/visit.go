package store

import (
	"context"
	"database/sql"

	"underkick/internal/record"
)

const visitColumns = `v.pub, (SELECT pub FROM squad WHERE id = v.squad_id), v.on_date, v.pool, v.notes, v.created`

func scanVisit(scan func(...any) error) (record.Visit, error) {
	var v record.Visit
	err := scan(visitTargets(&v)...)
	return v, err
}

func visitTargets(v *record.Visit) []any {
	return []any{&v.ID, &v.SquadID, &v.On, &v.Pool, &v.Notes, stamp{&v.Created}}
}

// AddVisit keeps a new visit.
func (s *Store) AddVisit(ctx context.Context, v record.Visit) (record.Visit, error) {
	v.ID, v.Created = newID(), s.moment()
	err := s.write(ctx, "add visit", func(tx *sql.Tx) error {
		if err := v.Validate(); err != nil {
			return err
		}
		squad, err := rowID(ctx, tx, "squad", v.SquadID)
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO visit (pub, squad_id, on_date, pool, notes, created) VALUES ($1, $2, $3, $4, $5, $6)`,
			v.ID, squad, v.On, v.Pool, v.Notes, timeText(v.Created))
		return err
	})
	return v, err
}

// Visit returns the visit of an id.
func (s *Store) Visit(ctx context.Context, id string) (record.Visit, error) {
	v, err := one(ctx, s.reader(ctx), scanVisit, `SELECT `+visitColumns+` FROM visit v WHERE v.pub = $1`, id)
	return v, explain("read visit", err)
}

// Visits returns the visits of a squad, newest first.
func (s *Store) Visits(ctx context.Context, squadID string) ([]record.Visit, error) {
	list, err := many(ctx, s.reader(ctx), scanVisit, `SELECT `+visitColumns+`
		FROM visit v JOIN squad q ON q.id = v.squad_id WHERE q.pub = $1 ORDER BY v.on_date DESC, v.id DESC`, squadID)
	return list, explain("list visits", err)
}

// UpdateVisit changes day, pool and notes.
func (s *Store) UpdateVisit(ctx context.Context, v record.Visit) error {
	return s.write(ctx, "change visit", func(tx *sql.Tx) error {
		if err := v.Validate(); err != nil {
			return err
		}
		return execOne(ctx, tx, `UPDATE visit SET on_date = $1, pool = $2, notes = $3 WHERE pub = $4`, v.On, v.Pool, v.Notes, v.ID)
	})
}

// DeleteVisit deletes a visit without clips; otherwise the error wraps ErrInUse.
func (s *Store) DeleteVisit(ctx context.Context, id string) error {
	return s.write(ctx, "delete visit", func(tx *sql.Tx) error {
		var clips int
		err := tx.QueryRowContext(ctx, `SELECT count(*) FROM clip c JOIN visit v ON v.id = c.visit_id WHERE v.pub = $1`, id).Scan(&clips)
		if err != nil {
			return err
		}
		if clips > 0 {
			return because(ErrInUse, nil, "the visit still has %d clips; delete those first", clips)
		}
		return execOne(ctx, tx, `DELETE FROM visit WHERE pub = $1`, id)
	})
}
