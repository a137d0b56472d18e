package film

import (
	"errors"
	"fmt"
)

// The causes for which a file is refused or an engine cannot be had. The
// messages of the errors that wrap them are written for the person at the
// screen: what happened, what it means, what to do.
var (
	// ErrRefused is wrapped by every refusal of a file, beside its own cause.
	ErrRefused = errors.New("the file cannot be used as a clip")
	// ErrEmpty: the file has no bytes.
	ErrEmpty = errors.New("empty file")
	// ErrNotFilm: the content is not a film of a kind that is read here.
	ErrNotFilm = errors.New("not a film")
	// ErrUnfinished: the recording was cut off before its table of contents was written.
	ErrUnfinished = errors.New("unfinished recording")
	// ErrNoVideo: sound only, or sound with a cover picture.
	ErrNoVideo = errors.New("no moving picture")
	// ErrTooFew: fewer than two pictures.
	ErrTooFew = errors.New("fewer than two pictures")
	// ErrTooLarge: more pictures, or larger ones, than are read here.
	ErrTooLarge = errors.New("too large")

	// ErrNoEngine: neither a native nor the embedded ffmpeg can be run.
	ErrNoEngine = errors.New("no film engine")
	// ErrRange: the frames asked for are not in the clip, or too many at once.
	ErrRange = errors.New("frames out of range")
	// ErrIndexChanged: decoding gave other frames than the index had promised.
	// The engine has dropped the index; call Index again and repeat.
	ErrIndexChanged = errors.New("the clip's frames differ from its table of contents")
)

// refusal is an error for the user with its cause for errors.Is.
type refusal struct {
	cause error
	text  string
}

func refuse(cause error, format string, args ...any) error {
	return &refusal{cause, fmt.Sprintf(format, args...)}
}

// Error returns the text for the user.
func (r *refusal) Error() string { return r.text }

// Is reports whether target is ErrRefused or the cause.
func (r *refusal) Is(target error) bool { return target == ErrRefused || target == r.cause }

// processError is a failed child process: what was run, how it ended and the
// last lines it said.
type processError struct {
	what string
	err  error
	tail string
}

// Error returns the operation, the exit and the last lines of the log.
func (p *processError) Error() string {
	if p.tail == "" {
		return fmt.Sprintf("%s: %v", p.what, p.err)
	}
	return fmt.Sprintf("%s: %v: %s", p.what, p.err, p.tail)
}

// Unwrap returns the error of the process.
func (p *processError) Unwrap() error { return p.err }
