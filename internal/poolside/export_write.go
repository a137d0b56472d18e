package poolside

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"underkick/internal/record"
	"underkick/internal/store"
)

// exporting is one export being written.
type exporting struct {
	ctx       context.Context
	to        shelf
	store     *store.Store
	films     map[string]record.Clip // a clip of each film, by name in the export
	progress  func(done, total int, what string)
	made      time.Time
	done      int
	total     int
	resources []resource
}

// write writes every file of an export, the description last: without it the rest says
// of itself that it is not finished.
func (x *exporting) write(tables []exportSource) error {
	x.total = 2*len(tables) + len(x.films) + 1
	for _, t := range tables {
		x.tell(t.Name + ".csv")
		size, sum, err := x.file(t.Name+".csv", func(w io.Writer) error { return writeCSV(x.ctx, w, t) })
		if err != nil {
			return err
		}
		x.resources = append(x.resources, tableResource(t.Table, size, sum))
	}
	size, sum, err := x.file("data.json", func(w io.Writer) error { return x.writeData(w, tables) })
	if err != nil {
		return err
	}
	x.resources = append(x.resources, dataResource(tables, size, sum))
	for _, name := range slices.Sorted(maps.Keys(x.films)) {
		x.tell(name)
		size, sum, err := x.file(name, func(w io.Writer) error { return x.store.CopyFilm(x.ctx, x.films[name], w) })
		if err != nil {
			return err
		}
		x.resources = append(x.resources, filmResource(name, size, sum))
	}
	x.tell("datapackage.json")
	_, _, err = x.file("datapackage.json", func(w io.Writer) error {
		e := json.NewEncoder(w)
		e.SetIndent("", "  ")
		return e.Encode(describe(x.resources, x.made))
	})
	return err
}

func (x *exporting) tell(what string) {
	x.done++
	if x.progress != nil {
		x.progress(x.done, x.total, what)
	}
}

// file writes one file and returns its length and SHA-256 sum.
func (x *exporting) file(name string, write func(w io.Writer) error) (size int64, sum string, err error) {
	if err := x.ctx.Err(); err != nil {
		return 0, "", err
	}
	f, err := x.to.create(name)
	if err != nil {
		return 0, "", err
	}
	c := &counting{w: f, hash: sha256.New()}
	b := bufio.NewWriterSize(c, 64<<10)
	err = write(b)
	if err == nil {
		err = b.Flush()
	}
	if err := errors.Join(err, f.Close()); err != nil {
		return 0, "", fmt.Errorf("export %s: %w", name, err)
	}
	return c.n, hex.EncodeToString(c.hash.Sum(nil)), nil
}

// counting passes on what is written and keeps count of it.
type counting struct {
	w    io.Writer
	hash hash.Hash
	n    int64
}

// Write implements io.Writer.
func (c *counting) Write(p []byte) (int, error) {
	n, err := c.w.Write(p)
	c.hash.Write(p[:n])
	c.n += int64(n)
	return n, err
}

// writeData writes all tables as one JSON object: a list of rows for each.
func (x *exporting) writeData(w io.Writer, tables []exportSource) error {
	open := "{\n"
	for _, t := range tables {
		x.tell("data.json: " + t.Name)
		if _, err := fmt.Fprintf(w, "%s%q: [", open, t.Name); err != nil {
			return err
		}
		open = ",\n"
		first := true
		err := t.rows(x.ctx, func(cells []any) error {
			text, err := rowText(t, cells)
			if err != nil {
				return err
			}
			lead := ",\n  "
			if first {
				lead, first = "\n  ", false
			}
			_, err = io.WriteString(w, lead+text)
			return err
		})
		if err != nil {
			return err
		}
		if _, err := io.WriteString(w, "\n]"); err != nil {
			return err
		}
	}
	_, err := io.WriteString(w, "\n}\n")
	return err
}

// rowText is a row as a JSON object, its fields in the order of the table.
func rowText(t exportSource, cells []any) (string, error) {
	var b strings.Builder
	lead := "{"
	for i, f := range t.Fields {
		text, err := json.Marshal(cells[i])
		if err != nil {
			return "", fmt.Errorf("field %s: %w", f.Name, err)
		}
		fmt.Fprintf(&b, "%s%q: %s", lead, f.Name, text)
		lead = ", "
	}
	return b.String() + "}", nil
}

func number(x float64) any {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return x
}
