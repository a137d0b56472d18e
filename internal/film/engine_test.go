package film

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// script writes an executable that stands in for ffmpeg.
func script(t *testing.T, body string) string {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("needs shell scripts as programs")
	}
	path := filepath.Join(t.TempDir(), "ffmpeg")
	if err := os.WriteFile(path, []byte("#!/bin/sh\n"+body+"\n"), 0o700); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestOpen checks which engine is taken when the native one is missing, too
// old, or lies, and what is said then.
func TestOpen(t *testing.T) {
	old := script(t, `echo "ffmpeg version 4.2.7 Copyright"`)
	broken := script(t, `echo "ffmpeg version 7.1 Copyright"`)
	none := filepath.Join(t.TempDir(), "none")
	for _, c := range []struct{ program, says string }{
		{none, "find ffmpeg"}, {old, "too old"}, {broken, "self-test"},
	} {
		opt := Options{FFmpeg: c.program, FFprobe: c.program, CacheDir: filepath.Join(testDir, "engine")}
		if c.program == none {
			opt.FFprobe = old
		}
		opt.Prefer = Native
		if _, err := Open(t.Context(), opt); !errors.Is(err, ErrNoEngine) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("native only: %v, want it to say %q", err, c.says)
		}
		opt.Prefer = Auto
		e, err := Open(t.Context(), opt)
		if err != nil {
			t.Fatal(err)
		}
		if e.Name() != "embedded" || !e.Slow() || !strings.Contains(e.Note(), "slower") {
			t.Errorf("got %s, slow %v, note %q", e.Name(), e.Slow(), e.Note())
		}
	}
}

func TestNativeIsQuiet(t *testing.T) {
	e := native(t)
	if e.Slow() || e.Note() != "" || !strings.HasPrefix(e.Identity(), "native ") {
		t.Errorf("native: slow %v, note %q, identity %q", e.Slow(), e.Note(), e.Identity())
	}
}

// TestNoForest checks that a program that does not know the worker's word
// cannot make processes without end: a worker opens no embedded engine, and a
// program that does not answer as one is not used.
func TestNoForest(t *testing.T) {
	deaf := script(t, "echo hello")
	if _, err := Open(t.Context(), Options{Prefer: Embedded, Self: deaf, CacheDir: t.TempDir()}); !errors.Is(err, ErrNoEngine) {
		t.Errorf("a program that is no worker: %v", err)
	}
	t.Setenv(workerEnv, "1")
	if _, err := Open(t.Context(), Options{Prefer: Embedded, CacheDir: t.TempDir()}); !errors.Is(err, ErrNoEngine) {
		t.Errorf("inside a worker: %v", err)
	}
}

// TestWorkerMain checks the hidden command's answers to the wrong words.
func TestWorkerMain(t *testing.T) {
	for _, args := range [][]string{nil, {"run"}, {"run", "sh", "x", "", ""}, {"hello", "you"}} {
		var out, said bytes.Buffer
		if code := WorkerMain(args, strings.NewReader(""), &out, &said); code == 0 || out.Len() > 0 || said.Len() == 0 {
			t.Errorf("%q: code %d, %q, %q", args, code, out.String(), said.String())
		}
	}
	var out bytes.Buffer
	if code := WorkerMain([]string{"hello"}, nil, &out, &out); code != 0 || out.String() != helloAnswer {
		t.Errorf("hello: %d, %q", code, out.String())
	}
}

// TestWarmCancel checks that waiting for the engine to be compiled can be given up.
func TestWarmCancel(t *testing.T) {
	e, err := Open(t.Context(), Options{Prefer: Embedded, CacheDir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := e.Warm(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

// fakeTool is a program that writes what a test says.
type fakeTool struct {
	nativeTool
	script string
}

func (f *fakeTool) command(ctx context.Context, _, _, _ string, _ []string) (*exec.Cmd, error) {
	return exec.CommandContext(ctx, "sh", "-c", f.script), nil
}

// TestPicturesWithoutLines checks that a process that writes pictures but not
// the lines about them ends in an error and not in two sides waiting for each
// other: here the second picture has no line, and the process would go on
// writing for ever. The program that writes is a child of the one that is killed.
func TestPicturesWithoutLines(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("needs a shell")
	}
	e := native(t)
	idx, id, err := e.survey(t.Context(), clip(t, "cfr60.mp4"))
	if err != nil {
		t.Fatal(err)
	}
	script := fmt.Sprintf("echo '[Parsed_showinfo_0 @ 0x1] n: 0 pts: %d pts_time:0 s:320x180 iskey:1 type:I' >&2; cat /dev/zero", idx.Frames[0].PTS)
	d := &decoding{
		e: newEngine(&fakeTool{script: script}, e.log), idx: idx, id: id, req: Request{To: 5}, grace: time.Millisecond,
		fn: func(Picture) error { return nil },
	}
	rep, err := d.run(t.Context())
	if !errors.Is(err, ErrIndexChanged) || rep.Pictures != 1 {
		t.Errorf("%d pictures, %v", rep.Pictures, err)
	}
}
