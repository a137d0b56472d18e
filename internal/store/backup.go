package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// Names inside a backup.
const (
	manifestName  = "manifest.json"
	backupFormat  = "underkick backup"
	backupEdition = 1
)

// ErrExists: something is there already and was not overwritten.
var ErrExists = errors.New("there is something already")

// ErrNoPlace: there is no folder to write into.
var ErrNoPlace = errors.New("there is no such folder")

// ErrBadBackup: the file is no backup of ours, or is damaged.
var ErrBadBackup = errors.New("not a whole backup")

// BackupPart is one file inside a backup.
type BackupPart struct {
	Name   string `json:"name"` // "underkick.db", "clips/HASH.mp4"
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"` // 64 hex digits
}

// Manifest says what a backup holds. It is the file manifest.json in it.
type Manifest struct {
	Format  string       `json:"format"`  // "underkick backup"
	Edition int          `json:"edition"` // of the format, 1
	Schema  int64        `json:"schema"`  // version of the database's schema
	Created string       `json:"created"` // RFC 3339, UTC
	Parts   []BackupPart `json:"parts"`
	Missing []string     `json:"missing,omitempty"` // films of clips that were not in the clips folder, or not as they were brought in
}

// Bytes returns the length of all parts together.
func (m Manifest) Bytes() int64 {
	var n int64
	for _, p := range m.Parts {
		n += p.Bytes
	}
	return n
}

// BackupOptions are the choices of Backup and Restore.
type BackupOptions struct {
	Replace  bool                   // take the place of what is there
	Progress func(p BackupProgress) // nil for none
}

// BackupProgress says how far a backup or a restore is.
type BackupProgress struct {
	Doing       string // "writing", "reading back", "unpacking"
	Part        string // name of the part being copied
	Number      int    // of it, from 1
	Parts       int
	Done, Total int64 // bytes of all parts
}

// Backup writes the database and every film into the one file path, a zip
// archive with a manifest, while the store stays in use. The file gets its name
// once it was read back whole. What is there already is only replaced with
// opt.Replace, otherwise the error wraps ErrExists.
func (s *Store) Backup(ctx context.Context, path string, opt BackupOptions) (Manifest, error) {
	m, err := s.backupTo(ctx, path, opt)
	return m, explain("back up to "+path, err)
}

func (s *Store) backupTo(ctx context.Context, path string, opt BackupOptions) (m Manifest, err error) {
	if path, err = filepath.Abs(path); err != nil {
		return m, err
	}
	if err := s.mayBackUpTo(path, opt.Replace); err != nil {
		return m, err
	}
	copied, err := s.copyDatabase(ctx)
	if err != nil {
		return m, err
	}
	defer func() { err = errors.Join(err, os.Remove(copied)) }()
	part := filepath.Join(filepath.Dir(path), partPrefix+"backup-"+newID())
	if err := s.begin(part); err != nil {
		return m, err
	}
	defer func() {
		if e := os.Remove(part); e != nil && !errors.Is(e, fs.ErrNotExist) { // after the rename it is not there
			err = errors.Join(err, e)
		}
		err = errors.Join(err, s.finish(part))
	}()
	f, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return m, err
	}
	m, err = s.writeBackup(ctx, f, copied, opt.Progress)
	if err == nil {
		err = f.Sync()
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		return m, err
	}
	if _, err := checkBackup(ctx, part, opt.Progress); err != nil {
		return m, fmt.Errorf("read back what was written: %w", err)
	}
	if err := s.mayBackUpTo(path, opt.Replace); err != nil {
		return m, err
	}
	if err := os.Rename(part, path); err != nil {
		return m, err
	}
	return m, syncFolder(filepath.Dir(path))
}

// mayBackUpTo refuses a name that is taken and one inside the data folder.
func (s *Store) mayBackUpTo(path string, replace bool) error {
	if err := s.outsideOnly(path); err != nil {
		return err
	}
	st, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case !st.Mode().IsRegular():
		return because(ErrExists, nil, "it is there already and is no file; choose another name")
	case !replace:
		return because(ErrExists, nil, "the file is there already and was left as it is; choose another name, or ask to replace it")
	}
	return nil
}

// copyDatabase copies the database as it stands now into a file that the next
// start clears away if this process is killed, and returns its path.
func (s *Store) copyDatabase(ctx context.Context) (string, error) {
	f, err := os.CreateTemp(s.path(clipsName), incoming+"backup-*.db")
	if err != nil {
		return "", err
	}
	err = f.Close()
	if err == nil {
		err = s.CopyDatabase(ctx, f.Name())
	}
	if err != nil {
		return "", errors.Join(err, os.Remove(f.Name()))
	}
	return f.Name(), nil
}

// CopyDatabase writes the database as it stands now, without anything that was deleted,
// into a file that is not there yet or empty.
func (s *Store) CopyDatabase(ctx context.Context, path string) error {
	_, err := s.writer.ExecContext(ctx, `VACUUM INTO ?`, path)
	return explain("copy the database", err)
}
