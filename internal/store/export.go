package store

import (
	"context"
	"encoding/json"
	"io"
	"os"

	"underkick/internal/record"
	"underkick/internal/store/exported"
)

// ExportScope says whose records are exported. What belongs to several swimmers
// together (notes of a squad and of its visits, lessons) goes only with whole squads.
type ExportScope struct {
	Swimmers []string // public ids
	Squads   []string // public ids of squads that go whole; their swimmers must be in Swimmers too
}

// ExportRows calls row for every row of a table in scope, in the order of its key, with
// one cell per field as exported.Field.Cell makes it. Inside AtOneMoment several tables
// fit together whatever is written meanwhile.
func (s *Store) ExportRows(ctx context.Context, t exported.Table, scope ExportScope, row func(cells []any) error) error {
	swimmers, err := json.Marshal(scope.Swimmers)
	if err != nil {
		return err
	}
	squads, err := json.Marshal(scope.Squads)
	if err != nil {
		return err
	}
	err = each(ctx, s.reader(ctx), func(scan func(...any) error) error {
		cells, at := make([]any, len(t.Fields)), make([]any, len(t.Fields))
		for i := range cells {
			at[i] = &cells[i]
		}
		err := scan(at...)
		for i, f := range t.Fields {
			if err == nil {
				cells[i], err = f.Cell(cells[i])
			}
		}
		if err != nil {
			return err
		}
		return row(cells)
	}, t.Query(), string(swimmers), string(squads))
	return explain("export "+t.Name, err)
}

// CopyFilm writes the film of a clip to w. It stops when ctx ends.
func (s *Store) CopyFilm(ctx context.Context, c record.Clip, w io.Writer) error {
	f, err := os.Open(s.ClipPath(c))
	if err == nil {
		defer func() { _ = f.Close() }() // read only: nothing to lose
		_, err = io.Copy(w, untilDone{ctx, f})
	}
	return explain("copy the film of "+c.Name, err)
}
