package store_test

import (
	"context"
	"encoding/json"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/exported"
	"underkick/internal/store/storetest"
)

// TestEveryColumnIsExportedOrLeftOutWithAReason walks the schema, so that a table or
// column that is added later cannot be forgotten.
func TestEveryColumnIsExportedOrLeftOutWithAReason(t *testing.T) {
	s := open(t, t.TempDir(), store.Options{})
	db := raw(t, filepath.Join(s.Dir(), "underkick.db"))
	byTable := map[string]exported.Table{}
	for _, x := range exported.Tables() {
		if _, twice := byTable[x.Of()]; twice {
			t.Errorf("the table %s is exported twice", x.Of())
		}
		byTable[x.Of()] = x
	}
	leftOut := exported.LeftOut()
	for _, table := range texts(t, db, `SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'goose%' AND name NOT LIKE 'sqlite_%'`) {
		x, is := byTable[table]
		why, out := leftOut[table]
		delete(byTable, table)
		delete(leftOut, table)
		if is == out || out && why == "" {
			t.Errorf("the table %s is exported: %v, left out: %v (%s); add it to package exported, or to LeftOut with the reason", table, is, out, why)
		}
		if !is {
			continue
		}
		columns, _, _ := strings.Cut(x.Query(), " FROM "+table+" t ")
		for _, c := range texts(t, db, `SELECT name FROM pragma_table_info(?) WHERE NOT (name = 'id' AND pk = 1)`, table) { // row numbers stay inside
			if !regexp.MustCompile(`\bt\.` + c + `\b`).MatchString(columns) {
				t.Errorf("the column %s.%s is not exported; add it to package exported", table, c)
			}
		}
	}
	for name := range byTable {
		t.Errorf("exported reads the table %s, which is not there", name)
	}
	for name := range leftOut {
		t.Errorf("LeftOut names the table %s, which is not there", name)
	}
}

// TestTheDictionaryFitsTogether: names are usable as file and column names, keys and
// links name fields, and links lead to the key of a table before.
func TestTheDictionaryFitsTogether(t *testing.T) {
	before := map[string]exported.Table{}
	for _, x := range exported.Tables() {
		names := []string{}
		for _, f := range x.Fields {
			if !regexp.MustCompile(`^[a-z][a-z0-9_]*$`).MatchString(f.Name) || f.Words == "" || slices.Contains(names, f.Name) {
				t.Errorf("%s: field %+v", x.Name, f)
			}
			if !slices.Contains([]string{"string", "integer", "number", "boolean", "date", "datetime", "object", "array"}, f.Type) {
				t.Errorf("%s.%s has the type %q", x.Name, f.Name, f.Type)
			}
			names = append(names, f.Name)
		}
		for _, k := range x.Key {
			if i := slices.Index(names, k); i < 0 || !x.Fields[i].Must {
				t.Errorf("%s: the key names %s, which is no field that is always there", x.Name, k)
			}
		}
		for _, l := range x.Links {
			other, ok := before[l.Table]
			if !ok || !slices.Equal(l.Keys, other.Key) || len(l.Fields) != len(l.Keys) {
				t.Errorf("%s: link %+v", x.Name, l)
			}
			for _, f := range l.Fields {
				if !slices.Contains(names, f) {
					t.Errorf("%s: the link names %s, which is no field", x.Name, f)
				}
			}
		}
		before[x.Name] = x
	}
}

// TestExportRows reads every table of a filled store: the scope holds, all types are as
// the dictionary says, and what must be there is.
func TestExportRows(t *testing.T) {
	ctx, s := t.Context(), open(t, t.TempDir(), store.Options{Now: storetest.Clock()})
	fill(t, s)
	squads, err := s.Squads(ctx)
	if err != nil {
		t.Fatal(err)
	}
	mira, err := s.Swimmers(ctx, squads[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	friend, err := s.AddSwimmer(ctx, record.Swimmer{SquadID: squads[0].ID, Name: "Jonas Reed"})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name   string
		scope  store.ExportScope
		empty  []string // tables without a row
		people int
	}{
		{"the swimmer", store.ExportScope{Swimmers: []string{mira[0].ID}}, []string{"lessons", "lesson_versions"}, 1},
		{"the squad", store.ExportScope{Swimmers: []string{mira[0].ID, friend.ID}, Squads: []string{squads[0].ID}}, nil, 2},
		{"the friend", store.ExportScope{Swimmers: []string{friend.ID}}, []string{"visits", "clips", "runs", "mark_steps", "results"}, 1},
	} {
		rows := exportAll(t, s, c.scope)
		if len(rows["swimmers"]) != c.people || len(rows["squads"]) != 1 {
			t.Errorf("%s: %d swimmers, %d squads", c.name, len(rows["swimmers"]), len(rows["squads"]))
		}
		for _, x := range exported.Tables() {
			if empty := slices.Contains(c.empty, x.Name); empty && len(rows[x.Name]) > 0 {
				t.Errorf("%s: %s holds %v", c.name, x.Name, rows[x.Name])
			}
		}
		if whole := len(c.scope.Squads) > 0; (rows["squads"][0]["notes"] == "Tuesdays") != whole {
			t.Errorf("%s: notes of the squad %v", c.name, rows["squads"][0]["notes"])
		}
	}
	rows := exportAll(t, s, store.ExportScope{Swimmers: []string{mira[0].ID}})
	if m := rows["measures"]; len(m) != 1 || m[0]["value"] != 1.25 || m[0]["low"] != 1.2 || m[0]["run"] != rows["runs"][0]["id"] {
		t.Errorf("measures %v", m)
	}
	if c := rows["mark_changes"]; len(c) != 3 || c[2]["x_px"] != 301.0 || c[2]["landmark"] != "toe" {
		t.Errorf("changes %v", c)
	}
	if w := rows["swimmers"][0]; w["height_m"] != 1.63 || w["birth_year"] != int64(2011) || w["created"] != "2026-03-09T12:00:02Z" {
		t.Errorf("swimmer %v", w)
	}
}

func exportAll(t *testing.T, s *store.Store, scope store.ExportScope) map[string][]map[string]any {
	t.Helper()
	all := map[string][]map[string]any{}
	for _, x := range exported.Tables() {
		err := s.ExportRows(t.Context(), x, scope, func(cells []any) error {
			row := map[string]any{}
			for i, f := range x.Fields {
				if v := cells[i]; v == nil && f.Must || v != nil && !fits(f.Type, v) {
					t.Errorf("%s.%s is %T %v", x.Name, f.Name, v, v)
				}
				row[f.Name] = cells[i]
			}
			all[x.Name] = append(all[x.Name], row)
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return all
}

func fits(kind string, v any) bool {
	switch v := v.(type) {
	case string:
		return kind == "string" || kind == "date" && len(v) == 10 || kind == "datetime" && strings.HasSuffix(v, "Z")
	case int64:
		return kind == "integer"
	case float64:
		return kind == "number"
	case bool:
		return kind == "boolean"
	case json.RawMessage:
		return kind == "object" && v[0] == '{' || kind == "array" && v[0] == '['
	}
	return false
}

// TestAtOneMomentSeesOneState: what is written meanwhile is not seen within.
func TestAtOneMomentSeesOneState(t *testing.T) {
	s := open(t, t.TempDir(), store.Options{})
	err := s.AtOneMoment(t.Context(), func(ctx context.Context) error {
		before, err := s.Squads(ctx)
		if err != nil {
			return err
		}
		if _, err := s.AddSquad(t.Context(), record.Squad{Name: "Late"}); err != nil {
			return err
		}
		after, err := s.Squads(ctx)
		if len(after) != len(before) {
			t.Errorf("sees %d squads, then %d", len(before), len(after))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if list, err := s.Squads(t.Context()); err != nil || len(list) != 1 {
		t.Errorf("squads %v, %v", list, err)
	}
}
