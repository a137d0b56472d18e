package store_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/store"
)

// TestWhatOnlyReadsMakesNoFolder: a folder without records is refused in words, and nothing
// is made in it or beside it.
func TestWhatOnlyReadsMakesNoFolder(t *testing.T) {
	home := t.TempDir()
	empty, file := filepath.Join(home, "empty"), filepath.Join(home, "file")
	if err := os.Mkdir(empty, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{filepath.Join(home, "nowhere"), filepath.Join(home, "no", "where"), empty, file} {
		_, err := store.Open(t.Context(), dir, store.Options{Existing: true})
		if !errors.Is(err, store.ErrNoData) || strings.Count(err.Error(), dir) != 1 || !strings.Contains(err.Error(), "nothing was made") || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v", dir, err)
		}
	}
	left, err := filepath.Glob(filepath.Join(home, "*"))
	inside, err2 := os.ReadDir(empty)
	if err := errors.Join(err, err2); err != nil || len(left) != 2 || len(inside) != 0 {
		t.Errorf("made: %v, %v, %v", left, inside, err)
	}
}

// TestWhatOnlyReadsSettlesARestore: a restore that was cut off before its last step has left a
// whole folder beside the right place.
func TestWhatOnlyReadsSettlesARestore(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "data")
	s, err := store.Open(t.Context(), dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(dir, filepath.Join(filepath.Dir(dir), ".underkick-restored-data")); err != nil {
		t.Fatal(err)
	}
	open(t, dir, store.Options{Existing: true})
}
