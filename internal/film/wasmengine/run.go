package wasmengine

import (
	"context"
	"errors"
	"fmt"
	"io"
	"path"
	"path/filepath"
	"runtime"

	"codeberg.org/gruf/go-ffmpreg/wasm"
	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/experimental"
)

// ErrUnsupported is returned on machines for which there is no compiler; an
// interpreted module would take minutes for a second of film.
var ErrUnsupported = errors.New("the built-in film engine does not run on this kind of machine; install ffmpeg 5.1 or later")

// The folders under which the module sees the files it may use.
const (
	guestIn  = "/in"
	guestOut = "/out"
)

// InURL is how the module names the host file p that it may read.
func InURL(p string) string { return "file:" + path.Join(guestIn, filepath.Base(p)) }

// OutURL is how the module names the host file p that it may write.
func OutURL(p string) string { return "file:" + path.Join(guestOut, filepath.Base(p)) }

// Call is one run of ffmpeg or ffprobe.
type Call struct {
	CacheDir string // where the unpacked and the compiled module are kept
	Program  string // "ffmpeg" or "ffprobe"
	// In and Out are host files. The module sees the folder of In read-only
	// and the folder of Out to read and write, and nothing else of the
	// machine; empty = none.
	In, Out        string
	Args           []string
	Stdin          io.Reader
	Stdout, Stderr io.Writer
}

// Supported reports whether the module can be compiled for this machine.
func Supported() bool {
	switch runtime.GOOS {
	case "linux", "darwin", "windows", "freebsd", "netbsd":
		return runtime.GOARCH == "amd64" || runtime.GOARCH == "arm64"
	}
	return false
}

// Warm unpacks and compiles the module into the cache folder, unless done
// before. It takes 5 to 25 s once and up to 1 s afterwards.
func Warm(ctx context.Context, cacheDir string) error {
	rt, _, err := load(ctx, cacheDir)
	if err != nil {
		return err
	}
	return rt.Close(ctx)
}

// Run runs the program to its end and returns its exit code. A context that
// ends does not stop it.
func Run(ctx context.Context, c Call) (int, error) {
	rt, module, err := load(ctx, c.CacheDir)
	if err != nil {
		return 0, err
	}
	defer func() { _ = rt.Close(ctx) }() // the process ends after it
	files := wazero.NewFSConfig()
	if c.In != "" {
		files = files.WithReadOnlyDirMount(filepath.Dir(c.In), guestIn)
	}
	if c.Out != "" {
		files = files.WithDirMount(filepath.Dir(c.Out), guestOut)
	}
	code, err := wasm.Run(ctx, rt, module, wasm.Args{
		Name: c.Program, Args: c.Args, Stdin: c.Stdin, Stdout: c.Stdout, Stderr: c.Stderr,
		Config: func(m wazero.ModuleConfig) wazero.ModuleConfig {
			return m.WithFSConfig(files).WithEnv("AV_LOG_FORCE_NOCOLOR", "1").WithSysWalltime().WithSysNanotime()
		},
	})
	if err != nil {
		return 0, fmt.Errorf("run the built-in %s: %w", c.Program, err)
	}
	return int(code), nil
}

// load returns a runtime with the compiled module.
func load(ctx context.Context, cacheDir string) (wazero.Runtime, wazero.CompiledModule, error) {
	if !Supported() {
		return nil, nil, ErrUnsupported
	}
	dir, err := prepare(cacheDir)
	if err != nil {
		return nil, nil, err
	}
	code, err := unpack(dir)
	if err != nil {
		return nil, nil, err
	}
	cache, err := wazero.NewCompilationCacheWithDir(dir)
	if err != nil {
		return nil, nil, fmt.Errorf("keep the film engine: %w", err)
	}
	ctx = experimental.WithCompilationWorkers(ctx, max(1, min(runtime.NumCPU(), 8)))
	rt, err := wasm.NewRuntime(ctx, wazero.NewRuntimeConfigCompiler().WithCompilationCache(cache))
	if err != nil {
		return nil, nil, fmt.Errorf("start the film engine: %w", err)
	}
	module, err := rt.CompileModule(ctx, code)
	if err != nil {
		_ = rt.Close(ctx) // the first error is the one to tell
		return nil, nil, fmt.Errorf("compile the film engine: %w", err)
	}
	return rt, module, nil
}
