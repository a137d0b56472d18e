package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/store"
)

// keepFixture answers the pages on backups, export and erasing.
type keepFixture struct {
	backing  poolside.BesideView[poolside.MadeBackup]
	erased   poolside.BesideView[poolside.Erased]
	asked    poolside.ExportRequest
	erase    poolside.EraseRequest
	folder   string
	forgot   string
	broken   error // of a download, after its first bytes
	hopeless error // of a download, before any
}

func keptBackups() []poolside.NotedBackup {
	return []poolside.NotedBackup{
		{Path: "/media/stick/underkick-backup-2026-04-01.zip", At: "2026-04-01T18:00:00Z", Bytes: 3_400_000_000},
		{Path: "underkick-backup-2026-05-01-180000.zip", At: "2026-05-01T18:00:00Z", Bytes: 3_500_000_000, Browser: true},
	}
}

func keptCopies() []store.DatabaseCopy {
	return []store.DatabaseCopy{{Name: "underkick-schema6-2026-02-01T100000000Z.db", Made: time.Date(2026, 2, 1, 10, 0, 0, 0, time.UTC), Bytes: 800_000, Holds: true}}
}

func (f *keepFixture) Keep(context.Context) (poolside.KeepView, error) {
	v := poolside.KeepView{
		DataDir: "/home/coach/underkick", Days: 20, Late: true, Copies: keptCopies(),
		Squads: []poolside.KeepSquad{{ID: "q1", Name: "Harbour Juniors", Swimmers: []poolside.KeepSwimmer{{ID: "w1", Name: "Mira Okonjo"}}}},
	}
	for i, n := range keptBackups() {
		at, err := time.Parse(time.RFC3339, n.At)
		if err != nil {
			return v, err
		}
		v.Backups = append([]poolside.KnownBackup{{NotedBackup: n, Made: at, There: []string{"not there now", "saved by the browser"}[i]}}, v.Backups...)
	}
	return v, nil
}

func (f *keepFixture) StartBackup(_ context.Context, folder string) error {
	if folder == "here" {
		return fmt.Errorf("%w: there is no folder here; put the disk in", poolside.ErrInput)
	}
	if f.backing.State == "working" {
		return poolside.ErrBusy
	}
	f.folder = folder
	f.backing = poolside.BesideView[poolside.MadeBackup]{State: "working", Doing: "writing part 3 of 40", Fraction: 0.2}
	return nil
}

func (f *keepFixture) BackingUp() poolside.BesideView[poolside.MadeBackup] { return f.backing }

func (f *keepFixture) WriteBackup(_ context.Context, w io.Writer, name string) error {
	return f.writeFile(w, "backup "+name)
}

func (f *keepFixture) writeFile(w io.Writer, text string) error {
	if f.hopeless != nil {
		return f.hopeless
	}
	_, err := io.WriteString(w, text)
	return errors.Join(err, f.broken)
}

func (f *keepFixture) ForgetBackup(_ context.Context, path string) error {
	if path == "" {
		return poolside.ErrNotFound
	}
	f.forgot = path
	return nil
}

func (f *keepFixture) ExportZip(_ context.Context, w io.Writer, req poolside.ExportRequest) (poolside.Exported, error) {
	f.asked = req
	return poolside.Exported{}, f.writeFile(w, "export")
}

func (f *keepFixture) WhatGoes(_ context.Context, id string) (poolside.EraseView, error) {
	if id != "w1" {
		return poolside.EraseView{}, poolside.ErrNotFound
	}
	return poolside.EraseView{
		Swimmer: record.Swimmer{ID: "w1", Name: "Mira Okonjo"}, Shown: "Mira Okonjo",
		Visits: 2, Clips: 2, Runs: 3, Marks: 240, Results: 4, Plans: 1, Consents: 1, FilmBytes: 120_000_000,
		Shared:   []poolside.SharedClip{{ClipID: "c9", Name: "lane 4.mp4", With: []string{"Bram Vos"}}},
		Mentions: []store.Mention{{Of: store.SwimmerNotes, ID: "w2"}, {Of: store.VisitNotes, ID: "v1"}},
		Copies:   keptCopies(), Backups: keptBackups(),
	}, nil
}

func (f *keepFixture) StartErasing(_ context.Context, req poolside.EraseRequest, typed string) error {
	if typed != "Mira Okonjo" {
		return fmt.Errorf("%w: that is not the name", poolside.ErrInput)
	}
	if f.erased.State == "working" {
		return poolside.ErrBusy
	}
	f.erase = req
	f.erased = poolside.BesideView[poolside.Erased]{State: "working", Doing: "deleting records and films", Fraction: 0.1}
	return nil
}

func (f *keepFixture) Erasing() poolside.BesideView[poolside.Erased] { return f.erased }
