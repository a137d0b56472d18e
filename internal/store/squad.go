package store

import (
	"context"
	"database/sql"

	"underkick/internal/record"
)

const squadColumns = `q.pub, q.name, q.notes, q.film_months, q.created`

func scanSquad(scan func(...any) error) (record.Squad, error) {
	var q record.Squad
	err := scan(squadTargets(&q)...)
	return q, err
}

func squadTargets(q *record.Squad) []any {
	return []any{&q.ID, &q.Name, &q.Notes, &q.FilmMonths, stamp{&q.Created}}
}

// AddSquad keeps a new squad.
func (s *Store) AddSquad(ctx context.Context, q record.Squad) (record.Squad, error) {
	q.ID, q.Created = newID(), s.moment()
	err := s.write(ctx, "add squad", func(tx *sql.Tx) error {
		if err := q.Validate(); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO squad (pub, name, notes, film_months, created) VALUES ($1, $2, $3, $4, $5)`,
			q.ID, q.Name, q.Notes, q.FilmMonths, timeText(q.Created))
		return err
	})
	return q, err
}

// Squad returns the squad of an id.
func (s *Store) Squad(ctx context.Context, id string) (record.Squad, error) {
	q, err := one(ctx, s.reader(ctx), scanSquad, `SELECT `+squadColumns+` FROM squad q WHERE q.pub = $1`, id)
	return q, explain("read squad", err)
}

// Squads returns all squads by name.
func (s *Store) Squads(ctx context.Context) ([]record.Squad, error) {
	list, err := many(ctx, s.reader(ctx), scanSquad, `SELECT `+squadColumns+` FROM squad q ORDER BY q.name COLLATE NOCASE, q.id`)
	return list, explain("list squads", err)
}

// UpdateSquad changes everything but the id and the day of creation.
func (s *Store) UpdateSquad(ctx context.Context, q record.Squad) error {
	return s.write(ctx, "change squad", func(tx *sql.Tx) error {
		if err := q.Validate(); err != nil {
			return err
		}
		return execOne(ctx, tx, `UPDATE squad SET name = $1, notes = $2, film_months = $3 WHERE pub = $4`, q.Name, q.Notes, q.FilmMonths, q.ID)
	})
}

// DeleteSquad deletes a squad that has neither swimmers nor visits; otherwise
// the error wraps ErrInUse.
func (s *Store) DeleteSquad(ctx context.Context, id string) error {
	return s.write(ctx, "delete squad", func(tx *sql.Tx) error {
		var swimmers, visits int
		err := tx.QueryRowContext(ctx, `SELECT (SELECT count(*) FROM swimmer w JOIN squad q ON q.id = w.squad_id WHERE q.pub = $1),
			(SELECT count(*) FROM visit v JOIN squad q ON q.id = v.squad_id WHERE q.pub = $1)`, id).Scan(&swimmers, &visits)
		if err != nil {
			return err
		}
		if swimmers+visits > 0 {
			return because(ErrInUse, nil, "the squad still has %d swimmers and %d visits; delete those first", swimmers, visits)
		}
		return execOne(ctx, tx, `DELETE FROM squad WHERE pub = $1`, id)
	})
}
