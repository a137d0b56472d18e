package store

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Names in the folder backups.
const (
	copyPrefix = "underkick-schema" // then the version, the moment, ".db"
	copyPart   = "unfinished.part"
)

// DatabaseCopy is a copy of the database that was made before an upgrade.
type DatabaseCopy struct {
	Name  string // in the folder backups of the data folder
	Made  time.Time
	Bytes int64
	Holds bool // the swimmer that was asked for; also when the copy cannot be read
}

// Copies returns the copies of the database that were made before upgrades, oldest
// first, and which of them hold a swimmer.
func (s *Store) Copies(ctx context.Context, swimmerID string) ([]DatabaseCopy, error) {
	names, err := s.copyNames()
	if err != nil {
		return nil, explain("list copies of the database", err)
	}
	var list []DatabaseCopy
	for _, name := range names {
		path := filepath.Join(s.path(backupsName), name)
		st, err := os.Stat(path)
		if err != nil {
			return nil, explain("list copies of the database", err)
		}
		list = append(list, DatabaseCopy{Name: name, Made: st.ModTime().UTC(), Bytes: st.Size(), Holds: holds(ctx, path, swimmerID)})
	}
	return list, ctx.Err()
}

func (s *Store) copyNames() ([]string, error) {
	entries, err := os.ReadDir(s.path(backupsName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	var names []string
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), copyPrefix) {
			names = append(names, e.Name())
		}
	}
	return names, err
}

// holds reports whether a copy of the database has a swimmer.
func holds(ctx context.Context, path, swimmerID string) bool {
	db, err := sql.Open("sqlite", dsn(path, true)+"&immutable=1")
	if err != nil {
		return true
	}
	defer func() { _ = db.Close() }() // read only: nothing to lose
	var n int
	err = db.QueryRowContext(ctx, `SELECT count(*) FROM swimmer WHERE pub = $1`, swimmerID).Scan(&n)
	return err != nil || n > 0
}
