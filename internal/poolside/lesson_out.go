package poolside

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"underkick/internal/press"
	"underkick/internal/report/paper"
)

// ErrNoBrowser: no browser that can print a PDF is installed.
var ErrNoBrowser = press.ErrNoBrowser

// WriteLesson writes a lesson as one HTML file that holds its pictures and asks nothing of any
// network. It returns what the author should know: what was withheld, what to check.
func (a *App) WriteLesson(ctx context.Context, id string, w io.Writer) (warnings []string, err error) {
	l, err := a.store.Lesson(ctx, id)
	if err != nil {
		return nil, err
	}
	view, err := a.LessonPage(ctx, id, a.held(ctx, l))
	if err != nil {
		return nil, err
	}
	return view.Warnings, paper.WriteFile(w, view.Document)
}

// PrintLesson writes a lesson as a PDF file, laid out by an installed browser; ErrNoBrowser
// where there is none. It returns what WriteLesson does.
func (a *App) PrintLesson(ctx context.Context, id, pdf string) (warnings []string, err error) {
	err = printed(ctx, pdf, func(w io.Writer) (err error) {
		warnings, err = a.WriteLesson(ctx, id, w)
		return err
	})
	return warnings, err
}

// printed prints what write writes.
func printed(ctx context.Context, pdf string, write func(io.Writer) error) (err error) {
	if _, err := press.Find(); err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "underkick-page-")
	if err != nil {
		return fmt.Errorf("print: %w", err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	page := filepath.Join(dir, "page.html")
	f, err := os.OpenFile(page, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return fmt.Errorf("print: %w", err)
	}
	if err := errors.Join(write(f), f.Close()); err != nil {
		return err
	}
	return press.PDF(ctx, page, pdf)
}
