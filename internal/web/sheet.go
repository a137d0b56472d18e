package web

import (
	"bytes"
	"context"
	"fmt"
	"html/template"
	"io"
	"net/http"
	"strconv"
	"strings"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/report/paper"
)

// sheetCases is what the sheet of one swimmer needs of package poolside.
type sheetCases interface {
	Sheet(ctx context.Context, runID string, size record.Paper, picture func(poolside.SheetPicture) (string, error)) (poolside.SheetView, error)
	SheetStill(ctx context.Context, p poolside.SheetPicture) ([]byte, error)
	WriteSheet(ctx context.Context, runID string, size record.Paper, w io.Writer) error
}

func (s *server) sheetRoutes(mux *http.ServeMux) {
	mux.HandleFunc("GET /run/{id}/sheet", s.sheet)
	mux.HandleFunc("GET /run/{id}/sheet.html", s.sheetFile)
	mux.HandleFunc("GET /run/{id}/sheet/{kick}/{file}", s.sheetStill)
}

// sheetPage is the sheet of a run.
type sheetPage struct {
	shell
	RunID   string
	Letter  bool
	Size    paper.Size
	Problem string
	Article template.HTML
}

func (s *server) sheet(w http.ResponseWriter, r *http.Request) {
	size := paperOf(r)
	view, err := s.opt.App.Sheet(r.Context(), r.PathValue("id"), size, func(p poolside.SheetPicture) (string, error) {
		return fmt.Sprintf("/run/%s/sheet/%d/%s.jpg", p.RunID, p.Kick, p.Moment), nil
	})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	page := sheetPage{shell: s.shell("Sheet", "squad"), RunID: view.RunID, Letter: size == record.Letter, Size: view.Sheet.Size, Problem: view.Problem}
	if view.Problem == "" {
		if page.Article, err = paper.SheetArticle(view.Sheet); err != nil {
			s.fail(w, r, err)
			return
		}
	}
	s.render(w, r, http.StatusOK, "sheet", page)
}

// paperOf is the paper that an address asks for.
func paperOf(r *http.Request) record.Paper {
	if r.FormValue("paper") == "letter" {
		return record.Letter
	}
	return record.A4
}

func (s *server) sheetFile(w http.ResponseWriter, r *http.Request) {
	var buf bytes.Buffer
	if err := s.opt.App.WriteSheet(r.Context(), r.PathValue("id"), paperOf(r), &buf); err != nil {
		s.fail(w, r, err)
		return
	}
	s.file(w, r, "text/html; charset=utf-8", "sheet-"+r.PathValue("id")+".html", &buf)
}

func (s *server) sheetStill(w http.ResponseWriter, r *http.Request) {
	kick, err := strconv.Atoi(r.PathValue("kick"))
	moment, isJPEG := strings.CutSuffix(r.PathValue("file"), ".jpg")
	if err != nil || !isJPEG {
		s.fail(w, r, poolside.ErrNotFound)
		return
	}
	picture, err := s.opt.App.SheetStill(r.Context(), poolside.SheetPicture{RunID: r.PathValue("id"), Kick: kick, Moment: moment})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.picture(w, r, picture)
}
