package poolside

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"
)

// TestAnExportIsADataPackage checks what the Frictionless standard requires (Data
// Package, Data Resource, Table Schema, version 1): resources with a name and
// a path each, fields with a name, and types it knows.
func TestAnExportIsADataPackage(t *testing.T) {
	app, dir := openApp(t), filepath.Join(t.TempDir(), "out")
	id := addSwimmer(t, app)
	list, err := app.AllSwimmers(t.Context())
	if err != nil || len(list) != 1 {
		t.Fatal(list, err)
	}
	if err := app.Export(t.Context(), dir, list); err != nil {
		t.Fatal(err)
	}
	var p struct {
		Profile   string
		Resources []struct {
			Name, Path string
			Schema     struct {
				Fields []struct{ Name, Type, Description string }
			}
		}
	}
	text, err := os.ReadFile(filepath.Join(dir, "datapackage.json"))
	if err := errors.Join(err, json.Unmarshal(text, &p)); err != nil || len(p.Resources) != 3 {
		t.Fatalf("%v: %s", err, text)
	}
	for _, r := range p.Resources {
		f, err := os.Open(filepath.Join(dir, r.Path))
		if err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(f).ReadAll()
		if err := errors.Join(err, f.Close()); err != nil || len(rows) == 0 {
			t.Fatal(r.Path, err)
		}
		var columns []string
		for _, c := range r.Schema.Fields {
			columns = append(columns, c.Name)
			if c.Description == "" || !slices.Contains([]string{"string", "number", "integer", "date"}, c.Type) {
				t.Errorf("%s: field %+v", r.Name, c)
			}
		}
		if !regexp.MustCompile(`^[-a-z0-9._/]+$`).MatchString(r.Name) || !slices.Equal(columns, rows[0]) {
			t.Errorf("%s: columns %v, schema %v", r.Name, rows[0], columns)
		}
		if r.Name == "swimmers" && (len(rows) != 2 || rows[1][0] != id || rows[1][5] != "1.72") {
			t.Errorf("swimmers %v", rows)
		}
	}
	if err := app.Export(t.Context(), dir, list); !errors.Is(err, ErrInput) {
		t.Errorf("over a folder: %v", err)
	}
}
