package store

import (
	"context"
	"database/sql"
	"encoding/json"

	"underkick/internal/record"
)

// Renewal is a run whose newest result was made before the last change of what it stands
// on: marks, frames, scale, conditions, the swimmer's body and facts, the reference run,
// a guess, a steadied camera, the marker's error, or the method.
type Renewal struct {
	RunID     string
	SwimmerID string
	Seq       int64 // of the last change
	Tried     bool  // it could not be measured after that change
}

// Renewals returns the runs with a result that is to be renewed, oldest visit first. A
// run that was never measured is not among them.
func (s *Store) Renewals(ctx context.Context) ([]Renewal, error) {
	list, err := many(ctx, s.reader(ctx), func(scan func(...any) error) (Renewal, error) {
		var n Renewal
		err := scan(&n.RunID, &n.SwimmerID, &n.Seq, &n.Tried)
		return n, err
	}, `SELECT r.pub, w.pub, n.seq, n.tried = n.seq
		FROM renewal n JOIN run r ON r.id = n.run_id JOIN swimmer w ON w.id = r.swimmer_id
		JOIN clip c ON c.id = r.clip_id JOIN visit v ON v.id = c.visit_id
		WHERE n.done < n.seq AND EXISTS (SELECT 1 FROM result WHERE run_id = r.id)
		ORDER BY v.on_date, r.id`)
	return list, explain("list results to renew", err)
}

// InputSeq returns the number of the last change of what a run's result stands on, and
// whether a result was made since. Ask before the inputs are read; see Renewed.
func (s *Store) InputSeq(ctx context.Context, runID string) (seq int64, renewed bool, err error) {
	seq, err = one(ctx, s.reader(ctx), func(scan func(...any) error) (int64, error) {
		var n int64
		err := scan(&n, &renewed)
		return n, err
	}, `SELECT coalesce(n.seq, 0), n.seq IS NULL OR n.done = n.seq FROM run r LEFT JOIN renewal n ON n.run_id = r.id WHERE r.pub = $1`, runID)
	return seq, renewed, explain("read what a result stands on", err)
}

// Renewed notes that a run was measured with its inputs as they stood at seq. What changed
// since is still to be renewed.
func (s *Store) Renewed(ctx context.Context, runID string, seq int64) error {
	return s.noteRenewal(ctx, `UPDATE renewal SET done = $2 WHERE run_id = (SELECT id FROM run WHERE pub = $1) AND done < $2 AND seq >= $2`, runID, seq)
}

// NotRenewed notes that a run could not be measured with its inputs as they stood at seq.
func (s *Store) NotRenewed(ctx context.Context, runID string, seq int64) error {
	return s.noteRenewal(ctx, `UPDATE renewal SET tried = $2 WHERE run_id = (SELECT id FROM run WHERE pub = $1) AND tried < $2 AND seq >= $2`, runID, seq)
}

func (s *Store) noteRenewal(ctx context.Context, query, runID string, seq int64) error {
	return s.write(ctx, "note what was measured again", func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, query, runID, seq)
		return err
	})
}

// RenewRuns notes that what the results of some runs stand on changed.
func (s *Store) RenewRuns(ctx context.Context, runIDs ...string) error {
	ids, err := json.Marshal(runIDs)
	if err != nil {
		return explain("note what is to be measured again", err)
	}
	return s.renew(ctx, `r.pub IN (SELECT value FROM json_each($1))`, string(ids))
}

// RenewMarked notes that the error of somebody who marks changed: of the runs that this
// person marked, whole or in part.
func (s *Store) RenewMarked(ctx context.Context, by string) error {
	return s.renew(ctx, `r.marked_by = $1 OR r.id IN (SELECT run_id FROM mark_step WHERE who = $1)`, by)
}

// RenewOtherMethods notes that runs are to be measured again whose newest result was made
// by another method than the given one and whose film is there. Those that are noted
// already stay as they are.
func (s *Store) RenewOtherMethods(ctx context.Context, method string) error {
	return s.renew(ctx, `r.id IN (`+otherMethods+`)`, method)
}

const otherMethods = `SELECT o.id FROM run o JOIN clip c ON c.id = o.clip_id
	JOIN result e ON e.id = (SELECT max(id) FROM result WHERE run_id = o.id)
	WHERE e.method <> $1 AND c.film_gone = '' AND o.id NOT IN (SELECT run_id FROM renewal WHERE done < seq)`

func (s *Store) renew(ctx context.Context, which string, arg any) error {
	return s.write(ctx, "note what is to be measured again", func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO renewal (run_id, seq) SELECT r.id, 1 FROM run r WHERE `+which+`
			ON CONFLICT (run_id) DO UPDATE SET seq = seq + 1`, arg)
		return err
	})
}

// RetryRenewals lets what could not be measured be tried again.
func (s *Store) RetryRenewals(ctx context.Context) error {
	return s.write(ctx, "try again", func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `UPDATE renewal SET tried = 0 WHERE done < seq AND tried > 0`)
		return err
	})
}

// Outdated reports whether anything that can be made again does not stand: a swimmer's
// line by a method, or a result by the method of measuring.
func (s *Store) Outdated(ctx context.Context, seasonMethod, method string) (bool, error) {
	var yes bool
	err := s.reader(ctx).QueryRowContext(ctx, `SELECT
		EXISTS (SELECT 1 FROM swimmer w LEFT JOIN season_line l ON l.swimmer_id = w.id AND l.method = $2 WHERE l.swimmer_id IS NULL)
		OR EXISTS (`+otherMethods+`)
		OR EXISTS (SELECT 1 FROM renewal n WHERE n.done < n.seq AND EXISTS (SELECT 1 FROM result WHERE run_id = n.run_id))`, method, seasonMethod).Scan(&yes)
	return yes, explain("look for what is out of date", err)
}

// VisitDay is a run with the day on which it was filmed.
type VisitDay struct {
	RunID string
	On    record.Date
}

// MeasuredDays returns the runs of a swimmer that have a result and whose film is there.
func (s *Store) MeasuredDays(ctx context.Context, swimmerID string) ([]VisitDay, error) {
	list, err := many(ctx, s.reader(ctx), func(scan func(...any) error) (VisitDay, error) {
		var d VisitDay
		err := scan(&d.RunID, &d.On)
		return d, err
	}, `SELECT r.pub, v.on_date FROM swimmer w JOIN run r ON r.swimmer_id = w.id JOIN clip c ON c.id = r.clip_id JOIN visit v ON v.id = c.visit_id
		WHERE w.pub = $1 AND c.film_gone = '' AND EXISTS (SELECT 1 FROM result WHERE run_id = r.id) ORDER BY v.on_date, r.id`, swimmerID)
	return list, explain("list measured runs", err)
}
