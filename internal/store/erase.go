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
	"slices"
	"time"

	"underkick/internal/record"
)

// erasing is the setting that stands from the deletion of a swimmer's rows until
// nothing of them is left in any file.
const erasing = "erasing"

// Erasing is an erasure under way: what still has to go after the rows.
type Erasing struct {
	Hashes []string `json:"hashes,omitempty"` // of the films that were the swimmer's
	IDs    []string `json:"ids,omitempty"`    // public ids of the swimmer, the clips and the runs
	Copies []string `json:"copies,omitempty"` // of the database, in the folder backups
}

// EraseOptions are the choices of EraseSwimmer.
type EraseOptions struct {
	KeepCopies bool // leave the copies made before upgrades, although they hold the swimmer
}

// EraseSwimmer deletes a swimmer as DeleteSwimmer does, and also all jobs that name the
// swimmer, the clips or the runs, and the visits at which nobody else was filmed. Clips
// that others keep lose the name their file had. Afterwards what ErasingNow returns must
// be dropped from the caches and Scrub called; a killed process goes on with that at the
// next start.
func (s *Store) EraseSwimmer(ctx context.Context, id string, opt EraseOptions) error {
	copies, err := s.Copies(ctx, id)
	if err != nil {
		return err
	}
	return s.removing(ctx, "erase swimmer", func(tx *sql.Tx) ([]string, error) {
		swimmer, err := rowID(ctx, tx, "swimmer", id)
		if err != nil {
			return nil, err
		}
		note, err := traces(ctx, tx, swimmer)
		if err != nil {
			return nil, err
		}
		for _, c := range copies {
			if c.Holds && !opt.KeepCopies {
				note.Copies = append(note.Copies, c.Name)
			}
		}
		if err := deleteJobs(ctx, tx, swimmer); err != nil {
			return nil, err
		}
		visits, err := many(ctx, tx, scanID, `SELECT DISTINCT visit_id FROM clip WHERE swimmer_id = $1`, swimmer)
		if err != nil {
			return nil, err
		}
		if _, err := tx.ExecContext(ctx, `UPDATE clip SET name = 'clip ' || substr(hash, 1, 8) WHERE swimmer_id = $1`, swimmer); err != nil {
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
		return files, noteErasing(ctx, tx, note)
	})
}

func scanID(scan func(...any) error) (id int64, err error) {
	err = scan(&id)
	return id, err
}

// traces returns what files may be named by.
func traces(ctx context.Context, tx *sql.Tx, swimmer int64) (Erasing, error) {
	var e Erasing
	before, err := earlierErasing(ctx, tx)
	if err != nil {
		return e, err
	}
	e.Hashes, err = many(ctx, tx, scanText, `SELECT DISTINCT c.hash FROM clip c WHERE c.swimmer_id = $1
		OR c.id IN (SELECT clip_id FROM run WHERE swimmer_id = $1)`, swimmer)
	if err != nil {
		return e, err
	}
	e.IDs, err = many(ctx, tx, scanText, theIDs, swimmer)
	// A second erasure before the first is over takes its rest along.
	e.Hashes, e.IDs, e.Copies = append(e.Hashes, before.Hashes...), append(e.IDs, before.IDs...), before.Copies
	return e, err
}

// theIDs are the public ids of a swimmer, the runs, and the clips that go.
const theIDs = `SELECT pub FROM swimmer WHERE id = $1 UNION ALL SELECT pub FROM run WHERE swimmer_id = $1
	UNION ALL SELECT pub FROM clip c WHERE swimmer_id = $1 AND NOT EXISTS (SELECT 1 FROM run WHERE clip_id = c.id AND swimmer_id <> $1)`

// jobsNaming is a condition on the table job: it names the swimmer $1, by an id, the hash or
// file name of a clip, or by name.
const jobsNaming = `EXISTS (SELECT 1 FROM (` + theIDs + `
	UNION ALL SELECT hash FROM clip WHERE swimmer_id = $1 UNION ALL SELECT name FROM clip WHERE swimmer_id = $1
	UNION ALL SELECT name FROM swimmer WHERE id = $1 UNION ALL SELECT pseudonym FROM swimmer WHERE id = $1 AND pseudonym <> '') word
	WHERE instr(subject || ' ' || args || ' ' || doing || ' ' || problem || ' ' || coalesce(outcome, ''), word.pub) > 0)`

func deleteJobs(ctx context.Context, tx *sql.Tx, swimmer int64) error {
	_, err := tx.ExecContext(ctx, `DELETE FROM job WHERE `+jobsNaming, swimmer)
	return err
}

// deleteJobsSaying deletes the jobs that hold one of the words: work that ended after the
// swimmer's rows were gone may have said what it stumbled over.
func deleteJobsSaying(ctx context.Context, tx *sql.Tx, words []string) error {
	list, err := json.Marshal(words)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `DELETE FROM job WHERE EXISTS (SELECT 1 FROM json_each($1) word
		WHERE instr(subject || ' ' || args || ' ' || doing || ' ' || problem || ' ' || coalesce(outcome, ''), word.value) > 0)`, string(list))
	return err
}

// JobsNaming returns the jobs that wait or run and name a swimmer, the clips or the runs in
// what they work on.
func (s *Store) JobsNaming(ctx context.Context, swimmerID string) ([]record.Job, error) {
	r := s.reader(ctx)
	swimmer, err := rowID(ctx, r, "swimmer", swimmerID)
	if err != nil {
		return nil, explain("list jobs", err)
	}
	list, err := many(ctx, r, scanJob, `SELECT `+jobColumns+` FROM job WHERE state IN ('waiting', 'running') AND `+jobsNaming+` ORDER BY id`, swimmer)
	return list, explain("list jobs", err)
}

// ErasingNow returns the erasure that is not finished, nil if there is none.
func (s *Store) ErasingNow(ctx context.Context) (*Erasing, error) {
	_, ok, err := s.Setting(ctx, erasing)
	if err != nil || !ok {
		return nil, err
	}
	e, err := earlierErasing(ctx, s.reader(ctx))
	return &e, err
}

// earlierErasing reads the note of an erasure; without one there is nothing in it.
func earlierErasing(ctx context.Context, r reader) (e Erasing, err error) {
	text, err := one(ctx, r, scanText, `SELECT value FROM setting WHERE name = $1`, erasing)
	if errors.Is(err, ErrNotFound) {
		return e, nil
	}
	if err == nil {
		err = json.Unmarshal([]byte(text), &e)
	}
	if err != nil {
		return e, fmt.Errorf("read what is being erased: %w", err)
	}
	return e, nil
}

func noteErasing(ctx context.Context, tx *sql.Tx, e Erasing) error {
	text, err := json.Marshal(e)
	if err != nil {
		return err
	}
	_, err = tx.ExecContext(ctx, `INSERT INTO setting (name, value) VALUES ($1, $2)
		ON CONFLICT (name) DO UPDATE SET value = excluded.value`, erasing, string(text))
	return err
}

// Scrub takes out of the data folder's files what deleted rows left in them: the copies
// that were to go, and jobs that name what is gone; then the note itself is emptied, the
// database is written anew and its log cut to nothing. Then the erasure is over. Call it
// once the caches are clear.
func (s *Store) Scrub(ctx context.Context) error {
	return explain("clear the files after erasing", s.scrub(ctx))
}

func (s *Store) scrub(ctx context.Context) error {
	e, err := earlierErasing(ctx, s.reader(ctx))
	if err != nil {
		return err
	}
	copies, err := s.copyNames()
	if err != nil {
		return err
	}
	for _, name := range copies {
		if slices.Contains(e.Copies, name) {
			if err := os.Remove(filepath.Join(s.path(backupsName), name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
		}
	}
	// The note holds hashes and ids until here. It is emptied before the database is written
	// anew, so that they are not in it either, and taken away after.
	err = s.write(ctx, "note that the caches are clear", func(tx *sql.Tx) error {
		if err := deleteJobsSaying(ctx, tx, slices.Concat(e.IDs, e.Hashes)); err != nil {
			return err
		}
		return noteErasing(ctx, tx, Erasing{})
	})
	if err != nil {
		return err
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
