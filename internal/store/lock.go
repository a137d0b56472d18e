package store

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
)

// errHeld is what tryLock returns when another process holds the lock.
var errHeld = errors.New("lock is held")

// lockFolder takes the folder's lock file for this process. The system gives
// the lock back when the process ends, however it ends.
func lockFolder(path string) (*os.File, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	if err := tryLock(f); err != nil {
		if errors.Is(err, errHeld) {
			err = because(ErrLocked, nil, "the data folder is in use by another underkick%s; use the window or terminal where it runs, end it there, or choose another folder with --data", holder(f))
		} else {
			err = fmt.Errorf("lock %s (some network drives cannot lock; use a folder on this computer): %w", path, err)
		}
		return nil, errors.Join(err, f.Close())
	}
	// The number is only for the message above; failing to write it is harmless.
	if f.Truncate(0) == nil {
		_, _ = f.WriteAt(fmt.Appendf(nil, "%d\n", os.Getpid()), 0)
	}
	return f, nil
}

func holder(f *os.File) string {
	text, err := io.ReadAll(io.NewSectionReader(f, 0, 32))
	if pid := strings.TrimSpace(string(text)); err == nil && pid != "" {
		return " (process " + pid + ")"
	}
	return ""
}
