package store

import (
	"archive/zip"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

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
	return r, explain("bring back "+path, err)
}

func restore(ctx context.Context, path, dir string, opt BackupOptions) (r Restored, err error) {
	if dir, err = filepath.Abs(dir); err != nil {
		return r, err
	}
	if err := os.MkdirAll(filepath.Dir(dir), 0o700); err != nil {
		return r, err
	}
	if err := settleRestore(dir); err != nil {
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
	fresh, release, err := freshFolder(filepath.Dir(dir))
	if err != nil {
		return r, err
	}
	defer func() {
		if e := errors.Join(release(), os.RemoveAll(fresh)); err == nil { // after the rename nothing is there
			err = e
		}
	}()
	if err := unpack(ctx, z, m, fresh, opt.Progress); err != nil {
		return r, err
	}
	if err := release(); err != nil {
		return r, err
	}
	r.Aside, err = takePlace(fresh, dir, taken)
	return r, err
}

// unpack copies all parts of a backup into a folder and checks them.
func unpack(ctx context.Context, z *zip.ReadCloser, m Manifest, fresh string, tell func(BackupProgress)) error {
	err := eachPart(ctx, z, m, m.told("unpacking", tell, func(p BackupPart) (io.WriteCloser, error) {
		return newFile(filepath.Join(fresh, filepath.FromSlash(p.Name)))
	}))
	if err != nil {
		return err
	}
	if err := understood(ctx, filepath.Join(fresh, databaseName)); err != nil {
		return err
	}
	if _, err := os.Stat(filepath.Join(fresh, clipsName)); err == nil {
		if err := syncFolder(filepath.Join(fresh, clipsName)); err != nil {
			return err
		}
	}
	return syncFolder(fresh)
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
	have, _, err := lookInside(ctx, path, "")
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
