package store

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/pressly/goose/v3"
)

// Restored says what Restore did.
type Restored struct {
	Manifest Manifest
	Aside    string // where the folder that was there before now lies, "" = there was none
}

// Restore makes the data folder dir from the backup at path. All of the backup
// is checked in a folder beside dir before dir is touched. A dir that holds
// anything is refused with ErrExists; with opt.Replace it is moved aside, never
// deleted. It must not be open (ErrLocked).
func Restore(ctx context.Context, path, dir string, opt BackupOptions) (Restored, error) {
	r, err := restore(ctx, path, dir, opt)
	return r, explain("restore "+path, err)
}

func restore(ctx context.Context, path, dir string, opt BackupOptions) (r Restored, err error) {
	if dir, err = filepath.Abs(dir); err != nil {
		return r, err
	}
	taken, err := occupied(dir)
	if err != nil {
		return r, err
	}
	if taken && !opt.Replace {
		return r, because(ErrExists, nil, "the data folder %s holds something already and was left as it is; choose an empty folder with --data, or ask to replace it (it is then moved aside)", dir)
	}
	z, m, err := openBackup(path)
	if err != nil {
		return r, err
	}
	defer func() { _ = z.Close() }() // read only: nothing to lose
	r.Manifest = m
	if err := os.MkdirAll(filepath.Dir(dir), 0o700); err != nil {
		return r, err
	}
	fresh, err := os.MkdirTemp(filepath.Dir(dir), ".underkick-restore-*")
	if err != nil {
		return r, err
	}
	defer func() {
		if err != nil {
			_ = os.RemoveAll(fresh) // the first error is the one to tell
		}
	}()
	var done int64
	err = eachPart(ctx, z, m, func(p BackupPart) (io.WriteCloser, error) {
		done += p.Bytes
		if opt.Progress != nil {
			opt.Progress(done, m.Bytes())
		}
		return newFile(filepath.Join(fresh, filepath.FromSlash(p.Name)))
	})
	if err != nil {
		return r, err
	}
	if err := understood(ctx, filepath.Join(fresh, databaseName)); err != nil {
		return r, err
	}
	if r.Aside, err = moveAside(dir, taken); err != nil {
		return r, err
	}
	if err := os.Rename(fresh, dir); err != nil {
		return r, err
	}
	return r, syncFolder(filepath.Dir(dir))
}

// synced is a file that is on the disk once it is closed.
type synced struct{ *os.File }

// Close writes the file out and closes it.
func (s synced) Close() error { return errors.Join(s.Sync(), s.File.Close()) }

func newFile(path string) (io.WriteCloser, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	return synced{f}, err
}

// understood checks that the database is sound and not newer than this program.
func understood(ctx context.Context, path string) error {
	have, _, err := lookInside(ctx, path)
	if err != nil {
		return damaged(err, "the database in the backup is damaged (%v)", err)
	}
	files, err := fs.Sub(migrations, "migrations/sqlite")
	if err != nil {
		return err
	}
	names, err := fs.Glob(files, "*.sql")
	if err != nil {
		return err
	}
	var want int64
	for _, n := range names {
		v, err := goose.NumericComponent(n)
		if err != nil {
			return err
		}
		want = max(want, v)
	}
	if have > want {
		return because(ErrNewer, nil, "the backup was written by a newer underkick (schema %d, this one knows %d); nothing was changed. Use the newer version", have, want)
	}
	return nil
}

// occupied reports whether a folder holds anything but a lock file.
func occupied(dir string) (bool, error) {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	for _, e := range entries {
		if e.Name() != lockName {
			return true, nil
		}
	}
	return false, nil
}

// moveAside clears the way for a restored folder: an empty one goes, one that
// holds anything gets another name, which is returned.
func moveAside(dir string, taken bool) (string, error) {
	if _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	lock, err := lockFolder(filepath.Join(dir, lockName))
	if err != nil {
		return "", err
	}
	if err := lock.Close(); err != nil { // an open file cannot be renamed everywhere
		return "", err
	}
	if !taken {
		return "", os.RemoveAll(dir)
	}
	stamp := strings.NewReplacer(":", "", ".", "").Replace(timeText(time.Now()))
	aside := dir + "-before-restore-" + stamp
	return aside, os.Rename(dir, aside)
}
