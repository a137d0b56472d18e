package store

import (
	"context"
	"database/sql"
	"errors"

	"underkick/internal/body"
	"underkick/internal/record"
)

// AddStep adds a step to the marks of a run and returns what the history then
// comes to. The step's Seq and At are set here. Undo and Redo with nothing to
// turn back return ErrNothing and add nothing.
func (s *Store) AddStep(ctx context.Context, runID string, step record.Step) (record.History, error) {
	var h record.History
	err := s.write(ctx, "keep marks", func(tx *sql.Tx) error {
		run, frames, err := runForMarks(ctx, tx, runID)
		if err != nil {
			return err
		}
		if err := step.Validate(frames); err != nil {
			return err
		}
		steps, err := readSteps(ctx, tx, run)
		if err != nil {
			return err
		}
		before := record.Replay(steps)
		if (step.Act == record.Undo && before.Undos == 0) || (step.Act == record.Redo && before.Redos == 0) {
			return because(ErrNothing, nil, "there is nothing to %s", step.Act)
		}
		step.Seq, step.At = before.Seq+1, s.moment()
		if err := writeStep(ctx, tx, run, step); err != nil {
			return err
		}
		h = record.Replay(append(steps, step))
		_, err = tx.ExecContext(ctx, `UPDATE run SET mark_count = $1 WHERE id = $2`, len(h.Marks), run)
		return err
	})
	return h, err
}

// Undo takes back the last step that stands.
func (s *Store) Undo(ctx context.Context, runID, by string) (record.History, error) {
	return s.AddStep(ctx, runID, record.Step{Act: record.Undo, By: by})
}

// Redo brings back the step that was taken back last.
func (s *Store) Redo(ctx context.Context, runID, by string) (record.History, error) {
	return s.AddStep(ctx, runID, record.Step{Act: record.Redo, By: by})
}

func runForMarks(ctx context.Context, r reader, runID string) (run int64, frames int, err error) {
	err = r.QueryRowContext(ctx, `SELECT r.id, c.frames FROM run r JOIN clip c ON c.id = r.clip_id WHERE r.pub = $1`, runID).Scan(&run, &frames)
	if errors.Is(err, sql.ErrNoRows) {
		err = ErrNotFound
	}
	return run, frames, err
}

func writeStep(ctx context.Context, tx *sql.Tx, run int64, step record.Step) (err error) {
	var id int64
	err = tx.QueryRowContext(ctx, `INSERT INTO mark_step (run_id, seq, act, who, at) VALUES ($1, $2, $3, $4, $5) RETURNING id`,
		run, step.Seq, step.Act, step.By, timeText(step.At)).Scan(&id)
	if err != nil || len(step.Changes) == 0 {
		return err
	}
	add, err := tx.PrepareContext(ctx, `INSERT INTO mark_change (step_id, frame, landmark, removed, time_s, x_px, y_px, sd_px)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, add.Close()) }()
	for _, c := range step.Changes {
		m := c.Mark
		if c.Remove {
			m.Time, m.X, m.Y, m.SD = 0, 0, 0, 0
		}
		if _, err := add.ExecContext(ctx, id, m.Frame, m.Landmark.String(), c.Remove, m.Time, m.X, m.Y, m.SD); err != nil {
			return err
		}
	}
	return nil
}

// Marks returns what the history of a run's marks comes to.
func (s *Store) Marks(ctx context.Context, runID string) (record.History, error) {
	steps, err := s.Steps(ctx, runID)
	return record.Replay(steps), err
}

// Steps returns the whole history of a run's marks, oldest first.
func (s *Store) Steps(ctx context.Context, runID string) ([]record.Step, error) {
	r := s.reader(ctx)
	run, _, err := runForMarks(ctx, r, runID)
	if err != nil {
		return nil, explain("read marks", err)
	}
	steps, err := readSteps(ctx, r, run)
	return steps, explain("read marks", err)
}

func readSteps(ctx context.Context, r reader, run int64) ([]record.Step, error) {
	var steps []record.Step
	err := each(ctx, r, func(scan func(...any) error) error {
		var s record.Step
		var frame sql.NullInt64
		var landmark sql.NullString
		var removed sql.NullBool
		var t, x, y, sd sql.NullFloat64
		if err := scan(&s.Seq, &s.Act, &s.By, stamp{&s.At}, &frame, &landmark, &removed, &t, &x, &y, &sd); err != nil {
			return err
		}
		if n := len(steps); n == 0 || steps[n-1].Seq != s.Seq {
			steps = append(steps, s)
		}
		if !landmark.Valid {
			return nil // undo and redo have no changes
		}
		l, err := body.ParseLandmark(landmark.String)
		last := &steps[len(steps)-1]
		last.Changes = append(last.Changes, record.Change{
			Mark:   body.Mark{Frame: int(frame.Int64), Time: t.Float64, Landmark: l, X: x.Float64, Y: y.Float64, SD: sd.Float64},
			Remove: removed.Bool,
		})
		return err
	}, `SELECT s.seq, s.act, s.who, s.at, c.frame, c.landmark, c.removed, c.time_s, c.x_px, c.y_px, c.sd_px
		FROM mark_step s LEFT JOIN mark_change c ON c.step_id = s.id
		WHERE s.run_id = $1 ORDER BY s.seq, c.frame, c.landmark`, run)
	return steps, err
}
