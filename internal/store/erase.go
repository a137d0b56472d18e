package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// erasing is the setting that stands from the deletion of a swimmer's rows until
// nothing of them is left in any file.
const erasing = "erasing"

// Erasing is an erasure under way: what still has to go after the rows.
type Erasing struct {
	Hashes []string `json:"hashes"` // of the films that were the swimmer's
}

// EraseSwimmer deletes a swimmer as DeleteSwimmer does, and also the jobs on the
// swimmer's clips and the visits at which nobody else was filmed. Clips that
// others keep lose the name their file had. Afterwards what ErasingNow returns
// must be dropped from the caches and Scrub called; a killed process goes on
// with that at the next start.
func (s *Store) EraseSwimmer(ctx context.Context, id string) error {
	return s.removing(ctx, "erase swimmer", func(tx *sql.Tx) ([]string, error) {
		swimmer, err := rowID(ctx, tx, "swimmer", id)
		if err != nil {
			return nil, err
		}
		hashes, err := many(ctx, tx, scanText, `SELECT DISTINCT c.hash FROM clip c WHERE c.swimmer_id = $1
			OR c.id IN (SELECT clip_id FROM run WHERE swimmer_id = $1)`, swimmer)
		if err != nil {
			return nil, err
		}
		note, err := json.Marshal(Erasing{Hashes: hashes})
		if err != nil {
			return nil, err
		}
		for _, q := range []string{
			`DELETE FROM job WHERE subject IN (SELECT pub FROM clip WHERE swimmer_id = $1)
				OR subject IN (SELECT pub FROM run WHERE swimmer_id = $1)
				OR subject = (SELECT pub FROM swimmer WHERE id = $1)`,
			`UPDATE clip SET name = 'clip ' || substr(hash, 1, 8) WHERE swimmer_id = $1`,
		} {
			if _, err := tx.ExecContext(ctx, q, swimmer); err != nil {
				return nil, err
			}
		}
		visits, err := many(ctx, tx, func(scan func(...any) error) (int64, error) {
			var v int64
			err := scan(&v)
			return v, err
		}, `SELECT DISTINCT visit_id FROM clip WHERE swimmer_id = $1`, swimmer)
		if err != nil {
			return nil, err
		}
		files, err := deleteSwimmer(ctx, tx, swimmer)
		if err != nil {
			return nil, err
		}
		for _, v := range visits {
			if _, err := tx.ExecContext(ctx, `DELETE FROM visit WHERE id = $1 AND NOT EXISTS (SELECT 1 FROM clip WHERE visit_id = $1)`, v); err != nil {
				return nil, err
			}
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO setting (name, value) VALUES ($1, $2)
			ON CONFLICT (name) DO UPDATE SET value = excluded.value`, erasing, string(note))
		return files, err
	})
}

// ErasingNow returns the erasure that is not finished, nil if there is none.
func (s *Store) ErasingNow(ctx context.Context) (*Erasing, error) {
	text, ok, err := s.Setting(ctx, erasing)
	if err != nil || !ok {
		return nil, err
	}
	var e Erasing
	if err := json.Unmarshal([]byte(text), &e); err != nil {
		return nil, fmt.Errorf("read what is being erased: %w", err)
	}
	return &e, nil
}

// Scrub takes out of the data folder's files what deleted rows left in them: the
// copies made before upgrades go, the database is written anew, its log is
// emptied. Then the erasure is over.
func (s *Store) Scrub(ctx context.Context) error {
	return explain("clear the files after erasing", s.scrub(ctx))
}

func (s *Store) scrub(ctx context.Context) error {
	copies, err := os.ReadDir(s.path(backupsName))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	for _, c := range copies {
		if strings.HasPrefix(c.Name(), "underkick-schema") || strings.HasPrefix(c.Name(), "unfinished.part") {
			if err := os.Remove(filepath.Join(s.path(backupsName), c.Name())); err != nil {
				return err
			}
		}
	}
	if _, err := s.writer.ExecContext(ctx, `VACUUM`); err != nil {
		return err
	}
	if err := s.emptyLog(ctx); err != nil {
		return err
	}
	_, err = s.writer.ExecContext(ctx, `DELETE FROM setting WHERE name = $1`, erasing)
	return err
}

// emptyLog writes the log into the database and cuts it to nothing. Reads under
// way hold it up; it waits for them for some seconds.
func (s *Store) emptyLog(ctx context.Context) error {
	for range 50 {
		var busy, pages, done int
		if err := s.writer.QueryRowContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&busy, &pages, &done); err != nil {
			return err
		}
		if busy == 0 {
			return nil
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(100 * time.Millisecond):
		}
	}
	return errors.New("the records are deleted, but a read that does not end holds the database's log; start underkick again to finish")
}
