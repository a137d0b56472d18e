package poolside

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store/exported/exportedtest"
	"underkick/internal/store/storetest"
)

// livingSquad fills a data folder with two swimmers of one squad who swim in each other's
// clips.
func livingSquad(t *testing.T, app *App) (mira, jonas storetest.Life) {
	t.Helper()
	squad, err := app.store.AddSquad(t.Context(), record.Squad{Name: "Lake Lane Juniors", Notes: "Tuesdays"})
	if err != nil {
		t.Fatal(err)
	}
	mira = storetest.Live(t, app.store.Store, squad, "Miraquill")
	jonas = storetest.Live(t, app.store.Store, squad, "Jonasquill")
	mira.Share(t, app.store.Store, jonas)
	if _, err := app.store.AddDrill(t.Context(), record.OwnDrill{Drill: storetest.Drill(), By: "Ann"}); err != nil {
		t.Fatal(err)
	}
	return mira, jonas
}

// TestAnExportIsADataPackage holds an export against the rules of the Frictionless Data
// Package standard.
func TestAnExportIsADataPackage(t *testing.T) {
	app := openApp(t)
	mira, _ := livingSquad(t, app)
	for name, req := range map[string]ExportRequest{
		"squad": {SquadID: mira.Squad.ID}, "squad with films": {Films: true}, "swimmer": {SwimmerID: mira.Swimmer.ID}, "swimmer with films": {SwimmerID: mira.Swimmer.ID, Films: true},
	} {
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "deep", "out")
			out, err := app.Export(t.Context(), dir, req)
			if err != nil {
				t.Fatal(err)
			}
			exportedtest.Check(t, dir)
			if keep := os.Getenv("UNDERKICK_KEEP_EXPORT"); keep != "" { // for a reader outside this module
				if err := os.CopyFS(filepath.Join(keep, strings.ReplaceAll(name, " ", "-")), os.DirFS(dir)); err != nil {
					t.Error(err)
				}
			}
			if wantFilms := map[string]int{"squad with films": 4, "swimmer with films": 1}[name]; out.Films != wantFilms {
				t.Errorf("%d films, want %d", out.Films, wantFilms)
			}
		})
	}
}

// TestAnExportIsWhole: everything that was noted of a swimmer stands in it, and nothing of
// the squad mate.
func TestAnExportIsWhole(t *testing.T) {
	app, dir := openApp(t), t.TempDir()
	mira, jonas := livingSquad(t, app)
	if _, err := app.Export(t.Context(), filepath.Join(dir, "one"), ExportRequest{SwimmerID: mira.Swimmer.ID}); err != nil {
		t.Fatal(err)
	}
	if _, err := app.Export(t.Context(), filepath.Join(dir, "all"), ExportRequest{}); err != nil {
		t.Fatal(err)
	}
	one, all := readAll(t, filepath.Join(dir, "one")), readAll(t, filepath.Join(dir, "all"))
	work := []string{} // ids of background work are not exported
	jobs, err := app.store.JobsOn(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range jobs {
		work = append(work, j.ID)
	}
	for _, w := range append(mira.Words, "Miraquill lane 2", "Miraquill parent", "Miraquill marker", "Five to the finish", "2025-03-01") {
		if slices.Contains(work, w) {
			continue
		}
		if !strings.Contains(one, w) || !strings.Contains(all, w) {
			t.Errorf("%q is not exported", w)
		}
	}
	for _, w := range []string{"Jonasquill Holm", "Jonasquill parent", "Jonasquill changed", jonas.Swimmer.ID, jonas.Runs[0].ID} {
		if strings.Contains(one, w) {
			t.Errorf("the export of one swimmer holds %q of another", w)
		}
		if !strings.Contains(all, w) {
			t.Errorf("the export of all lacks %q", w)
		}
	}
	p := exportedtest.Check(t, filepath.Join(dir, "one"))
	history, err := app.store.Marks(t.Context(), mira.Runs[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	stand := 0
	for _, row := range p.Rows["marks"] {
		if row["run"] == mira.Runs[0].ID {
			stand++
		}
	}
	if stand != len(history.Marks) || stand == 0 {
		t.Errorf("%d marks stand in the export, %d in the run", stand, len(history.Marks))
	}
}

func readAll(t *testing.T, dir string) string {
	t.Helper()
	var all strings.Builder
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		all.Write(text)
	}
	return all.String()
}

// TestAnExportComesWholeOrNotAtAll: what is in the way stays, what fails leaves nothing, and
// the archive holds what the folder does.
func TestAnExportComesWholeOrNotAtAll(t *testing.T) {
	app, dir := openApp(t), t.TempDir()
	mira, _ := livingSquad(t, app)
	full := filepath.Join(dir, "full")
	writeFileAt(t, filepath.Join(full, "mine.txt"), "mine")
	for _, where := range []string{full, filepath.Join(full, "mine.txt"), filepath.Join(app.DataDir(), "out"), filepath.Join(app.DataDir(), "clips", "out")} {
		if _, err := app.Export(t.Context(), where, ExportRequest{}); !errors.Is(err, ErrInput) {
			t.Errorf("to %s: %v", where, err)
		}
	}
	stopped, stop := context.WithCancel(t.Context())
	if _, err := app.Export(stopped, filepath.Join(dir, "stopped"), ExportRequest{Progress: func(done, _ int, _ string) {
		if done == 5 {
			stop()
		}
	}}); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
	if _, err := app.Export(t.Context(), filepath.Join(dir, "nobody"), ExportRequest{SwimmerID: "nobody"}); !errors.Is(err, ErrNotFound) {
		t.Errorf("of nobody: %v", err)
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) != 1 {
		t.Errorf("left %v, %v", left, err)
	}
	var z bytes.Buffer
	if _, err := app.ExportZip(t.Context(), &z, ExportRequest{SwimmerID: mira.Swimmer.ID, Films: true}); err != nil {
		t.Fatal(err)
	}
	r, err := zip.NewReader(bytes.NewReader(z.Bytes()), int64(z.Len()))
	if err != nil {
		t.Fatal(err)
	}
	unpacked := filepath.Join(dir, "unpacked")
	if err := os.CopyFS(unpacked, r); err != nil {
		t.Fatal(err)
	}
	exportedtest.Check(t, unpacked)
	if err := os.Mkdir(filepath.Join(dir, "empty"), 0o700); err != nil {
		t.Fatal(err)
	}
	if _, err := app.Export(t.Context(), filepath.Join(dir, "empty"), ExportRequest{}); err != nil {
		t.Errorf("to an empty folder: %v", err)
	}
}

func writeFileAt(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}
