package poolside

import (
	"archive/zip"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"time"

	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/exported"
)

// ExportRequest says what is exported.
type ExportRequest struct {
	SwimmerID string // one swimmer
	SquadID   string // or one squad; neither: every squad
	Films     bool   // the films too
	Progress  func(done, total int, what string)
}

// Exported says what an export holds.
type Exported struct {
	Swimmers int
	Films    int
	Left     []LeftFilm // films asked for that are not in it
}

// LeftFilm is a film that was not exported.
type LeftFilm struct {
	Clip string // its name
	Why  string
}

// Export writes records into the folder dir, whole or not at all: a CSV table for each
// kind of record, the same rows as data.json, and datapackage.json, which describes every
// column as the Frictionless Data Package standard has it. All of it is as it stood at
// one moment. A dir that holds anything, or lies inside the data folder, is refused with
// ErrInput.
func (a *App) Export(ctx context.Context, dir string, req ExportRequest) (Exported, error) {
	var out Exported
	err := a.store.MakeFolder(ctx, dir, func(part string) (err error) {
		out, err = a.exportTo(ctx, folderShelf(part), req)
		return err
	})
	return out, asInput(err)
}

// ExportZip writes the same as one zip archive.
func (a *App) ExportZip(ctx context.Context, w io.Writer, req ExportRequest) (Exported, error) {
	z := zip.NewWriter(w)
	out, err := a.exportTo(ctx, zipShelf{z}, req)
	if err == nil {
		err = z.Close() // an archive without its end is no archive
	}
	return out, err
}

func (a *App) exportTo(ctx context.Context, to shelf, req ExportRequest) (Exported, error) {
	var out Exported
	err := a.store.AtOneMoment(ctx, func(ctx context.Context) error {
		scope, err := a.exportScope(ctx, req)
		if err != nil {
			return err
		}
		films, left, err := a.exportFilms(ctx, scope, req)
		if err != nil {
			return err
		}
		out = Exported{Swimmers: len(scope.Swimmers), Films: len(films), Left: left}
		x := exporting{ctx: ctx, store: a.store.Store, to: to, films: films, progress: req.Progress, made: time.Now()}
		return x.write(a.exportSources(scope))
	})
	return out, err
}

// exportScope turns what was asked for into ids.
func (a *App) exportScope(ctx context.Context, req ExportRequest) (store.ExportScope, error) {
	if req.SwimmerID != "" {
		w, err := a.store.Swimmer(ctx, req.SwimmerID)
		return store.ExportScope{Swimmers: []string{w.ID}}, err
	}
	scope := store.ExportScope{Swimmers: []string{}, Squads: []string{}}
	squads, err := a.store.Squads(ctx)
	if err != nil {
		return scope, err
	}
	if req.SquadID != "" {
		q, err := a.store.Squad(ctx, req.SquadID)
		if err != nil {
			return scope, err
		}
		squads = []record.Squad{q}
	}
	for _, q := range squads {
		list, err := a.store.Swimmers(ctx, q.ID)
		if err != nil {
			return scope, err
		}
		scope.Squads = append(scope.Squads, q.ID)
		for _, w := range list {
			scope.Swimmers = append(scope.Swimmers, w.ID)
		}
	}
	return scope, nil
}

// exportFilms returns a clip of each film that go along, by the name it gets. A film
// in which a swimmer swims who is not exported stays: it is that one's too.
func (a *App) exportFilms(ctx context.Context, scope store.ExportScope, req ExportRequest) (films map[string]record.Clip, left []LeftFilm, err error) {
	films = map[string]record.Clip{}
	if !req.Films {
		return films, nil, nil
	}
	for _, id := range scope.Swimmers {
		visits, err := a.store.Filmed(ctx, id)
		if err != nil {
			return nil, nil, err
		}
		for _, v := range visits {
			for _, c := range v.Clips {
				why, err := a.filmStays(ctx, c.Clip, scope)
				if err != nil {
					return nil, nil, err
				}
				if l := (LeftFilm{c.Clip.Name, why}); why == "" {
					films["films/"+c.Clip.File] = c.Clip
				} else if !slices.Contains(left, l) {
					left = append(left, l)
				}
			}
		}
	}
	return films, left, nil
}

// filmStays says why a film cannot go along, "" when it can.
func (a *App) filmStays(ctx context.Context, c record.Clip, scope store.ExportScope) (string, error) {
	same, err := a.store.ClipsOfFilm(ctx, c.Hash)
	if err != nil {
		return "", err
	}
	for _, clip := range same {
		runs, err := a.store.RunsOfClip(ctx, clip.ID)
		if err != nil {
			return "", err
		}
		others := []string{clip.SwimmerID}
		for _, r := range runs {
			others = append(others, r.SwimmerID)
		}
		for _, id := range others {
			if !slices.Contains(scope.Swimmers, id) {
				return "it also shows a swimmer who is not in this export", nil
			}
		}
	}
	if _, err := os.Stat(a.store.ClipPath(c)); err != nil {
		return "its film is not in the data folder", nil
	}
	return "", nil
}

// exportSource is a table with the way to its rows.
type exportSource struct {
	exported.Table
	rows func(ctx context.Context, row func(cells []any) error) error
}

func (a *App) exportSources(scope store.ExportScope) []exportSource {
	var list []exportSource
	for _, t := range exported.Tables() {
		list = append(list, exportSource{t, func(ctx context.Context, row func([]any) error) error {
			return a.store.ExportRows(ctx, t, scope, row)
		}})
	}
	return append(list, a.standingMarks(scope), a.markersTable(scope))
}

// shelf is where the files of an export go.
type shelf interface {
	create(name string) (io.WriteCloser, error)
}

type folderShelf string

func (dir folderShelf) create(name string) (io.WriteCloser, error) {
	path := filepath.Join(string(dir), filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, fmt.Errorf("export: %w", err)
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, fmt.Errorf("export: %w", err)
	}
	return durable{f}, nil
}

// durable is a file that is on the disk once it is closed.
type durable struct{ *os.File }

// Close writes the file out and closes it.
func (f durable) Close() error { return errors.Join(f.Sync(), f.File.Close()) }

type zipShelf struct{ z *zip.Writer }

func (s zipShelf) create(name string) (io.WriteCloser, error) {
	method := zip.Deflate
	if filepath.Dir(name) == "films" { // packed already
		method = zip.Store
	}
	w, err := s.z.CreateHeader(&zip.FileHeader{Name: name, Method: method})
	return keepOpen{w}, err
}

// keepOpen is part of an archive: the next part ends it.
type keepOpen struct{ io.Writer }

// Close does nothing.
func (keepOpen) Close() error { return nil }
