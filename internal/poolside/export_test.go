package poolside

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"underkick/internal/record"
	"underkick/internal/store/storetest"
)

// livingSquad fills a data folder with two swimmers of one squad who swim in each other's
// clips.
func livingSquad(t *testing.T, app *App) (mira, jonas storetest.Life) {
	t.Helper()
	squad, err := app.store.AddSquad(t.Context(), record.Squad{Name: "Lake Lane Juniors", Notes: "Tuesdays"})
	if err != nil {
		t.Fatal(err)
	}
	mira = storetest.Live(t, app.store.Store, squad, "Miraquill")
	jonas = storetest.Live(t, app.store.Store, squad, "Jonasquill")
	mira.Share(t, app.store.Store, jonas)
	if _, err := app.store.AddDrill(t.Context(), record.OwnDrill{Drill: storetest.Drill(), By: "Ann"}); err != nil {
		t.Fatal(err)
	}
	return mira, jonas
}

// TestAnExportIsADataPackage holds an export against the rules of the Frictionless Data
// Package standard, version 1 (Walsh and Pollock, specs.frictionlessdata.io, 2017 to 2024),
// rule by rule; each check names the page of the standard it is from.
func TestAnExportIsADataPackage(t *testing.T) {
	app := openApp(t)
	mira, _ := livingSquad(t, app)
	for name, req := range map[string]ExportRequest{
		"squad": {SquadID: mira.Squad.ID}, "squad with films": {Films: true}, "swimmer": {SwimmerID: mira.Swimmer.ID}, "swimmer with films": {SwimmerID: mira.Swimmer.ID, Films: true},
	} {
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "deep", "out")
			out, err := app.Export(t.Context(), dir, req)
			if err != nil {
				t.Fatal(err)
			}
			p := readPackage(t, dir)
			p.checkDescriptor(t)
			for _, r := range p.Resources {
				r.checkFile(t, dir)
				if r.Profile == "tabular-data-resource" {
					p.checkTable(t, dir, r)
				}
			}
			p.checkData(t, dir)
			if keep := os.Getenv("UNDERKICK_KEEP_EXPORT"); keep != "" { // for a reader outside this module
				if err := os.CopyFS(filepath.Join(keep, strings.ReplaceAll(name, " ", "-")), os.DirFS(dir)); err != nil {
					t.Error(err)
				}
			}
			if wantFilms := map[string]int{"squad with films": 4, "swimmer with films": 1}[name]; out.Films != wantFilms {
				t.Errorf("%d films, want %d", out.Films, wantFilms)
			}
		})
	}
}

type readResource struct {
	Name, Path, Profile, Hash, Encoding string
	Bytes                               int64
	Schema                              struct {
		Fields []struct {
			Name, Type, Unit, Description string
			Constraints                   struct{ Required bool }
		}
		MissingValues []string
		PrimaryKey    []string
		ForeignKeys   []struct {
			Fields    []string
			Reference struct {
				Resource string
				Fields   []string
			}
		}
	}
}

type readPackaged struct {
	Name, Profile, Created string
	Resources              []readResource
	rows                   map[string][]map[string]string // by table, cells by field
}

func readPackage(t *testing.T, dir string) *readPackaged {
	t.Helper()
	p := readPackaged{rows: map[string][]map[string]string{}}
	text, err := os.ReadFile(filepath.Join(dir, "datapackage.json")) // Data Package, "Descriptor": named so, at the top
	if err := errors.Join(err, json.Unmarshal(text, &p)); err != nil {
		t.Fatal(err)
	}
	return &p
}

var lowerName = regexp.MustCompile(`^[-a-z0-9._/]+$`)

func (p *readPackaged) checkDescriptor(t *testing.T) {
	// Data Package, "name", "profile", "created".
	if !lowerName.MatchString(p.Name) || len(p.Resources) == 0 {
		t.Errorf("package %q with %d resources", p.Name, len(p.Resources))
	}
	if _, err := time.Parse(time.RFC3339, p.Created); err != nil {
		t.Error(err)
	}
	allTables, seen := true, map[string]bool{}
	for _, r := range p.Resources {
		allTables = allTables && r.Profile == "tabular-data-resource"
		// Data Resource, "name": unique, lower case; "path": relative, within the package.
		if !lowerName.MatchString(r.Name) || seen[r.Name] {
			t.Errorf("resource %q", r.Name)
		}
		seen[r.Name] = true
		if !filepath.IsLocal(r.Path) || strings.Contains(r.Path, `\`) {
			t.Errorf("%s lies at %q", r.Name, r.Path)
		}
	}
	// Data Package, "profile": not that of tabular packages, since not every resource is one.
	if p.Profile != "data-package" || allTables {
		t.Errorf("profile %q, all are tables: %v", p.Profile, allTables)
	}
}

// checkFile: Data Resource, "bytes" and "hash" (algorithm before a colon).
func (r readResource) checkFile(t *testing.T, dir string) {
	text, err := os.ReadFile(filepath.Join(dir, r.Path))
	sum := sha256.Sum256(text)
	if err != nil || int64(len(text)) != r.Bytes || r.Hash != "sha256:"+hex.EncodeToString(sum[:]) {
		t.Errorf("%s: %d bytes where %d are said, %v", r.Path, len(text), r.Bytes, err)
	}
}

func (p *readPackaged) checkTable(t *testing.T, dir string, r readResource) {
	text, err := os.ReadFile(filepath.Join(dir, r.Path))
	if err != nil {
		t.Fatal(err)
	}
	// CSV Dialect, defaults: comma, CRLF, double quotes doubled, a header.
	if bytes.Count(text, []byte("\n")) != bytes.Count(text, []byte("\r\n")) {
		t.Errorf("%s: line ends", r.Path)
	}
	lines, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil || len(lines) == 0 {
		t.Fatalf("%s: %v", r.Path, err)
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
			row[f.Name] = line[i]
			if len(line[i]) > 32767 { // the most characters of a cell that common table programs take
				t.Errorf("%s.%s has a cell of %d bytes", r.Name, f.Name, len(line[i]))
			}
			if missing := slices.Contains(r.Schema.MissingValues, line[i]); missing && f.Constraints.Required || !missing && !lexical(f.Type, line[i]) {
				t.Errorf("%s.%s: %q is no %s", r.Name, f.Name, line[i], f.Type)
			}
		}
		// "primaryKey": no two rows alike, no part empty.
		key := fmt.Sprint(cells(row, r.Schema.PrimaryKey))
		if len(r.Schema.PrimaryKey) > 0 && keys[key] {
			t.Errorf("%s: two rows with the key %s", r.Name, key)
		}
		keys[key] = true
		p.rows[r.Name] = append(p.rows[r.Name], row)
	}
	// "foreignKeys": the row that is meant is there; the tables stand in such an order that
	// it was read before.
	for _, f := range r.Schema.ForeignKeys {
		there := map[string]bool{}
		for _, row := range p.rows[f.Reference.Resource] {
			there[fmt.Sprint(cells(row, f.Reference.Fields))] = true
		}
		for _, row := range p.rows[r.Name] {
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

// checkData: data.json holds the same rows.
func (p *readPackaged) checkData(t *testing.T, dir string) {
	text, err := os.ReadFile(filepath.Join(dir, "data.json"))
	data := map[string][]map[string]any{}
	if err := errors.Join(err, json.Unmarshal(text, &data)); err != nil {
		t.Fatal(err)
	}
	for name, rows := range p.rows {
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

// TestAnExportIsWhole: everything that was noted of a swimmer stands in it, and nothing of
// the squad mate.
func TestAnExportIsWhole(t *testing.T) {
	app, dir := openApp(t), t.TempDir()
	mira, jonas := livingSquad(t, app)
	if _, err := app.Export(t.Context(), filepath.Join(dir, "one"), ExportRequest{SwimmerID: mira.Swimmer.ID}); err != nil {
		t.Fatal(err)
	}
	if _, err := app.Export(t.Context(), filepath.Join(dir, "all"), ExportRequest{}); err != nil {
		t.Fatal(err)
	}
	one, all := readAll(t, filepath.Join(dir, "one")), readAll(t, filepath.Join(dir, "all"))
	work := []string{} // ids of background work are not exported
	jobs, err := app.store.JobsOn(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	for _, j := range jobs {
		work = append(work, j.ID)
	}
	for _, w := range append(mira.Words, "Miraquill lane 2", "Miraquill parent", "Miraquill marker", "Five to the finish", "2025-03-01") {
		if slices.Contains(work, w) {
			continue
		}
		if !strings.Contains(one, w) || !strings.Contains(all, w) {
			t.Errorf("%q is not exported", w)
		}
	}
	for _, w := range []string{"Jonasquill Holm", "Jonasquill parent", "Jonasquill changed", jonas.Swimmer.ID, jonas.Runs[0].ID} {
		if strings.Contains(one, w) {
			t.Errorf("the export of one swimmer holds %q of another", w)
		}
		if !strings.Contains(all, w) {
			t.Errorf("the export of all lacks %q", w)
		}
	}
	p := readPackage(t, filepath.Join(dir, "one"))
	for _, r := range p.Resources {
		if r.Profile == "tabular-data-resource" {
			p.checkTable(t, filepath.Join(dir, "one"), r)
		}
	}
	history, err := app.store.Marks(t.Context(), mira.Runs[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	stand := 0
	for _, row := range p.rows["marks"] {
		if row["run"] == mira.Runs[0].ID {
			stand++
		}
	}
	if stand != len(history.Marks) || stand == 0 {
		t.Errorf("%d marks stand in the export, %d in the run", stand, len(history.Marks))
	}
}

func readAll(t *testing.T, dir string) string {
	t.Helper()
	var all strings.Builder
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		all.Write(text)
	}
	return all.String()
}

// TestAnExportComesWholeOrNotAtAll: what is in the way stays, what fails leaves nothing, and
// the archive holds what the folder does.
func TestAnExportComesWholeOrNotAtAll(t *testing.T) {
	app, dir := openApp(t), t.TempDir()
	mira, _ := livingSquad(t, app)
	full := filepath.Join(dir, "full")
	writeFileAt(t, filepath.Join(full, "mine.txt"), "mine")
	for _, where := range []string{full, filepath.Join(full, "mine.txt"), filepath.Join(app.DataDir(), "out"), filepath.Join(app.DataDir(), "clips", "out")} {
		if _, err := app.Export(t.Context(), where, ExportRequest{}); !errors.Is(err, ErrInput) {
			t.Errorf("to %s: %v", where, err)
		}
	}
	stopped, stop := context.WithCancel(t.Context())
	if _, err := app.Export(stopped, filepath.Join(dir, "stopped"), ExportRequest{Progress: func(done, _ int, _ string) {
		if done == 5 {
			stop()
		}
	}}); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
	if _, err := app.Export(t.Context(), filepath.Join(dir, "nobody"), ExportRequest{SwimmerID: "nobody"}); !errors.Is(err, ErrNotFound) {
		t.Errorf("of nobody: %v", err)
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) != 1 {
		t.Errorf("left %v, %v", left, err)
	}
	var z bytes.Buffer
	if _, err := app.ExportZip(t.Context(), &z, ExportRequest{SwimmerID: mira.Swimmer.ID, Films: true}); err != nil {
		t.Fatal(err)
	}
	r, err := zip.NewReader(bytes.NewReader(z.Bytes()), int64(z.Len()))
	if err != nil {
		t.Fatal(err)
	}
	unpacked := filepath.Join(dir, "unpacked")
	if err := os.CopyFS(unpacked, r); err != nil {
		t.Fatal(err)
	}
	p := readPackage(t, unpacked)
	for _, x := range p.Resources {
		x.checkFile(t, unpacked)
	}
	if err := os.Mkdir(filepath.Join(dir, "empty"), 0o700); err != nil {
		t.Fatal(err)
	}
	if _, err := app.Export(t.Context(), filepath.Join(dir, "empty"), ExportRequest{}); err != nil {
		t.Errorf("to an empty folder: %v", err)
	}
}

func writeFileAt(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}
