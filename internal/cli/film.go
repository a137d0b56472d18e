package cli

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"

	"underkick/internal/door"
	"underkick/internal/film"
	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/table"
)

// filmOptions chooses the film engine.
type filmOptions struct {
	choice film.Preference
}

func (o *filmOptions) register(f *flags) {
	f.Func("film", "film engine `auto|native|embedded`: native is the system's ffmpeg (default auto)", func(word string) error {
		switch word {
		case "auto":
			o.choice = film.Auto
		case "native":
			o.choice = film.Native
		case "embedded":
			o.choice = film.Embedded
		default:
			return fmt.Errorf("--film is auto, native or embedded, not %q", word)
		}
		return nil
	})
}

// open starts the engine for a command that reads one clip, and says so on the
// error stream when it is the slow one.
func (o *filmOptions) open(ctx context.Context, s streams) (*film.Engine, error) {
	engine, err := film.Open(ctx, film.Options{Prefer: o.choice, CacheDir: engineCache()})
	if err != nil {
		return nil, err
	}
	if note := engine.Note(); note != "" {
		fmt.Fprintln(s.err, note)
	}
	return engine, nil
}

// engineCache is where commands without a data folder keep the embedded engine's
// compiled form: the place the pages use for the user's own data.
func engineCache() string { return filepath.Join(defaultDataDir(), "cache", "film") }

// codeOf is the exit code of an error by its cause.
func codeOf(err error) int {
	var problems *table.Problems
	var faults record.Faults
	switch {
	case errors.Is(err, store.ErrLocked):
		return exitLocked
	case errors.Is(err, film.ErrNoEngine), errors.Is(err, poolside.ErrNoBrowser):
		return exitExternal
	case errors.Is(err, poolside.ErrInput), errors.Is(err, poolside.ErrNotFound), errors.Is(err, film.ErrRefused), errors.Is(err, door.ErrWeak), errors.As(err, &problems), errors.As(err, &faults):
		return exitInput
	}
	return exitFailed
}
