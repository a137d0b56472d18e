package film

import (
	"context"
	_ "embed"
	"fmt"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"time"
)

// selfTestClip is an MP4 of four frames of 64 by 64 pixels, H.264 with
// B-frames, made by our own encoder call; testdata/README.md has the command.
//
//go:embed testdata/selftest.mp4
var selfTestClip []byte

const selfTestTime = 20 * time.Second

// nativeTool runs the ffmpeg and ffprobe of the machine.
type nativeTool struct {
	ffmpeg, ffprobe string
	version         string
}

func (n *nativeTool) name() string                   { return "native" }
func (n *nativeTool) identity() string               { return "native " + n.version }
func (n *nativeTool) threads() int                   { return min(runtime.NumCPU(), 8) }
func (n *nativeTool) slow() bool                     { return false }
func (n *nativeTool) url(path string, _ bool) string { return "file:" + path }

func (n *nativeTool) command(ctx context.Context, program, _, _ string, args []string) (*exec.Cmd, error) {
	path := n.ffmpeg
	if program == "ffprobe" {
		path = n.ffprobe
	}
	cmd := exec.CommandContext(ctx, path, args...)
	cmd.Env = childEnv()
	return cmd, nil
}

// childEnv is our environment without what would make ffmpeg colour its log
// or write report files.
func childEnv() []string {
	env := []string{"AV_LOG_FORCE_NOCOLOR=1"}
	for _, kv := range os.Environ() {
		if !strings.HasPrefix(kv, "FFREPORT=") && !strings.HasPrefix(kv, "AV_LOG_FORCE_") {
			env = append(env, kv)
		}
	}
	return env
}

func openNative(ctx context.Context, opt Options, log *slog.Logger) (*Engine, error) {
	t := &nativeTool{}
	var err error
	if t.ffmpeg, err = findProgram(opt.FFmpeg, "ffmpeg"); err != nil {
		return nil, err
	}
	if t.ffprobe, err = findProgram(opt.FFprobe, "ffprobe"); err != nil {
		return nil, err
	}
	e := newEngine(t, log)
	ctx, cancel := context.WithTimeout(ctx, selfTestTime)
	defer cancel()
	out, err := e.output(ctx, run{what: "ask ffmpeg for its version", program: "ffmpeg", args: []string{"-hide_banner", "-version"}}, 64<<10)
	if err != nil {
		return nil, err
	}
	if t.version, err = nativeVersion(string(out)); err != nil {
		return nil, err
	}
	return e, e.selfTest(ctx)
}

func findProgram(set, name string) (string, error) {
	if set == "" {
		set = name
	}
	path, err := exec.LookPath(set)
	if err != nil {
		return "", fmt.Errorf("find %s: %w", name, err)
	}
	return filepath.Abs(path)
}

var (
	versionLine   = regexp.MustCompile(`^ffmpeg version (\S+)`)
	versionNumber = regexp.MustCompile(`^n?(\d+)\.(\d+)`)
)

// nativeVersion reads the version out of ffmpeg's answer and refuses releases
// before 5.1, which lack the frame timing option used here. Builds that are
// not releases ("N-12345-g...") pass; the self-test decides about them.
func nativeVersion(answer string) (string, error) {
	m := versionLine.FindStringSubmatch(answer)
	if m == nil {
		return "", fmt.Errorf("ffmpeg does not say its version")
	}
	if v := versionNumber.FindStringSubmatch(m[1]); v != nil {
		major, _ := strconv.Atoi(v[1]) // digits by the pattern; an overflow gives the largest int, which passes
		minor, _ := strconv.Atoi(v[2])
		if major < 5 || major == 5 && minor < 1 {
			return "", fmt.Errorf("ffmpeg %s is too old; version 5.1 or later is needed", m[1])
		}
	}
	return m[1], nil
}

// selfTest reads a small clip whose content is known through the same calls
// that read every other clip.
func (e *Engine) selfTest(ctx context.Context) error {
	dir, err := os.MkdirTemp("", "underkick-film-")
	if err != nil {
		return fmt.Errorf("self-test: %w", err)
	}
	defer func() { _ = os.RemoveAll(dir) }() // a scratch folder; the system clears it in the end
	path := filepath.Join(dir, "selftest.mp4")
	if err := os.WriteFile(path, selfTestClip, 0o600); err != nil {
		return fmt.Errorf("self-test: %w", err)
	}
	got := 0
	_, err = e.Decode(ctx, path, Request{Format: Luma}, func(p Picture) error {
		if p.Width == 64 && p.Height == 64 && len(p.Data) == 64*64 && brightQuarter(p) == p.N {
			got++
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("self-test: %w", err)
	}
	if got != 4 {
		return fmt.Errorf("self-test: %d of 4 test pictures were right", got)
	}
	return nil
}

// brightQuarter returns which quarter of a 64 by 64 picture is the bright one,
// row by row.
func brightQuarter(p Picture) int {
	best, value := 0, byte(0)
	for q, at := range [4]int{16*64 + 16, 16*64 + 48, 48*64 + 16, 48*64 + 48} {
		if p.Data[at] > value {
			best, value = q, p.Data[at]
		}
	}
	return best
}
