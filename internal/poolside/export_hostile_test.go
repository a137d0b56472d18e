package poolside

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"underkick/internal/limit"
	"underkick/internal/record"
	"underkick/internal/store/exported/exportedtest"
	"underkick/internal/store/storetest"
)

// hostile are beginnings of texts that table programs run, or that break tables.
var hostile = []string{`=H("b",1)`, `+1;=2+`, `-2+3`, `@S(1)`, `'=1`, "\uff1d1", `a";=1;"`, "\u00a0=1"}

// hostileNotes are more of them, with what only notes take.
var hostileNotes = []string{"\t=1", "\r=1", "\n=1", " =1", "a\r\n=1,", "a\rb\nc\r\n", "'", "''", "- calm\n- early"}

// TestNoTextOfAnExportIsAFormula: whatever is typed, no cell of an export is run by a table
// program, numbers stay numbers, and every text comes back as it was typed.
func TestNoTextOfAnExportIsAFormula(t *testing.T) {
	app := openApp(t)
	typed := map[string][]string{}
	for i, tag := range hostile {
		squad, err := app.store.AddSquad(t.Context(), record.Squad{Name: tag + fmt.Sprint(i), Notes: tag})
		if err != nil {
			t.Fatal(err)
		}
		l := storetest.Live(t, app.store.Store, squad, tag)
		w, err := app.store.Store.Swimmer(t.Context(), l.Swimmer.ID)
		if err != nil {
			t.Fatal(err)
		}
		typed["squads.name"] = append(typed["squads.name"], squad.Name)
		typed["squads.notes"] = append(typed["squads.notes"], squad.Notes)
		typed["swimmers.name"] = append(typed["swimmers.name"], w.Name)
		typed["swimmers.notes"] = append(typed["swimmers.notes"], w.Notes)
		typed["visits.pool"] = append(typed["visits.pool"], l.Visits[0].Pool)
		typed["clips.name"] = append(typed["clips.name"], l.Clips[0].Name)
		typed["runs.equipment"] = append(typed["runs.equipment"], l.Runs[0].Equipment)
		typed["results.finding"] = append(typed["results.finding"], tag+" stops short.")
		typed["mark_steps.who"] = append(typed["mark_steps.who"], tag+" marker")
		typed["plan_versions.name"] = append(typed["plan_versions.name"], tag+" 100 free")
		typed["consents.given_by"] = append(typed["consents.given_by"], tag+" parent")
		typed["given_versions.notes"] = append(typed["given_versions.notes"], tag+" lane 2")
	}
	for i, notes := range hostileNotes {
		squad, err := app.store.AddSquad(t.Context(), record.Squad{Name: fmt.Sprint("Notes ", i), Notes: notes})
		if err != nil {
			t.Fatal(err)
		}
		typed["squads.notes"] = append(typed["squads.notes"], squad.Notes)
	}
	dir := filepath.Join(t.TempDir(), "out")
	if _, err := app.Export(t.Context(), dir, ExportRequest{}); err != nil {
		t.Fatal(err)
	}
	p := exportedtest.Check(t, dir)
	for _, where := range slices.Sorted(maps.Keys(typed)) {
		table, field, _ := strings.Cut(where, ".")
		found := map[string]bool{}
		for _, row := range p.Rows[table] {
			found[row[field]] = true
		}
		for _, text := range typed[where] {
			if !found[text] {
				t.Errorf("%s: %q does not come back", where, text)
			}
		}
	}
	if p.TextGuard != "'" || !strings.Contains(p.Description, "Take one ' off") {
		t.Errorf("the description does not tell of the guard: %q, %s", p.TextGuard, p.Description)
	}
	tables, err := os.ReadFile(filepath.Join(dir, "swimmers.csv"))
	if err != nil || !strings.Contains(string(tables), "\"'=H(\"\"b") {
		t.Errorf("the guard is not in the table: %v\n%s", err, tables)
	}
	for _, row := range p.Rows["mark_changes"] { // numbers stay numbers
		if strings.HasPrefix(row["x_px"], "'") {
			t.Errorf("x_px %q", row["x_px"])
		}
	}
	noFormulaInMarkers(t, app)
}

// noFormulaInMarkers: whoever marks under such a name.
func noFormulaInMarkers(t *testing.T, app *App) {
	t.Helper()
	var text bytes.Buffer
	if err := app.WriteMarkers(t.Context(), &text); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&text).ReadAll()
	if err != nil || len(rows) < len(hostile) {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	guarded := 0
	for _, row := range rows[1:] {
		for _, cell := range []string{row[0], row[5]} { // marker, first_by
			if strings.HasPrefix(cell, "'") {
				guarded++
			}
			if cell != "" && strings.ContainsAny(cell[:1], "=+-@ \t") {
				t.Errorf("a table program may run %q", cell)
			}
		}
	}
	if guarded == 0 {
		t.Error("no text has the guard")
	}
}

func TestNoTextOfTrendsIsAFormula(t *testing.T) {
	fields := TrendStop{Conditions: limit.Conditions{Equipment: "=1+1"}}.fields()
	if !slices.Contains(fields, "'=1+1") || slices.Contains(fields, "=1+1") {
		t.Errorf("%q", fields)
	}
}
