package store_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"underkick/internal/body"
	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/storetest"
)

// holding lists the files below dir that hold one of the words.
func holding(t *testing.T, dir string, words ...string) []string {
	t.Helper()
	var found []string
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := os.ReadFile(path)
		for _, w := range words {
			if bytes.Contains(text, []byte(w)) || bytes.Contains([]byte(path), []byte(w)) {
				found = append(found, filepath.Base(path)+": "+w)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// TestNothingOfAnErasedSwimmerRemains writes a life into the store, with many
// changes of name and notes, and reads every byte of the folder afterwards.
func TestNothingOfAnErasedSwimmerRemains(t *testing.T) {
	ctx, dir := t.Context(), filepath.Join(t.TempDir(), "data")
	s := open(t, dir, store.Options{})
	e := storetest.Fill(t, s)
	friend, err := s.AddSwimmer(ctx, record.Swimmer{SquadID: e.Squad.ID, Name: "Jonas Reed"})
	if err != nil {
		t.Fatal(err)
	}
	words := []string{"film of Mira", "mira 1.MP4", "Mira Holm", "Otter", "good one", e.Swimmer.ID, e.Clip.ID, e.Run.ID}
	for i := range 60 {
		w := e.Swimmer
		w.Name, w.Notes = fmt.Sprintf("Mira Former %d", i), fmt.Sprintf("secret note %d %s", i, bytes.Repeat([]byte("x"), i*40))
		if err := s.UpdateSwimmer(ctx, w); err != nil {
			t.Fatal(err)
		}
		if _, err := s.AddStep(ctx, e.Run.ID, record.Set(record.PlaceMark, "Wanda Marker", storetest.Mark(12+i, body.Toe, 1, float64(i)))); err != nil {
			t.Fatal(err)
		}
	}
	words = append(words, "Mira Former", "secret note", "Wanda Marker")
	copies := filepath.Join(dir, "backups")
	if err := os.MkdirAll(copies, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(copies, "underkick-schema1-old.db"), []byte("Mira Holm"), 0o600); err != nil {
		t.Fatal(err)
	}
	if len(holding(t, dir, words...)) == 0 {
		t.Fatal("the search finds nothing before erasing")
	}
	if err := s.EraseSwimmer(ctx, e.Swimmer.ID, store.EraseOptions{}); err != nil {
		t.Fatal(err)
	}
	if now, err := s.ErasingNow(ctx); err != nil || now == nil || len(now.Hashes) != 1 {
		t.Errorf("under way %+v, %v", now, err)
	}
	if err := s.Scrub(ctx); err != nil {
		t.Fatal(err)
	}
	if found := holding(t, dir, words...); len(found) > 0 {
		t.Errorf("still there: %q", found)
	}
	if now, err := s.ErasingNow(ctx); err != nil || now != nil {
		t.Errorf("still under way %+v, %v", now, err)
	}
	if _, err := s.Swimmer(ctx, friend.ID); err != nil {
		t.Errorf("the friend: %v", err)
	}
}
