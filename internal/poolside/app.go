package poolside

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"path/filepath"
	"sync"
	"time"

	"underkick/internal/film"
	"underkick/internal/jobs"
	"underkick/internal/store"
)

// ErrNotFound: there is no such swimmer, clip, run or job.
var ErrNotFound = store.ErrNotFound

// Options are the choices of Open; the zero value is the default but for DataDir.
type Options struct {
	DataDir string          // the user's data folder
	Film    film.Preference // which film engine
	Log     *slog.Logger    // nil = nothing
	NoGuess bool            // nothing is guessed; marks alone serve
	// Existing: a data folder that is not there is refused with ErrInput; nothing is made.
	Existing bool
}

// App is the one door to the use cases. It is safe for concurrent use.
type App struct {
	store records
	jobs  *jobs.Queue
	cache *film.Cache
	log   *slog.Logger
	opt   Options

	filmMu sync.Mutex
	film   *film.Engine // opened at first need

	measured measuredCache
	seasons  seasonCache
	results  resultsCache
	guesses  guesses
	askers   askers
	ahead    ahead
	erasing  beside[Erased]
	backing  beside[MadeBackup]

	previews    previewCache
	markersKept markersCache
	noticed     noticedMarkers
}

// pictureCacheBytes bounds the stills kept beside the data: about 40,000
// pictures, or 100 runs. They can always be made again.
const pictureCacheBytes = 4 << 30

// Open opens the data folder and starts the background work. Close it after use.
// The film engine is started when film is first read, not here.
func Open(ctx context.Context, opt Options) (*App, error) {
	if opt.Log == nil {
		opt.Log = slog.New(slog.DiscardHandler)
	}
	s, err := store.Open(ctx, opt.DataDir, store.Options{Log: opt.Log, Existing: opt.Existing})
	if err != nil {
		return nil, asInput(err) // it names the folder
	}
	a := &App{store: records{s}, log: opt.Log, opt: opt}
	a.cache = film.NewCache(filepath.Join(s.CacheDir(), "pictures"), pictureCacheBytes)
	if err := a.finishErasing(ctx); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	a.jobs, err = a.startJobs(ctx)
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	if err := a.renewAtStart(ctx); err != nil {
		return nil, errors.Join(err, a.Close())
	}
	return a, nil
}

// Close ends the background work (the next start takes it up again) and gives
// the data folder back.
func (a *App) Close() error {
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	a.ahead.end()
	a.backing.end()
	a.erasing.end() // a few seconds; a killed one is finished at the next start
	return errors.Join(a.jobs.Stop(ctx), a.store.Close())
}

// DataDir returns the data folder.
func (a *App) DataDir() string { return a.store.Dir() }

// Warm makes the film engine ready, so that the first clip need not wait for it;
// the embedded one is compiled once, which takes seconds.
func (a *App) Warm(ctx context.Context) error {
	e, err := a.engine(ctx)
	if err != nil {
		return err
	}
	return e.Warm(ctx)
}

// engine returns the film engine, started at first need.
func (a *App) engine(ctx context.Context) (*film.Engine, error) {
	a.filmMu.Lock()
	defer a.filmMu.Unlock()
	if a.film != nil {
		return a.film, nil
	}
	e, err := film.Open(ctx, film.Options{Prefer: a.opt.Film, CacheDir: filepath.Join(a.store.CacheDir(), "film"), Log: a.log})
	if err != nil {
		return nil, fmt.Errorf("start the film engine: %w", err)
	}
	a.film = e
	return e, nil
}

// FilmNote says why film is slow here, "" when it is not or not known yet.
func (a *App) FilmNote() string {
	a.filmMu.Lock()
	defer a.filmMu.Unlock()
	if a.film == nil {
		return ""
	}
	return a.film.Note()
}

// today returns the day where this machine stands.
func today() string { return time.Now().Format(time.DateOnly) }
