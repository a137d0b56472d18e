package cli

import (
	"fmt"

	"underkick/internal/poolside"
)

// unusable is something given that cannot be used, in words for the user alone: what the
// cause says below would say the same again. It answers to poolside.ErrInput and its cause.
type unusable struct {
	text  string
	cause error
}

// unusablef makes one; cause may be nil.
func unusablef(cause error, format string, args ...any) error {
	return unusable{fmt.Sprintf(format, args...), cause}
}

// Error returns the words for the user.
func (e unusable) Error() string { return e.text }

// Unwrap returns what it answers to.
func (e unusable) Unwrap() []error {
	if e.cause == nil {
		return []error{poolside.ErrInput}
	}
	return []error{poolside.ErrInput, e.cause}
}
