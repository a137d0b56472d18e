package store

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/pressly/goose/v3"
)

// Numbered, forward only, never edited once released.
//
//go:embed migrations/sqlite/*.sql
var migrations embed.FS

// upgrade brings the schema up to date, with a copy of the database before the
// first change of one that holds anything.
func (s *Store) upgrade(ctx context.Context) error {
	files, err := fs.Sub(migrations, "migrations/sqlite")
	if err != nil {
		return err
	}
	p, err := goose.NewProvider(goose.DialectSQLite3, s.writer, files, goose.WithLogger(goose.NopLogger()))
	if err != nil {
		return err
	}
	have, want, err := p.GetVersions(ctx)
	if err != nil {
		return fmt.Errorf("read the schema's version: %w", err)
	}
	switch {
	case have > want:
		return because(ErrNewer, nil, "the data folder was written by a newer underkick (schema %d, this one knows %d); nothing was changed. Use the newer version, or put back a copy from the folder backups", have, want)
	case have == want:
		return nil
	}
	if have > 0 {
		if err := s.backup(ctx, have); err != nil {
			return fmt.Errorf("copy the database before upgrading: %w", err)
		}
	}
	if _, err := p.Up(ctx); err != nil {
		return fmt.Errorf("upgrade the database from schema %d to %d (nothing is lost; a copy is in the folder backups): %w", have, want, err)
	}
	s.log.Info("database upgraded", "from", have, "to", want)
	return nil
}

// backup writes a copy of the whole database to the folder backups.
func (s *Store) backup(ctx context.Context, version int64) error {
	dir := s.path(backupsName)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	stamp := strings.NewReplacer(":", "", ".", "").Replace(timeText(s.now()))
	part := filepath.Join(dir, copyPart)
	for _, left := range []string{part, part + "-journal"} { // of a copy that was cut off
		if err := os.Remove(left); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	if err := s.CopyDatabase(ctx, part); err != nil {
		return err
	}
	if err := os.Chmod(part, 0o600); err != nil {
		return err
	}
	if err := os.Rename(part, filepath.Join(dir, fmt.Sprintf("%s%d-%s.db", copyPrefix, version, stamp))); err != nil {
		return err
	}
	return syncFolder(dir)
}
