package store

import (
	"context"
	"database/sql"

	"underkick/internal/record"
)

// MoveClip gives a clip to another swimmer or visit: one that was brought in for the wrong
// one. Its runs of the former swimmer go along, with marks and results. Where the other
// swimmer has the same film at that visit already, the error wraps ErrInUse.
func (s *Store) MoveClip(ctx context.Context, clipID, swimmerID, visitID string) error {
	return s.write(ctx, "move clip", func(tx *sql.Tx) error {
		clip, err := rowID(ctx, tx, "clip", clipID)
		if err != nil {
			return err
		}
		swimmer, err := rowID(ctx, tx, "swimmer", swimmerID)
		if err != nil {
			return err
		}
		visit, err := rowID(ctx, tx, "visit", visitID)
		if err != nil {
			return err
		}
		var had int
		err = tx.QueryRowContext(ctx, `SELECT count(*) FROM clip c JOIN clip o ON o.hash = c.hash AND o.id <> c.id
			WHERE c.id = $1 AND o.swimmer_id = $2 AND o.visit_id = $3`, clip, swimmer, visit).Scan(&had)
		if err != nil {
			return err
		}
		if had > 0 {
			return because(ErrInUse, nil, "the swimmer has this film at that visit already")
		}
		if _, err := tx.ExecContext(ctx, `UPDATE run SET swimmer_id = $1
			WHERE clip_id = $2 AND swimmer_id = (SELECT swimmer_id FROM clip WHERE id = $2)`, swimmer, clip); err != nil {
			return err
		}
		if err := execOne(ctx, tx, `UPDATE clip SET swimmer_id = $1, visit_id = $2 WHERE id = $3`, swimmer, visit, clip); err != nil {
			return err
		}
		return part(ctx, tx)
	})
}

// MoveRun gives a run to another swimmer: two swim in one clip. The clip stays where it is.
func (s *Store) MoveRun(ctx context.Context, runID, swimmerID string) error {
	return s.write(ctx, "move run", func(tx *sql.Tx) error {
		swimmer, err := rowID(ctx, tx, "swimmer", swimmerID)
		if err != nil {
			return err
		}
		if err := execOne(ctx, tx, `UPDATE run SET swimmer_id = $1 WHERE pub = $2`, swimmer, runID); err != nil {
			return err
		}
		return part(ctx, tx)
	})
}

// part takes away what holds runs of two swimmers together after one was moved: a
// reference run, and the run for whose finding something was given.
func part(ctx context.Context, tx *sql.Tx) error {
	for _, query := range []string{
		`DELETE FROM reference WHERE (SELECT swimmer_id FROM run WHERE id = run_id) <> (SELECT swimmer_id FROM run WHERE id = against_id)`,
		`UPDATE given SET run_id = NULL WHERE run_id IS NOT NULL AND swimmer_id <> (SELECT swimmer_id FROM run WHERE id = run_id)`,
	} {
		if _, err := tx.ExecContext(ctx, query); err != nil {
			return err
		}
	}
	return nil
}

// ClipsOfVisit returns the clips of a visit in order of coming in.
func (s *Store) ClipsOfVisit(ctx context.Context, visitID string) ([]record.Clip, error) {
	list, err := many(ctx, s.reader(ctx), scanClip, `SELECT `+clipColumns+` FROM clip c WHERE c.visit_id = (SELECT id FROM visit WHERE pub = $1) ORDER BY c.id`, visitID)
	return list, explain("list clips of a visit", err)
}
