package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"path/filepath"

	"underkick/internal/record"
)

const clipColumns = `c.pub, (SELECT pub FROM visit WHERE id = c.visit_id), (SELECT pub FROM swimmer WHERE id = c.swimmer_id),
	c.hash, c.file, c.name, c.size, c.width_px, c.height_px, c.frames, c.duration_s, c.mean_fps, c.nominal_fps, c.tagged_fps,
	c.codec, c.engine, c.warnings, c.true_fps, c.fps_confirmed, nullif(c.film_gone, ''), c.created`

func scanClip(scan func(...any) error) (record.Clip, error) {
	var c record.Clip
	err := scan(clipTargets(&c)...)
	return c, err
}

func clipTargets(c *record.Clip) []any {
	f := &c.Facts
	return []any{
		&c.ID, &c.VisitID, &c.SwimmerID,
		&c.Hash, &c.File, &c.Name, &c.Size, &f.WidthPx, &f.HeightPx, &f.Frames, &f.DurationS, &f.MeanFPS, &f.NominalFPS, &f.TaggedFPS,
		&f.Codec, &f.Engine,
		asJSON{&f.Warnings},
		&c.TrueFPS, &c.TrueFPSConfirmed,
		stamp{&c.FilmGone},
		stamp{&c.Created},
	}
}

// asJSON scans a column of JSON text into v.
type asJSON struct{ v any }

// Scan implements sql.Scanner.
func (a asJSON) Scan(v any) error {
	text, ok := v.(string)
	if !ok {
		return fmt.Errorf("JSON kept as %T", v)
	}
	return json.Unmarshal([]byte(text), a.v)
}

// addClip writes the row of a clip whose film is in place, or returns the row
// that says the same already.
func (s *Store) addClip(ctx context.Context, tx *sql.Tx, c record.Clip) (record.Clip, error) {
	visit, err := rowID(ctx, tx, "visit", c.VisitID)
	if err != nil {
		return c, err
	}
	swimmer, err := rowID(ctx, tx, "swimmer", c.SwimmerID)
	if err != nil {
		return c, err
	}
	c.ID, c.Created = newID(), s.moment()
	f := c.Facts
	_, err = tx.ExecContext(ctx, `INSERT INTO clip (pub, visit_id, swimmer_id, hash, file, name, size,
		width_px, height_px, frames, duration_s, mean_fps, nominal_fps, tagged_fps, codec, engine, warnings,
		true_fps, fps_confirmed, created)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20)
		ON CONFLICT (visit_id, swimmer_id, hash) DO UPDATE SET film_gone = ''`,
		c.ID, visit, swimmer, c.Hash, c.File, c.Name, c.Size,
		f.WidthPx, f.HeightPx, f.Frames, f.DurationS, f.MeanFPS, f.NominalFPS, f.TaggedFPS, f.Codec, f.Engine, warningsText(f),
		c.TrueFPS, c.TrueFPSConfirmed, timeText(c.Created))
	if err != nil {
		return c, err
	}
	return one(ctx, tx, scanClip, `SELECT `+clipColumns+` FROM clip c WHERE c.visit_id = $1 AND c.swimmer_id = $2 AND c.hash = $3`,
		visit, swimmer, c.Hash)
}

func warningsText(f record.Facts) string {
	if len(f.Warnings) == 0 {
		return "[]"
	}
	text, err := json.Marshal(f.Warnings)
	if err != nil {
		panic("store: warnings cannot be written as JSON: " + err.Error()) // two strings always can
	}
	return string(text)
}

// Clip returns the clip of an id.
func (s *Store) Clip(ctx context.Context, id string) (record.Clip, error) {
	c, err := one(ctx, s.reader(ctx), scanClip, `SELECT `+clipColumns+` FROM clip c WHERE c.pub = $1`, id)
	return c, explain("read clip", err)
}

// ClipsOfFilm returns the clips, of whatever visit and swimmer, whose film has
// the content hash, oldest first.
func (s *Store) ClipsOfFilm(ctx context.Context, hash string) ([]record.Clip, error) {
	list, err := many(ctx, s.reader(ctx), scanClip, `SELECT `+clipColumns+` FROM clip c WHERE c.hash = $1 ORDER BY c.id`, hash)
	return list, explain("find clips of a film", err)
}

// ClipPath returns where the film of a clip lies.
func (s *Store) ClipPath(c record.Clip) string {
	return filepath.Join(s.path(clipsName), filepath.Base(c.File))
}

// SetFacts keeps what the film engine found in a clip.
func (s *Store) SetFacts(ctx context.Context, clipID string, f record.Facts) error {
	return s.write(ctx, "keep the facts of a clip", func(tx *sql.Tx) error {
		if err := f.Validate(); err != nil {
			return err
		}
		return execOne(ctx, tx, `UPDATE clip SET width_px = $1, height_px = $2, frames = $3, duration_s = $4,
			mean_fps = $5, nominal_fps = $6, tagged_fps = $7, codec = $8, engine = $9, warnings = $10 WHERE pub = $11`,
			f.WidthPx, f.HeightPx, f.Frames, f.DurationS, f.MeanFPS, f.NominalFPS, f.TaggedFPS, f.Codec, f.Engine, warningsText(f), clipID)
	})
}

// SetTrueFPS keeps a person's word on how fast a clip was taken; 0 = it plays
// at true speed.
func (s *Store) SetTrueFPS(ctx context.Context, clipID string, fps float64, confirmed bool) error {
	return s.write(ctx, "keep the true rate of a clip", func(tx *sql.Tx) error {
		if fps != 0 && !(fps >= 1 && fps <= 2000) {
			return record.Faults{{Field: "true_fps", Text: fmt.Sprintf("is %g pictures per second; it must lie between 1 and 2000, or stay empty", fps)}}
		}
		return execOne(ctx, tx, `UPDATE clip SET true_fps = $1, fps_confirmed = $2 WHERE pub = $3`, fps, confirmed, clipID)
	})
}

// DeleteClip deletes a clip with its runs, their marks and results. The film
// leaves the disk before it returns unless another clip needs it.
func (s *Store) DeleteClip(ctx context.Context, id string) error {
	return s.removing(ctx, "delete clip", func(tx *sql.Tx) ([]string, error) {
		clip, err := rowID(ctx, tx, "clip", id)
		if err != nil {
			return nil, err
		}
		return deleteClips(ctx, tx, `id = $1`, clip)
	})
}

// deleteClips deletes the rows of clips and returns the names of the films
// that belonged to them.
func deleteClips(ctx context.Context, tx *sql.Tx, where string, args ...any) ([]string, error) {
	return many(ctx, tx, func(scan func(...any) error) (string, error) {
		var file string
		err := scan(&file)
		return file, err
	}, `DELETE FROM clip WHERE `+where+` RETURNING file`, args...)
}
