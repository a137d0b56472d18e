package wasmengine

import (
	"os"
	"path/filepath"
	"testing"
)

// TestUnpack checks that the module is whole, that a copy kept on the disk is
// used only when it is, and that what other versions left is cleared away.
func TestUnpack(t *testing.T) {
	cache := t.TempDir()
	older := filepath.Join(cache, "film-engine", "older")
	if err := os.MkdirAll(older, 0o700); err != nil {
		t.Fatal(err)
	}
	dir, err := prepare(cache)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(older); !os.IsNotExist(err) {
		t.Errorf("older version is still there: %v", err)
	}
	b, err := unpack(dir)
	if err != nil {
		t.Fatal(err)
	}
	kept := filepath.Join(dir, "ffmpreg.wasm")
	if err := os.WriteFile(kept, b[:1000], 0o600); err != nil {
		t.Fatal(err)
	}
	if again, err := unpack(dir); err != nil || len(again) != len(b) {
		t.Errorf("after damage: %d bytes of %d, %v", len(again), len(b), err)
	}
	if st, err := os.Stat(kept); err != nil || st.Size() != int64(len(b)) {
		t.Errorf("the damaged copy was not replaced: %v", err)
	}
}
