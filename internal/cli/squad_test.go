package cli

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

func TestSquadListsSwimmers(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	app, err := poolside.Open(t.Context(), poolside.Options{DataDir: data})
	if err != nil {
		t.Fatal(err)
	}
	squad, err := app.AddSquad(t.Context(), record.Squad{Name: "Quiet Lane"})
	if err != nil {
		t.Fatal(err)
	}
	id, _, err := app.AddSwimmer(t.Context(), record.Swimmer{SquadID: squad, Name: "Wilma Reed"})
	if err != nil {
		t.Fatal(err)
	}
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
	code, out, errOut := underkick(t, "squad", "--data", data)
	if code != exitOK || !strings.Contains(out, id) || !strings.Contains(out, "Wilma Reed") {
		t.Errorf("code %d, %s%s", code, out, errOut)
	}
	code, out, errOut = underkick(t, "squad", "--data", data, "--json")
	var lines []squadLine
	if err := json.Unmarshal([]byte(out), &lines); code != exitOK || err != nil || len(lines) != 1 || lines[0].ID != id || lines[0].SpeedMPS != nil {
		t.Errorf("code %d, %v, %s%s", code, err, out, errOut)
	}
}
