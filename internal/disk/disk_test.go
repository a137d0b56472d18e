package disk

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

func TestAFileIsWrittenWhole(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "table.csv")
	for _, text := range []string{"first", "second"} {
		if err := Write(path, []byte(text)); err != nil {
			t.Fatal(err)
		}
		holds(t, path, text)
	}
	if err := WriteUnsynced(path, []byte("third")); err != nil {
		t.Fatal(err)
	}
	holds(t, path, "third")
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if mode := info.Mode().Perm(); runtime.GOOS != "windows" && mode != 0o600 {
		t.Errorf("others may do something with the file: mode %o", mode)
	}
}

func TestAFailureLeavesTheOldFileAlone(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "table.csv")
	if err := WriteUnsynced(path, []byte("old")); err != nil {
		t.Fatal(err)
	}
	torn := errors.New("torn")
	err := Fill(path, func(w io.Writer) error { _, _ = io.WriteString(w, "half"); return torn })
	if !errors.Is(err, torn) {
		t.Errorf("the failure comes back as %v", err)
	}
	holds(t, path, "old")
	if names, err := os.ReadDir(dir); err != nil || len(names) != 1 {
		t.Errorf("left behind: %v, %v", names, err)
	}
	// A folder stands where the file should: it cannot be replaced by a file.
	blocked := filepath.Join(dir, "folder")
	if err := os.MkdirAll(filepath.Join(blocked, "in it"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := WriteUnsynced(blocked, []byte("new")); err == nil {
		t.Error("a folder was replaced by a file")
	}
	if left, _ := filepath.Glob(filepath.Join(dir, Unfinished+"*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	if err := WriteUnsynced(filepath.Join(dir, "nowhere", "x"), nil); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a folder that is not there: %v", err)
	}
}

func TestOtherVersionsGo(t *testing.T) {
	parent := filepath.Join(t.TempDir(), "engine")
	old, err := VersionFolder(parent, "1")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(old, "code"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	again, err := VersionFolder(parent, "1")
	if _, gone := os.Stat(filepath.Join(again, "code")); err != nil || gone != nil {
		t.Errorf("the same version lost its file: %v, %v", err, gone)
	}
	compiled, err := CompiledFolder(parent, strings.Repeat("0123456789abcdef", 4))
	if err != nil || !strings.HasPrefix(filepath.Base(compiled), "0123456789ab-wazero") {
		t.Errorf("the folder of the compiled is %s, %v", compiled, err)
	}
	names, err := os.ReadDir(parent)
	if err != nil || len(names) != 1 || names[0].Name() != filepath.Base(compiled) {
		t.Errorf("left: %v, %v", names, err)
	}
}

func holds(t *testing.T, path, want string) {
	t.Helper()
	got, err := os.ReadFile(path)
	if err != nil || string(got) != want {
		t.Errorf("%s holds %q, %v; want %q", filepath.Base(path), got, err, want)
	}
}
