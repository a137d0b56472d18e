package web

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"underkick/internal/record"
	"underkick/internal/store"
	"underkick/internal/store/storetest"
)

// traced is a swimmer of the demo with everything by which files could still tell of one:
// names, ids, hashes, file names, bytes of the films.
type traced struct {
	record.Swimmer
	words []string
	run   string // id of one
}

// trace reads what there is of a swimmer whose name begins so.
func trace(t *testing.T, s *store.Store, name string) (w traced) {
	t.Helper()
	ctx := t.Context()
	for _, q := range list(t, func(ctx context.Context) ([]record.Squad, error) { return s.Squads(ctx) }) {
		for _, one := range list(t, func(ctx context.Context) ([]record.Swimmer, error) { return s.Swimmers(ctx, q.ID) }) {
			if strings.HasPrefix(one.Name, name) {
				w.Swimmer = one
			}
		}
	}
	// The film's own bytes: a stretch from its middle.
	middle := func(c record.Clip) string {
		film, err := os.ReadFile(s.ClipPath(c))
		if err != nil || len(film) < 4096 {
			t.Fatalf("%d bytes, %v", len(film), err)
		}
		return string(film[len(film)/2:][:48])
	}
	w.words = []string{w.Name, w.ID}
	visits, err := s.Filmed(ctx, w.ID)
	if err != nil || len(visits) == 0 {
		t.Fatalf("%s: %v, %v", name, visits, err)
	}
	for _, v := range visits {
		for _, c := range v.Clips {
			w.words = append(w.words, c.Clip.ID, c.Clip.Hash, c.Clip.Name, middle(c.Clip))
			for _, r := range c.Runs {
				w.run = r.Run.ID
				w.words = append(w.words, r.Run.ID)
			}
		}
	}
	return w
}

func list[T any](t *testing.T, read func(ctx context.Context) ([]T, error)) []T {
	t.Helper()
	all, err := read(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// TestEraseInABrowser erases two swimmers as a person does: the one by mouse, keeping the
// copies made before upgrades, the other by keys alone.
func TestEraseInABrowser(t *testing.T) {
	dir := demoCopy(t)
	s, err := store.Open(t.Context(), dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	mira, joren, edda := trace(t, s, "Mira"), trace(t, s, "Joren"), trace(t, s, "Edda")
	const older = "underkick-schema9-2026-02-01T100000000Z.db" // as an upgrade would have left it
	if err := os.MkdirAll(filepath.Join(dir, "backups"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := s.CopyDatabase(t.Context(), filepath.Join(dir, "backups", older)); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	app := openedApp(t, dir)
	elsewhere := filepath.Join(t.TempDir(), "all.zip")
	if _, err := app.Backup(t.Context(), elsewhere, store.BackupOptions{}); err != nil {
		t.Fatal(err)
	}
	b := ownBrowser(t, app)
	for _, w := range []traced{mira, joren, edda} { // pictures and what is made of them
		b.open(t, "/run/"+w.run)
		b.wait(t, `document.querySelectorAll("ul.stills svg image").length >= 4`)
		if n := len(storetest.Holding(t, dir, w.words...)); n < 8 {
			t.Fatalf("the search finds only %d places of %s before erasing", n, w.Name)
		}
	}
	erasesByMouse(t, b, joren)
	says := b.text(t, "main")
	for _, must := range []string{"but for what stands below", older, elsewhere, "Make a new backup, then delete these."} {
		if !strings.Contains(says, must) {
			t.Errorf("afterwards the page lacks %q: %s", must, says)
		}
	}
	if found := strings.Join(storetest.Holding(t, dir, joren.words...), "; "); !strings.Contains(found, older) || strings.Contains(found, "/underkick.db") || strings.Contains(found, "/clips") || strings.Contains(found, "/cache") {
		t.Errorf("of %s is left: %s", joren.Name, found)
	}
	erasesByKeys(t, b, mira)
	if says := b.text(t, "main"); strings.Contains(says, older) || !strings.Contains(says, elsewhere) || strings.Contains(says, mira.Name) {
		t.Errorf("afterwards the page says: %s", says)
	}
	b.do(t, chromedp.EmulateViewport(390, 844))
	b.shot(t, "erased-390")
	if found := storetest.Holding(t, dir, append(mira.words, joren.words...)...); len(found) > 0 { // the copies held both
		t.Errorf("left: %s", strings.Join(found, "; "))
	}
	b.open(t, "/run/"+edda.run)
	b.wait(t, `document.querySelectorAll("ul.stills svg image").length >= 4`)
	b.check(t, "422") // the name that was mistyped
	b.open(t, "/swimmer/"+mira.ID)
	if got := b.text(t, "main"); strings.Contains(got, mira.Name) {
		t.Errorf("the swimmer's page says: %s", got)
	}
}

const erased = `document.querySelector("h1").innerText === "The swimmer is erased"`

// erasesByMouse goes from the squad to the swimmer, mistypes the name once, and keeps the
// copies.
func erasesByMouse(t *testing.T, b *browser, w traced) {
	t.Helper()
	b.open(t, "/")
	b.do(t, chromedp.Click(`main a[href="/swimmer/`+w.ID+`"]`))
	b.wait(t, `document.querySelector('a[href$="/edit"]')`)
	b.do(t, chromedp.Click(`a[href$="/edit"]`))
	b.wait(t, `document.querySelector('a[href$="/erase"]')`)
	b.do(t, chromedp.Click(`a[href$="/erase"]`))
	b.wait(t, `document.querySelector('input[name="copies"]')`)
	b.shot(t, "erase")
	b.do(t, chromedp.SendKeys("#name", strings.ToUpper(w.Name)), chromedp.Click("main form button"))
	b.wait(t, `document.querySelector("#name-wrong")`)
	if got := b.text(t, "#name-wrong"); got != "That is not the name. Nothing was erased." {
		t.Errorf("a mistyped name is answered by %q", got)
	}
	b.do(t, chromedp.Click(`input[name="copies"][value="keep"]`), chromedp.SendKeys("#name", w.Name), chromedp.Click("main form button"))
	b.wait(t, erased)
}

// erasesByKeys goes there from the page Keep.
func erasesByKeys(t *testing.T, b *browser, w traced) {
	t.Helper()
	b.open(t, "/keep")
	b.tabTo(t, "#erase ~ details summary")
	b.do(t, chromedp.KeyEvent(kb.Enter))
	b.tabTo(t, `a[href="/swimmer/`+w.ID+`/erase"]`)
	b.do(t, chromedp.KeyEvent(kb.Enter))
	b.wait(t, `document.querySelector('input[name="copies"]')`)
	b.tabTo(t, "#name")
	b.do(t, chromedp.KeyEvent(w.Name), chromedp.KeyEvent(kb.Enter))
	b.wait(t, erased)
}
