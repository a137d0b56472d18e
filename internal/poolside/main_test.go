package poolside

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"underkick/internal/demo"
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
	os.Exit(m.Run())
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
	app, err := Open(t.Context(), Options{DataDir: t.TempDir()})
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
