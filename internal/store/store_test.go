package store_test

import (
	"testing"

	"underkick/internal/store"
	"underkick/internal/store/storetest"
)

func TestSQLite(t *testing.T) {
	storetest.Run(t, func(t *testing.T, opt store.Options) *store.Store {
		return open(t, t.TempDir(), opt)
	})
}

func TestSQLiteKeeps(t *testing.T) { storetest.Keep(t, open) }

func open(t *testing.T, dir string, opt store.Options) *store.Store {
	t.Helper()
	s, err := store.Open(t.Context(), dir, opt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}
