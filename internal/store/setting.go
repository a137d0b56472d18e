package store

import (
	"context"
	"database/sql"
	"errors"
)

// Setting returns the text kept under a name, and whether there is one.
func (s *Store) Setting(ctx context.Context, name string) (string, bool, error) {
	var text string
	err := s.reader(ctx).QueryRowContext(ctx, `SELECT value FROM setting WHERE name = $1`, name).Scan(&text)
	if errors.Is(err, sql.ErrNoRows) {
		return "", false, nil
	}
	return text, err == nil, explain("read setting "+name, err)
}

// SetSetting keeps a text under a name in place of what was there.
func (s *Store) SetSetting(ctx context.Context, name, value string) error {
	return s.write(ctx, "keep setting "+name, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO setting (name, value) VALUES ($1, $2)
			ON CONFLICT (name) DO UPDATE SET value = excluded.value`, name, value)
		return err
	})
}
