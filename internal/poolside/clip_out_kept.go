package poolside

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// Made clips lie in the cache folder, in one folder for every run or pair of runs, named by
// their ids. They can be made again, so they are bounded and in no backup.
const (
	madeName       = "made"
	madeBytes      = 2 << 30
	mostMade       = 60
	madeDivider    = "_" // between the ids of two runs
	unfinishedMark = ".part"
)

func (a *App) madeDir() string { return filepath.Join(a.store.CacheDir(), madeName) }

// madeFolder is the name of the folder for clips of these runs.
func madeFolder(s ClipSpec) string {
	ids := make([]string, len(s.Runs))
	for i, r := range s.Runs {
		ids[i] = r.RunID
	}
	return strings.Join(slices.Compact(ids), madeDivider)
}

// sweepMade removes made clips of runs that are gone or whose film was erased, and what a
// killed process left unfinished. Only the one background worker makes clips here, and
// film is erased only once it has stopped.
func (a *App) sweepMade(ctx context.Context) error {
	folders, err := os.ReadDir(a.madeDir())
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("look through the made clips: %w", err)
	}
	var errs []error
	for _, f := range folders {
		dir := filepath.Join(a.madeDir(), f.Name())
		for id := range strings.SplitSeq(f.Name(), madeDivider) {
			rc, err := a.store.RunWhole(ctx, id)
			switch {
			case errors.Is(err, ErrNotFound), err == nil && !rc.Clip.FilmGone.IsZero():
				errs = append(errs, os.RemoveAll(dir))
			case err != nil:
				return err
			}
		}
		errs = append(errs, removeUnfinished(dir), removeEmpty(dir))
	}
	if err := errors.Join(errs...); err != nil {
		return fmt.Errorf("clear away made clips: %w", err)
	}
	return nil
}

func removeUnfinished(dir string) error {
	files, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	errs := []error{err}
	for _, f := range files {
		if strings.HasSuffix(f.Name(), unfinishedMark) {
			errs = append(errs, os.Remove(filepath.Join(dir, f.Name())))
		}
	}
	return errors.Join(errs...)
}

// removeEmpty removes a folder that holds nothing.
func removeEmpty(dir string) error {
	files, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case len(files) > 0:
		return nil
	}
	return os.Remove(dir)
}

// makeRoomForMade removes the oldest made clips until the rest is within bounds; keep is
// never removed.
func (a *App) makeRoomForMade(keep string) error {
	type file struct {
		path string
		size int64
		at   time.Time
	}
	var list []file
	var total int64
	err := filepath.WalkDir(a.madeDir(), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		list, total = append(list, file{path, info.Size(), info.ModTime()}), total+info.Size()
		return nil
	})
	if err != nil {
		return fmt.Errorf("look through the made clips: %w", err)
	}
	slices.SortFunc(list, func(x, y file) int { return cmp.Or(x.at.Compare(y.at), strings.Compare(x.path, y.path)) })
	for n := len(list); len(list) > 0 && (total > madeBytes || n > mostMade); list = list[1:] {
		if list[0].path == keep {
			continue
		}
		if err := os.Remove(list[0].path); err != nil {
			return fmt.Errorf("make room for the clip: %w", err)
		}
		total, n = total-list[0].size, n-1
	}
	return nil
}
