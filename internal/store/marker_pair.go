package store

import (
	"context"
	"database/sql"

	"underkick/internal/record"
)

// AddPair begins a joint re-marking of two runs of one swimmer. ID and Created
// are set here.
func (s *Store) AddPair(ctx context.Context, a record.Pair) (record.Pair, error) {
	a.ID, a.Created = newID(), s.moment()
	err := s.write(ctx, "begin to mark alike", func(tx *sql.Tx) error {
		if err := a.Validate(); err != nil {
			return err
		}
		var runs, swimmers [2]int64
		for i, id := range a.RunIDs {
			if err := tx.QueryRowContext(ctx, `SELECT coalesce(max(id), 0), coalesce(max(swimmer_id), 0) FROM run WHERE pub = $1`, id).Scan(&runs[i], &swimmers[i]); err != nil {
				return err
			}
			if runs[i] == 0 {
				return ErrNotFound
			}
		}
		if swimmers[0] != swimmers[1] {
			return record.Faults{{Field: "run_b", Text: "is another swimmer's run; two runs of one swimmer are marked together"}}
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO pair (pub, run_a, run_b, who, created) VALUES ($1, $2, $3, $4, $5)`,
			a.ID, runs[0], runs[1], a.By, timeText(a.Created))
		return err
	})
	return a, err
}

const pairColumns = `p.pub, (SELECT pub FROM run WHERE id = p.run_a), (SELECT pub FROM run WHERE id = p.run_b), p.who, p.created`

func scanPair(scan func(...any) error) (record.Pair, error) {
	var a record.Pair
	err := scan(&a.ID, &a.RunIDs[0], &a.RunIDs[1], &a.By, stamp{&a.Created})
	return a, err
}

// Pair returns a joint re-marking with its steps.
func (s *Store) Pair(ctx context.Context, id string) (record.Pair, error) {
	q := s.reader(ctx)
	a, err := one(ctx, q, scanPair, `SELECT `+pairColumns+` FROM pair p WHERE p.pub = $1`, id)
	if err == nil {
		err = fillPair(ctx, q, &a)
	}
	return a, explain("read a joint marking", err)
}

func fillPair(ctx context.Context, q reader, a *record.Pair) error {
	for i, run := range a.RunIDs {
		var err error
		a.Steps[i], err = many(ctx, q, func(scan func(...any) error) (seq int64, err error) {
			err = scan(&seq)
			return seq, err
		}, `SELECT s.seq FROM pair_step x JOIN pair p ON p.id = x.pair_id JOIN mark_step s ON s.id = x.step_id JOIN run r ON r.id = s.run_id
			WHERE p.pub = $1 AND r.pub = $2 ORDER BY s.seq`, a.ID, run)
		if err != nil {
			return err
		}
	}
	return nil
}

// Pairs returns the joint re-markings in which a run took part, oldest first;
// all there are for the empty id.
func (s *Store) Pairs(ctx context.Context, runID string) ([]record.Pair, error) {
	q := s.reader(ctx)
	list, err := many(ctx, q, scanPair, `SELECT `+pairColumns+` FROM pair p
		WHERE $1 = '' OR p.run_a = (SELECT id FROM run WHERE pub = $1) OR p.run_b = (SELECT id FROM run WHERE pub = $1) ORDER BY p.id`, runID)
	for i := range list {
		if err == nil {
			err = fillPair(ctx, q, &list[i])
		}
	}
	return list, explain("list joint markings", err)
}

// AddPairStep adds a step to the marks of one of the two runs (0 or 1) and notes
// that it was made in the joint re-marking.
func (s *Store) AddPairStep(ctx context.Context, id string, run int, step record.Step) (record.History, error) {
	var h record.History
	err := s.Together(ctx, func(ctx context.Context) error {
		a, err := s.Pair(ctx, id)
		if err != nil {
			return err
		}
		if h, err = s.AddStep(ctx, a.RunIDs[run], step); err != nil {
			return err
		}
		return s.write(ctx, "keep marks", func(tx *sql.Tx) error {
			_, err := tx.ExecContext(ctx, `INSERT INTO pair_step (step_id, pair_id)
				SELECT s.id, (SELECT id FROM pair WHERE pub = $1) FROM mark_step s JOIN run r ON r.id = s.run_id WHERE r.pub = $2 AND s.seq = $3`,
				id, a.RunIDs[run], h.Seq)
			return err
		})
	})
	return h, explain("keep marks", err)
}

// MarkersVersion changes whenever something changes that a marker's error is
// reckoned from.
func (s *Store) MarkersVersion(ctx context.Context) (version [5]int64, err error) {
	err = s.reader(ctx).QueryRowContext(ctx, `SELECT (SELECT coalesce(max(id), 0) FROM remark_act), (SELECT count(*) FROM remark),
		(SELECT coalesce(max(step_id), 0) FROM pair_step),
		(SELECT coalesce(max(s.id), 0) FROM mark_step s WHERE s.run_id IN (SELECT run_a FROM pair UNION SELECT run_b FROM pair)),
		(SELECT count(*) FROM pair)`).
		Scan(&version[0], &version[1], &version[2], &version[3], &version[4])
	return version, explain("read marks made again", err)
}
