package store

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lockAt lies beyond the text of the lock file, which stays readable.
const lockAt = 1 << 20

// tryLock takes an exclusive lock on f without waiting; it goes with the
// process.
func tryLock(f *os.File) error {
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, &windows.Overlapped{Offset: lockAt})
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) || errors.Is(err, windows.ERROR_IO_PENDING) {
		return errHeld
	}
	return err
}

// syncFolder does nothing: the system writes names through by itself and
// folders cannot be flushed.
func syncFolder(string) error { return nil }
