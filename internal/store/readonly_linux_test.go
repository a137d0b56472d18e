package store_test

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"golang.org/x/sys/unix"

	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/storetest"
)

// asNobody runs fn on a thread whose file permissions are those of a user
// without rights, also where the tests run as root.
func asNobody(t *testing.T, fn func()) {
	t.Helper()
	done := make(chan struct{})
	go func() {
		defer close(done)
		runtime.LockOSThread() // never unlocked: the thread ends with its changed rights
		if os.Getuid() == 0 {
			// Its return value is the old id, and an error is seen below as a
			// write that succeeds.
			_ = unix.Setfsuid(65534)
		}
		fn()
	}()
	<-done
}

func TestFolderWithoutWritePermission(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "data")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for p := dir; p != os.TempDir() && p != "/"; p = filepath.Dir(p) {
		if err := os.Chmod(p, 0o555); err != nil {
			t.Fatal(err)
		}
		defer func() { _ = os.Chmod(p, 0o700) }()
	}
	asNobody(t, func() {
		s, err := store.Open(t.Context(), dir, store.Options{})
		if err == nil {
			_ = s.Close()
		}
		if !errors.Is(err, store.ErrReadOnly) || !strings.Contains(err.Error(), "--data") {
			t.Errorf("error %v", err)
		}
	})
}

// A folder that becomes read-only while it is open gives the same error and
// keeps what is there.
func TestClipsFolderWithoutWritePermission(t *testing.T) {
	s := open(t, t.TempDir(), store.Options{})
	e := storetest.Fill(t, s)
	clips := filepath.Join(s.Dir(), "clips")
	if err := os.Chmod(clips, 0o500); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = os.Chmod(clips, 0o700) }()
	asNobody(t, func() {
		_, err := s.ImportClip(t.Context(), strings.NewReader("new film"), "n.mp4", record.Clip{VisitID: e.Visit.ID, SwimmerID: e.Swimmer.ID})
		if !errors.Is(err, store.ErrReadOnly) || !strings.Contains(err.Error(), "n.mp4") {
			t.Errorf("error %v", err)
		}
	})
}
