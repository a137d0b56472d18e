package film

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"

	"underkick/internal/film/wasmengine"
)

// workerEnv marks the processes we start as workers, so that a program that
// does not know WorkerWord and starts from its top cannot start further ones.
const workerEnv = "UNDERKICK_FILM_WORKER"

// embeddedTool runs the WebAssembly build: the program self started as worker.
type embeddedTool struct {
	self, cacheDir string
	warming        chan struct{} // holds one token; who has it may compile
	warm           bool          // guarded by the token
}

func (t *embeddedTool) name() string     { return "embedded" }
func (t *embeddedTool) identity() string { return "embedded " + wasmengine.Version }
func (t *embeddedTool) threads() int     { return 0 }
func (t *embeddedTool) slow() bool       { return true }

func (t *embeddedTool) url(path string, out bool) string {
	if out {
		return wasmengine.OutURL(path)
	}
	return wasmengine.InURL(path)
}

func (t *embeddedTool) command(ctx context.Context, program, in, out string, args []string) (*exec.Cmd, error) {
	if err := t.ready(ctx); err != nil {
		return nil, err
	}
	return t.worker(ctx, append([]string{"run", program, t.cacheDir, in, out}, args...)...), nil
}

func (t *embeddedTool) worker(ctx context.Context, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, t.self, append([]string{WorkerWord}, args...)...)
	cmd.Env = append(childEnv(), workerEnv+"=1")
	return cmd
}

// ready compiles the module once for all calls: two at a time would take
// twice as long and twice the memory.
func (t *embeddedTool) ready(ctx context.Context) error {
	select {
	case <-t.warming:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { t.warming <- struct{}{} }()
	if t.warm {
		return nil
	}
	cmd := t.worker(ctx, "warm", t.cacheDir)
	cmd.WaitDelay = waitDelay
	if out, err := cmd.CombinedOutput(); err != nil {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		return fmt.Errorf("prepare the built-in film engine: %w: %s", err, strings.TrimSpace(string(out[:min(len(out), maxLogTail)])))
	}
	t.warm = true
	return nil
}

// helloTime is what a worker has to answer in; it answers within 0.1 s.
const helloTime = 10 * time.Second

func openEmbedded(ctx context.Context, opt Options, log *slog.Logger) (*Engine, error) {
	if os.Getenv(workerEnv) != "" {
		return nil, errors.New("a film worker cannot start film workers; the program must call film.WorkerMain when its first argument is " + WorkerWord)
	}
	if !wasmengine.Supported() {
		return nil, wasmengine.ErrUnsupported
	}
	t := &embeddedTool{self: opt.Self, cacheDir: opt.CacheDir, warming: make(chan struct{}, 1)}
	t.warming <- struct{}{}
	var err error
	if t.self == "" {
		if t.self, err = os.Executable(); err != nil {
			return nil, fmt.Errorf("find this program: %w", err)
		}
	}
	if t.cacheDir == "" {
		dir, err := os.UserCacheDir()
		if err != nil {
			return nil, fmt.Errorf("find a folder for the film engine: %w", err)
		}
		t.cacheDir = filepath.Join(dir, "underkick")
	}
	if t.cacheDir, err = filepath.Abs(t.cacheDir); err != nil {
		return nil, fmt.Errorf("find the folder of the film engine: %w", err)
	}
	hello, cancel := context.WithTimeout(ctx, helloTime)
	defer cancel()
	cmd := t.worker(hello, "hello")
	cmd.WaitDelay = waitDelay
	out, err := cmd.Output()
	if err != nil || string(out) != helloAnswer {
		return nil, fmt.Errorf("%s does not answer as film worker (its main function must call film.WorkerMain): %w", filepath.Base(t.self), errors.Join(err, ctx.Err()))
	}
	return newEngine(t, log), nil
}

// Warm makes the engine ready to answer at once. For the embedded engine this
// compiles it into the cache folder, 5 to 25 s the first time after
// installing and below a second later; for the native one there is nothing to
// do. Calls that come before it has finished wait for it.
func (e *Engine) Warm(ctx context.Context) error {
	if t, ok := e.tool.(*embeddedTool); ok {
		return t.ready(ctx)
	}
	return nil
}
