package press

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestPDFOfAPage(t *testing.T) {
	if _, err := Find(); errors.Is(err, ErrNoBrowser) {
		t.Skip(err)
	}
	dir := t.TempDir()
	page := filepath.Join(dir, "a page & more.html")
	if err := os.WriteFile(page, []byte(`<!doctype html><style>@page{size:letter}</style><p>Ink on paper`), 0o600); err != nil {
		t.Fatal(err)
	}
	pdf := filepath.Join(dir, "out.pdf")
	if err := PDF(t.Context(), page, pdf); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(pdf)
	if err != nil || !strings.HasPrefix(string(text), "%PDF-") {
		t.Fatalf("%v, begins %q", err, text[:min(8, len(text))])
	}
	// US letter is 612 by 792 points (ANSI/ASME Y14.1: 8.5 by 11 inches; 72 points to the inch).
	if !strings.Contains(string(text), "/MediaBox [0 0 612 792]") {
		t.Error("the page's own size of paper was not taken")
	}
	if left, err := filepath.Glob(filepath.Join(dir, ".underkick-*")); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v %v", left, err)
	}
}

func TestNoBrowserSaysWhatToDo(t *testing.T) {
	t.Setenv("UNDERKICK_BROWSER", "/nowhere/browser")
	err := PDF(t.Context(), "x.html", filepath.Join(t.TempDir(), "x.pdf"))
	if !errors.Is(err, ErrNoBrowser) || !strings.Contains(err.Error(), "/nowhere/browser") {
		t.Errorf("%v", err)
	}
	t.Setenv("UNDERKICK_BROWSER", "")
	t.Setenv("PATH", t.TempDir())
	if _, err := Find(); err != nil && (!errors.Is(err, ErrNoBrowser) || !strings.Contains(err.Error(), "--html")) {
		t.Errorf("%v", err)
	}
}

// A browser that ends without a PDF is told, and nothing is left where the file should be.
func TestBrowserThatFails(t *testing.T) {
	dir := t.TempDir()
	fake := filepath.Join(dir, "browser")
	if err := os.WriteFile(fake, []byte("#!/bin/sh\necho no display >&2\nexit 3\n"), 0o700); err != nil {
		t.Fatal(err)
	}
	t.Setenv("UNDERKICK_BROWSER", fake)
	pdf := filepath.Join(dir, "x.pdf")
	err := PDF(t.Context(), filepath.Join(dir, "x.html"), pdf)
	if err == nil || !strings.Contains(err.Error(), "no display") {
		t.Errorf("%v", err)
	}
	if _, err := os.Stat(pdf); !errors.Is(err, os.ErrNotExist) {
		t.Error("something was left")
	}
}
