package cli

import (
	"path/filepath"
	"testing"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// squadFolder makes a data folder with one squad of these swimmers and returns it and
// their ids.
func squadFolder(t *testing.T, swimmers ...record.Swimmer) (dir string, ids []string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "data")
	app, err := poolside.Open(t.Context(), poolside.Options{DataDir: dir})
	if err != nil {
		t.Fatal(err)
	}
	squad, err := app.AddSquad(t.Context(), record.Squad{Name: "Quiet Lane"})
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range swimmers {
		w.SquadID = squad
		id, _, err := app.AddSwimmer(t.Context(), w)
		if err != nil {
			t.Fatal(err)
		}
		ids = append(ids, id)
	}
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
	return dir, ids
}
