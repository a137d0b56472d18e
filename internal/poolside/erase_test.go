package poolside

import (
	"bytes"
	"errors"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
)

// Work on a swimmer's film ends before the swimmer is erased, and nothing of it is left;
// work that failed or was stopped long ago is no hindrance.
func TestEraseEndsTheWork(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	text, err := clipNamed(t, "bram-october").Film()
	if err != nil {
		t.Fatal(err)
	}
	for _, stopped := range []bool{true, false} {
		id := addSwimmer(t, app)
		in, err := app.BringIn(ctx, BringIn{SwimmerID: id, On: "2026-10-24", Pool: "Old Baths", FileName: "b.mp4", Content: bytes.NewReader(text)})
		if err != nil {
			t.Fatal(err)
		}
		if stopped {
			if err := app.CancelJob(ctx, in.JobID); err != nil {
				t.Fatal(err)
			}
			if _, err := app.jobs.Wait(ctx, in.JobID); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := app.EraseSwimmer(ctx, EraseRequest{SwimmerID: id}); err != nil {
			t.Fatalf("stopped %v: %v", stopped, err)
		}
		if _, err := app.store.Swimmer(ctx, id); !errors.Is(err, ErrNotFound) {
			t.Errorf("stopped %v: the swimmer is still there: %v", stopped, err)
		}
		if job, err := app.store.Job(ctx, in.JobID); err == nil && !job.State.Ended() {
			t.Errorf("stopped %v: the work goes on: %+v", stopped, job)
		}
		err = filepath.WalkDir(filepath.Dir(app.store.CacheDir()), func(path string, d fs.DirEntry, err error) error {
			if err == nil && !d.IsDir() && (strings.HasSuffix(path, ".mp4") || strings.HasSuffix(path, ".jpg")) {
				t.Errorf("stopped %v: %s is left", stopped, path)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}
