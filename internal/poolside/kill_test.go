package poolside

import (
	"bufio"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/exported/exportedtest"
	"underkick/internal/store/storetest"
)

// childEnv, when set, makes this test binary the process that a test kills: what it does,
// and the folder it does it in.
const childEnv = "UNDERKICK_POOLSIDE_CHILD"

// Names in the folder of one round.
const (
	killData   = "data"
	killOut    = "out"
	killBackup = "all.zip"
	killAgain  = "again"
)

// child does one thing and says on standard output when it is acknowledged.
func child(what, dir string) error {
	ctx := context.Background()
	if what == "restore" {
		fmt.Println("open")
		_, err := Restore(ctx, filepath.Join(dir, killBackup), filepath.Join(dir, killAgain), store.BackupOptions{Replace: true})
		fmt.Println("done")
		return err
	}
	app, err := Open(ctx, Options{DataDir: filepath.Join(dir, killData)})
	if err != nil {
		return err
	}
	fmt.Println("open")
	switch what {
	case "erase":
		w, err := app.FindSwimmer(ctx, "Quillgone Holm")
		if err != nil {
			return err
		}
		if _, err := app.EraseSwimmer(ctx, EraseRequest{SwimmerID: w.ID}); err != nil {
			return err
		}
	case "export":
		if _, err := app.Export(ctx, filepath.Join(dir, killOut), ExportRequest{Films: true}); err != nil {
			return err
		}
	case "backup":
		if _, err := app.Backup(ctx, filepath.Join(dir, killBackup), store.BackupOptions{}); err != nil {
			return err
		}
	}
	fmt.Println("done")
	return app.Close()
}

// killer kills children at random instants and looks at what they leave.
type killer struct {
	template string
	gone     storetest.Life
	mate     storetest.Life
	standing map[string]string // by the name of the life
	rng      *rand.Rand
}

func newKiller(t *testing.T) *killer {
	t.Helper()
	k := &killer{template: t.TempDir(), rng: rand.New(rand.NewPCG(11, 4)), standing: map[string]string{}}
	app, err := Open(t.Context(), Options{DataDir: filepath.Join(k.template, killData)})
	if err != nil {
		t.Fatal(err)
	}
	squad, err := app.store.AddSquad(t.Context(), record.Squad{Name: "Lake Lane Juniors"})
	if err != nil {
		t.Fatal(err)
	}
	k.gone = storetest.Live(t, app.store.Store, squad, "Quillgone")
	k.mate = storetest.Live(t, app.store.Store, squad, "Quillmate")
	cached(t, app.store.CacheDir(), k.gone, []storetest.Life{k.mate})
	for name, l := range map[string]storetest.Life{"gone": k.gone, "mate": k.mate} {
		k.standing[name] = string(l.Standing(t, app.store.Store))
	}
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
	return k
}

// round runs a child in a copy of the template and kills it after a while, 0 = never. It
// returns the copy, whether the child had said that it was done, and how long it ran.
func (k *killer) round(t *testing.T, what string, after time.Duration, prepare func(dir string)) (dir string, done bool, took time.Duration) {
	t.Helper()
	dir = t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, killData), os.DirFS(filepath.Join(k.template, killData))); err != nil {
		t.Fatal(err)
	}
	if prepare != nil {
		prepare(dir)
	}
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childEnv+"="+what, childEnv+"_DIR="+dir)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewReader(out)
	begun := time.Now()
	for {
		line, err := lines.ReadString('\n')
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch strings.TrimSpace(line) {
		case "open": // from here on at any instant, so that a slow machine gets as far
			begun = time.Now()
			if after > 0 {
				time.AfterFunc(after, func() { _ = cmd.Process.Kill() })
			}
		case "done":
			done, took = true, time.Since(begun)
		}
	}
	if err := cmd.Wait(); err != nil && after == 0 {
		t.Fatalf("%s ended by itself: %v", what, err)
	}
	return dir, done, took
}

// kill runs rounds of one kind and lets check look at each; it says how many were killed
// before they were done.
func (k *killer) kill(t *testing.T, what string, prepare func(dir string), check func(t *testing.T, dir string, done bool)) {
	rounds := 40
	if testing.Short() {
		rounds = 4
	}
	dir, done, whole := k.round(t, what, 0, prepare)
	if !done {
		t.Fatalf("%s is never done", what)
	}
	check(t, dir, true)
	killed := 0
	for range rounds {
		after := time.Duration(k.rng.Int64N(int64(whole)*11/10)) + time.Microsecond
		dir, done, _ := k.round(t, what, after, prepare)
		if !done {
			killed++
		}
		check(t, dir, done)
		if err := os.RemoveAll(dir); err != nil || t.Failed() {
			t.Fatalf("%s killed after %v, done %v: %v", what, after, done, err)
		}
	}
	t.Logf("%s takes %v; %d kills, %d before it was done", what, whole.Round(time.Millisecond), rounds, killed)
	if !testing.Short() && killed < rounds/3 { // of four all may come too late
		t.Error("too few were killed in the middle for this to prove anything")
	}
}

// reopened opens a data folder as the next start does, hands it to look, and closes it.
func reopened(t *testing.T, dir string, look func(app *App)) {
	t.Helper()
	app, err := Open(t.Context(), Options{DataDir: dir})
	// A program that the killed one was about to start holds its lock until it has started.
	for end := time.Now().Add(10 * time.Second); errors.Is(err, store.ErrLocked) && time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		app, err = Open(t.Context(), Options{DataDir: dir})
	}
	if err != nil {
		t.Fatal(err)
	}
	look(app)
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
	// Queries that were cut off by Close may take a moment to let go.
	db, err := sql.Open("sqlite", filepath.Join(dir, "underkick.db")+"?_pragma=busy_timeout(10000)")
	if err != nil {
		t.Fatal(err)
	}
	var sound string
	if err := db.QueryRowContext(t.Context(), `PRAGMA integrity_check`).Scan(&sound); err != nil || sound != "ok" {
		t.Errorf("the database is %q, %v", sound, err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}

// noOrphans: neither in the clips folder nor beside what was written does anything lie that
// was not finished.
func noOrphans(t *testing.T, dir string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if name := filepath.Base(path); strings.HasPrefix(name, ".underkick-") || strings.HasPrefix(name, "incoming-") || strings.HasPrefix(name, "underkick.unfinished") {
			t.Errorf("left over: %s", path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestKilledWhileErasing(t *testing.T) {
	k := newKiller(t)
	k.kill(t, "erase", nil, func(t *testing.T, dir string, done bool) {
		data, there := filepath.Join(dir, killData), true
		reopened(t, data, func(app *App) {
			_, err := app.store.Swimmer(t.Context(), k.gone.Swimmer.ID)
			there = !errors.Is(err, ErrNotFound)
			if there && string(k.gone.Standing(t, app.store.Store)) != k.standing["gone"] {
				t.Error("half of a swimmer is erased")
			}
			if string(k.mate.Standing(t, app.store.Store)) != k.standing["mate"] {
				t.Error("the mate changed")
			}
		})
		if done && there {
			t.Error("the swimmer was said to be erased and is there")
		}
		if found := storetest.Holding(t, data, k.gone.Words...); !there && len(found) > 0 {
			t.Errorf("still there: %s", strings.Join(found, "; "))
		}
		noOrphans(t, dir)
	})
}

func TestKilledWhileExporting(t *testing.T) {
	k := newKiller(t)
	k.kill(t, "export", nil, func(t *testing.T, dir string, done bool) {
		reopened(t, filepath.Join(dir, killData), func(app *App) {
			if string(k.gone.Standing(t, app.store.Store)) != k.standing["gone"] {
				t.Error("the records changed")
			}
		})
		noOrphans(t, dir)
		out := filepath.Join(dir, killOut)
		if _, err := os.Stat(out); errors.Is(err, fs.ErrNotExist) {
			if done {
				t.Error("the export was acknowledged and is not there")
			}
			return
		}
		exportedtest.Check(t, out)
	})
}

func TestKilledWhileBackingUp(t *testing.T) {
	k := newKiller(t)
	k.kill(t, "backup", nil, func(t *testing.T, dir string, done bool) {
		reopened(t, filepath.Join(dir, killData), func(*App) {})
		noOrphans(t, dir)
		file := filepath.Join(dir, killBackup)
		if _, err := os.Stat(file); errors.Is(err, fs.ErrNotExist) {
			if done {
				t.Error("the backup was acknowledged and is not there")
			}
			return
		}
		if m, err := CheckBackup(t.Context(), file); err != nil || len(m.Parts) != 5 {
			t.Errorf("%d parts, %v", len(m.Parts), err)
		}
	})
}

// TestKilledWhileRestoring: over a folder that holds something else. Afterwards there is the
// one or the other, whole, and what was there before is never lost.
func TestKilledWhileRestoring(t *testing.T) {
	k := newKiller(t)
	backup := filepath.Join(t.TempDir(), killBackup)
	reopened(t, filepath.Join(k.template, killData), func(app *App) {
		if _, err := app.Backup(t.Context(), backup, store.BackupOptions{}); err != nil {
			t.Fatal(err)
		}
	})
	before := filepath.Join(t.TempDir(), killAgain)
	reopened(t, before, func(app *App) {
		if _, err := app.store.AddSquad(t.Context(), record.Squad{Name: "Before"}); err != nil {
			t.Fatal(err)
		}
	})
	prepare := func(dir string) {
		text, err := os.ReadFile(backup)
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, killBackup), text, 0o600)
		}
		if err := errors.Join(err, os.CopyFS(filepath.Join(dir, killAgain), os.DirFS(before))); err != nil {
			t.Fatal(err)
		}
	}
	k.kill(t, "restore", prepare, func(t *testing.T, dir string, done bool) {
		name := ""
		reopened(t, filepath.Join(dir, killAgain), func(app *App) {
			squads, err := app.store.Squads(t.Context())
			if err != nil || len(squads) != 1 {
				t.Fatalf("squads %+v, %v", squads, err)
			}
			name = squads[0].Name
			if name != "Before" && string(k.mate.Standing(t, app.store.Store)) != k.standing["mate"] {
				t.Error("what was restored is not what was backed up")
			}
		})
		if done && name == "Before" {
			t.Error("the restore was acknowledged and is not there")
		}
		noOrphans(t, dir)
		asides, err := filepath.Glob(filepath.Join(dir, killAgain+"-before-restore-*"))
		if err != nil || len(asides) != map[bool]int{true: 0, false: 1}[name == "Before"] {
			t.Fatalf("%s is there, aside lies %v, %v", name, asides, err)
		}
		for _, aside := range asides {
			reopened(t, aside, func(app *App) {
				if squads, err := app.store.Squads(t.Context()); err != nil || len(squads) != 1 || squads[0].Name != "Before" {
					t.Errorf("aside lies %+v, %v", squads, err)
				}
			})
		}
	})
}

// TestTheSecondProcessSaysSoAndStops: while one has the folder, another can neither open,
// restore over it, nor take it away.
func TestTheSecondProcessSaysSoAndStops(t *testing.T) {
	app := openApp(t)
	backup := filepath.Join(t.TempDir(), "all.zip")
	if _, err := app.Backup(t.Context(), backup, store.BackupOptions{}); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(t.Context(), Options{DataDir: app.DataDir()}); !errors.Is(err, store.ErrLocked) {
		t.Errorf("opened twice: %v", err)
	}
	if _, err := Restore(t.Context(), backup, app.DataDir(), store.BackupOptions{Replace: true}); !errors.Is(err, store.ErrLocked) {
		t.Errorf("restored over an open folder: %v", err)
	}
	if _, err := app.store.AddSquad(t.Context(), record.Squad{Name: "Still writing"}); err != nil {
		t.Error(err)
	}
}
