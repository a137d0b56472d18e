package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"syscall"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"
)

// The causes that callers tell apart with errors.Is.
var (
	// ErrNotFound: there is no such record.
	ErrNotFound = errors.New("not found")
	// ErrLocked: another process has the data folder open.
	ErrLocked = errors.New("the data folder is in use")
	// ErrNewer: the data folder was written by a newer version of this program.
	ErrNewer = errors.New("the data folder is from a newer version")
	// ErrNoData: there is no data folder, and none was to be made.
	ErrNoData = errors.New("there is no data folder")
	// ErrDamaged: the database file is not one, or is damaged.
	ErrDamaged = errors.New("the database is damaged")
	// ErrReadOnly: the data folder cannot be written to.
	ErrReadOnly = errors.New("the data folder cannot be written to")
	// ErrFull: the disk is full.
	ErrFull = errors.New("the disk is full")
	// ErrInUse: the record still holds others and was not deleted.
	ErrInUse = errors.New("still in use")
	// ErrNothing: there is nothing to undo or redo, or no job to claim.
	ErrNothing = errors.New("there is nothing")
	// ErrEmpty: the file brought in has no bytes.
	ErrEmpty = errors.New("empty file")
)

// cause is an error with words for the user, a sentinel to tell it apart by,
// and the error below.
type cause struct {
	kind  error
	text  string
	below error
}

// Error returns the words for the user.
func (c *cause) Error() string { return c.text }

// Unwrap returns the sentinel and the error below.
func (c *cause) Unwrap() []error {
	if c.below == nil {
		return []error{c.kind}
	}
	return []error{c.kind, c.below}
}

func because(kind, below error, format string, args ...any) error {
	return &cause{kind, fmt.Sprintf(format, args...), below}
}

// explain puts words to what a disk or the database can do to us and adds the
// operation. It leaves other errors as they are, and nil nil.
func explain(op string, err error) error {
	if err == nil {
		return nil
	}
	var known *cause
	if errors.As(err, &known) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return fmt.Errorf("%s: %w", op, err)
	}
	code := 0
	var sq *sqlite.Error
	if errors.As(err, &sq) {
		code = sq.Code() & 0xff // the rest says more than is needed here
	}
	switch {
	case code == lib.SQLITE_FULL || diskFull(err):
		return because(ErrFull, err, "%s: the disk is full; nothing of this step was kept, all earlier work was. Make room on the disk and try again.", op)
	case errors.Is(err, syscall.EFBIG):
		return because(ErrFull, err, "%s: that disk takes no file so large; nothing was kept. Sticks formatted as FAT take files up to 4 GB: use one formatted as exFAT, or another disk.", op)
	case code == lib.SQLITE_READONLY || code == lib.SQLITE_CANTOPEN || errors.Is(err, fs.ErrPermission) || errors.Is(err, syscall.EROFS):
		return because(ErrReadOnly, err, "%s: the data folder cannot be written to (%v); nothing was changed. Give yourself write permission there, or choose another folder with --data.", op, err)
	case code == lib.SQLITE_NOTADB || code == lib.SQLITE_CORRUPT:
		return because(ErrDamaged, err, "%s: the file underkick.db is damaged or is something else (%v). Nothing was changed. Bring back a backup (underkick restore FILE --replace); copies made before upgrades, without films, are in the folder backups.", op, err)
	}
	return fmt.Errorf("%s: %w", op, err)
}
