package exportedtest

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// largestCell is how many characters of a cell common table programs take.
const largestCell = 32767

func (p *Package) checkTable(t *testing.T, r Resource) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(p.dir, r.Path))
	if err != nil {
		t.Fatal(err)
	}
	// CSV Dialect, defaults: comma, CRLF, double quotes doubled, a header.
	lines, err := records(string(text))
	if err != nil || len(lines) == 0 {
		t.Fatalf("%s: %d lines, %v", r.Path, len(lines), err)
	}
	if again, err := csv.NewReader(bytes.NewReader(text)).ReadAll(); err != nil || len(again) != len(lines) { // it changes line ends within texts
		t.Errorf("%s: another reader finds %d lines in place of %d, %v", r.Path, len(again), len(lines), err)
	}
	// Table Schema, "field descriptors": a name each, in the order of the columns.
	for i, f := range r.Schema.Fields {
		if f.Name == "" || f.Description == "" || i >= len(lines[0]) || lines[0][i] != f.Name {
			t.Errorf("%s: field %+v", r.Path, f)
		}
	}
	if len(lines[0]) != len(r.Schema.Fields) || r.Encoding != "utf-8" {
		t.Errorf("%s: %d columns, %d fields, %s", r.Path, len(lines[0]), len(r.Schema.Fields), r.Encoding)
	}
	keys := map[string]bool{}
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, f := range r.Schema.Fields {
			checkCell(t, r, f, line[i])
			row[f.Name] = exact(f, line[i])
		}
		// "primaryKey": no two rows alike, no part empty.
		key := fmt.Sprint(cells(row, r.Schema.PrimaryKey))
		if len(r.Schema.PrimaryKey) > 0 && keys[key] {
			t.Errorf("%s: two rows with the key %s", r.Name, key)
		}
		keys[key] = true
		p.Rows[r.Name] = append(p.Rows[r.Name], row)
	}
	p.checkLinks(t, r)
}

// checkLinks: Table Schema, "foreignKeys": the row that is meant is there; the tables stand
// in such an order that it was read before.
func (p *Package) checkLinks(t *testing.T, r Resource) {
	t.Helper()
	for _, f := range r.Schema.ForeignKeys {
		there := map[string]bool{}
		for _, row := range p.Rows[f.Reference.Resource] {
			there[fmt.Sprint(cells(row, f.Reference.Fields))] = true
		}
		for _, row := range p.Rows[r.Name] {
			if c := cells(row, f.Fields); c[0] != "" && !there[fmt.Sprint(c)] {
				t.Errorf("%s: %v leads to no row of %s", r.Name, c, f.Reference.Resource)
			}
		}
	}
}

func cells(row map[string]string, names []string) (list []string) {
	for _, n := range names {
		list = append(list, row[n])
	}
	return list
}

// runs are the characters with which a cell is a formula to common table programs (OWASP,
// "CSV Injection", owasp.org, also in their wide forms), and those that the programs skip
// before them.
const runs = "=+-@\t\r\n \uff1d\uff0b\uff0d\uff20"

func checkCell(t *testing.T, r Resource, f Field, cell string) {
	t.Helper()
	if len(cell) > largestCell {
		t.Errorf("%s.%s has a cell of %d bytes", r.Name, f.Name, len(cell))
	}
	if missing := slices.Contains(r.Schema.MissingValues, cell); missing && f.Constraints.Required || !missing && !lexical(f.Type, cell) {
		t.Errorf("%s.%s: %q is no %s", r.Name, f.Name, cell, f.Type)
	}
	if number := f.Type == "number" || f.Type == "integer"; !number && cell != "" && strings.ContainsAny(string([]rune(cell)[:1]), runs) {
		t.Errorf("%s.%s: a table program may run %q", r.Name, f.Name, cell)
	}
}

// exact is a text as it was before the guard: without the one ' it begins with.
func exact(f Field, cell string) string {
	if f.Type == "string" {
		return strings.TrimPrefix(cell, "'")
	}
	return cell
}

// lexical reports whether a text is a value of a type: Table Schema, "types and formats".
func lexical(kind, text string) bool {
	var err error
	switch kind {
	case "string":
	case "integer":
		_, err = strconv.ParseInt(text, 10, 64)
	case "number":
		_, err = strconv.ParseFloat(text, 64)
	case "boolean":
		return text == "true" || text == "false"
	case "date":
		_, err = time.Parse("2006-01-02", text)
	case "datetime":
		_, err = time.Parse("2006-01-02T15:04:05Z", text)
	case "object":
		err = json.Unmarshal([]byte(text), &map[string]any{})
	case "array":
		err = json.Unmarshal([]byte(text), &[]any{})
	default:
		return false
	}
	return err == nil
}

// checkData: data.json holds the same rows, its texts as they are.
func (p *Package) checkData(t *testing.T) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(p.dir, "data.json"))
	data := map[string][]map[string]any{}
	if err := errors.Join(err, json.Unmarshal(text, &data)); err != nil {
		t.Fatal(err)
	}
	for name, rows := range p.Rows {
		if len(rows) != len(data[name]) {
			t.Errorf("%s: %d rows as CSV, %d as JSON", name, len(rows), len(data[name]))
			continue
		}
		for i, row := range rows {
			for field, cell := range row {
				if v, ok := data[name][i][field]; !ok || (v == nil) != (cell == "") {
					t.Errorf("%s row %d: %s is %q and %v", name, i, field, cell, v)
				} else if s, is := v.(string); is && s != cell {
					t.Errorf("%s row %d: %s is %q and %q", name, i, field, cell, s)
				}
			}
		}
	}
}
