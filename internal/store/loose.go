package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// A film and its row cannot be written in one step. So the name is written
// down as loose before the film gets it or loses its last row, and taken off
// that list in the transaction that adds the row, or after the file is gone.
// What a killed process leaves on the list is settled at the next start.

func loosen(ctx context.Context, tx *sql.Tx, s *Store, file string) error {
	_, err := tx.ExecContext(ctx, `INSERT INTO loose_file (file, since) VALUES ($1, $2) ON CONFLICT (file) DO NOTHING`, file, timeText(s.now()))
	return err
}

func claim(ctx context.Context, tx *sql.Tx, file string) error {
	_, err := tx.ExecContext(ctx, `DELETE FROM loose_file WHERE file = $1`, file)
	return err
}

// removing runs fn, which deletes rows and returns the films they had, and
// then takes the films that no clip has any more from the disk.
func (s *Store) removing(ctx context.Context, op string, fn func(tx *sql.Tx) ([]string, error)) error {
	if s.unit(ctx) != nil {
		panic("store: " + op + " inside Together") // films can only go once the rows are gone for good
	}
	s.files.Lock()
	defer s.files.Unlock()
	err := s.write(ctx, op, func(tx *sql.Tx) error {
		files, err := fn(tx)
		if err != nil {
			return err
		}
		for _, f := range files {
			if err := loosen(ctx, tx, s, f); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	return explain(op, s.settle(context.WithoutCancel(ctx)))
}

// settle removes the loose films that no clip has and empties the list. A film
// that cannot be removed stays on it, for the next start, and makes an error.
func (s *Store) settle(ctx context.Context) error {
	loose, err := many(ctx, s.writer, scanText, `SELECT file FROM loose_file
		WHERE NOT EXISTS (SELECT 1 FROM clip c WHERE c.file = loose_file.file AND c.film_gone = '')`)
	if err != nil {
		return err
	}
	var left []error
	for _, file := range loose {
		err := os.Remove(filepath.Join(s.path(clipsName), filepath.Base(file)))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			left = append(left, fmt.Errorf("the records are deleted but the film cannot be removed before underkick is started again: %w", err))
			continue
		}
		if _, err := s.writer.ExecContext(ctx, `DELETE FROM loose_file WHERE file = $1`, file); err != nil {
			return err
		}
	}
	_, err = s.writer.ExecContext(ctx, `DELETE FROM loose_file WHERE EXISTS (SELECT 1 FROM clip c WHERE c.file = loose_file.file AND c.film_gone = '')`)
	return errors.Join(append(left, err)...)
}

// tidy clears away what a killed process left: unfinished copies in the folders clips and
// backups, and loose films. Films that are neither loose nor a clip's (put there
// by hand, or by a database that was since replaced by an older copy) stay.
func (s *Store) tidy(ctx context.Context) error {
	entries, err := os.ReadDir(s.path(clipsName))
	if err != nil {
		return err
	}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), incoming) {
			continue
		}
		if err := os.Remove(filepath.Join(s.path(clipsName), e.Name())); err != nil {
			return err
		}
		s.log.Info("unfinished copy removed", "file", e.Name())
	}
	for _, left := range []string{copyPart, copyPart + "-journal"} { // of a copy before an upgrade
		if err := os.Remove(filepath.Join(s.path(backupsName), left)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	if err := s.settle(ctx); err != nil {
		s.log.Warn("films left over", "reason", err)
	}
	return nil
}

func scanText(scan func(...any) error) (string, error) {
	var text string
	err := scan(&text)
	return text, err
}
