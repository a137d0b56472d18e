package store

import (
	"context"
	"database/sql"

	"underkick/internal/body"
	"underkick/internal/record"
)

// AddRemark begins to mark a frame again. Its first marks are those that stand on
// the run now; ErrNothing says that there are none. ID, RunSeq and Created are
// set here.
func (s *Store) AddRemark(ctx context.Context, r record.Remark) (record.Remark, error) {
	r.ID, r.Created = newID(), s.moment()
	err := s.write(ctx, "begin to mark again", func(tx *sql.Tx) error {
		if err := r.Validate(); err != nil {
			return err
		}
		run, _, err := runForMarks(ctx, tx, r.RunID)
		if err != nil {
			return err
		}
		steps, err := readSteps(ctx, tx, run)
		if err != nil {
			return err
		}
		now := record.Replay(steps)
		marked := false
		for _, m := range now.Marks {
			marked = marked || m.Frame == r.Frame
		}
		if !marked {
			return because(ErrNothing, nil, "nothing is marked on frame %d; there is nothing to compare with", r.Frame)
		}
		r.RunSeq = now.Seq
		_, err = tx.ExecContext(ctx, `INSERT INTO remark (pub, run_id, frame, run_seq, who, created) VALUES ($1, $2, $3, $4, $5, $6)`,
			r.ID, run, r.Frame, r.RunSeq, r.By, timeText(r.Created))
		return err
	})
	return r, err
}

const remarkColumns = `k.pub, (SELECT pub FROM run WHERE id = k.run_id), k.frame, k.run_seq, k.who, k.created`

func scanRemark(scan func(...any) error) (record.Remark, error) {
	var r record.Remark
	err := scan(&r.ID, &r.RunID, &r.Frame, &r.RunSeq, &r.By, stamp{&r.Created})
	return r, err
}

// Remark returns a remark with its steps and acts.
func (s *Store) Remark(ctx context.Context, id string) (record.Remark, error) {
	r, err := readRemark(ctx, s.reader(ctx), id)
	return r, explain("read marks made again", err)
}

func readRemark(ctx context.Context, q reader, id string) (record.Remark, error) {
	r, err := one(ctx, q, scanRemark, `SELECT `+remarkColumns+` FROM remark k WHERE k.pub = $1`, id)
	if err != nil {
		return r, err
	}
	return r, fillRemark(ctx, q, &r)
}

func fillRemark(ctx context.Context, q reader, r *record.Remark) error {
	var err error
	r.Steps, err = many(ctx, q, func(scan func(...any) error) (record.Step, error) {
		s := record.Step{By: r.By}
		var landmark sql.NullString
		var x, y sql.NullFloat64
		if err := scan(&s.Seq, &s.Act, &landmark, &x, &y, stamp{&s.At}); err != nil || !landmark.Valid {
			return s, err
		}
		l, err := body.ParseLandmark(landmark.String)
		s.Changes = []record.Change{{Mark: body.Mark{Frame: r.Frame, Landmark: l, X: x.Float64, Y: y.Float64}, Remove: s.Act == record.RemoveMark}}
		return s, err
	}, `SELECT s.seq, s.act, s.landmark, s.x_px, s.y_px, s.at FROM remark_step s JOIN remark k ON k.id = s.remark_id WHERE k.pub = $1 ORDER BY s.seq`, r.ID)
	if err != nil {
		return err
	}
	r.Acts, err = many(ctx, q, func(scan func(...any) error) (record.RemarkAct, error) {
		var a record.RemarkAct
		err := scan(&a.Act, stamp{&a.At})
		return a, err
	}, `SELECT a.act, a.at FROM remark_act a JOIN remark k ON k.id = a.remark_id WHERE k.pub = $1 ORDER BY a.id`, r.ID)
	return err
}

// Remarks returns all remarks with their steps and acts, oldest first: those of
// one run, or of all runs for the empty id.
func (s *Store) Remarks(ctx context.Context, runID string) ([]record.Remark, error) {
	q := s.reader(ctx)
	list, err := many(ctx, q, scanRemark, `SELECT `+remarkColumns+` FROM remark k JOIN run r ON r.id = k.run_id
		WHERE $1 = '' OR r.pub = $1 ORDER BY k.id`, runID)
	for i := range list {
		if err == nil {
			err = fillRemark(ctx, q, &list[i])
		}
	}
	return list, explain("list marks made again", err)
}

// AddRemarkStep adds a step of one change to a remark that is not finished; the
// step's Seq and At are set here. ErrNothing says that there is nothing to turn
// back, ErrInUse that the remark is finished.
func (s *Store) AddRemarkStep(ctx context.Context, id string, step record.Step) (record.Remark, error) {
	var r record.Remark
	err := s.write(ctx, "keep marks made again", func(tx *sql.Tx) error {
		var err error
		if r, err = readRemark(ctx, tx, id); err != nil {
			return err
		}
		if err := r.ValidateStep(step); err != nil {
			return err
		}
		if len(step.Changes) > 1 {
			return record.Faults{{Field: "changes", Text: "holds more than one mark; send them one by one"}}
		}
		if r.Finished() {
			return because(ErrInUse, nil, "the first marks have been shown; this frame takes no more marks. Mark another one again")
		}
		h := record.Replay(r.Steps)
		if (step.Act == record.Undo && h.Undos == 0) || (step.Act == record.Redo && h.Redos == 0) {
			return because(ErrNothing, nil, "there is nothing to %s", step.Act)
		}
		step.Seq, step.At, step.By = h.Seq+1, s.moment(), r.By
		if err := writeRemarkStep(ctx, tx, id, step); err != nil {
			return err
		}
		r.Steps = append(r.Steps, step)
		return nil
	})
	return r, err
}

func writeRemarkStep(ctx context.Context, tx *sql.Tx, id string, step record.Step) error {
	remark, err := rowID(ctx, tx, "remark", id)
	if err != nil {
		return err
	}
	var landmark sql.NullString
	var x, y sql.NullFloat64
	for _, c := range step.Changes {
		landmark = sql.NullString{String: c.Mark.Landmark.String(), Valid: true}
		if !c.Remove {
			x, y = sql.NullFloat64{Float64: c.Mark.X, Valid: true}, sql.NullFloat64{Float64: c.Mark.Y, Valid: true}
		}
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO remark_step (remark_id, seq, act, landmark, x_px, y_px, at) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		remark, step.Seq, step.Act, landmark, x, y, timeText(step.At))
	return err
}

// AddRemarkAct keeps a decision about a whole remark.
func (s *Store) AddRemarkAct(ctx context.Context, id string, act record.RemarkWord) (record.Remark, error) {
	var r record.Remark
	err := s.write(ctx, "keep a decision about marks made again", func(tx *sql.Tx) error {
		remark, err := rowID(ctx, tx, "remark", id)
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, `INSERT INTO remark_act (remark_id, act, at) VALUES ($1, $2, $3)`, remark, act, timeText(s.moment())); err != nil {
			return err
		}
		r, err = readRemark(ctx, tx, id)
		return err
	})
	return r, err
}
