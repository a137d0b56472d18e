package store

import (
	"context"
	"database/sql"
	"encoding/json"

	"underkick/internal/record"
)

const runColumns = `r.pub, (SELECT pub FROM clip WHERE id = r.clip_id), (SELECT pub FROM swimmer WHERE id = r.swimmer_id),
	r.from_frame, r.to_frame, r.effort, r.start, r.position, r.depth_m, r.equipment, r.repeat_no, r.marked_by,
	r.scale, r.scale_kind, r.true_fps, r.notes, r.contact, r.aside, r.created`

func scanRun(scan func(...any) error) (record.Run, error) {
	var r record.Run
	err := scan(runTargets(&r)...)
	return r, err
}

func runTargets(r *record.Run) []any {
	return []any{
		&r.ID, &r.ClipID, &r.SwimmerID,
		&r.FromFrame, &r.ToFrame, &r.Effort, &r.Start, &r.Position, &r.DepthM, &r.Equipment, &r.Repeat, &r.MarkedBy,
		asJSON{&r.Scale},
		&r.Scale.Kind, &r.TrueFPS, &r.Notes, &r.Contact, &r.Aside,
		stamp{&r.Created},
	}
}

// AddRun keeps a new run.
func (s *Store) AddRun(ctx context.Context, r record.Run) (record.Run, error) {
	r.ID, r.Created = newID(), s.moment()
	err := s.write(ctx, "add run", func(tx *sql.Tx) error {
		clip, swimmer, scale, err := checkRun(ctx, tx, r)
		if err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO run (pub, clip_id, swimmer_id, from_frame, to_frame, effort, start, position,
			depth_m, equipment, repeat_no, marked_by, scale, scale_kind, true_fps, notes, contact, created)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18)`,
			r.ID, clip, swimmer, r.FromFrame, r.ToFrame, r.Effort, r.Start, r.Position,
			r.DepthM, r.Equipment, r.Repeat, r.MarkedBy, scale, r.Scale.Kind, r.TrueFPS, r.Notes, r.Contact, timeText(r.Created))
		return err
	})
	return r, err
}

// checkRun validates a run against its clip and returns the row numbers of
// clip and swimmer and the scale's JSON text.
func checkRun(ctx context.Context, tx *sql.Tx, r record.Run) (clip, swimmer int64, scale string, err error) {
	if err := r.Validate(0); err != nil {
		return 0, 0, "", err
	}
	if clip, err = rowID(ctx, tx, "clip", r.ClipID); err != nil {
		return 0, 0, "", err
	}
	if swimmer, err = rowID(ctx, tx, "swimmer", r.SwimmerID); err != nil {
		return 0, 0, "", err
	}
	var frames int
	if err := tx.QueryRowContext(ctx, `SELECT frames FROM clip WHERE id = $1`, clip).Scan(&frames); err != nil {
		return 0, 0, "", err
	}
	if err := r.Validate(frames); err != nil {
		return 0, 0, "", err
	}
	text, err := json.Marshal(r.Scale)
	return clip, swimmer, string(text), err
}

// Run returns the run of an id.
func (s *Store) Run(ctx context.Context, id string) (record.Run, error) {
	r, err := one(ctx, s.reader(ctx), scanRun, `SELECT `+runColumns+` FROM run r WHERE r.pub = $1`, id)
	return r, explain("read run", err)
}

// RunsOfClip returns the runs of a clip in the order in which they were swum.
func (s *Store) RunsOfClip(ctx context.Context, clipID string) ([]record.Run, error) {
	list, err := many(ctx, s.reader(ctx), scanRun, `SELECT `+runColumns+`
		FROM run r JOIN clip c ON c.id = r.clip_id WHERE c.pub = $1 ORDER BY r.from_frame, r.id`, clipID)
	return list, explain("list runs", err)
}

// UpdateRun changes everything but the id, the clip, the day of creation and whether it is
// set aside.
// Marks outside the new frames stay in the history.
func (s *Store) UpdateRun(ctx context.Context, r record.Run) error {
	return s.write(ctx, "change run", func(tx *sql.Tx) error {
		_, swimmer, scale, err := checkRun(ctx, tx, r)
		if err != nil {
			return err
		}
		return execOne(ctx, tx, `UPDATE run SET swimmer_id = $1, from_frame = $2, to_frame = $3, effort = $4, start = $5, position = $6,
			depth_m = $7, equipment = $8, repeat_no = $9, marked_by = $10, scale = $11, scale_kind = $12, true_fps = $13, notes = $14, contact = $15
			WHERE pub = $16`,
			swimmer, r.FromFrame, r.ToFrame, r.Effort, r.Start, r.Position,
			r.DepthM, r.Equipment, r.Repeat, r.MarkedBy, scale, r.Scale.Kind, r.TrueFPS, r.Notes, r.Contact, r.ID)
	})
}

// SetAside sets a run aside for a reason, or, with "", lets it count again. A run that is
// set aside is none of the measured runs; see Filmed for all.
func (s *Store) SetAside(ctx context.Context, runID, why string) error {
	return s.write(ctx, "set run aside", func(tx *sql.Tx) error {
		if err := (record.Run{Aside: why}).ValidateAside(); err != nil {
			return err
		}
		return execOne(ctx, tx, `UPDATE run SET aside = $1 WHERE pub = $2`, why, runID)
	})
}

// DeleteRun deletes a run with its marks and results.
func (s *Store) DeleteRun(ctx context.Context, id string) error {
	return s.write(ctx, "delete run", func(tx *sql.Tx) error {
		return execOne(ctx, tx, `DELETE FROM run WHERE pub = $1`, id)
	})
}
