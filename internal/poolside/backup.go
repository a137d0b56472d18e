package poolside

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"underkick/internal/store"
)

// backupsSetting is where the backups made are noted.
const backupsSetting = "backups"

// NotedBackup is a backup that was made from this data folder. Where it is now
// nobody can know.
type NotedBackup struct {
	Path  string `json:"path"` // where it was written
	At    string `json:"at"`   // RFC 3339, UTC
	Bytes int64  `json:"bytes"`
	// Browser: it was saved by a browser; Path is the name it was given.
	Browser bool `json:"browser,omitempty"`
}

// Backup writes all records and films into the one file path and notes that.
// Work may go on meanwhile. A name that is taken or lies inside the data folder
// is refused with ErrInput.
func (a *App) Backup(ctx context.Context, path string, opt store.BackupOptions) (store.Manifest, error) {
	m, err := a.store.Backup(ctx, path, opt)
	if err != nil {
		return m, asInput(err)
	}
	if path, err = filepath.Abs(path); err != nil {
		return m, err
	}
	return m, a.addBackup(ctx, NotedBackup{Path: path, At: m.Created, Bytes: m.Bytes()})
}

// addBackup notes a backup in place of one at the same path.
func (a *App) addBackup(ctx context.Context, b NotedBackup) error {
	list, err := a.Backups(ctx)
	if err != nil {
		return err
	}
	kept := slices.DeleteFunc(list, func(old NotedBackup) bool { return old.Path == b.Path })
	return a.noteBackups(ctx, append(kept, b))
}

// Backups returns the backups that were made from this data folder, oldest first.
func (a *App) Backups(ctx context.Context) ([]NotedBackup, error) {
	text, ok, err := a.store.Setting(ctx, backupsSetting)
	if err != nil || !ok {
		return nil, err
	}
	var list []NotedBackup
	if err := json.Unmarshal([]byte(text), &list); err != nil {
		return nil, fmt.Errorf("read the list of backups: %w", err)
	}
	return list, nil
}

func (a *App) noteBackups(ctx context.Context, list []NotedBackup) error {
	text, err := json.Marshal(list)
	if err != nil {
		return fmt.Errorf("note the backups: %w", err)
	}
	return a.store.SetSetting(ctx, backupsSetting, string(text))
}

// CheckBackup reads a backup whole. A damaged one is refused with ErrInput.
func CheckBackup(ctx context.Context, path string) (store.Manifest, error) {
	m, err := store.CheckBackup(ctx, path)
	return m, asInput(err)
}

// Restore makes the data folder dir from a backup, after checking all of it. A
// damaged backup, and without opt.Replace a folder that holds anything, are
// refused with ErrInput.
func Restore(ctx context.Context, path, dir string, opt store.BackupOptions) (store.Restored, error) {
	r, err := store.Restore(ctx, path, dir, opt)
	return r, asInput(err)
}

// asInput marks what is wrong with a file or folder that a person named.
func asInput(err error) error {
	for _, kind := range []error{store.ErrBadBackup, store.ErrExists, store.ErrNewer, store.ErrNoData, store.ErrNoPlace, store.ErrDamaged} {
		if errors.Is(err, kind) {
			return inputf("%w", err)
		}
	}
	return err
}
