package store

import (
	"context"
)

// Numbered is a swimmer's names with the number that stands for them where names are
// hidden and no pseudonym was given.
type Numbered struct {
	ID, Name, Pseudonym string
	Number              int // fixed for the life of the record
}

// Names returns the names of all swimmers of all squads.
func (s *Store) Names(ctx context.Context) ([]Numbered, error) {
	list, err := many(ctx, s.reader(ctx), func(scan func(...any) error) (Numbered, error) {
		var n Numbered
		err := scan(&n.ID, &n.Name, &n.Pseudonym, &n.Number)
		return n, err
	}, `SELECT pub, name, pseudonym, id FROM swimmer ORDER BY id`)
	return list, explain("list names", err)
}

// Pools returns the names of all pools that visits were at.
func (s *Store) Pools(ctx context.Context) ([]string, error) {
	list, err := many(ctx, s.reader(ctx), scanText, `SELECT DISTINCT pool FROM visit WHERE pool <> '' ORDER BY pool`)
	return list, explain("list pools", err)
}
