package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"time"

	_ "modernc.org/sqlite" // the driver "sqlite"
)

// Names inside the data folder.
const (
	databaseName = "underkick.db"
	lockName     = "underkick.lock"
	clipsName    = "clips"
	cacheName    = "cache"
	backupsName  = "backups"
)

// Options are the choices of Open; the zero value is the default.
type Options struct {
	// Now tells the time; nil = the machine's clock.
	Now func() time.Time
	// Readers is the most reads at once; 0 = 4.
	Readers int
	// Log receives upgrades and cleaning; nil = nothing.
	Log *slog.Logger
	// Existing: the folder must hold data already; else ErrNoData, and nothing is made.
	Existing bool
}

// Store is an open data folder. It is safe for concurrent use.
type Store struct {
	dir     string
	now     func() time.Time
	log     *slog.Logger
	lock    *os.File
	writer  *sql.DB // one connection
	readers *sql.DB

	files   sync.Mutex                                // held while names in the clips folder and the rows that claim them change
	outside sync.Mutex                                // held while the list of what is written outside changes
	create  func(dir, pattern string) (stream, error) // makes a file for an import; tests put a failing one here
}

// Open opens the data folder dir, makes what is missing in it, brings an older
// database up to date (after copying it to backups/) and clears away what a
// killed process left. Errors wrap ErrLocked, ErrNewer, ErrReadOnly, ErrFull, ErrDamaged or
// ErrNoData where one of them is the cause. Close it after use.
func Open(ctx context.Context, dir string, opt Options) (*Store, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, fmt.Errorf("find the data folder: %w", err)
	}
	s := &Store{dir: dir, now: opt.Now, log: opt.Log, create: createStream}
	if s.now == nil {
		s.now = time.Now
	}
	if s.log == nil {
		s.log = slog.New(slog.DiscardHandler)
	}
	if opt.Readers <= 0 {
		opt.Readers = 4
	}
	if err := s.open(ctx, opt); err != nil {
		return nil, errors.Join(explain("open data folder "+dir, err), s.Close())
	}
	return s, nil
}

func (s *Store) open(ctx context.Context, opt Options) error {
	if err := settleRestore(s.dir); err != nil {
		return err
	}
	if opt.Existing {
		if err := s.holdsData(); err != nil {
			return err
		}
	}
	for _, d := range []string{s.dir, s.path(clipsName), s.path(cacheName)} {
		// Only this user may look: films of minors lie here.
		if err := os.MkdirAll(d, 0o700); err != nil {
			return err
		}
	}
	var err error
	if s.lock, err = lockFolder(s.path(lockName)); err != nil {
		return err
	}
	if err := touchDatabase(s.path(databaseName)); err != nil {
		return err
	}
	if s.writer, err = sql.Open("sqlite", dsn(s.path(databaseName), false)); err != nil {
		return err
	}
	s.writer.SetMaxOpenConns(1)
	if err := s.upgrade(ctx); err != nil {
		return err
	}
	if s.readers, err = sql.Open("sqlite", dsn(s.path(databaseName), true)); err != nil {
		return err
	}
	s.readers.SetMaxOpenConns(opt.Readers)
	s.readers.SetMaxIdleConns(opt.Readers)
	if err := s.clearUnfinished(); err != nil {
		s.log.Warn("left over outside the data folder", "reason", err)
	}
	return s.tidy(ctx)
}

// holdsData refuses a folder without a database, before anything is made.
func (s *Store) holdsData() error {
	_, err := os.Stat(s.path(databaseName))
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR) {
		return because(ErrNoData, err, "there are no records of underkick there, and nothing was made. Check the path (--data or UNDERKICK_DATA). New records begin with underkick serve; underkick restore brings back a backup")
	}
	return err
}

// touchDatabase makes the database file with the right permissions before
// SQLite would make it with wider ones.
func touchDatabase(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	return f.Close()
}

// dsn is the driver's name for the database at path.
func dsn(path string, readOnly bool) string {
	p := filepath.ToSlash(path)
	if !strings.HasPrefix(p, "/") {
		p = "/" + p // a drive letter
	}
	// busy_timeout first: the others may already have to wait.
	q := "_pragma=busy_timeout(5000)&_pragma=foreign_keys(1)"
	if readOnly {
		q += "&_pragma=query_only(1)&mode=ro"
	} else {
		q += "&_pragma=journal_mode(WAL)&_pragma=synchronous(NORMAL)&_txlock=immediate"
	}
	return "file://" + (&url.URL{Path: p}).EscapedPath() + "?" + q
}

// Close gives the data folder back. Staged imports that were not kept are
// dropped at the next start.
func (s *Store) Close() error {
	var errs []error
	if s.readers != nil {
		errs = append(errs, s.readers.Close())
	}
	if s.writer != nil {
		errs = append(errs, s.writer.Close())
	}
	if s.lock != nil {
		errs = append(errs, s.lock.Close())
		s.lock = nil
	}
	if err := errors.Join(errs...); err != nil && !errors.Is(err, fs.ErrClosed) {
		return fmt.Errorf("close data folder: %w", err)
	}
	return nil
}

// Dir returns the data folder's absolute path.
func (s *Store) Dir() string { return s.dir }

// CacheDir returns the folder for what can be made again.
func (s *Store) CacheDir() string { return s.path(cacheName) }

func (s *Store) path(name string) string { return filepath.Join(s.dir, name) }
