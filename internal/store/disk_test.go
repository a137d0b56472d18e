package store_test

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/storetest"
)

func TestConnectionsAreSetUp(t *testing.T) {
	s := open(t, t.TempDir(), store.Options{Readers: 3})
	for name, want := range map[string][2]string{
		"journal_mode": {"wal", "wal"},
		"synchronous":  {"1", "2"}, // readers do not write; 2 is the default
		"foreign_keys": {"1", "1"},
		"busy_timeout": {"5000", "5000"},
		"query_only":   {"0", "1"},
	} {
		writer, readers, err := s.Pragmas(t.Context(), name)
		if err != nil {
			t.Fatal(err)
		}
		if writer != want[0] || len(readers) != 3 {
			t.Errorf("%s: writer %s, want %s; %d readers", name, writer, want[0], len(readers))
		}
		for _, r := range readers {
			if r != want[1] {
				t.Errorf("%s: reader %s, want %s", name, r, want[1])
			}
		}
	}
	if err := s.WriteAsReader(t.Context()); err == nil {
		t.Error("a reader wrote")
	}
}

func TestOddFolderNames(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "squad #1 & 50% off?mode=memory", "ø ü"), store.Options{})
	storetest.Fill(t, s)
	if st, err := os.Stat(filepath.Join(s.Dir(), "underkick.db")); err != nil || st.Size() == 0 {
		t.Errorf("database: %v", err)
	}
}

func TestOnlyTheUserMayLook(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "data"), store.Options{})
	e := storetest.Fill(t, s)
	for _, p := range []string{s.Dir(), filepath.Join(s.Dir(), "underkick.db"), filepath.Join(s.Dir(), "clips"), s.ClipPath(e.Clip)} {
		st, err := os.Stat(p)
		if err != nil {
			t.Fatal(err)
		}
		if others := st.Mode().Perm() & 0o077; others != 0 && os.PathSeparator == '/' {
			t.Errorf("%s is open to others: %v", p, st.Mode())
		}
	}
}

func TestFullDiskWhileImporting(t *testing.T) {
	s := open(t, t.TempDir(), store.Options{})
	e := storetest.Fill(t, s)
	s.BreakImports(5, &fs.PathError{Op: "write", Path: "x", Err: syscall.ENOSPC})
	_, err := s.ImportClip(t.Context(), strings.NewReader("a long film"), "long.mp4", record.Clip{VisitID: e.Visit.ID, SwimmerID: e.Swimmer.ID})
	if !errors.Is(err, store.ErrFull) || !strings.Contains(err.Error(), "long.mp4") || !strings.Contains(err.Error(), "Make room") {
		t.Errorf("error %v", err)
	}
	if left, _ := filepath.Glob(filepath.Join(s.Dir(), "clips", "incoming-*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestFullDiskWhileMarking(t *testing.T) {
	s := open(t, t.TempDir(), store.Options{})
	e := storetest.Fill(t, s)
	// As if the disk held not one page more.
	if err := s.Exec(t.Context(), `PRAGMA max_page_count = 1`); err != nil {
		t.Fatal(err)
	}
	var last record.History
	for i := range 1000 {
		h, err := s.AddStep(t.Context(), e.Run.ID, record.Set(record.PlaceMark, "", storetest.Mark(i%120, body.Toe, 1, 1)))
		if err == nil {
			last = h
			continue
		}
		if !errors.Is(err, store.ErrFull) || !strings.Contains(err.Error(), "all earlier work was") {
			t.Fatalf("step %d: %v", i, err)
		}
		now, err := s.Marks(t.Context(), e.Run.ID)
		if err != nil || now.Seq != last.Seq || last.Seq == 0 {
			t.Errorf("after the refusal: seq %d, want %d (%v)", now.Seq, last.Seq, err)
		}
		return
	}
	t.Error("the disk never filled up")
}

func TestDamagedDatabase(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "underkick.db"), []byte(strings.Repeat("holiday pictures ", 1000)), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := store.Open(t.Context(), dir, store.Options{})
	if !errors.Is(err, store.ErrDamaged) || !strings.Contains(err.Error(), "backup") {
		t.Errorf("error %v", err)
	}
}

func TestFolderIsAFile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := store.Open(t.Context(), file, store.Options{}); err == nil || !strings.Contains(err.Error(), file) {
		t.Errorf("error %v", err)
	}
}

// A film that is neither a clip's nor loose was put there by somebody, or by a
// database that an older copy has replaced: it is not ours to delete.
func TestForeignFilesStay(t *testing.T) {
	dir := t.TempDir()
	if err := os.MkdirAll(filepath.Join(dir, "clips"), 0o700); err != nil {
		t.Fatal(err)
	}
	foreign := filepath.Join(dir, "clips", strings.Repeat("a", 64)+".mp4")
	for _, p := range []string{foreign, filepath.Join(dir, "clips", "incoming-1.mp4")} {
		if err := os.WriteFile(p, []byte("x"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	s := open(t, dir, store.Options{})
	names, err := os.ReadDir(filepath.Join(s.Dir(), "clips"))
	if err != nil || len(names) != 1 || names[0].Name() != filepath.Base(foreign) {
		t.Errorf("files %v %v", names, err)
	}
}

// What a process killed between the film and its row, or between the row and
// the film, left on the list of loose films is settled by the next start.
func TestLooseFilmsAreSettled(t *testing.T) {
	dir := t.TempDir()
	s, err := store.Open(t.Context(), dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	e := storetest.Fill(t, s)
	orphan := strings.Repeat("b", 64) + ".mp4"
	if err := os.WriteFile(filepath.Join(dir, "clips", orphan), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, file := range []string{orphan, e.Clip.File, strings.Repeat("c", 64) + ".mp4"} {
		if err := s.Exec(t.Context(), `INSERT INTO loose_file (file, since) VALUES (?, '2026-03-09T12:00:00.000Z')`, file); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	open(t, dir, store.Options{})
	names, err := os.ReadDir(filepath.Join(dir, "clips"))
	if err != nil || len(names) != 1 || names[0].Name() != e.Clip.File {
		t.Errorf("files %v %v", names, err)
	}
	if list := texts(t, raw(t, filepath.Join(dir, "underkick.db")), `SELECT file FROM loose_file`); len(list) != 0 {
		t.Errorf("still loose: %v", list)
	}
}
