package film

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
)

// Preference says which engine to open.
type Preference string

// The preferences. The zero value is Auto.
const (
	Auto     Preference = ""         // native when it is there and works, else embedded
	Native   Preference = "native"   // ffmpeg and ffprobe of the machine
	Embedded Preference = "embedded" // the WebAssembly build in this program
)

// Options are the choices of Open; the zero value is the default.
type Options struct {
	Prefer Preference
	// CacheDir is where the embedded engine keeps its compiled form (about
	// 90 MB); empty = a folder of the user's cache directory.
	CacheDir string
	// FFmpeg and FFprobe are the native programs; empty = found in PATH.
	FFmpeg, FFprobe string
	// Self is the program that answers to WorkerWord; empty = this program.
	Self string
	// Log receives what the engine does; nil = nothing.
	Log *slog.Logger
}

// Engine reads clips by one of the two ffmpeg builds. It is safe for
// concurrent use; each call runs its own child process.
type Engine struct {
	tool tool
	log  *slog.Logger
	note string

	mu   sync.Mutex
	memo map[fileID]*Index
	used []fileID // oldest first

	encoderMu sync.Mutex
	encoder   *Encoder // found out at first need
}

// A tool makes the child processes of one engine. It is the whole difference
// between the two.
type tool interface {
	name() string
	identity() string // name and version, part of cache keys
	threads() int     // decoding threads worth asking for
	slow() bool
	// url is how the program names the file path, readable, or writable as out.
	url(path string, out bool) string
	// command is program ("ffmpeg" or "ffprobe") with args; in and out are the
	// files it may read and write ("" = none).
	command(ctx context.Context, program, in, out string, args []string) (*exec.Cmd, error)
}

// Open returns an engine of the preferred kind after a self-test. With Auto
// the native programs are taken when they pass; otherwise the embedded build
// is taken and Note says why. It fails with an error wrapping ErrNoEngine.
func Open(ctx context.Context, opt Options) (*Engine, error) {
	log := opt.Log
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	var why error
	if opt.Prefer != Embedded {
		e, err := openNative(ctx, opt, log)
		if err == nil {
			return e, nil
		}
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if opt.Prefer == Native {
			return nil, fmt.Errorf("%w: the native ffmpeg cannot be used: %w", ErrNoEngine, err)
		}
		why = err
		log.Info("native ffmpeg not used", "reason", err)
	}
	e, err := openEmbedded(ctx, opt, log)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNoEngine, errors.Join(why, err))
	}
	e.note = "Reading film with the built-in engine, which is about five times slower than ffmpeg. " +
		"Install ffmpeg (version 5.1 or later) to make it fast; the results are the same."
	return e, nil
}

func newEngine(t tool, log *slog.Logger) *Engine {
	return &Engine{tool: t, log: log, memo: map[fileID]*Index{}}
}

// Name returns "native" or "embedded".
func (e *Engine) Name() string { return e.tool.name() }

// Identity returns the engine's name with its version; pictures made by
// engines of equal identity are equal.
func (e *Engine) Identity() string { return e.tool.identity() }

// Slow reports whether the engine is the slow one.
func (e *Engine) Slow() bool { return e.tool.slow() }

// Note returns a sentence for the user about the engine's speed, empty when
// there is nothing to say.
func (e *Engine) Note() string { return e.note }

// fileID recognises an unchanged file.
type fileID struct {
	path  string
	size  int64
	mtime int64
}

// identify returns the absolute path of a clip and its id, and refuses what is
// not a readable file with content.
func identify(path string) (fileID, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return fileID{}, fmt.Errorf("find clip: %w", err)
	}
	st, err := os.Stat(abs)
	if err != nil {
		return fileID{}, fmt.Errorf("find clip: %w", err)
	}
	name := filepath.Base(path)
	if !st.Mode().IsRegular() {
		return fileID{}, refuse(ErrNotFilm, "%s is not a file. Choose the film file itself.", name)
	}
	if st.Size() == 0 {
		return fileID{}, refuse(ErrEmpty, "%s is empty (0 bytes). Copy the clip again from the camera.", name)
	}
	return fileID{abs, st.Size(), st.ModTime().UnixNano()}, nil
}

const memoSize = 16

// recall returns the remembered index of a file, or nil.
func (e *Engine) recall(id fileID) *Index {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.memo[id]
}

// remember keeps the index of a file, forgetting the oldest above memoSize.
func (e *Engine) remember(id fileID, idx *Index) {
	e.mu.Lock()
	defer e.mu.Unlock()
	if _, ok := e.memo[id]; !ok {
		e.used = append(e.used, id)
	}
	e.memo[id] = idx
	if len(e.used) > memoSize {
		delete(e.memo, e.used[0])
		e.used = e.used[1:]
	}
}
