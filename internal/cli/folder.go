package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"

	"underkick/internal/poolside"
	"underkick/internal/store"
)

// openOrPage opens a data folder for what the page Keep can do too, and says so when a
// running program has the folder.
func (s streams) openOrPage(ctx context.Context, dir string) (context.Context, *poolside.App, error) {
	ctx, app, err := s.open(ctx, poolside.Options{DataDir: dir})
	if errors.Is(err, store.ErrLocked) {
		return ctx, nil, fmt.Errorf("%w. The page Keep of the running program does this without ending it", err)
	}
	return ctx, app, err
}

// defaultDataDir is where this system keeps a user's data, or UNDERKICK_DATA.
func defaultDataDir() string {
	if dir := os.Getenv("UNDERKICK_DATA"); dir != "" {
		return dir
	}
	return filepath.Join(dataHome(), "underkick")
}

// defaultDemoDir keeps the demo apart from anybody's own data.
func defaultDemoDir() string { return filepath.Join(dataHome(), "underkick-demo") }

func dataHome() string {
	if runtime.GOOS == "windows" {
		if dir := os.Getenv("LocalAppData"); dir != "" {
			return dir
		}
	}
	if runtime.GOOS != "windows" && runtime.GOOS != "darwin" {
		if dir := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
			return dir
		}
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "." // a system without home folders: beside where it is started
	}
	if runtime.GOOS == "darwin" {
		return filepath.Join(home, "Library", "Application Support")
	}
	return filepath.Join(home, ".local", "share")
}
