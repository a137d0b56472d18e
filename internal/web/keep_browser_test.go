package web

import (
	"archive/zip"
	"fmt"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"underkick/internal/door"
	"underkick/internal/poolside"
	"underkick/internal/store"
	"underkick/internal/store/exported/exportedtest"
)

// ownBrowser serves an app to a browser with a session, as underkick serve does, and opens
// the first page.
func ownBrowser(t *testing.T, app *poolside.App) *browser {
	t.Helper()
	keys := door.NewKeys(time.Hour, time.Hour)
	pages, err := New(Options{App: app, Keys: keys})
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(pages)
	t.Cleanup(srv.Close)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 1000))
	b.open(t, "/?session="+keys.Token())
	b.wait(t, `location.search === "" && document.querySelector("nav")`)
	return b
}

// text is what a person reads of an element.
func (b *browser) text(t *testing.T, selector string) string {
	t.Helper()
	return value[string](t, b, fmt.Sprintf("document.querySelector(%q)?.innerText ?? ''", selector))
}

// saves makes the browser save a file that a step asks for, and returns where it lies.
func (b *browser) saves(t *testing.T, step func()) string {
	t.Helper()
	dir := t.TempDir()
	_, err := chromedp.Call(b.ctx, cdpbrowser.SetDownloadBehavior, cdpbrowser.SetDownloadBehaviorParams{
		Behavior: cdpbrowser.SetDownloadBehaviorBehaviorAllow, DownloadPath: dir,
	})
	if err != nil {
		t.Fatal(err)
	}
	step()
	for end := time.Now().Add(2 * time.Minute); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		// A file that is not whole yet has another ending.
		if found, err := filepath.Glob(filepath.Join(dir, "*.zip")); err != nil || len(found) == 1 {
			return found[0]
		}
	}
	t.Fatal("no file was saved")
	return ""
}

// TestKeepInABrowser goes the way of a coach: a backup into a folder and one with the
// browser, the export of a swimmer and of the squad, and a backup forgotten.
func TestKeepInABrowser(t *testing.T) {
	app := demoApp(t)
	b := ownBrowser(t, app)
	b.do(t, chromedp.Click("nav summary"), chromedp.Click(`nav a[href="/keep"]`))
	b.wait(t, `document.querySelector("#folder")`)
	if got := b.text(t, "main"); !strings.Contains(got, "No backup was made yet.") || !strings.Contains(got, app.DataDir()) {
		t.Errorf("before the first backup the page says: %s", got)
	}
	written := backsUpByKeys(t, b, app)
	saved := b.saves(t, func() { b.do(t, chromedp.Click(`form[action="/keep/backup.zip"] button`)) })
	isTheSquad(t, app, saved)
	b.open(t, "/keep")
	if got := b.text(t, "table"); !strings.Contains(got, "saved by the browser") || !strings.Contains(got, filepath.Base(saved)) || !strings.Contains(got, written) {
		t.Errorf("the backups made: %s", got)
	}
	b.shot(t, "keep")
	exportsASwimmerByKeys(t, b)
	exportsTheSquad(t, b)
	b.do(t, chromedp.Click(`tr:has(input[value="`+written+`"]) button`))
	b.wait(t, `document.querySelectorAll("tbody tr").length === 1`)
	if _, err := os.Stat(written); err != nil {
		t.Errorf("forgetting touched the file: %v", err)
	}
	b.do(t, chromedp.EmulateViewport(390, 844))
	b.open(t, "/keep")
	b.shot(t, "keep-390")
	if over := value[int](t, b, "document.documentElement.scrollWidth - innerWidth"); over > 0 {
		t.Errorf("the page is %d px too wide for a phone", over)
	}
	b.check(t, "422") // the folder that was not there
}

// backsUpByKeys types a folder that is not there, then one that is, and waits for the
// backup; it returns the file.
func backsUpByKeys(t *testing.T, b *browser, app *poolside.App) string {
	t.Helper()
	folder := t.TempDir()
	missing := filepath.Join(folder, "stick")
	b.tabTo(t, "#folder")
	b.do(t, chromedp.KeyEvent(missing), chromedp.KeyEvent(kb.Enter))
	b.wait(t, `document.querySelector("#folder-wrong")`)
	if got := b.text(t, "#folder-wrong"); !strings.Contains(got, "put the disk in") {
		t.Errorf("a folder that is not there is answered by %q", got)
	}
	if err := os.Mkdir(missing, 0o700); err != nil { // the disk is put in; what was typed still stands
		t.Fatal(err)
	}
	b.tabTo(t, `form[action="/keep/backup"] button`)
	b.do(t, chromedp.KeyEvent(kb.Enter))
	b.wait(t, `document.querySelector('[role="status"]')?.innerText.includes("read back whole")`)
	path := b.text(t, `[role="status"] code`)
	if filepath.Dir(path) != missing {
		t.Fatalf("the backup is said to lie at %q", path)
	}
	isTheSquad(t, app, path)
	return path
}

// isTheSquad restores a backup into a folder of its own and looks for everybody in it.
func isTheSquad(t *testing.T, app *poolside.App, file string) {
	t.Helper()
	if m, err := poolside.CheckBackup(t.Context(), file); err != nil || len(m.Missing) > 0 {
		t.Fatalf("%s: missing %v, %v", file, m.Missing, err)
	}
	dir := filepath.Join(t.TempDir(), "restored")
	if _, err := poolside.Restore(t.Context(), file, dir, store.BackupOptions{}); err != nil {
		t.Fatal(err)
	}
	again := openedApp(t, dir)
	was, err := app.AllSwimmers(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	now, err := again.AllSwimmers(t.Context())
	if err != nil || len(now) == 0 || fmt.Sprint(now) != fmt.Sprint(was) {
		t.Errorf("restored: %v, %v; it was %v", now, err, was)
	}
}

// exportsASwimmerByKeys chooses a swimmer and the films with the keyboard alone.
func exportsASwimmerByKeys(t *testing.T, b *browser) {
	t.Helper()
	b.tabTo(t, "#what")
	b.do(t, chromedp.KeyEvent("Mira"))
	if got := value[string](t, b, `document.querySelector("#what").selectedOptions[0].text`); !strings.HasPrefix(got, "Mira") {
		t.Fatalf("the keys chose %q", got)
	}
	b.tabTo(t, `input[name="films"]`)
	b.do(t, chromedp.KeyEvent(" "))
	b.tabTo(t, `form[action="/keep/export.zip"] button`)
	p := exportedtest.Check(t, unzipped(t, b.saves(t, func() { b.do(t, chromedp.KeyEvent(kb.Enter)) })))
	if w := p.Rows["swimmers"]; len(w) != 1 || !strings.HasPrefix(w[0]["name"], "Mira") {
		t.Errorf("the export of Mira holds %v", w)
	}
	films := 0
	for _, r := range p.Resources {
		if strings.HasPrefix(r.Path, "films/") && r.Bytes > 10_000 {
			films++
		}
	}
	if films == 0 || films != len(p.Rows["clips"]) || len(p.Rows["measures"]) == 0 || len(p.Rows["marks"]) == 0 {
		t.Errorf("%d films of %d clips, %d measures, %d marks", films, len(p.Rows["clips"]), len(p.Rows["measures"]), len(p.Rows["marks"]))
	}
}

// exportsTheSquad chooses the whole squad and saves it without films.
func exportsTheSquad(t *testing.T, b *browser) {
	t.Helper()
	b.open(t, "/keep")
	squad := value[string](t, b, `[...document.querySelectorAll("#what option")].find(o => o.text.startsWith("the whole squad")).value`)
	b.do(t, chromedp.SetValue("#what", squad))
	p := exportedtest.Check(t, unzipped(t, b.saves(t, func() { b.do(t, chromedp.Click(`form[action="/keep/export.zip"] button`)) })))
	offered := value[[]string](t, b, `[...document.querySelectorAll("#what option[value^='swimmer:']")].map(o => o.text)`)
	var names []string
	for _, row := range p.Rows["swimmers"] {
		names = append(names, row["name"])
	}
	slices.Sort(names)
	slices.Sort(offered)
	if len(names) < 3 || !slices.Equal(names, offered) {
		t.Errorf("the export of the squad holds %q, the page offers %q", names, offered)
	}
	if slices.ContainsFunc(p.Resources, func(r exportedtest.Resource) bool { return strings.HasPrefix(r.Path, "films/") }) {
		t.Error("films nobody asked for are in it")
	}
}

// unzipped unpacks a file into a folder.
func unzipped(t *testing.T, path string) string {
	t.Helper()
	z, err := zip.OpenReader(path)
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	dir := filepath.Join(t.TempDir(), "unpacked")
	if err := os.CopyFS(dir, z); err != nil {
		t.Fatal(err)
	}
	return dir
}
