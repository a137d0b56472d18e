package store

import (
	"context"
	"io"
)

// Doors for the tests of this package.

// BreakImports makes every import's file fail with err after n bytes.
func (s *Store) BreakImports(n int, err error) {
	s.create = func(dir, pattern string) (stream, error) {
		f, e := createStream(dir, pattern)
		return &breaking{stream: f, left: n, err: err}, e
	}
}

type breaking struct {
	stream
	left int
	err  error
}

func (b *breaking) Write(p []byte) (int, error) {
	if len(p) > b.left {
		n, _ := b.stream.Write(p[:b.left])
		b.left = 0
		return n, b.err
	}
	b.left -= len(p)
	return b.stream.Write(p)
}

var _ io.Writer = (*breaking)(nil)

// Exec runs a statement on the writer.
func (s *Store) Exec(ctx context.Context, query string, args ...any) error {
	_, err := s.writer.ExecContext(ctx, query, args...)
	return err
}

// Pragmas returns a pragma's value from every connection there can be.
func (s *Store) Pragmas(ctx context.Context, name string) (writer string, readers []string, err error) {
	if err := s.writer.QueryRowContext(ctx, "PRAGMA "+name).Scan(&writer); err != nil {
		return "", nil, err
	}
	for range s.readers.Stats().MaxOpenConnections {
		c, err := s.readers.Conn(ctx)
		if err != nil {
			return "", nil, err
		}
		defer func() { _ = c.Close() }() // at the end, so that each turn gets another one
		var v string
		if err := c.QueryRowContext(ctx, "PRAGMA "+name).Scan(&v); err != nil {
			return "", nil, err
		}
		readers = append(readers, v)
	}
	return writer, readers, nil
}

// WriteAsReader tries to write through a reader's connection.
func (s *Store) WriteAsReader(ctx context.Context) error {
	_, err := s.readers.ExecContext(ctx, `INSERT INTO setting (name, value) VALUES ('a', 'b')`)
	return err
}
