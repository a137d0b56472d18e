package poolside

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"

	"underkick/internal/record"
	"underkick/internal/store"
)

// exportField is a field of a Frictionless Table Schema.
type exportField struct {
	Name        string `json:"name"`
	Type        string `json:"type"`
	Unit        string `json:"unit,omitempty"`
	Description string `json:"description"`
}

// exportTable is one table of an export; a nil cell is not known.
type exportTable struct {
	name   string
	fields []exportField
	rows   [][]any
}

func exportTables() (swimmers, runs, measures *exportTable) {
	id := exportField{"swimmer", "string", "", "id of the swimmer"}
	run := exportField{"run", "string", "", "id of the run"}
	swimmers = &exportTable{name: "swimmers", fields: []exportField{
		id,
		{"name", "string", "", "name"},
		{"pseudonym", "string", "", "shown where others look on"},
		{"sex", "string", "", "female, male, or empty"},
		{"birth_year", "integer", "", "year of birth"},
		{"height_m", "number", "m", "standing height"},
		{"mass_kg", "number", "kg", "body mass"},
		{"level", "string", "", "beginner to international"},
		{"notes", "string", "", "notes on the swimmer"},
	}}
	runs = &exportTable{name: "runs", fields: []exportField{
		run, id,
		{"visit_on", "date", "", "day of the visit"},
		{"pool", "string", "", "pool of the visit"},
		{"clip_sha256", "string", "", "SHA-256 of the film"},
		{"from_frame", "integer", "", "first frame"},
		{"to_frame", "integer", "", "last frame, included"},
		{"effort", "string", "", "easy, race, max, or empty"},
		{"marks", "integer", "", "marks that stand"},
		{"method", "string", "", "name and version of the method that measured the run"},
		{"finding", "string", "", "sentence of the finding"},
	}}
	measures = &exportTable{name: "measures", fields: []exportField{
		run,
		{"measure", "string", "", "id of the measure; docs/methods defines it"},
		{"unit", "string", "", "unit of the numbers"},
		{"value", "number", "", "value in the unit of the row"},
		{"sd", "number", "", "spread over the kicks"},
		{"low", "number", "", "lower end of the band"},
		{"high", "number", "", "upper end of the band"},
		{"kicks", "integer", "", "kicks counted"},
	}}
	return swimmers, runs, measures
}

// Export writes the records of swimmers into the folder dir: CSV tables, the same
// as data.json, and datapackage.json, which describes every column as the
// Frictionless Data Package standard has it. Films are not in it. A dir that holds
// anything is refused with ErrInput.
func (a *App) Export(ctx context.Context, dir string, swimmers []record.Swimmer) (err error) {
	if entries, err := os.ReadDir(dir); err == nil && len(entries) > 0 {
		return inputf("the folder %s holds something already and was left as it is; choose another", dir)
	}
	sw, runs, measures := exportTables()
	for _, w := range swimmers {
		sw.rows = append(sw.rows, []any{w.ID, w.Name, w.Pseudonym, string(w.Sex), known(float64(w.BirthYear)), known(w.HeightM), known(w.MassKg), string(w.Level), w.Notes})
		visits, err := a.store.Filmed(ctx, w.ID)
		if err != nil {
			return err
		}
		for _, v := range visits {
			for _, c := range v.Clips {
				for _, r := range c.Runs {
					exportRun(runs, measures, v.Visit, c.Clip, r)
				}
			}
		}
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return fmt.Errorf("export: %w", err)
	}
	return writeExport(dir, sw, runs, measures)
}

func exportRun(runs, measures *exportTable, v record.Visit, c record.Clip, r store.FilmedRun) {
	method, finding := "", ""
	if r.Measured != nil {
		method, finding = r.Measured.Method, r.Measured.Sentence
		for _, m := range r.Measured.Values {
			measures.rows = append(measures.rows, []any{r.Run.ID, m.Measure, m.Unit, number(m.Value), number(m.SD), number(m.Low), number(m.High), m.N})
		}
	}
	runs.rows = append(runs.rows, []any{r.Run.ID, r.Run.SwimmerID, string(v.On), v.Pool, c.Hash, r.Run.FromFrame, r.Run.ToFrame, string(r.Run.Effort), r.Marks, method, finding})
}

// known is nil for 0, which stands for not known.
func known(x float64) any {
	if x == 0 {
		return nil
	}
	return x
}

func number(x float64) any {
	if math.IsNaN(x) {
		return nil
	}
	return x
}

func writeExport(dir string, tables ...*exportTable) error {
	data := map[string][]map[string]any{}
	var resources []any
	for _, t := range tables {
		rows := []map[string]any{}
		for _, r := range t.rows {
			row := map[string]any{}
			for i, f := range t.fields {
				row[f.Name] = r[i]
			}
			rows = append(rows, row)
		}
		data[t.name] = rows
		if err := t.writeCSV(filepath.Join(dir, t.name+".csv")); err != nil {
			return err
		}
		resources = append(resources, map[string]any{
			"name": t.name, "path": t.name + ".csv", "profile": "tabular-data-resource", "format": "csv", "mediatype": "text/csv", "encoding": "utf-8",
			"schema": map[string]any{"fields": t.fields, "missingValues": []string{""}},
		})
	}
	if err := writeJSONFile(filepath.Join(dir, "data.json"), data); err != nil {
		return err
	}
	return writeJSONFile(filepath.Join(dir, "datapackage.json"), map[string]any{"name": "underkick-export", "profile": "tabular-data-package", "resources": resources})
}

func writeJSONFile(path string, v any) error {
	text, err := json.MarshalIndent(v, "", "  ")
	if err == nil {
		err = os.WriteFile(path, append(text, '\n'), 0o600)
	}
	if err != nil {
		return fmt.Errorf("export: %w", err)
	}
	return nil
}

func (t *exportTable) writeCSV(path string) (err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return fmt.Errorf("export: %w", err)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	lines := [][]string{{}}
	for _, field := range t.fields {
		lines[0] = append(lines[0], field.Name)
	}
	for _, r := range t.rows {
		var line []string
		for _, cell := range r {
			line = append(line, cellText(cell))
		}
		lines = append(lines, line)
	}
	return csv.NewWriter(f).WriteAll(lines)
}

func cellText(cell any) string {
	switch c := cell.(type) {
	case nil:
		return ""
	case float64:
		return strconv.FormatFloat(c, 'g', -1, 64)
	}
	return fmt.Sprint(cell)
}

// AllSwimmers returns the swimmers of all squads.
func (a *App) AllSwimmers(ctx context.Context) ([]record.Swimmer, error) {
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return nil, err
	}
	var all []record.Swimmer
	for _, q := range squads {
		list, err := a.store.Swimmers(ctx, q.ID)
		if err != nil {
			return nil, err
		}
		all = append(all, list...)
	}
	return all, nil
}
