package poolside

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"underkick/internal/store"
)

// KeepView is what the page on backups shows.
type KeepView struct {
	DataDir string
	Backups []KnownBackup // newest first
	Days    int           // since the newest, where there is one
	Late    bool          // there is something to lose and no backup, or none for LateAfter days
	Copies  []store.DatabaseCopy
	Squads  []KeepSquad
}

// LateAfter is after how many days without a backup the page reminds. Common practice, no
// source.
const LateAfter = 14

// KnownBackup is a backup that was made, with what can be said of it now.
type KnownBackup struct {
	NotedBackup
	Made  time.Time
	There string // "there", "not there now", or "saved by the browser"
}

// KeepSquad is a squad to choose from, with its swimmers.
type KeepSquad struct {
	ID, Name string
	Swimmers []KeepSwimmer // by name
}

// KeepSwimmer is a swimmer to choose.
type KeepSwimmer struct{ ID, Name string }

// Keep returns what the page on backups shows.
func (a *App) Keep(ctx context.Context) (KeepView, error) {
	v := KeepView{DataDir: a.DataDir()}
	noted, err := a.Backups(ctx)
	if err != nil {
		return v, err
	}
	for _, n := range slices.Backward(noted) {
		b := KnownBackup{NotedBackup: n, There: whereNow(n)}
		b.Made, err = time.Parse(time.RFC3339, n.At)
		if err != nil {
			return v, fmt.Errorf("read the list of backups: %w", err)
		}
		v.Backups = append(v.Backups, b)
	}
	if v.Copies, err = a.store.Copies(ctx, ""); err != nil {
		return v, err
	}
	if v.Squads, err = a.keepSquads(ctx); err != nil {
		return v, err
	}
	if len(v.Backups) > 0 {
		v.Days = int(time.Since(v.Backups[0].Made).Hours() / 24)
	}
	v.Late = len(v.Backups) == 0 && len(v.Squads) > 0 || v.Days >= LateAfter
	return v, nil
}

func whereNow(n NotedBackup) string {
	if n.Browser {
		return "saved by the browser"
	}
	if _, err := os.Stat(n.Path); err != nil {
		return "not there now"
	}
	return "there"
}

func (a *App) keepSquads(ctx context.Context) ([]KeepSquad, error) {
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return nil, err
	}
	var list []KeepSquad
	for _, q := range squads {
		swimmers, err := a.store.Swimmers(ctx, q.ID)
		if err != nil {
			return nil, err
		}
		section := KeepSquad{ID: q.ID, Name: q.Name}
		for _, w := range swimmers {
			section.Swimmers = append(section.Swimmers, KeepSwimmer{w.ID, w.Name})
		}
		list = append(list, section)
	}
	return list, nil
}

// MadeBackup is a backup that a page asked for.
type MadeBackup struct {
	Path     string
	Manifest store.Manifest
}

// StartBackup begins to write a backup into a folder of this computer, under a name of its
// own that nothing has yet, and returns at once; BackingUp tells how it stands. A folder
// that is not there, not given in full, or inside the data folder is refused with
// ErrInput; while one is under way another is refused with ErrBusy.
func (a *App) StartBackup(ctx context.Context, folder string) error {
	if !filepath.IsAbs(folder) {
		return inputf("%q is no whole path of a folder; write it from the top, such as %s", folder, examplePath())
	}
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return inputf("there is no folder %s; put the disk in, or make the folder first", folder)
	}
	path, err := freshBackupName(folder, time.Now())
	if err != nil {
		return err
	}
	return a.backing.start(ctx, func(ctx context.Context, tell func(float64, string)) (MadeBackup, error) {
		m, err := a.Backup(ctx, path, store.BackupOptions{Progress: func(p store.BackupProgress) {
			fraction := float64(p.Done) / float64(max(p.Total, 1)) / 2
			if p.Doing != "writing" {
				fraction += 0.5
			}
			tell(fraction, fmt.Sprintf("%s part %d of %d", p.Doing, p.Number, p.Parts))
		}})
		return MadeBackup{path, m}, err
	})
}

func examplePath() string {
	if filepath.Separator == '\\' {
		return `E:\backups`
	}
	return "/media/stick/backups"
}

// BackupName is the name of the n-th backup of a day, from 1.
func BackupName(at time.Time, n int) string {
	if n > 1 {
		return fmt.Sprintf("underkick-backup-%s-%d.zip", at.Format(time.DateOnly), n)
	}
	return fmt.Sprintf("underkick-backup-%s.zip", at.Format(time.DateOnly))
}

func freshBackupName(folder string, at time.Time) (string, error) {
	for n := 1; n < 1000; n++ {
		path := filepath.Join(folder, BackupName(at, n))
		_, err := os.Lstat(path)
		if errors.Is(err, fs.ErrNotExist) {
			return path, nil
		}
		if err != nil {
			return "", inputf("the folder %s cannot be read (%w); choose another", folder, err)
		}
	}
	return "", inputf("the folder %s is full of backups of this day; choose another", folder)
}

// BackingUp returns how the last backup that a page began stands.
func (a *App) BackingUp() BesideView[MadeBackup] { return a.backing.look() }

// WriteBackup writes a backup to w, for a browser to save under a name, and notes that. It
// is not read back: whoever saves it can have it checked.
func (a *App) WriteBackup(ctx context.Context, w io.Writer, name string) error {
	m, err := a.store.WriteBackup(ctx, w, nil)
	if err != nil {
		return err
	}
	return a.addBackup(ctx, NotedBackup{Path: name, At: m.Created, Bytes: m.Bytes(), Browser: true})
}

// ForgetBackup takes a backup off the list, once the coach has dealt with it. The file is
// not touched.
func (a *App) ForgetBackup(ctx context.Context, path string) error {
	list, err := a.Backups(ctx)
	if err != nil {
		return err
	}
	left := slices.DeleteFunc(slices.Clone(list), func(b NotedBackup) bool { return b.Path == path })
	if len(left) == len(list) {
		return fmt.Errorf("forget the backup %s: %w", path, ErrNotFound)
	}
	return a.noteBackups(ctx, left)
}
