package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// consents records that everybody of the demo may be shown.
func consents(t *testing.T, app *poolside.App) {
	t.Helper()
	all, err := app.AllSwimmers(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range all {
		const on = "2026-01-02"
		_, err := app.AddConsent(t.Context(), record.Consent{
			SwimmerID: w.ID, GivenBy: "Somebody", As: record.GiverOf(w.BirthYear, on), On: on, For: record.Purposes(),
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

// tabTo presses the tab key until the focus is on what a selector names.
func (b *browser) tabTo(t *testing.T, selector string) {
	t.Helper()
	for range 250 {
		if value[bool](t, b, fmt.Sprintf(`document.activeElement.matches(%q)`, selector)) {
			return
		}
		b.do(t, chromedp.KeyEvent(kb.Tab))
	}
	t.Fatalf("the tab key does not reach %s", selector)
}

// blocks are the ids of the blocks on the page, in order.
const blocks = `[...document.querySelectorAll(".blocks > li")].map(b => b.id).join(" ")`

const allSaved = `document.querySelector("#saved").textContent === "Everything is saved."`

// TestALessonByKeyboardInABrowser builds a lesson with three swimmers with the keyboard alone,
// looks at it printed, and plays its file with the network off.
func TestALessonByKeyboardInABrowser(t *testing.T) {
	app := demoApp(t)
	consents(t, app)
	pages, err := New(Options{App: app})
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(pages)
	t.Cleanup(srv.Close)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 1000))
	lesson := beginsALesson(t, b)
	writesByKeys(t, b)
	movesByKeys(t, b)
	addsAClip(t, b)
	b.tabTo(t, "#printed")
	b.do(t, chromedp.KeyEvent(kb.Enter))
	b.wait(t, `document.querySelector("article.paper")`)
	if n := value[int](t, b, `document.querySelectorAll("article .row svg image").length`); n != 12 {
		t.Errorf("%d stills of three swimmers, want 12", n)
	}
	b.shot(t, "lesson")
	lessonFitsAPhone(t, b, lesson)
	b.check(t)
	playsOffline(t, b, srv.URL+lesson+"/lesson.html")
}

// beginsALesson chooses a template and three runs by keys and returns the lesson's address.
func beginsALesson(t *testing.T, b *browser) string {
	t.Helper()
	b.open(t, "/lessons")
	b.tabTo(t, `a[href="/lesson/new"]`)
	b.do(t, chromedp.KeyEvent(kb.Enter))
	b.wait(t, `document.querySelector('input[name="run"]')`)
	b.tabTo(t, `input[name="template"]`)
	b.do(t, chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.ArrowDown))
	if got := value[string](t, b, `document.querySelector('input[name="template"]:checked').value`); got != "build" {
		t.Errorf("the arrow keys chose %q", got)
	}
	for _, who := range []string{"Edda", "Joren", "Mira"} {
		run := value[string](t, b, fmt.Sprintf(`[...document.querySelectorAll('input[name="run"]')].find(r => r.closest("label").textContent.includes(%q)).value`, who))
		b.tabTo(t, `input[name="run"][value="`+run+`"]`)
		b.do(t, chromedp.KeyEvent(" "))
	}
	b.do(t, chromedp.KeyEvent(kb.Enter))
	b.wait(t, `document.querySelector("#builder")`)
	if n := value[int](t, b, `document.querySelectorAll("#builder .row svg image").length`); n != 12 {
		t.Errorf("the template shows %d stills, want 12", n)
	}
	return strings.TrimSuffix(value[string](t, b, `location.pathname`), "/edit")
}

// writesByKeys chooses the first block and types into it: what is typed stands on the sheet and
// is kept without a button.
func writesByKeys(t *testing.T, b *browser) {
	t.Helper()
	b.tabTo(t, `a[href^="?block=b1"]`)
	b.do(t, chromedp.KeyEvent(kb.Enter))
	b.wait(t, `document.querySelector("#text")`)
	b.tabTo(t, "#text")
	b.do(t, chromedp.KeyEvent(kb.End, chromedp.KeyModifiers(chromedp.ModifierCtrl)), chromedp.KeyEvent(" Watch the late part."))
	b.wait(t, allSaved+` && document.querySelector("#b1 .paper").innerText.includes("Watch the late part.")`)
	if !value[bool](t, b, `document.activeElement.id === "text" && document.activeElement.value.endsWith("late part.")`) {
		t.Error("saving took the focus or the words away")
	}
}

// movesByKeys moves the chosen block, takes it back and brings it again.
func movesByKeys(t *testing.T, b *browser) {
	t.Helper()
	before := value[string](t, b, blocks)
	b.do(t, chromedp.KeyEvent(kb.ArrowDown, chromedp.KeyModifiers(chromedp.ModifierAlt)))
	b.wait(t, allSaved+` && `+blocks+` !== "`+before+`"`)
	if after := value[string](t, b, blocks); !strings.HasPrefix(after, "about b2 b1 ") {
		t.Errorf("Alt and the down arrow give %s", after)
	}
	b.tabTo(t, "#undo")
	b.do(t, chromedp.KeyEvent(kb.Enter))
	b.wait(t, allSaved+` && `+blocks+` === "`+before+`"`)
	b.tabTo(t, "#redo")
	b.do(t, chromedp.KeyEvent(kb.Enter))
	b.wait(t, allSaved+` && `+blocks+` !== "`+before+`"`)
	b.tabTo(t, "#do-up")
	b.do(t, chromedp.KeyEvent(kb.Enter))
	b.wait(t, allSaved+` && `+blocks+` === "`+before+`"`)
}

// addsAClip adds a block below the first and chooses its run.
func addsAClip(t *testing.T, b *browser) {
	t.Helper()
	b.tabTo(t, "#add_kind")
	b.do(t, chromedp.KeyEvent("Cl"))
	if got := value[string](t, b, `document.querySelector("#add_kind").value`); got != "clip" {
		t.Fatalf("typing chose %q", got)
	}
	b.tabTo(t, "#do-add")
	b.do(t, chromedp.KeyEvent(kb.Enter))
	b.wait(t, allSaved+` && document.querySelector(".block.chosen .piece.clip")`)
	b.tabTo(t, "#add_run")
	b.do(t, chromedp.KeyEvent(kb.ArrowDown))
	b.tabTo(t, "#do-add-run")
	b.do(t, chromedp.KeyEvent(kb.Enter))
	b.wait(t, allSaved+` && document.querySelector(".block.chosen figure.clip[data-frames] svg image")`)
	b.shot(t, "lesson-edit")
}

func lessonFitsAPhone(t *testing.T, b *browser, lesson string) {
	t.Helper()
	run := value[string](t, b, `document.querySelector("article image").getAttribute("href").split("/")[4]`)
	b.do(t, chromedp.EmulateViewport(390, 844))
	for i, path := range []string{"/lessons", "/lesson/new", lesson, lesson + "/edit?block=b2", lesson + "/edit?block=about", "/run/" + run + "/sheet"} {
		b.open(t, path)
		b.wait(t, `document.readyState === "complete"`)
		if w := value[int](t, b, "document.documentElement.scrollWidth"); w > 390 {
			t.Errorf("%s is %d px wide on a phone of 390", path, w)
		}
		b.shot(t, fmt.Sprintf("lesson-phone-%d", i))
	}
	b.do(t, chromedp.EmulateViewport(1280, 1000))
}

// clipAt is the picture of the clip that is shown.
const clipAt = `Number(document.querySelector("figure.clip").dataset.at)`

// goesOnWhereItStopped plays, stops, plays on and steps with the keyboard alone, and reads
// what a screen reader is told.
func goesOnWhereItStopped(t *testing.T, b *browser) {
	t.Helper()
	const play = "figure.clip .play button:nth-of-type(2)"
	b.tabTo(t, play)
	b.do(t, chromedp.KeyEvent(" "))
	b.wait(t, clipAt+` >= 3`)
	b.do(t, chromedp.KeyEvent(" "))
	stopped := value[int](t, b, clipAt)
	value[any](t, b, `(() => { const clip = document.querySelector("figure.clip"); window.seen = [];
		new MutationObserver(() => window.seen.push(Number(clip.dataset.at))).observe(clip, { attributes: true, attributeFilter: ["data-at"] }); })()`)
	b.do(t, chromedp.KeyEvent(" "))
	b.wait(t, `window.seen.length >= 2`)
	b.do(t, chromedp.KeyEvent(" "))
	count := value[int](t, b, `document.querySelector("figure.clip").dataset.frames.split("\n").length`)
	if first := value[int](t, b, `window.seen[0]`); first != (stopped+1)%count {
		t.Errorf("stopped at picture %d, it goes on with %d", stopped, first)
	}
	b.do(t, chromedp.KeyEvent(kb.Home), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowRight))
	if at := value[int](t, b, clipAt); at != 2 {
		t.Errorf("Home and twice the right arrow lead to picture %d, want 2", at)
	}
	b.do(t, chromedp.KeyEvent(kb.End))
	if at := value[int](t, b, clipAt); at != count-1 {
		t.Errorf("End leads to picture %d of %d", at, count)
	}
	if focus := value[bool](t, b, `document.activeElement === document.querySelector("`+play+`")`); !focus {
		t.Error("the keys took the focus away")
	}
	for what, got := range map[string]string{
		"group":   value[string](t, b, `document.querySelector("figure.clip .play").getAttribute("aria-label")`),
		"bar":     value[string](t, b, `document.querySelector("figure.clip .play input").getAttribute("aria-valuetext")`),
		"status":  value[string](t, b, `document.querySelector("figure.clip .place[role=status]").textContent`),
		"picture": value[string](t, b, `document.querySelector("figure.clip img").alt`),
	} {
		if len(got) < len("picture 1") {
			t.Errorf("a screen reader hears of the %s only %q", what, got)
		}
	}
}

// playsOffline opens the lesson's file from the disk with the network off and plays its clip.
func playsOffline(t *testing.T, b *browser, address string) {
	t.Helper()
	res, err := http.Get(address) //nolint:noctx // a test server
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "lesson.html")
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.ReadFrom(res.Body); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	if err := res.Body.Close(); err != nil {
		t.Fatal(err)
	}
	_, err = chromedp.Call(b.ctx, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
		MatchedNetworkConditions: []*network.Conditions{{Offline: true, DownloadThroughput: -1, UploadThroughput: -1}},
	})
	if err != nil {
		t.Fatal(err)
	}
	b.mu.Lock()
	b.asked, b.complaints = nil, nil
	b.mu.Unlock()
	b.do(t, chromedp.Navigate("file://"+file))
	b.wait(t, `document.querySelector("figure.clip.plays img")?.naturalWidth > 0`)
	goesOnWhereItStopped(t, b)
	if !value[bool](t, b, `[...document.querySelectorAll("image")].every(i => i.getAttribute("href").startsWith("data:image/jpeg"))`) {
		t.Error("a still is not in the file")
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, url := range b.asked {
		if !strings.HasPrefix(url, "data:") && url != "file://"+file {
			t.Errorf("the file asks for %s", url)
		}
	}
	if len(b.complaints) > 0 {
		t.Errorf("the browser complains: %q", b.complaints)
	}
}
