package store_test

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/storetest"
)

// backedUp fills a store, backs it up and returns both.
func backedUp(t *testing.T) (s *store.Store, e storetest.Season, file string) {
	t.Helper()
	s = open(t, filepath.Join(t.TempDir(), "data"), store.Options{Now: storetest.Clock()})
	e = storetest.Fill(t, s)
	file = filepath.Join(t.TempDir(), "all.zip")
	m, err := s.Backup(t.Context(), file, store.BackupOptions{})
	if err != nil || len(m.Parts) != 2 || len(m.Missing) != 0 {
		t.Fatalf("%+v, %v", m, err)
	}
	return s, e, file
}

func TestABackupComesBackAsItWas(t *testing.T) {
	s, e, file := backedUp(t)
	ctx := t.Context()
	if _, err := s.AddSquad(ctx, record.Squad{Name: "After the backup"}); err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "again")
	if r, err := store.Restore(ctx, file, dir, store.BackupOptions{}); err != nil || r.Aside != "" {
		t.Fatalf("%+v, %v", r, err)
	}
	again := open(t, dir, store.Options{})
	whole, err := again.RunWhole(ctx, e.Run.ID)
	want, err2 := s.RunWhole(ctx, e.Run.ID)
	if err := errors.Join(err, err2); err != nil || !reflect.DeepEqual(whole, want) {
		t.Errorf("%v\n got %+v\nwant %+v", err, whole, want)
	}
	text, err := os.ReadFile(again.ClipPath(e.Clip))
	if err != nil || string(text) != "film of Mira" {
		t.Errorf("film %q, %v", text, err)
	}
	if squads, err := again.Squads(ctx); err != nil || len(squads) != 1 {
		t.Errorf("squads %+v, %v", squads, err)
	}
	clips, err := os.ReadDir(filepath.Join(s.Dir(), "clips"))
	if err != nil || len(clips) != 1 {
		t.Errorf("the copy of the database stayed: %v, %v", clips, err)
	}
}

// TestTheManifestCanBeCheckedByAnyTool holds the parts of the archive against
// the sums in its manifest without the code that wrote them.
func TestTheManifestCanBeCheckedByAnyTool(t *testing.T) {
	_, _, file := backedUp(t)
	z, err := zip.OpenReader(file)
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	text := map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if text[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
	}
	var m struct {
		Parts []struct{ Name, SHA256 string }
	}
	if err := json.Unmarshal(text["manifest.json"], &m); err != nil || len(m.Parts) != len(text)-1 {
		t.Fatalf("%d parts, %v", len(m.Parts), err)
	}
	for _, p := range m.Parts {
		if sum := sha256.Sum256(text[p.Name]); hex.EncodeToString(sum[:]) != p.SHA256 {
			t.Errorf("%s has another sum", p.Name)
		}
	}
}

func TestNothingIsOverwrittenSilently(t *testing.T) {
	s, e, file := backedUp(t)
	ctx := t.Context()
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Backup(ctx, file, store.BackupOptions{}); !errors.Is(err, store.ErrExists) {
		t.Errorf("over a file: %v", err)
	}
	if after, err := os.ReadFile(file); err != nil || !bytes.Equal(before, after) {
		t.Errorf("the file changed: %v", err)
	}
	if _, err := s.Backup(ctx, filepath.Join(s.Dir(), "clips", "all.zip"), store.BackupOptions{}); !errors.Is(err, store.ErrExists) {
		t.Errorf("inside the data folder: %v", err)
	}
	if _, err := s.Backup(ctx, file, store.BackupOptions{Replace: true}); err != nil {
		t.Error(err)
	}
	if left, err := os.ReadDir(filepath.Dir(file)); err != nil || len(left) != 1 {
		t.Errorf("left beside the backup: %v, %v", left, err)
	}
	if _, err := store.Restore(ctx, file, s.Dir(), store.BackupOptions{}); !errors.Is(err, store.ErrExists) {
		t.Errorf("over a data folder: %v", err)
	}
	if _, err := store.Restore(ctx, file, s.Dir(), store.BackupOptions{Replace: true}); !errors.Is(err, store.ErrLocked) {
		t.Errorf("over a data folder in use: %v", err)
	}
	if _, err := s.Swimmer(ctx, e.Swimmer.ID); err != nil {
		t.Error(err)
	}
}

func TestAReplacedFolderIsMovedAside(t *testing.T) {
	_, e, file := backedUp(t)
	dir := filepath.Join(t.TempDir(), "data")
	if err := os.MkdirAll(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "mine.txt"), []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	r, err := store.Restore(t.Context(), file, dir, store.BackupOptions{Replace: true})
	if err != nil {
		t.Fatal(err)
	}
	if text, err := os.ReadFile(filepath.Join(r.Aside, "mine.txt")); err != nil || string(text) != "mine" {
		t.Errorf("%q, %v", text, err)
	}
	if _, err := open(t, dir, store.Options{}).Swimmer(t.Context(), e.Swimmer.ID); err != nil {
		t.Error(err)
	}
}

// TestADamagedBackupChangesNothing turns single bytes of a backup over, all along
// the file, and cuts it at many lengths. Turned bytes that no part and no list
// depends on (dates in the archive's headers) may pass; then what comes back must
// be whole.
func TestADamagedBackupChangesNothing(t *testing.T) {
	_, e, file := backedUp(t)
	good, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	bad := filepath.Join(t.TempDir(), "bad.zip")
	refused := 0
	try := func(text []byte) {
		t.Helper()
		if err := os.WriteFile(bad, text, 0o600); err != nil {
			t.Fatal(err)
		}
		parent := t.TempDir()
		dir := filepath.Join(parent, "data")
		_, err := store.Restore(t.Context(), bad, dir, store.BackupOptions{})
		if err == nil {
			again := open(t, dir, store.Options{})
			film, err := os.ReadFile(again.ClipPath(e.Clip))
			if err != nil || string(film) != "film of Mira" {
				t.Fatalf("film %q, %v", film, err)
			}
			if _, err := again.RunWhole(t.Context(), e.Run.ID); err != nil {
				t.Fatal(err)
			}
			return
		}
		refused++
		if !errors.Is(err, store.ErrBadBackup) || !strings.Contains(err.Error(), "nothing was changed") {
			t.Errorf("error %v", err)
		}
		if left, err := os.ReadDir(parent); err != nil || len(left) != 0 {
			t.Fatalf("left behind: %v, %v", left, err)
		}
	}
	const tries = 40
	for i := range tries {
		text := bytes.Clone(good)
		text[i*(len(text)-1)/(tries-1)] ^= 0x5a
		try(text)
		try(good[:i*(len(good)-1)/(tries-1)])
	}
	if refused < 2*tries-8 {
		t.Errorf("only %d of %d damaged backups refused", refused, 2*tries)
	}
}

func TestABackupThatLeadsOutOfTheFolderIsRefused(t *testing.T) {
	bad := filepath.Join(t.TempDir(), "bad.zip")
	var text bytes.Buffer
	z := zip.NewWriter(&text)
	sum := sha256.Sum256([]byte("x"))
	part := func(name string) store.BackupPart {
		return store.BackupPart{Name: name, Bytes: 1, SHA256: hex.EncodeToString(sum[:])}
	}
	m, err := json.Marshal(store.Manifest{Format: "underkick backup", Edition: 1, Parts: []store.BackupPart{part("underkick.db"), part("../evil.mp4")}})
	if err != nil {
		t.Fatal(err)
	}
	for name, body := range map[string]string{"underkick.db": "x", "../evil.mp4": "x", "manifest.json": string(m)} {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(w, body); err != nil {
			t.Fatal(err)
		}
	}
	if err := errors.Join(z.Close(), os.WriteFile(bad, text.Bytes(), 0o600)); err != nil {
		t.Fatal(err)
	}
	if _, err := store.Restore(t.Context(), bad, filepath.Join(t.TempDir(), "data"), store.BackupOptions{}); !errors.Is(err, store.ErrBadBackup) {
		t.Errorf("error %v", err)
	}
}
