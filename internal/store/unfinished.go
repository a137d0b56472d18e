package store

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// What is written outside the data folder gets a name of its own first and the right one
// when it is whole. The names in use stand in a file of the data folder, so that the
// next start can clear away what a killed process left. The file is not in the database,
// because a backup would carry it to another computer.
const (
	unfinishedName = "underkick.unfinished"
	partPrefix     = ".underkick-"
)

// begin notes the path of something that is about to be written outside.
func (s *Store) begin(path string) error { return s.changeUnfinished(path, true) }

// finish takes the path off the list, once it is renamed or removed.
func (s *Store) finish(path string) error { return s.changeUnfinished(path, false) }

func (s *Store) changeUnfinished(path string, add bool) error {
	s.outside.Lock()
	defer s.outside.Unlock()
	list, err := s.unfinished()
	if err != nil {
		return err
	}
	list = slices.DeleteFunc(list, func(p string) bool { return p == path })
	if add {
		list = append(list, path)
	}
	return s.keepUnfinished(list)
}

func (s *Store) unfinished() ([]string, error) {
	text, err := os.ReadFile(s.path(unfinishedName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return strings.FieldsFunc(string(text), func(r rune) bool { return r == '\n' }), err
}

func (s *Store) keepUnfinished(list []string) error {
	if len(list) == 0 {
		err := os.Remove(s.path(unfinishedName))
		if errors.Is(err, fs.ErrNotExist) {
			err = nil
		}
		return err
	}
	part := s.path(unfinishedName + ".part")
	f, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = f.WriteString(strings.Join(list, "\n") + "\n")
	if err := errors.Join(err, synced{f}.Close()); err != nil {
		return err
	}
	return os.Rename(part, s.path(unfinishedName))
}

// clearUnfinished removes what a killed process left outside. What lies on a disk that
// is not there now stays on the list.
func (s *Store) clearUnfinished() error {
	s.outside.Lock()
	defer s.outside.Unlock()
	if err := os.Remove(s.path(unfinishedName + ".part")); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	list, err := s.unfinished()
	if err != nil || len(list) == 0 {
		return err
	}
	var left []string
	var errs []error
	for _, path := range list {
		if _, err := os.Stat(filepath.Dir(path)); err != nil {
			left = append(left, path)
			continue
		}
		if !strings.HasPrefix(filepath.Base(path), partPrefix) {
			continue // not a name of ours
		}
		if err := os.RemoveAll(path); err != nil {
			left, errs = append(left, path), append(errs, err)
			continue
		}
		s.log.Info("unfinished copy removed", "file", filepath.Base(path))
	}
	return errors.Join(append(errs, s.keepUnfinished(left))...)
}

// MakeFolder makes the folder dir whole or not at all: fill writes into a folder beside
// it, which gets the name dir at the end. A dir that holds anything, and one inside the
// data folder, are refused with ErrExists.
func (s *Store) MakeFolder(ctx context.Context, dir string, fill func(part string) error) error {
	return explain("write the folder "+dir, s.makeFolder(ctx, dir, fill))
}

func (s *Store) makeFolder(ctx context.Context, dir string, fill func(part string) error) (err error) {
	if dir, err = filepath.Abs(dir); err != nil {
		return err
	}
	if err := s.mayMake(dir); err != nil {
		return err
	}
	part := filepath.Join(filepath.Dir(dir), partPrefix+"export-"+newID())
	if err := s.begin(part); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(part), s.finish(part)) }() // after the rename nothing is there
	if err := os.Mkdir(part, 0o700); err != nil {
		return err
	}
	if err := fill(part); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := syncFolder(part); err != nil {
		return err
	}
	if err := s.mayMake(dir); err != nil {
		return err
	}
	if err := os.Remove(dir); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := os.Rename(part, dir); err != nil {
		return err
	}
	return syncFolder(filepath.Dir(dir))
}

// mayMake refuses a folder that holds anything, or inside the data folder, and makes
// the folders above it.
func (s *Store) mayMake(dir string) error {
	if err := os.MkdirAll(filepath.Dir(dir), 0o700); err != nil {
		return err
	}
	if err := s.outsideOnly(dir); err != nil {
		return err
	}
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return because(ErrExists, err, "it is there already and is no folder; choose another name")
	case len(entries) > 0:
		return because(ErrExists, nil, "it holds something already and was left as it is; choose another folder")
	}
	return nil
}

// outsideOnly refuses a path inside the data folder: a copy in there is lost with it,
// and erasing a swimmer could not be complete.
func (s *Store) outsideOnly(path string) error {
	folder, err := filepath.EvalSymlinks(filepath.Dir(path))
	if errors.Is(err, fs.ErrNotExist) {
		return because(ErrNoPlace, err, "there is no folder %s; put the disk in, or make the folder first", filepath.Dir(path))
	}
	if err != nil {
		return err
	}
	home, err := filepath.EvalSymlinks(s.dir)
	if err != nil {
		return err
	}
	if folder == home || strings.HasPrefix(folder, home+string(filepath.Separator)) {
		return because(ErrExists, nil, "that lies inside the data folder and would be lost with it; choose a place on another disk")
	}
	return nil
}
