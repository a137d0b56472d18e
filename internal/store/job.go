package store

import (
	"context"
	"database/sql"
	"encoding/json"

	"underkick/internal/record"
)

const jobColumns = `pub, kind, subject, args, state, fraction, doing, problem, outcome, attempts, created, ended`

func scanJob(scan func(...any) error) (record.Job, error) {
	var j record.Job
	var args string
	var outcome sql.NullString
	err := scan(&j.ID, &j.Kind, &j.Subject, &args, &j.State, &j.Fraction, &j.Doing, &j.Problem, &outcome, &j.Attempts,
		stamp{&j.Created}, stamp{&j.Ended})
	j.Args = json.RawMessage(args)
	if outcome.Valid {
		j.Outcome = json.RawMessage(outcome.String)
	}
	return j, err
}

// AddJob keeps a new job, waiting. Kind, Subject and Args are taken from j.
func (s *Store) AddJob(ctx context.Context, j record.Job) (record.Job, error) {
	j = record.Job{ID: newID(), Kind: j.Kind, Subject: j.Subject, Args: j.Args, State: record.Waiting, Created: s.moment()}
	err := s.write(ctx, "add job", func(tx *sql.Tx) error {
		if err := j.Validate(); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO job (pub, kind, subject, args, state, created) VALUES ($1, $2, $3, $4, $5, $6)`,
			j.ID, j.Kind, j.Subject, string(j.Args), j.State, timeText(j.Created))
		return err
	})
	return j, err
}

// Job returns the job of an id.
func (s *Store) Job(ctx context.Context, id string) (record.Job, error) {
	j, err := one(ctx, s.reader(ctx), scanJob, `SELECT `+jobColumns+` FROM job WHERE pub = $1`, id)
	return j, explain("read job", err)
}

// JobsOn returns the jobs on a subject, newest first.
func (s *Store) JobsOn(ctx context.Context, subject string) ([]record.Job, error) {
	list, err := many(ctx, s.reader(ctx), scanJob, `SELECT `+jobColumns+` FROM job WHERE subject = $1 ORDER BY id DESC`, subject)
	return list, explain("list jobs", err)
}

// OpenJobs returns the jobs that wait or run, oldest first.
func (s *Store) OpenJobs(ctx context.Context) ([]record.Job, error) {
	list, err := many(ctx, s.reader(ctx), scanJob, `SELECT `+jobColumns+` FROM job WHERE state IN ('waiting', 'running') ORDER BY id`)
	return list, explain("list jobs", err)
}

// ClaimJob makes the oldest waiting job of one of the kinds run under boot, the
// name of this start of the program, and returns it; ErrNothing if none waits.
func (s *Store) ClaimJob(ctx context.Context, boot string, kinds []string) (record.Job, error) {
	wanted, err := json.Marshal(kinds)
	if err != nil {
		return record.Job{}, err
	}
	var j record.Job
	err = s.write(ctx, "claim job", func(tx *sql.Tx) error {
		list, err := many(ctx, tx, scanJob, `UPDATE job SET state = 'running', boot = $1, attempts = attempts + 1, fraction = 0, doing = ''
			WHERE id = (SELECT id FROM job WHERE state = 'waiting' AND kind IN (SELECT value FROM json_each($2)) ORDER BY id LIMIT 1)
			RETURNING `+jobColumns, boot, string(wanted))
		if err != nil {
			return err
		}
		if len(list) == 0 {
			return because(ErrNothing, nil, "no job waits")
		}
		j = list[0]
		return nil
	})
	return j, err
}

// ProgressJob keeps how far a running job is (fraction 0 to 1; words). It does
// nothing to a job that does not run.
func (s *Store) ProgressJob(ctx context.Context, id string, fraction float64, doing string) error {
	return s.write(ctx, "keep progress", func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `UPDATE job SET fraction = $1, doing = $2 WHERE pub = $3 AND state = 'running'`,
			min(max(fraction, 0), 1), doing, id)
		return err
	})
}

// EndJob ends a job that waits or runs as done, failed or cancelled, with its
// outcome (may be nil) or problem. A job that has ended gives ErrNotFound.
func (s *Store) EndJob(ctx context.Context, id string, state record.JobState, outcome json.RawMessage, problem string) error {
	if !state.Ended() {
		panic("store: EndJob with the state " + string(state))
	}
	text := sql.NullString{String: string(outcome), Valid: outcome != nil}
	return s.write(ctx, "end job", func(tx *sql.Tx) error {
		return execOne(ctx, tx, `UPDATE job SET state = $1, outcome = $2, problem = $3, boot = '', ended = $4,
			fraction = CASE WHEN $1 = 'done' THEN 1 ELSE fraction END
			WHERE pub = $5 AND state IN ('waiting', 'running')`, state, text, problem, timeText(s.now()), id)
	})
}

// CancelWaiting cancels a job that has not begun and reports whether it did.
func (s *Store) CancelWaiting(ctx context.Context, id string) (bool, error) {
	var n int64
	err := s.write(ctx, "cancel job", func(tx *sql.Tx) error {
		res, err := tx.ExecContext(ctx, `UPDATE job SET state = 'cancelled', ended = $1 WHERE pub = $2 AND state = 'waiting'`, timeText(s.now()), id)
		if err != nil {
			return err
		}
		n, err = res.RowsAffected()
		return err
	})
	return n > 0, err
}

// YieldJob puts a running job back to wait as if it had not begun, because the
// program ends in good order.
func (s *Store) YieldJob(ctx context.Context, id string) error {
	return s.write(ctx, "put job back", func(tx *sql.Tx) error {
		return execOne(ctx, tx, `UPDATE job SET state = 'waiting', boot = '', fraction = 0, doing = '', attempts = max(attempts - 1, 0)
			WHERE pub = $1 AND state = 'running'`, id)
	})
}

// RecoverJobs deals with the jobs that run under another boot, whose process
// was killed: those begun fewer than attempts times wait again, the others
// fail with problem. It returns how many of each.
func (s *Store) RecoverJobs(ctx context.Context, boot string, attempts int, problem string) (waiting, failed int64, err error) {
	err = s.write(ctx, "take up jobs that were cut off", func(tx *sql.Tx) error {
		res, err := tx.ExecContext(ctx, `UPDATE job SET state = 'failed', boot = '', problem = $1, ended = $2
			WHERE state = 'running' AND boot <> $3 AND attempts >= $4`, problem, timeText(s.now()), boot, attempts)
		if err != nil {
			return err
		}
		if failed, err = res.RowsAffected(); err != nil {
			return err
		}
		res, err = tx.ExecContext(ctx, `UPDATE job SET state = 'waiting', boot = '', fraction = 0, doing = ''
			WHERE state = 'running' AND boot <> $1`, boot)
		if err != nil {
			return err
		}
		waiting, err = res.RowsAffected()
		return err
	})
	return waiting, failed, err
}
