package poolside

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"underkick/internal/demo"
	"underkick/internal/demo/demotest"
	"underkick/internal/film"
)

func TestMain(m *testing.M) {
	if len(os.Args) > 1 && os.Args[1] == film.WorkerWord {
		os.Exit(film.WorkerMain(os.Args[2:], os.Stdin, os.Stdout, os.Stderr))
	}
	if what := os.Getenv(childEnv); what != "" { // see kill_test.go
		if err := child(what, os.Getenv(childEnv+"_DIR")); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	code := m.Run()
	demotest.Clear()
	os.Exit(code)
}

// engine is the machine's ffmpeg or, on a bare machine, the embedded one.
var engine = sync.OnceValues(func() (*film.Engine, error) {
	return film.Open(context.Background(), film.Options{})
})

func openEngine(t *testing.T) *film.Engine {
	t.Helper()
	e, err := engine()
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// openApp opens an app on a new data folder.
func openApp(t *testing.T) *App {
	t.Helper()
	return openFolder(t, t.TempDir())
}

// openDemo opens an app on a folder of the test's own with the demo's squad, whose runs are
// measured and estimated. Measurements that another test made of the same inputs are in
// its memory.
func openDemo(t *testing.T) *App {
	t.Helper()
	app := openFolder(t, demotest.Copy(t, makeDemo))
	demoMeasured.Lock()
	defer demoMeasured.Unlock()
	for key, m := range demoMeasured.byKey {
		app.measured.put(key, m)
	}
	t.Cleanup(func() { rememberMeasured(app) })
	return app
}

// demoMeasured are measurements of the demo's runs, by the hash of their inputs.
var demoMeasured = struct {
	sync.Mutex
	byKey map[string]*Measured
}{byKey: map[string]*Measured{}}

// rememberMeasured keeps what an app measured, for the next one.
func rememberMeasured(app *App) {
	app.measured.mu.Lock()
	defer app.measured.mu.Unlock()
	demoMeasured.Lock()
	defer demoMeasured.Unlock()
	for key, m := range app.measured.byKey {
		if len(demoMeasured.byKey) < measuredKept/2 { // leaves room for what a test measures
			demoMeasured.byKey[key] = m
		}
	}
}

// makeDemo is what demotest keeps for all packages: the demo, with nothing left to do.
func makeDemo(ctx context.Context, dir string) error {
	app, err := Open(ctx, Options{DataDir: dir})
	if err != nil {
		return err
	}
	err = app.LoadDemo(ctx, func(string) {})
	if err == nil {
		err = app.FinishWork(ctx)
	}
	rememberMeasured(app)
	return errors.Join(err, app.Close())
}

func openFolder(t *testing.T, dir string) *App {
	t.Helper()
	app, err := Open(t.Context(), Options{DataDir: dir})
	if err != nil {
		t.Fatal(err)
	}
	app.film = openEngine(t) // one engine for all tests: its start costs a second
	t.Cleanup(func() {
		if err := app.Close(); err != nil {
			t.Error(err)
		}
	})
	return app
}

func loadDemo(t *testing.T) *demo.Squad {
	t.Helper()
	d, err := demo.Load()
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// clipFile writes a demo clip's film into a folder.
func clipFile(t *testing.T, c demo.Clip) string {
	t.Helper()
	text, err := c.Film()
	if err != nil {
		t.Fatal(err)
	}
	return writeFile(t, c.File(), text)
}

func writeFile(t *testing.T, name string, text []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// skipShort leaves out what measures whole clips: under the race detector, which
// runs the short tests, that takes minutes and shares nothing.
func skipShort(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("measures whole clips; left out under -short")
	}
}
