package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// A restore makes a folder beside the data folder, under a lock of its own, and once it is
// whole gives it a name that only a whole one has. Then what was there is moved aside and
// the new one takes its place. A process killed in between leaves one of these names; the
// next start or restore of the data folder settles it.
const (
	restorePrefix  = partPrefix + "restore-"
	restoredPrefix = partPrefix + "restored-" // then the name of the data folder
)

func restoredName(dir string) string {
	return filepath.Join(filepath.Dir(dir), restoredPrefix+filepath.Base(dir))
}

// freshFolder makes a folder for a restore, locked until release, which may be called
// again.
func freshFolder(parent string) (dir string, release func() error, err error) {
	dir = filepath.Join(parent, restorePrefix+newID())
	if err := os.Mkdir(dir, 0o700); err != nil {
		return "", nil, err
	}
	lock, err := lockFolder(filepath.Join(dir, lockName))
	if err != nil {
		return "", nil, errors.Join(err, os.RemoveAll(dir))
	}
	released := false
	return dir, func() error {
		if released {
			return nil
		}
		released = true
		return errors.Join(lock.Close(), os.Remove(filepath.Join(dir, lockName)))
	}, nil
}

// takePlace puts a whole folder in the place of dir and returns the new name of what was
// there, "" when there was nothing.
func takePlace(fresh, dir string, taken bool) (aside string, err error) {
	ready := restoredName(dir)
	if err := os.Rename(fresh, ready); err != nil {
		return "", err
	}
	if err := syncFolder(filepath.Dir(dir)); err != nil {
		return "", err
	}
	if aside, err = moveAside(dir, taken); err != nil {
		return "", errors.Join(err, os.RemoveAll(ready))
	}
	err = os.Rename(ready, dir)
	if _, there := os.Stat(dir); errors.Is(err, fs.ErrNotExist) && there == nil {
		err = nil // another start has just settled it
	}
	if err != nil {
		if aside != "" {
			err = errors.Join(err, os.Rename(aside, dir))
		}
		return "", errors.Join(err, os.RemoveAll(ready))
	}
	return aside, syncFolder(filepath.Dir(dir))
}

// settleRestore settles what a killed restore of dir left. A whole folder takes the place
// of a dir that is not there or empty; beside one that holds anything it goes, since that
// was not moved aside. Unfinished folders go, also those of other data folders, unless
// their restore is under way.
func settleRestore(dir string) error {
	if err := dropUnfinishedRestores(filepath.Dir(dir)); err != nil {
		return err
	}
	ready := restoredName(dir)
	if _, err := os.Stat(ready); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	taken, err := occupied(dir)
	if err != nil {
		return err
	}
	if !taken {
		if err := os.RemoveAll(dir); err != nil {
			return err
		}
		return os.Rename(ready, dir)
	}
	lock, err := lockFolder(filepath.Join(dir, lockName))
	if err != nil {
		return err // in use: its start has settled this
	}
	return errors.Join(os.RemoveAll(ready), lock.Close())
}

func dropUnfinishedRestores(parent string) error {
	left, err := filepath.Glob(filepath.Join(globbed(parent), restorePrefix+"*"))
	if err != nil {
		return err
	}
	for _, dir := range left {
		lock, err := lockFolder(filepath.Join(dir, lockName))
		if errors.Is(err, ErrLocked) || errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return err
		}
		if err := errors.Join(lock.Close(), os.RemoveAll(dir)); err != nil {
			return err
		}
	}
	return nil
}

// globbed makes a path stand for itself in a pattern.
func globbed(path string) string {
	if filepath.Separator == '\\' {
		return path // there is no escaping; [ in a folder's name finds nothing
	}
	return strings.NewReplacer(`\`, `\\`, `*`, `\*`, `?`, `\?`, `[`, `\[`).Replace(path)
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
