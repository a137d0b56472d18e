package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"underkick/internal/record"
)

// incoming starts the names of films that are not kept yet.
const incoming = "incoming-"

// stream is the part of a file that an import writes.
type stream interface {
	io.WriteCloser
	Name() string
	Sync() error
}

func createStream(dir, pattern string) (stream, error) { return os.CreateTemp(dir, pattern) }

// Staged is a film that was copied into the data folder and is not kept yet.
// End it with Keep or Discard.
type Staged struct {
	store *Store
	path  string // "" when ended
	name  string
	hash  string
	size  int64
}

// Path returns where the copy lies until Keep or Discard.
func (g *Staged) Path() string { return g.path }

// Hash returns the SHA-256 of the content, 64 hex digits.
func (g *Staged) Hash() string { return g.hash }

// Size returns the length in bytes.
func (g *Staged) Size() int64 { return g.size }

// Stage copies a film of the original name from r into the data folder, to be
// looked at before it is kept. It stops when ctx ends. Nothing stays behind
// after an error; ErrEmpty if there are no bytes.
func (s *Store) Stage(ctx context.Context, r io.Reader, name string) (*Staged, error) {
	g, err := s.stage(ctx, r, name)
	return g, explain("copy "+filepath.Base(name), err)
}

func (s *Store) stage(ctx context.Context, r io.Reader, name string) (g *Staged, err error) {
	f, err := s.create(s.path(clipsName), incoming+"*"+extension(name))
	if err != nil {
		return nil, err
	}
	g = &Staged{store: s, path: f.Name(), name: filepath.Base(name)}
	defer func() {
		if err != nil {
			err = errors.Join(err, g.Discard())
			g = nil
		}
	}()
	hash := sha256.New()
	g.size, err = io.CopyBuffer(io.MultiWriter(f, hash), untilDone{ctx, r}, make([]byte, 1<<20))
	if err == nil && g.size == 0 {
		err = because(ErrEmpty, nil, "the file is empty (0 bytes); copy it again from the camera")
	}
	if err == nil {
		err = f.Sync()
	}
	if e := f.Close(); err == nil {
		err = e
	}
	g.hash = hex.EncodeToString(hash.Sum(nil))
	return g, err
}

// untilDone reads from r until ctx ends. It hides r's other methods, so that
// the copy passes through here.
type untilDone struct {
	ctx context.Context
	r   io.Reader
}

// Read implements io.Reader.
func (u untilDone) Read(p []byte) (int, error) {
	if err := u.ctx.Err(); err != nil {
		return 0, err
	}
	return u.r.Read(p)
}

var plainExtension = regexp.MustCompile(`^\.[a-z0-9]{1,8}$`)

// extension returns the ending of a file's name, ".film" for an odd one.
func extension(name string) string {
	if e := strings.ToLower(filepath.Ext(name)); plainExtension.MatchString(e) {
		return e
	}
	return ".film"
}

// Discard drops the copy. After Keep or Discard it does nothing.
func (g *Staged) Discard() error {
	if g.path == "" {
		return nil
	}
	err := os.Remove(g.path)
	g.path = ""
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return explain("drop the copy of "+g.name, err)
}

// Keep makes the film a clip of c's visit and swimmer, with c's facts and true
// rate; the rest of c follows from the film. A film that is there already is
// not kept twice, and a clip of the same film, visit and swimmer is returned as
// it stands. After an error nothing is kept and the copy is gone. It may not be
// called inside Together.
func (g *Staged) Keep(ctx context.Context, c record.Clip) (record.Clip, error) {
	if g.store.unit(ctx) != nil {
		panic("store: Keep inside Together") // the film gets its name between two transactions
	}
	c, err := g.keep(ctx, c)
	if e := g.Discard(); e != nil {
		g.store.log.Warn("copy not removed before the next start", "reason", e)
	}
	return c, explain("keep "+g.name, err)
}

func (g *Staged) keep(ctx context.Context, c record.Clip) (record.Clip, error) {
	s := g.store
	if g.path == "" {
		return c, fs.ErrClosed
	}
	c.Hash, c.Size, c.Name = g.hash, g.size, g.name
	if err := c.Validate(); err != nil {
		return c, err
	}
	s.files.Lock()
	defer s.files.Unlock()
	var err error
	if c.File, err = s.place(ctx, g); err != nil {
		return c, err
	}
	file := c.File
	err = s.write(ctx, "write the clip", func(tx *sql.Tx) error {
		var err error
		if c, err = s.addClip(ctx, tx, c); err != nil {
			return err
		}
		return claim(ctx, tx, file)
	})
	if err != nil {
		err = errors.Join(err, s.settle(context.WithoutCancel(ctx)))
	}
	return c, err
}

// place gives the film its last name and returns it. It writes the name down
// as loose first, so that a crash before the row is there leaves no orphan. A
// film that is there already stays, and the copy remains staged.
func (s *Store) place(ctx context.Context, g *Staged) (string, error) {
	var file string
	err := s.reader(ctx).QueryRowContext(ctx, `SELECT file FROM clip WHERE hash = $1`, g.hash).Scan(&file)
	if err == nil {
		if st, err := os.Stat(filepath.Join(s.path(clipsName), file)); err == nil && st.Size() == g.size {
			return file, nil
		}
	} else if !errors.Is(err, sql.ErrNoRows) {
		return "", err
	}
	if file == "" {
		file = g.hash + extension(g.name)
	}
	if err := s.write(ctx, "note the film", func(tx *sql.Tx) error { return loosen(ctx, tx, s, file) }); err != nil {
		return "", err
	}
	if err := os.Rename(g.path, filepath.Join(s.path(clipsName), file)); err != nil {
		return "", err
	}
	g.path = ""
	return file, syncFolder(s.path(clipsName))
}

// ImportClip is Stage and Keep in one.
func (s *Store) ImportClip(ctx context.Context, r io.Reader, name string, c record.Clip) (record.Clip, error) {
	g, err := s.Stage(ctx, r, name)
	if err != nil {
		return c, err
	}
	return g.Keep(ctx, c)
}
