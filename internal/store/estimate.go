package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"

	"underkick/internal/record"
)

// KeepEstimate keeps an estimate of a run. The same run, method and input hash come to
// the same estimate: the newer one stands.
func (s *Store) KeepEstimate(ctx context.Context, e record.Estimate) error {
	return s.write(ctx, "keep estimate", func(tx *sql.Tx) error {
		if err := e.Validate(); err != nil {
			return err
		}
		run, err := rowID(ctx, tx, "run", e.RunID)
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO estimate (run_id, method, input_hash, body, created) VALUES ($1, $2, $3, $4, $5)
			ON CONFLICT (run_id, method, input_hash) DO UPDATE SET body = excluded.body, created = excluded.created`,
			run, e.Method, e.InputHash, string(e.Body), timeText(s.moment()))
		return err
	})
}

// Estimate returns a run's estimate by method and input hash; ErrNotFound says that it
// has to be made.
func (s *Store) Estimate(ctx context.Context, runID, method, inputHash string) (record.Estimate, error) {
	e, err := one(ctx, s.reader(ctx), func(scan func(...any) error) (record.Estimate, error) {
		var e record.Estimate
		var text string
		err := scan(&e.RunID, &e.Method, &e.InputHash, &text, stamp{&e.Created})
		e.Body = json.RawMessage(text)
		return e, err
	}, `SELECT r.pub, e.method, e.input_hash, e.body, e.created
		FROM estimate e JOIN run r ON r.id = e.run_id WHERE r.pub = $1 AND e.method = $2 AND e.input_hash = $3`, runID, method, inputHash)
	return e, explain("read estimate", err)
}

// SetReference names the run that a run is held against, another one of the same
// swimmer; "" = none.
func (s *Store) SetReference(ctx context.Context, runID, againstID string) error {
	return s.write(ctx, "name the reference run", func(tx *sql.Tx) error {
		run, err := rowID(ctx, tx, "run", runID)
		if err != nil {
			return err
		}
		if againstID == "" {
			_, err := tx.ExecContext(ctx, `DELETE FROM reference WHERE run_id = $1`, run)
			return err
		}
		against, err := rowID(ctx, tx, "run", againstID)
		if err != nil {
			return err
		}
		var alike bool
		err = tx.QueryRowContext(ctx, `SELECT count(*) = 2 AND min(swimmer_id) = max(swimmer_id) FROM run WHERE id IN ($1, $2)`, run, against).Scan(&alike)
		if err != nil {
			return err
		}
		if !alike {
			return record.Faults{{Field: "reference", Text: "is not another run of the same swimmer"}}
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO reference (run_id, against_id) VALUES ($1, $2)
			ON CONFLICT (run_id) DO UPDATE SET against_id = excluded.against_id`, run, against)
		return err
	})
}

// Reference returns the run that a run is held against, "" for none.
func (s *Store) Reference(ctx context.Context, runID string) (string, error) {
	var id string
	err := s.reader(ctx).QueryRowContext(ctx, `SELECT a.pub FROM reference f JOIN run r ON r.id = f.run_id JOIN run a ON a.id = f.against_id
		WHERE r.pub = $1`, runID).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	return id, explain("read the reference run", err)
}
