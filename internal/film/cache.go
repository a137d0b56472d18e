package film

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"underkick/internal/disk"
)

// Cache keeps pictures of clips as JPEG files, addressed by the clip's
// content, the engine that decoded them, their width and the frame number, so
// that a picture on the screen is exactly the frame with that number and
// costs a file read. It is bounded: the pictures of the clips looked at
// longest ago go first. It is safe for concurrent use within one process.
type Cache struct {
	dir string
	max int64

	mu     sync.Mutex
	loaded bool
	sets   map[string]*pictureSet
	total  int64
}

// Clip is a film file with the hash of its content (any text that no other
// content has; store keeps a SHA-256).
type Clip struct{ Path, Hash string }

// ErrCacheFull is returned when the pictures asked for do not fit the cache
// even alone.
var ErrCacheFull = errors.New("the picture cache is too small for these pictures")

// formVersion is part of the keys; raise it when pictures are made otherwise.
const formVersion = "1"

// pictureSet are the pictures of one clip by one engine in one width.
type pictureSet struct {
	name    string // folder
	size    int64  // bytes
	used    time.Time
	marked  time.Time     // when used was last written to the disk
	changed chan struct{} // closed and replaced when a picture arrives or an ingest ends
	active  []*ingest
	gone    bool // removed; what still works on it must stop
}

// ingest is a decoding into a set that is under way.
type ingest struct{ at, to int } // next frame to arrive, end

// NewCache returns a cache in dir (made when needed) of at most max bytes. It
// does not touch the disk before it is used.
func NewCache(dir string, max int64) *Cache {
	return &Cache{dir: dir, max: max, sets: map[string]*pictureSet{}}
}

// load takes stock of the folder once and clears away unfinished files.
func (c *Cache) load() error {
	if c.loaded {
		return nil
	}
	if err := os.MkdirAll(c.dir, 0o700); err != nil {
		return fmt.Errorf("open picture cache: %w", err)
	}
	entries, err := os.ReadDir(c.dir)
	if err != nil {
		return fmt.Errorf("open picture cache: %w", err)
	}
	for _, e := range entries {
		if !e.IsDir() {
			continue
		}
		if strings.HasPrefix(e.Name(), trashPrefix) {
			_ = os.RemoveAll(filepath.Join(c.dir, e.Name())) // tried again next time
			continue
		}
		s, err := c.takeStock(e.Name())
		if err != nil {
			return fmt.Errorf("open picture cache: %w", err)
		}
		c.sets[s.name] = s
		c.total += s.size
	}
	c.loaded = true
	return nil
}

func (c *Cache) takeStock(name string) (*pictureSet, error) {
	s := &pictureSet{name: name, changed: make(chan struct{})}
	files, err := os.ReadDir(filepath.Join(c.dir, name))
	if err != nil {
		return nil, err
	}
	for _, f := range files {
		info, err := f.Info()
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		switch {
		case strings.HasPrefix(f.Name(), disk.Unfinished):
			_ = os.Remove(filepath.Join(c.dir, name, f.Name())) // a leftover; harmless if it stays
		case f.Name() == usedFile:
			s.used = info.ModTime()
		default:
			s.size += info.Size()
		}
	}
	return s, nil
}

const (
	trashPrefix = ".trash-"
	usedFile    = "used"
)

// clipPart is the part of the folder names that all sets of a clip share.
func clipPart(hash string) string {
	sum := sha256.Sum256([]byte(hash))
	return hex.EncodeToString(sum[:10])
}

// set returns the set, new or known, as just used. c.mu must be held.
func (c *Cache) set(e *Engine, hash string, width int) *pictureSet {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s\n%s\n%d", formVersion, e.Identity(), width))
	name := clipPart(hash) + "-" + hex.EncodeToString(sum[:10])
	s := c.sets[name]
	if s == nil {
		s = &pictureSet{name: name, changed: make(chan struct{})}
		c.sets[name] = s
	}
	s.used = time.Now()
	if s.size > 0 && s.used.Sub(s.marked) > time.Minute {
		s.marked = s.used
		// Losing this only makes the set look older than it is.
		_ = os.WriteFile(filepath.Join(c.dir, name, usedFile), nil, 0o600)
	}
	return s
}

func (c *Cache) file(s *pictureSet, n int) string {
	return filepath.Join(c.dir, s.name, fmt.Sprintf("%06d.jpg", n))
}

// Size returns the bytes kept.
func (c *Cache) Size() (int64, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	err := c.load()
	return c.total, err
}

// Forget removes all pictures of the clip with the hash, as is needed when a
// clip is erased.
func (c *Cache) Forget(hash string) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	if err := c.load(); err != nil {
		return err
	}
	var errs []error
	for name, s := range c.sets {
		if strings.HasPrefix(name, clipPart(hash)+"-") {
			errs = append(errs, c.drop(s))
		}
	}
	return errors.Join(errs...)
}

// drop removes a set. c.mu must be held.
func (c *Cache) drop(s *pictureSet) error {
	c.total -= s.size
	s.gone = true
	delete(c.sets, s.name)
	from := filepath.Join(c.dir, s.name)
	trash, err := os.MkdirTemp(c.dir, trashPrefix)
	if err != nil {
		return fmt.Errorf("remove pictures: %w", err)
	}
	// Renamed first, so that no reader meets half a set.
	if err := os.Rename(from, filepath.Join(trash, "set")); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("remove pictures: %w", err)
	}
	if err := os.RemoveAll(trash); err != nil {
		return fmt.Errorf("remove pictures: %w", err)
	}
	return nil
}

// makeRoom drops the sets used longest ago until need more bytes fit. c.mu
// must be held.
func (c *Cache) makeRoom(need int64, keep *pictureSet) error {
	if c.total+need <= c.max {
		return nil
	}
	var old []*pictureSet
	for _, s := range c.sets {
		if s != keep && len(s.active) == 0 {
			old = append(old, s)
		}
	}
	slices.SortFunc(old, func(a, b *pictureSet) int { return a.used.Compare(b.used) })
	for _, s := range old {
		if c.total+need <= c.max {
			return nil
		}
		if err := c.drop(s); err != nil {
			return err
		}
	}
	if c.total+need > c.max {
		return ErrCacheFull
	}
	return nil
}

// errForgotten ends an ingest whose clip was erased meanwhile.
var errForgotten = errors.New("the clip was erased")

// keep stores a picture and tells those who wait for it.
func (c *Cache) keep(s *pictureSet, in *ingest, n int, data []byte) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	if s.gone {
		return errForgotten
	}
	if !c.has(s, n) {
		size := int64(len(data))
		if err := c.makeRoom(size, s); err != nil {
			return err
		}
		if err := c.write(s, filepath.Base(c.file(s, n)), data); err != nil {
			return err
		}
		s.size += size
		c.total += size
	}
	in.at = n + 1
	s.tell()
	return nil
}

// write makes a file of the set, and its folder if needed.
func (c *Cache) write(s *pictureSet, name string, data []byte) error {
	dir := filepath.Join(c.dir, s.name)
	err := disk.WriteUnsynced(filepath.Join(dir, name), data)
	if errors.Is(err, fs.ErrNotExist) {
		if err = os.MkdirAll(dir, 0o700); err == nil {
			err = disk.WriteUnsynced(filepath.Join(dir, name), data)
		}
	}
	if err != nil {
		return fmt.Errorf("keep picture: %w", err)
	}
	return nil
}

// tell wakes those who wait for the set. The cache's mu must be held.
func (s *pictureSet) tell() {
	close(s.changed)
	s.changed = make(chan struct{})
}

// covers returns the ingest under way that will bring frame n, or nil.
func (s *pictureSet) covers(n int) *ingest {
	for _, in := range s.active {
		if n >= in.at && n < in.to {
			return in
		}
	}
	return nil
}

// await blocks until the set changes or ctx ends.
func await(ctx context.Context, changed <-chan struct{}) error {
	select {
	case <-changed:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
