package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"time"

	"underkick/internal/poolside"
)

// keepCases is what the pages on backup, export and erasing need.
type keepCases interface {
	Keep(ctx context.Context) (poolside.KeepView, error)
	StartBackup(ctx context.Context, folder string) error
	BackingUp() poolside.BesideView[poolside.MadeBackup]
	WriteBackup(ctx context.Context, w io.Writer, name string) error
	ForgetBackup(ctx context.Context, path string) error
	ExportZip(ctx context.Context, w io.Writer, req poolside.ExportRequest) (poolside.Exported, error)
	WhatGoes(ctx context.Context, swimmerID string) (poolside.EraseView, error)
	StartErasing(ctx context.Context, req poolside.EraseRequest, typed string) error
	Erasing() poolside.BesideView[poolside.Erased]
}

func (s *server) keepRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /keep", s.keep)
	mux.HandleFunc("POST /keep/backup", s.startBackup)
	mux.HandleFunc("POST /keep/backup.zip", s.backupZip)
	mux.HandleFunc("POST /keep/forget", s.forgetBackup)
	mux.HandleFunc("POST /keep/export.zip", s.exportZip)
	mux.HandleFunc("GET /swimmer/{id}/erase", s.erase)
	mux.HandleFunc("POST /swimmer/{id}/erase", s.startErasing)
	mux.HandleFunc("GET /erasing", s.erasing)
}

// keepPage is the page on backups, export and erasing. It loads itself again while a
// backup is under way.
type keepPage struct {
	shell
	poolside.KeepView
	Job      poolside.BesideView[poolside.MadeBackup]
	Folder   string // as typed
	Problem  string // with what was typed
	MayWrite bool   // into folders of this computer
}

// Working reports whether the page should load itself again.
func (p keepPage) Working() bool { return p.Job.State == "working" }

func (s *server) keep(w http.ResponseWriter, r *http.Request) {
	s.keepForm(w, r, http.StatusOK, keepPage{})
}

func (s *server) keepForm(w http.ResponseWriter, r *http.Request, status int, page keepPage) {
	var err error
	if page.KeepView, err = s.opt.App.Keep(r.Context()); err != nil {
		s.fail(w, r, err)
		return
	}
	page.shell, page.Job, page.MayWrite = s.shell("Keep", "keep"), s.opt.App.BackingUp(), s.mayWrite()
	s.render(w, r, status, "keep", page)
}

// mayWrite reports whether a page may have a file written into a folder that it names:
// only where a session is asked for, so that nobody else on this computer can.
func (s *server) mayWrite() bool { return s.opt.Keys != nil }

func (s *server) startBackup(w http.ResponseWriter, r *http.Request) {
	if !s.mayWrite() {
		s.problem(w, r, http.StatusForbidden, "The demo writes no files", "Save the backup with the browser, or start the program with underkick serve.")
		return
	}
	folder := strings.TrimSpace(r.PostFormValue("folder"))
	err := s.opt.App.StartBackup(r.Context(), folder)
	switch {
	case err == nil:
		http.Redirect(w, r, "/keep", http.StatusSeeOther)
	case errors.Is(err, poolside.ErrBusy):
		s.keepForm(w, r, http.StatusConflict, keepPage{Folder: folder, Problem: "A backup is being written. Wait for it."})
	case unusable(err):
		s.keepForm(w, r, http.StatusUnprocessableEntity, keepPage{Folder: folder, Problem: sentence(err.Error())})
	default:
		s.fail(w, r, err)
	}
}

func (s *server) forgetBackup(w http.ResponseWriter, r *http.Request) {
	if err := s.opt.App.ForgetBackup(r.Context(), r.PostFormValue("path")); err != nil {
		s.fail(w, r, err)
		return
	}
	http.Redirect(w, r, "/keep#backups", http.StatusSeeOther)
}

func (s *server) backupZip(w http.ResponseWriter, r *http.Request) {
	now := time.Now()
	// With the time of day, so that the list tells two of one day apart.
	name := strings.TrimSuffix(poolside.BackupName(now, 1), ".zip") + now.Format("-150405") + ".zip"
	s.send(w, r, name, func(out io.Writer) error { return s.opt.App.WriteBackup(r.Context(), out, name) })
}

func (s *server) exportZip(w http.ResponseWriter, r *http.Request) {
	req, ok := exportOf(r)
	if !ok {
		s.problem(w, r, http.StatusUnprocessableEntity, "Nothing was chosen", "Choose a swimmer, a squad or everybody.")
		return
	}
	name := "underkick-export-" + time.Now().Format("2006-01-02-150405") + ".zip"
	s.send(w, r, name, func(out io.Writer) error {
		_, err := s.opt.App.ExportZip(r.Context(), out, req)
		return err
	})
}

// exportOf reads the form of an export: what is "all", "squad:ID" or "swimmer:ID".
func exportOf(r *http.Request) (poolside.ExportRequest, bool) {
	req := poolside.ExportRequest{Films: r.PostFormValue("films") == "yes"}
	kind, id, _ := strings.Cut(r.PostFormValue("what"), ":")
	switch {
	case kind == "all" && id == "":
		return req, true
	case kind == "squad" && id != "":
		req.SquadID = id
		return req, true
	case kind == "swimmer" && id != "":
		req.SwimmerID = id
		return req, true
	}
	return req, false
}

// send lets the browser save what write writes. Nothing is sent before the first byte, so
// that an error until then is told on a page; one after it breaks the connection off, so
// that the browser does not take half a file for a whole one.
func (s *server) send(w http.ResponseWriter, r *http.Request, name string, write func(io.Writer) error) {
	out := &download{w: w, name: name}
	err := write(out)
	switch {
	case err == nil:
	case !out.begun:
		s.fail(w, r, err)
	default:
		s.opt.Log.Error("file not sent whole", "path", r.URL.Path, "request", idOf(r), "err", err)
		panic(http.ErrAbortHandler)
	}
}

// download sends the headers of a file before its first byte.
type download struct {
	w     http.ResponseWriter
	name  string
	begun bool
}

// Write implements io.Writer.
func (d *download) Write(p []byte) (int, error) {
	if !d.begun {
		d.begun = true
		d.w.Header().Set("Content-Type", "application/zip")
		d.w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", d.name))
	}
	return d.w.Write(p)
}
