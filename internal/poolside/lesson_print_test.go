package poolside

import (
	"errors"
	"fmt"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"underkick/internal/press"
	"underkick/internal/record"
)

// needPrinting skips where nothing prints or reads PDF files.
func needPrinting(t *testing.T) {
	t.Helper()
	if _, err := press.Find(); errors.Is(err, press.ErrNoBrowser) {
		t.Skip(err)
	}
	for _, tool := range []string{"pdfinfo", "pdftotext", "pdffonts", "pdfimages"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skip("no poppler-utils on this machine; `make needs` installs it")
		}
	}
}

func ran(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v: %s", name, err, out)
	}
	return string(out)
}

// leaves are the texts of a PDF's pages.
func leaves(t *testing.T, pdf string) []string {
	t.Helper()
	m := regexp.MustCompile(`Pages:\s+(\d+)`).FindStringSubmatch(ran(t, "pdfinfo", pdf))
	if m == nil {
		t.Fatal("pdfinfo tells no number of pages")
	}
	n, err := strconv.Atoi(m[1])
	if err != nil {
		t.Fatal(err)
	}
	pages := make([]string, n)
	for i := range pages {
		page := fmt.Sprint(i + 1)
		text := ran(t, "pdftotext", "-f", page, "-l", page, pdf, "-")
		pages[i] = strings.Join(strings.Fields(text), " ")
	}
	return pages
}

// onPage is the page on which a text stands, -1 for none or for more than one.
func onPage(pages []string, words string) int {
	at := -1
	for i, p := range pages {
		if strings.Contains(p, words) {
			if at >= 0 {
				return -1
			}
			at = i
		}
	}
	return at
}

// size is the size of the paper, points: ISO 216 A4 210 by 297 mm, US letter 8.5 by 11 inches.
var size = map[record.Paper]string{record.A4: "A4", record.Letter: "letter"}

func checkPDF(t *testing.T, pdf string, paper record.Paper) {
	t.Helper()
	if info := ran(t, "pdfinfo", pdf); !regexp.MustCompile(`Page size:.*\(` + size[paper] + `\)`).MatchString(info) {
		t.Errorf("not on %s: %s", paper, info)
	}
	fonts := strings.Split(strings.TrimSpace(ran(t, "pdffonts", pdf)), "\n")
	if len(fonts) < 3 {
		t.Errorf("no fonts: %q", fonts)
	}
	for _, line := range fonts[min(2, len(fonts)):] {
		if f := strings.Fields(line); len(f) < 5 || f[len(f)-5] != "yes" { // name type encoding EMB sub uni object ID
			t.Errorf("a font that is not embedded: %s", line)
		}
	}
}

// lessonPrinted: text can be taken out of the PDF, fonts are in it, drawings are vectors over
// one picture each, and no piece is cut by the end of a page.
func lessonPrinted(t *testing.T, app *App, start LessonStart) {
	needPrinting(t)
	for _, paper := range []record.Paper{record.A4, record.Letter} {
		start.Paper = paper
		pdf := filepath.Join(t.TempDir(), "lesson.pdf")
		if _, err := app.PrintLesson(t.Context(), made(t, app, start), pdf); err != nil {
			t.Fatal(err)
		}
		checkPDF(t, pdf, paper)
		pages := leaves(t, pdf)
		if n := len(pages); n < 2 || n > 3 {
			t.Errorf("%s: %d pages", paper, n)
		}
		for _, name := range []string{"Joren Pike, 29 August 2026 set", "Mira Tallow, 24 October 2026 set", "Edda Quill, 7 November 2026 set"} {
			if onPage(pages, name) < 0 {
				t.Errorf("%s: no row stands together with its name: %q in %q", paper, name, pages)
			}
		}
		for _, piece := range [][2]string{
			{"Unhurried start", "It works when"},
			{"It works when", "Shallow-water blackout"},
			{"Before any kicking", "stop at pain"},
			{"Try it", "Unhurried start"},
			{"Foot speed through the kick", "Mean of the counted kicks"},
			{"Edda Quill, 7 November 2026 set", "Numbers in captions"},
		} {
			a := onPage(pages, piece[0])
			if a < 0 || !strings.Contains(pages[a], piece[1]) {
				t.Errorf("%s: %q and %q stand on different pages", paper, piece[0], piece[1])
			}
		}
		pictures := strings.Count(ran(t, "pdfimages", "-list", pdf), "image")
		if pictures != 12 { // the stills; every line and letter is a vector
			t.Errorf("%s: %d pictures in the PDF, want the 12 stills", paper, pictures)
		}
		if n := strings.Count(ran(t, "pdfimages", "-list", pdf), "jpeg"); n != 12 {
			t.Errorf("%s: %d of the pictures are the JPEGs they were", paper, n)
		}
	}
}

// sheetsPrinted: the sheet of every demo run fits one page of either paper.
func sheetsPrinted(t *testing.T, app *App, runs map[string][]string) {
	needPrinting(t)
	for name, list := range runs {
		for _, run := range list {
			for _, paper := range []record.Paper{record.A4, record.Letter} {
				pdf := filepath.Join(t.TempDir(), "sheet.pdf")
				if err := app.PrintSheet(t.Context(), run, paper, pdf); err != nil {
					t.Fatal(err)
				}
				checkPDF(t, pdf, paper)
				pages := leaves(t, pdf)
				if len(pages) != 1 {
					t.Errorf("%s, %s: %d pages", name, paper, len(pages))
				}
				for _, words := range []string{"How " + name, "What we saw", "One thing to do", "Why", "Stay safe.", "pass out", "The numbers come from film."} {
					if !strings.Contains(pages[0], words) {
						t.Errorf("%s, %s: %q is not on the page: %s", name, paper, words, pages[0])
					}
				}
				if w := jargon.FindString(pages[0]); w != "" {
					t.Errorf("%s: the sheet says %q", name, w)
				}
				if cl := colemanLiau(pages[0]); cl > 6 {
					t.Errorf("%s: the page reads at grade %.1f (Coleman-Liau)", name, cl)
				}
			}
		}
	}
	if n := len(slices.Concat(runs["Joren"], runs["Mira"])); n < 4 {
		t.Errorf("only %d runs of two swimmers", n)
	}
}
