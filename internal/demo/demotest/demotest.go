// Package demotest makes a data folder with the demo's squad once for many tests: loading,
// measuring and estimating it takes a minute of processor time, copying it none.
package demotest

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"
)

// KeepEnv names a folder that all packages of one run of the tests share, so that one of
// them makes the demo for all. Without it each package makes its own.
const KeepEnv = "UNDERKICK_TEST_KEEP"

// Load puts the demo into a new data folder and waits until nothing is left to do there.
type Load func(ctx context.Context, dir string) error

var kept struct {
	sync.Mutex
	dir string // "" = not made yet
	own string // to be removed by Clear
	err error
}

// Copy returns a folder of the test's own with what load made for the first who asked. It
// skips where the demo cannot be had: under -short and without native ffmpeg.
func Copy(t testing.TB, load Load) string {
	t.Helper()
	if testing.Short() {
		t.Skip("loads the demo's films; left out under -short")
	}
	for _, tool := range []string{"ffmpeg", "ffprobe"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skip("no native ffmpeg on this machine; `make needs` installs it")
		}
	}
	from, err := folder(load)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
	return dir
}

// Clear removes what was made for this package alone; TestMain calls it last.
func Clear() {
	if kept.own != "" {
		_ = os.RemoveAll(kept.own) // the system's own folder for what may go
	}
}

func folder(load Load) (string, error) {
	kept.Lock()
	defer kept.Unlock()
	if kept.dir == "" && kept.err == nil {
		if shared := os.Getenv(KeepEnv); shared != "" {
			kept.dir, kept.err = sharedFolder(shared, load)
		} else if kept.own, kept.err = os.MkdirTemp("", "demo-kept-"); kept.err == nil {
			kept.dir, kept.err = filepath.Join(kept.own, "data"), load(context.Background(), filepath.Join(kept.own, "data"))
		}
	}
	return kept.dir, kept.err
}

// patience is how long one package waits for another that makes the demo.
const patience = 15 * time.Minute

// sharedFolder makes the demo, or waits for the package that does.
func sharedFolder(shared string, load Load) (string, error) {
	ready, making, failed := filepath.Join(shared, "demo"), filepath.Join(shared, "making"), filepath.Join(shared, "failed")
	err := os.Mkdir(making, 0o700)
	if err == nil {
		data := filepath.Join(making, "data")
		if err := load(context.Background(), data); err != nil {
			return "", errors.Join(err, os.WriteFile(failed, []byte(err.Error()), 0o600))
		}
		return ready, os.Rename(data, ready)
	}
	if !errors.Is(err, fs.ErrExist) {
		return "", err
	}
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if _, err := os.Stat(ready); err == nil {
			return ready, nil
		}
		if text, err := os.ReadFile(failed); err == nil {
			return "", fmt.Errorf("another package could not load the demo: %s", text)
		}
	}
	return "", fmt.Errorf("waited %v in vain for the package that loads the demo in %s", patience, making)
}
