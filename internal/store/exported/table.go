package exported

import (
	"encoding/json"
	"fmt"
	"strings"
)

// Field is a column of an exported table.
type Field struct {
	Name  string
	Type  string // "string", "integer", "number", "boolean", "date", "datetime", "object", "array"
	Unit  string // SI or px; "" = has none, or the row says it
	Words string
	Must  bool // never empty
	Deep  bool // an object too large for a cell: not a column, only in JSON

	value string // SQL over the table t
}

// Link says that fields of a table hold the key of a row of another.
type Link struct {
	Fields []string
	Table  string
	Keys   []string // of that table, in the order of Fields
}

// Table is one table of an export.
type Table struct {
	Name   string // file name without ending
	Words  string
	Key    []string // fields that tell its rows apart; nil = none do
	Links  []Link
	Fields []Field

	of   string // table of the database, called t
	rows string // SQL condition and order
}

// In every table's SQL, $1 and $2 are JSON lists of public ids: the swimmers, and the
// squads that are exported whole.
const (
	theSwimmers = `(SELECT id FROM swimmer WHERE pub IN (SELECT value FROM json_each($1)))`
	theSquads   = `(SELECT id FROM squad WHERE pub IN (SELECT value FROM json_each($2)))`
	theRuns     = `(SELECT id FROM run WHERE swimmer_id IN ` + theSwimmers + `)`
	theClips    = `(SELECT id FROM clip WHERE swimmer_id IN ` + theSwimmers + ` OR id IN (SELECT clip_id FROM run WHERE swimmer_id IN ` + theSwimmers + `))`
)

// Tables returns the tables of an export: every table of the database that holds
// records. Each links only to tables before it.
func Tables() []Table {
	var all []Table
	for _, group := range [][]Table{people(), film(), marks(), results(), plans(), practice(), goals()} {
		all = append(all, group...)
	}
	return all
}

// LeftOut returns the tables of the database that no export holds, with the reason.
func LeftOut() map[string]string {
	return map[string]string{
		"job":          "work under way on this computer; what it made stands in other tables",
		"loose_file":   "films that are being removed",
		"setting":      "switches of this computer, and where backups were written",
		"result_brief": "a part of results, kept again for quick lists",
		"season_line":  "worked out from results, kept for quick lists",
		"renewal":      "which results are to be measured again on this computer",
	}
}

// Of returns the table of the database that the rows come from.
func (t Table) Of() string { return t.of }

// Query returns the SQL that reads the table in order of its key: one column for each
// field. $1 is a JSON list of the public ids of swimmers, $2 one of the squads that are
// exported whole.
func (t Table) Query() string {
	columns := make([]string, len(t.Fields))
	for i, f := range t.Fields {
		columns[i] = f.value
	}
	return `SELECT ` + strings.Join(columns, ", ") + ` FROM ` + t.of + ` t ` + t.rows
}

// Cell turns what the database gave for a field into nil (empty), string, int64,
// float64, bool or json.RawMessage, as its type says.
func (f Field) Cell(v any) (any, error) {
	switch v := v.(type) {
	case nil:
		return nil, nil
	case int64:
		switch f.Type {
		case "boolean":
			return v != 0, nil
		case "number":
			return float64(v), nil
		}
		return v, nil
	case float64:
		return v, nil
	case string:
		if f.Type == "object" || f.Type == "array" {
			return json.RawMessage(v), nil
		}
		return v, nil
	}
	return nil, fmt.Errorf("field %s holds %T", f.Name, v)
}

// The fields below read a column of t as it should stand in an export.

func text(name, column, words string) Field {
	return Field{Name: name, Type: "string", Words: words, value: `nullif(t.` + column + `, '')`}
}

func day(name, column, words string) Field {
	f := text(name, column, words)
	f.Type = "date"
	return f
}

// moment drops the part of the second, which the standard's form of a moment has not.
func moment(name, column, words string) Field {
	return Field{Name: name, Type: "datetime", Words: words, value: `CASE WHEN t.` + column + ` <> '' THEN substr(t.` + column + `, 1, 19) || 'Z' END`}
}

func count(name, column, words string) Field {
	return Field{Name: name, Type: "integer", Words: words, Must: true, value: `t.` + column}
}

func number(name, column, unit, words string) Field {
	return Field{Name: name, Type: "number", Unit: unit, Words: words, value: `t.` + column}
}

// known is a number whose 0 stands for not known.
func known(name, column, unit, words string) Field {
	return Field{Name: name, Type: "number", Unit: unit, Words: words + "; empty: not known", value: `nullif(t.` + column + `, 0)`}
}

func truth(name, column, words string) Field {
	return Field{Name: name, Type: "boolean", Words: words, Must: true, value: `t.` + column}
}

func object(name, column, words string) Field {
	return Field{Name: name, Type: "object", Words: words, value: `t.` + column}
}

// deep is an object that may be too large for a cell: programs that read CSV take some ten
// thousand characters.
func deep(name, column, words string) Field {
	f := object(name, column, words)
	f.Deep = true
	return f
}

// own is the public id of the row itself.
func own(words string) Field {
	return Field{Name: "id", Type: "string", Words: words, Must: true, value: `t.pub`}
}

// of is the public id of the row of another table that t belongs to.
func of(name, column, table, words string) Field {
	return Field{Name: name, Type: "string", Words: words, Must: true, value: `(SELECT pub FROM ` + table + ` WHERE id = t.` + column + `)`}
}

// link says that one field holds the id of another table.
func link(field, table string) Link {
	return Link{Fields: []string{field}, Table: table, Keys: []string{"id"}}
}

func must(f Field) Field {
	f.Must = true
	return f
}
