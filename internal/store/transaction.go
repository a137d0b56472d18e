package store

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"time"

	"underkick/internal/record"
)

// unit is a transaction under way, carried by the context inside Together.
type unit struct {
	store  *Store
	tx     *sql.Tx
	failed error // of a joined step; nothing of the whole may be kept then
	after  []func()
}

type unitKey struct{}

func (s *Store) unit(ctx context.Context) *unit {
	if u, ok := ctx.Value(unitKey{}).(*unit); ok && u.store == s {
		return u
	}
	return nil
}

// Together runs fn as one step: either all that the store's methods write
// within it is kept, or, if fn returns an error or panics, nothing. The methods
// must be given the context that fn gets, and none of it may be used from
// another goroutine or after fn; with the outer context they would wait for
// this step to end. Inside another Together it joins that one; if a joined step
// fails, all fails, even when its error is not passed on.
func (s *Store) Together(ctx context.Context, fn func(ctx context.Context) error) error {
	if outer := s.unit(ctx); outer != nil {
		err := fn(ctx)
		if outer.failed == nil {
			outer.failed = err
		}
		return err
	}
	tx, err := s.writer.BeginTx(ctx, nil)
	if err != nil {
		return explain("begin to write", err)
	}
	u := &unit{store: s, tx: tx}
	defer func() { _ = tx.Rollback() }() // after a commit it does nothing
	if err := fn(context.WithValue(ctx, unitKey{}, u)); err != nil {
		return err
	}
	if u.failed != nil {
		return u.failed
	}
	if err := tx.Commit(); err != nil {
		return explain("keep what was written", err)
	}
	for _, f := range u.after {
		f()
	}
	return nil
}

// AfterCommit runs fn once what ctx's Together writes is kept, at once outside
// of one, never if it is not kept.
func (s *Store) AfterCommit(ctx context.Context, fn func()) {
	if u := s.unit(ctx); u != nil {
		u.after = append(u.after, fn)
		return
	}
	fn()
}

// reader is what runs queries: the pool of readers, or a transaction.
type reader interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

func (s *Store) reader(ctx context.Context) reader {
	if u := s.unit(ctx); u != nil {
		return u.tx
	}
	if v, ok := ctx.Value(viewKey{}).(*view); ok && v.store == s {
		return v.tx
	}
	return s.readers
}

// view is a state of the database that all reads of one context see.
type view struct {
	store *Store
	tx    *sql.Tx
}

type viewKey struct{}

// AtOneMoment runs fn, whose context makes all reads of the store see the state at one
// moment, whatever is written meanwhile. The context may not be used from another
// goroutine or after fn; what fn writes is not seen within it.
func (s *Store) AtOneMoment(ctx context.Context, fn func(ctx context.Context) error) error {
	tx, err := s.readers.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return explain("begin to read", err)
	}
	defer func() { _ = tx.Rollback() }() // nothing was written
	return fn(context.WithValue(ctx, viewKey{}, &view{s, tx}))
}

// write runs fn in the transaction of ctx, or in one of its own, and adds the
// operation to its error.
func (s *Store) write(ctx context.Context, op string, fn func(tx *sql.Tx) error) error {
	return explain(op, s.Together(ctx, func(ctx context.Context) error { return fn(s.unit(ctx).tx) }))
}

// execOne runs a statement that must touch one row; otherwise the record is
// not there.
func execOne(ctx context.Context, tx *sql.Tx, query string, args ...any) error {
	res, err := tx.ExecContext(ctx, query, args...)
	if err != nil {
		return err
	}
	n, err := res.RowsAffected()
	if err != nil {
		return err
	}
	if n == 0 {
		return ErrNotFound
	}
	return nil
}

// one reads one row; ErrNotFound when there is none.
func one[T any](ctx context.Context, r reader, scan func(func(...any) error) (T, error), query string, args ...any) (T, error) {
	v, err := scan(r.QueryRowContext(ctx, query, args...).Scan)
	if errors.Is(err, sql.ErrNoRows) {
		err = ErrNotFound
	}
	return v, err
}

// each calls row once for every row, with the function that scans it.
func each(ctx context.Context, r reader, row func(scan func(...any) error) error, query string, args ...any) (err error) {
	rows, err := r.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, rows.Close()) }()
	for rows.Next() {
		if err := row(rows.Scan); err != nil {
			return err
		}
	}
	return rows.Err()
}

// many reads all rows.
func many[T any](ctx context.Context, r reader, scan func(func(...any) error) (T, error), query string, args ...any) ([]T, error) {
	var list []T
	err := each(ctx, r, func(row func(...any) error) error {
		v, err := scan(row)
		list = append(list, v)
		return err
	}, query, args...)
	if err != nil {
		return nil, err
	}
	return list, nil
}

// rowID returns the row number of a public id in a table of ours.
func rowID(ctx context.Context, r reader, table, pub string) (int64, error) {
	var id int64
	err := r.QueryRowContext(ctx, `SELECT id FROM `+table+` WHERE pub = $1`, pub).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, fmt.Errorf("%s %q: %w", table, pub, ErrNotFound)
	}
	return id, err
}

// newID returns a fresh public id: 60 random bits in letters and digits that
// are not taken for each other.
func newID() string {
	const letters = "0123456789abcdefghjkmnpqrstvwxyz"
	var b [12]byte
	_, _ = rand.Read(b[:]) // never fails: the program ends instead
	for i := range b {
		b[i] = letters[b[i]&31]
	}
	return string(b[:])
}

func timeText(t time.Time) string { return record.FormatTime(t) }

// stamp scans a moment kept as text; NULL gives the zero time.
type stamp struct{ t *time.Time }

// Scan implements sql.Scanner.
func (s stamp) Scan(v any) error {
	switch v := v.(type) {
	case nil:
		*s.t = time.Time{}
		return nil
	case string:
		t, err := record.ParseTime(v)
		*s.t = t
		return err
	}
	return fmt.Errorf("moment kept as %T", v)
}

// moment is now as it will be read back.
func (s *Store) moment() time.Time { return s.now().UTC().Truncate(time.Millisecond) }
