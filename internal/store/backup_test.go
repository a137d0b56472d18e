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
	"testing"

	"underkick/internal/store"
	"underkick/internal/store/storetest"
)

// TestTheManifestCanBeCheckedByAnyTool holds the parts of the archive against
// the sums in its manifest without the code that wrote them.
func TestTheManifestCanBeCheckedByAnyTool(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "data"), store.Options{})
	storetest.Fill(t, s)
	file := filepath.Join(t.TempDir(), "all.zip")
	if _, err := s.Backup(t.Context(), file, store.BackupOptions{}); err != nil {
		t.Fatal(err)
	}
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
