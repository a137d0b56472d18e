package web

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	browserlog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"underkick/internal/demo/demotest"
	"underkick/internal/poolside"
	"underkick/internal/poolside/poolsidetest"
)

// browserNames are the names under which a Chromium is looked for.
var browserNames = []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome"}

// browser starts a Chromium of its own and notes what it asks for and complains of.
type browser struct {
	ctx  context.Context
	base string

	mu         sync.Mutex
	asked      []string
	complaints []string
}

func newBrowser(t *testing.T, base string) *browser {
	t.Helper()
	if testing.Short() {
		t.Skip("no browser under -short: the race detector sees nothing of it; see TestPagesAreAnsweredAtOnce")
	}
	var path string
	for _, name := range browserNames {
		if found, err := exec.LookPath(name); err == nil {
			path = found
			break
		}
	}
	if path == "" {
		t.Skip("no Chromium on this machine; `make needs` installs it")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.UserDataDir(t.TempDir()), chromedp.WSURLReadTimeout(time.Minute))
	for _, flag := range []string{"no-sandbox", "disable-gpu", "disable-quic", "disable-component-update"} {
		options = append(options, chromedp.Flag(flag, true))
	}
	ctx, stop := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx)
	t.Cleanup(stop)
	ctx, stop = context.WithTimeout(ctx, 18*time.Minute) // less than a package has: what failed is told
	t.Cleanup(stop)
	b := &browser{ctx: ctx, base: base}
	b.do(t, chromedp.Navigate("about:blank"))
	if err := chromedp.Listen(ctx, b.note); err != nil {
		t.Fatal(err)
	}
	_, err1 := chromedp.Call(ctx, browserlog.Enable, cdp.Empty{})
	_, err2 := chromedp.Call(ctx, network.Enable, network.EnableParams{})
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	return b
}

func (b *browser) note(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		b.asked = append(b.asked, e.Request.URL)
	case *runtime.EventExceptionThrown:
		b.complaints = append(b.complaints, e.ExceptionDetails.Text)
	case *browserlog.EventEntryAdded:
		b.complaints = append(b.complaints, e.Entry.Text)
	}
}

// check fails for requests to elsewhere and for complaints that hold none of the
// expected words.
func (b *browser) check(t *testing.T, expected ...string) {
	t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, url := range b.asked {
		if !strings.HasPrefix(url, b.base) && !strings.HasPrefix(url, "about:") && !strings.HasPrefix(url, "data:") { // data: are the browser's own icons
			t.Errorf("the page asked for %s", url)
		}
	}
	for _, c := range b.complaints {
		known := false
		for _, words := range expected {
			known = known || strings.Contains(c, words)
		}
		if !known {
			t.Errorf("the browser complains: %s", c)
		}
	}
}

func (b *browser) do(t *testing.T, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	for i, s := range steps {
		if _, err := chromedp.Run(b.ctx, s); err != nil {
			t.Fatalf("step %d: %v", i+1, err)
		}
	}
}

// shot keeps a picture of the page in the folder that SHOTS names, if any.
func (b *browser) shot(t *testing.T, name string) {
	t.Helper()
	dir := os.Getenv("SHOTS")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, name+".png"), png, 0o600)
	}
	if err != nil {
		t.Error(err)
	}
}

func (b *browser) open(t *testing.T, path string) {
	t.Helper()
	b.do(t, chromedp.Navigate(b.base+path))
}

// resize changes the window and waits until the page has seen it: what observes sizes is told
// between two frames that are drawn.
func (b *browser) resize(t *testing.T, width, height int64) {
	t.Helper()
	b.do(t, chromedp.EmulateViewport(width, height))
	b.wait(t, fmt.Sprintf("innerWidth === %d", width))
	for range 2 {
		if _, err := chromedp.Run(b.ctx, chromedp.Evaluate[float64](`new Promise((done) => requestAnimationFrame(done))`, chromedp.EvalAwaitPromise)); err != nil {
			t.Fatal(err)
		}
	}
}

// value evaluates an expression on the page.
func value[T any](t *testing.T, b *browser, expression string) T {
	t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// patience is how long a page that does not change is waited for.
const patience = 2 * time.Minute

// pageLook tells two looks at a page apart: by its words and by how far its work is.
const pageLook = `[document.body?.innerText, ...[...document.querySelectorAll("progress")].map((p) => p.value)].join(" ")`

// wait waits until an expression is true of a whole page. While a page goes and the next
// one comes there is nothing to evaluate it on, and its elements are not all there yet.
// On a busy machine work in the background takes its time: it is waited for as long as the
// page shows that it goes on.
func (b *browser) wait(t *testing.T, expression string) {
	t.Helper()
	for look := ""; ; {
		for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
			if met, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](`!!(document.readyState === "complete" && (`+expression+`))`)); err == nil && met {
				return
			}
		}
		now := value[string](t, b, pageLook)
		if now == look {
			t.Fatalf("waited in vain for %s; the page says: %s", expression, now)
		}
		look = now
	}
}

// settled reads a value off a whole page that may be loaded again by itself meanwhile, as the
// kick page is when the worth is there: a reading that fails is tried again.
func settled[T any](t *testing.T, b *browser, expression string, options ...chromedp.EvaluateOption) T {
	t.Helper()
	for end := time.Now().Add(patience); ; time.Sleep(50 * time.Millisecond) {
		v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](`(() => {
			if (document.readyState !== "complete") throw new Error("the page is not whole");
			return (`+expression+`);
		})()`, options...))
		if err == nil {
			return v
		}
		if time.Now().After(end) {
			t.Fatalf("%s: %v", expression, err)
		}
	}
}

// demoCopy is a data folder of the test's own with the demo's squad.
func demoCopy(t *testing.T) string {
	t.Helper()
	return demotest.Copy(t, poolsidetest.LoadDemo)
}

// demoApp opens a copy of that folder for one test.
func demoApp(t *testing.T) *poolside.App { return openedApp(t, demoCopy(t)) }

// openedApp opens a data folder until the test ends.
func openedApp(t *testing.T, dir string) *poolside.App {
	t.Helper()
	app, err := poolside.Open(t.Context(), poolside.Options{DataDir: dir})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := app.Close(); err != nil {
			t.Error(err)
		}
	})
	return app
}

// demoPages serves the demo's squad, and can be told to fail.
func demoPages(t *testing.T) (srv *httptest.Server, down *atomic.Bool) {
	t.Helper()
	pages, err := New(Options{App: demoApp(t)})
	if err != nil {
		t.Fatal(err)
	}
	down = new(atomic.Bool)
	srv = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodPost && down.Load() {
			http.Error(w, `{"problem":"The disk is full."}`, http.StatusInsufficientStorage)
			return
		}
		pages.ServeHTTP(w, r)
	}))
	t.Cleanup(srv.Close)
	return srv, down
}

// TestDemoInABrowser goes the way of a coach: squad, finding, marking, finding.
func TestDemoInABrowser(t *testing.T) {
	srv, down := demoPages(t)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 900))
	b.open(t, "/")
	run := value[string](t, b, `document.querySelector('td a[href^="/run/"]').getAttribute("href")`)
	b.do(t, chromedp.Click(`td a[href="`+run+`"]`))
	b.wait(t, `document.querySelectorAll("ul.stills svg image").length >= 4`)
	seesAFinding(t, b)
	b.open(t, run+"/mark")
	b.wait(t, `document.querySelector("[data-started]") && document.querySelector(".waiting").hidden`)
	marksAFrame(t, b)
	savesAgainAfterAFailure(t, b, down)
	marksByKeysAlone(t, b)
	marksWhereItIsGuessedWhenZoomed(t, b)
	setsAScale(t, b)
	b.do(t, chromedp.Click("#kicks"))
	b.wait(t, `document.querySelectorAll("ul.stills svg image").length >= 4`)
	seesAFinding(t, b)
	b.do(t, chromedp.EmulateViewport(1280, 720))
	b.open(t, run+"/mark")
	marksWhatIsAsked(t, b)
	everyPageFitsAPhone(t, b, run)
	b.check(t, "507") // the failure that was asked for
}

func seesAFinding(t *testing.T, b *browser) {
	t.Helper()
	finding := settled[string](t, b, `document.querySelector("h1").innerText`)
	if len(finding) < 20 || !strings.HasSuffix(finding, ".") || strings.Contains(finding, "not measured") {
		t.Errorf("the finding reads %q", finding)
	}
	rows := settled[[]string](t, b, `[...document.querySelectorAll(".qualities h3")].map(h => h.innerText)`)
	for _, quality := range []string{"Facing", "Sweep", "Build"} {
		if !slices.Contains(rows, quality) {
			t.Errorf("no row for %s", quality)
		}
	}
}

// markOf is an expression for the saved mark of the toe on the frame shown.
const markOf = `(async () => {
	const frame = Number(document.querySelector("#frame").value);
	const data = await (await fetch(document.querySelector("[data-marking]").dataset.marking)).json();
	return data.marks.marks.find(m => m.frame === frame && m.landmark === "toe") ?? null;
})()`

type savedMark struct {
	X float64 `json:"x_px"`
	Y float64 `json:"y_px"`
}

func toeMark(t *testing.T, b *browser) *savedMark {
	t.Helper()
	m, err := chromedp.Run(b.ctx, chromedp.Evaluate[*savedMark](markOf, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// saved waits until the last action has been answered.
const saved = `document.querySelector("#status").textContent === "Saved"`

// marksAFrame goes to a frame without marks, puts the toe where it is guessed,
// moves it by key, takes it back and brings it again.
func marksAFrame(t *testing.T, b *browser) {
	t.Helper()
	guessed := `document.querySelector('.overlay [data-landmark="toe"] circle.filled-in')`
	goToGuess(t, b)
	before := value[int](t, b, `Number(document.querySelector("#count").textContent)`)
	at := value[[]float64](t, b, `(() => { const c = `+guessed+`.getBoundingClientRect(); return [c.x + c.width / 2, c.y + c.height / 2]; })()`)
	b.do(t, chromedp.MouseClickXY(at[0], at[1]))
	b.wait(t, saved)
	first := toeMark(t, b)
	if first == nil {
		t.Fatal("the click left no mark")
	}
	if n := value[int](t, b, `Number(document.querySelector("#count").textContent)`); n != before+1 {
		t.Errorf("%d marks after one click, want %d", n, before+1)
	}
	b.do(t, chromedp.KeyEvent("1"), chromedp.KeyEvent(kb.ArrowRight, chromedp.KeyModifiers(chromedp.ModifierShift)))
	b.wait(t, saved)
	moved := toeMark(t, b)
	if moved == nil || moved.X != first.X+10 || moved.Y != first.Y {
		t.Errorf("Shift and the right arrow moved %v to %v, want 10 px to the right", first, moved)
	}
	b.do(t, chromedp.Click("#undo"))
	b.wait(t, saved+` && !document.querySelector("#redo").disabled`)
	if back := toeMark(t, b); back == nil || *back != *first {
		t.Errorf("undo gives %v, want %v", back, first)
	}
	b.do(t, chromedp.Click("#redo"))
	b.wait(t, saved+` && document.querySelector("#redo").disabled`)
	if again := toeMark(t, b); again == nil || *again != *moved {
		t.Errorf("redo gives %v, want %v", again, moved)
	}
}

// savesAgainAfterAFailure lets one save fail and tries it again.
func savesAgainAfterAFailure(t *testing.T, b *browser, down *atomic.Bool) {
	t.Helper()
	down.Store(true)
	b.do(t, chromedp.KeyEvent("1"), chromedp.Click("#delete"))
	b.wait(t, `document.querySelector("#status").textContent.includes("1 not saved yet") && !document.querySelector("#retry").hidden`)
	if toeMark(t, b) == nil {
		t.Error("the mark is gone although nothing was saved")
	}
	down.Store(false)
	b.do(t, chromedp.Click("#retry"))
	b.wait(t, saved)
	if m := toeMark(t, b); m != nil {
		t.Errorf("the mark still stands at %v", *m)
	}
}

// shown waits for the picture of the frame, with what stands on it.
const shown = `document.querySelector(".waiting").hidden && document.querySelector(".overlay g")`

// goToGuess steps on to a frame where the toe is guessed and chooses the toe.
func goToGuess(t *testing.T, b *browser) {
	t.Helper()
	value[any](t, b, `document.activeElement.blur()`)
	for range 10 {
		b.do(t, chromedp.KeyEvent("."))
		b.wait(t, shown)
		if value[bool](t, b, `!!document.querySelector('.overlay [data-landmark="toe"] circle.filled-in')`) {
			b.do(t, chromedp.KeyEvent("1"))
			return
		}
	}
	t.Fatal("no frame where the toe is guessed")
}

// guessOf is an expression for the toe's trace on the frame shown.
const guessOf = `(async () => {
	const frame = Number(document.querySelector("#frame").value);
	const data = await (await fetch(document.querySelector("[data-marking]").dataset.marking)).json();
	const toe = data.marks.traces.toe;
	return { x_px: toe.x_px[frame - toe.from], y_px: toe.y_px[frame - toe.from] };
})()`

func toeGuess(t *testing.T, b *browser) savedMark {
	t.Helper()
	m, err := chromedp.Run(b.ctx, chromedp.Evaluate[savedMark](guessOf, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// marksByKeysAlone moves the cross from the guess by keys and places the mark.
func marksByKeysAlone(t *testing.T, b *browser) {
	t.Helper()
	goToGuess(t, b)
	guess := toeGuess(t, b)
	b.do(t, chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.ArrowDown), chromedp.KeyEvent(kb.ArrowLeft), chromedp.KeyEvent(kb.Enter))
	b.wait(t, saved)
	m := toeMark(t, b)
	if m == nil || math.Abs(m.X-guess.X+1) > 0.01 || math.Abs(m.Y-guess.Y-2) > 0.01 {
		t.Errorf("two down and one left of %v gave %v", guess, m)
	}
}

// marksWhereItIsGuessedWhenZoomed clicks on the ring of a guess at ten times the
// size and expects the mark there, to a fraction of a pixel.
func marksWhereItIsGuessedWhenZoomed(t *testing.T, b *browser) {
	t.Helper()
	goToGuess(t, b)
	guess := toeGuess(t, b)
	at := value[[]float64](t, b, toeRing)
	value[any](t, b, fmt.Sprintf(`document.querySelector(".stage").dispatchEvent(new WheelEvent("wheel", { deltaY: -1500, clientX: %v, clientY: %v, cancelable: true, bubbles: true }))`, at[0], at[1]))
	at = value[[]float64](t, b, toeRing)
	b.do(t, chromedp.MouseClickXY(at[0], at[1]))
	b.wait(t, saved)
	if m := toeMark(t, b); m == nil || math.Hypot(m.X-guess.X, m.Y-guess.Y) > 0.25 {
		t.Errorf("a click on the ring at %v gave %v", guess, m)
	}
	b.do(t, chromedp.KeyEvent("f"))
}

// setsAScale clicks both ends of a length, types it and keeps it.
func setsAScale(t *testing.T, b *browser) {
	t.Helper()
	b.do(t, chromedp.Click("form.scale [data-start]"))
	stage := value[[]float64](t, b, `(() => { const s = document.querySelector(".stage"); s.scrollIntoView(); const r = s.getBoundingClientRect(); return [r.x, r.y, r.width, r.height]; })()`)
	for _, x := range []float64{0.25, 0.75} {
		b.do(t, chromedp.MouseClickXY(stage[0]+x*stage[2], stage[1]+0.8*stage[3]))
	}
	b.wait(t, `document.activeElement.id === "length_m"`)
	value[any](t, b, `document.activeElement.value = ""`)
	b.do(t, chromedp.SendKeys("#length_m", "6,2"))
	// The grid is on the picture at once, and follows a point that is dragged and a
	// length that is typed: twice the length shows twice the pool.
	b.wait(t, `document.querySelectorAll(".overlay .whole-metre").length > 3`)
	words := value[string](t, b, `document.querySelector("[data-grid]").textContent`)
	at := value[[]float64](t, b, `(() => { document.querySelector(".stage").scrollIntoView(); const r = document.querySelectorAll(".overlay circle.marked"); const c = r[r.length - 1].getBoundingClientRect(); return [c.x + c.width / 2, c.y + c.height / 2]; })()`)
	b.do(t, chromedp.MouseEvent("mousePressed", at[0], at[1], chromedp.ButtonLeft), chromedp.MouseEvent("mouseMoved", at[0]-60, at[1], chromedp.ButtonLeft), chromedp.MouseEvent("mouseReleased", at[0]-60, at[1], chromedp.ButtonLeft))
	b.wait(t, fmt.Sprintf(`(w => w.includes("picture shows") && w !== %q)(document.querySelector("[data-grid]").textContent)`, words))
	value[any](t, b, `document.querySelector("#length_m").value = ""`)
	b.do(t, chromedp.SendKeys("#length_m", "3,1"), chromedp.Click("form.scale [type=submit]"))
	b.wait(t, `document.body.innerText.includes("known length 3.10 m") && document.querySelector("[data-started]")`)
}

// takeAllBack undoes everything and gives the traces as they were.
const takeAllBack = `(async () => {
	const root = document.querySelector("[data-marking]");
	const was = (await (await fetch(root.dataset.marking)).json()).marks;
	for (let m = was; m.can_undo;) {
		const answer = await fetch(root.dataset.marks, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ do: "undo", seq: m.seq }) });
		m = await answer.json();
	}
	const data = await (await fetch(root.dataset.marking)).json();
	return { traces: was.traces, width: data.width, height: data.height };
})()`

type takenBack struct {
	Traces        map[string]poolside.TraceView `json:"traces"`
	Width, Height float64                       // px
}

// onScreen is an expression for the place of a picture point on the screen.
const onScreen = `(() => { const r = document.querySelector(".stage").getBoundingClientRect(); const k = Math.min(r.width / %[1]v, r.height / %[2]v);
	return [r.x + (r.width - k * %[1]v) / 2 + k * %[3]v, r.y + (r.height - k * %[2]v) / 2 + k * %[4]v]; })()`

// marksWhatIsAsked starts with nothing marked, presses the key for the best next
// frame, clicks what is asked there, and goes on until the meter says that it is
// enough for speed and sweep. It counts clicks and keys.
func marksWhatIsAsked(t *testing.T, b *browser) {
	t.Helper()
	b.wait(t, `document.querySelector("[data-started]")`)
	was, err := chromedp.Run(b.ctx, chromedp.Evaluate[takenBack](takeAllBack, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	b.do(t, chromedp.Reload())
	b.wait(t, `document.querySelector("[data-started]") && document.querySelector(".waiting").hidden && document.querySelector("#count").textContent === "0"`)
	if why := value[string](t, b, `document.querySelector("#why").textContent`); !strings.Contains(why, "5 more frames") {
		t.Errorf("before the first mark the page says %q", why)
	}
	b.shot(t, "marking-empty")
	hands, frames, best := 0, 0, 0.0
	const sweep = `document.querySelector('[data-good="sweep"] progress').value`
	for ; frames < 25 && value[string](t, b, `document.querySelector("#enough").textContent`) == ""; frames++ {
		b.do(t, chromedp.KeyEvent("n"))
		hands++
		b.wait(t, shownOrEmpty+` && document.querySelector("#why").textContent.startsWith("Mark ")`)
		frame := value[int](t, b, `Number(document.querySelector("#frame").value)`)
		for range 6 {
			landmark := value[string](t, b, `document.querySelector(".points .wanted[aria-pressed=true]")?.dataset.choose ?? ""`)
			if landmark == "" {
				break
			}
			tr := was.Traces[landmark]
			if i := frame - tr.From; i < 0 || i >= len(tr.XPx) || tr.XPx[i] == nil {
				t.Fatalf("%s is asked on frame %d, where the full marks had no trace", landmark, frame)
			}
			at := value[[]float64](t, b, fmt.Sprintf(onScreen, was.Width, was.Height, *tr.XPx[frame-tr.From], *tr.YPx[frame-tr.From]))
			b.do(t, chromedp.MouseClickXY(at[0], at[1]))
			hands++
			b.wait(t, saved)
		}
		best = max(best, value[float64](t, b, sweep))
		b.shot(t, fmt.Sprintf("marking-%02d", frames))
	}
	if end := value[float64](t, b, sweep); end < 1 || best < end {
		t.Errorf("the meter for sweep ends at %.2f after %d frames", end, frames)
	}
	t.Logf("enough for speed and sweep after %d clicks and keys on %d frames", hands, frames)
	if hands > 90 {
		t.Errorf("%d clicks and keys", hands)
	}
	// In an enlarged picture the point asked for comes into view; where nothing says
	// where it may lie, the whole picture does, with every point there is.
	for range 4 {
		b.do(t, chromedp.KeyEvent("+"))
	}
	b.do(t, chromedp.KeyEvent("n"))
	b.wait(t, shown)
	b.wait(t, `(() => {
		const r = document.querySelector(".stage").getBoundingClientRect();
		const inside = c => { const q = c.getBoundingClientRect(); const x = q.x + q.width / 2, y = q.y + q.height / 2; return x > r.left && x < r.right && y > r.top && y < r.bottom; };
		const asked = document.querySelector(".points .wanted[aria-pressed=true]")?.dataset.choose;
		const points = [...document.querySelectorAll(".overlay [data-landmark] circle.filled-in")];
		const own = points.filter(c => c.closest("[data-landmark]").dataset.landmark === asked);
		return asked && points.length > 0 && (own.length > 0 ? own : points).every(inside); })()`)
	b.do(t, chromedp.KeyEvent("f"))
	// Where nothing can be marked, the same key goes elsewhere.
	first := value[int](t, b, `Number(document.querySelector("#frame").value)`)
	b.do(t, chromedp.KeyEvent("n"))
	b.wait(t, shown)
	if second := value[int](t, b, `Number(document.querySelector("#frame").value)`); second == first {
		t.Errorf("frame %d again although nothing could be marked on it", first)
	}
	b.shot(t, "marking-asked")
	goWhereTheToeIsFilledIn(t, b)
	comparesWithEarlierMarks(t, b)
	pinchesAndTaps(t, b)
}

// filledInToe is an expression for the frame nearest to the run's middle on which the
// toe is filled in.
const filledInToe = `(async () => {
	const data = await (await fetch(document.querySelector("[data-marking]").dataset.marking)).json();
	const marked = new Set(data.marks.marks.filter(m => m.landmark === "toe").map(m => m.frame));
	const toe = data.marks.traces.toe;
	const frames = data.frames.map(f => f.n), middle = frames[frames.length >> 1];
	const found = frames.filter(n => !marked.has(n) && toe.x_px[n - toe.from] != null);
	return found.sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle))[0] ?? -1;
})()`

// goWhereTheToeIsFilledIn goes to such a frame by its number: the one asked for may lie
// beyond the toe's marks.
func goWhereTheToeIsFilledIn(t *testing.T, b *browser) {
	t.Helper()
	frame, err := chromedp.Run(b.ctx, chromedp.Evaluate[int](filledInToe, chromedp.EvalAwaitPromise))
	if err != nil || frame < 0 {
		t.Fatalf("frame %d, %v", frame, err)
	}
	value[any](t, b, fmt.Sprintf(`(() => { const f = document.querySelector("#frame"); f.value = %d; f.dispatchEvent(new Event("change")); })()`, frame))
	b.wait(t, shown+` && !!document.querySelector('.overlay [data-landmark="toe"] circle.filled-in')`)
}

// comparesWithEarlierMarks moves to the toe and expects earlier marks of it beside
// the loupe.
func comparesWithEarlierMarks(t *testing.T, b *browser) {
	t.Helper()
	at := value[[]float64](t, b, toeRing)
	b.do(t, chromedp.KeyEvent("1"), chromedp.MouseEvent(chromedp.MouseMoved, at[0]+3, at[1]+2))
	b.wait(t, `!document.querySelector(".earlier").hidden && document.querySelectorAll(".earlier figure canvas").length > 0`)
	if on := value[string](t, b, `[...document.querySelectorAll(".earlier figcaption")].map(c => c.textContent).join("; ")`); !strings.Contains(on, "this run") {
		t.Errorf("compared with %q", on)
	}
	time.Sleep(200 * time.Millisecond) // for the pictures on the shot
	b.shot(t, "marking-loupe")
	b.do(t, chromedp.KeyEvent("5"))
	b.do(t, chromedp.MouseEvent(chromedp.MouseMoved, at[0], at[1]))
	if value[bool](t, b, `!document.querySelector(".earlier").hidden`) {
		t.Error("earlier marks of the foot are shown for the hip")
	}
}

// pinchesAndTaps zooms with two fingers, which marks nothing, and marks with one.
func pinchesAndTaps(t *testing.T, b *browser) {
	t.Helper()
	touch := func(kind input.DispatchTouchEventType, at ...[2]float64) {
		t.Helper()
		p := input.DispatchTouchEventParams{Type: kind, TouchPoints: []*input.TouchPoint{}}
		for i, q := range at {
			id := float64(i)
			p.TouchPoints = append(p.TouchPoints, &input.TouchPoint{X: q[0], Y: q[1], ID: &id})
		}
		if _, err := chromedp.Call(b.ctx, input.DispatchTouchEvent, p); err != nil {
			t.Fatal(err)
		}
	}
	before := value[string](t, b, `document.querySelector("#count").textContent`)
	ring := value[[]float64](t, b, toeRing)
	x, y := ring[0], ring[1]
	start, move, end := input.DispatchTouchEventTypeTouchStart, input.DispatchTouchEventTypeTouchMove, input.DispatchTouchEventTypeTouchEnd
	touch(start, [2]float64{x - 20, y})
	touch(start, [2]float64{x - 20, y}, [2]float64{x + 20, y})
	for d := 25.0; d <= 80; d += 5 {
		touch(move, [2]float64{x - d, y}, [2]float64{x + d, y})
	}
	touch(end)
	wide := `(() => { const r = l => { const c = document.querySelector('.overlay [data-landmark="' + l + '"] circle:last-child').getBoundingClientRect(); return [c.x + c.width / 2, c.y + c.height / 2]; };
		return Math.hypot(r("toe")[0] - r("hip")[0], r("toe")[1] - r("hip")[1]); })()`
	zoomed := value[float64](t, b, wide)
	if n := value[string](t, b, `document.querySelector("#count").textContent`); n != before {
		t.Errorf("a pinch changed the marks from %s to %s", before, n)
	}
	ring = value[[]float64](t, b, toeRing)
	b.do(t, chromedp.KeyEvent("1"))
	touch(start, [2]float64{ring[0] + 2, ring[1] + 2})
	touch(end)
	b.wait(t, saved+` && document.querySelector("#count").textContent !== "`+before+`"`)
	b.do(t, chromedp.KeyEvent("f"))
	if whole := value[float64](t, b, wide); zoomed < 2*whole || zoomed > 5*whole {
		t.Errorf("two fingers four times as far apart zoom %.1f times", zoomed/whole)
	}
}

// toeRing is an expression for the place of the toe's guess on the screen.
const toeRing = `(() => { const c = document.querySelector('.overlay [data-landmark="toe"] circle.filled-in').getBoundingClientRect(); return [c.x + c.width / 2, c.y + c.height / 2]; })()`

// shownOrEmpty waits for the picture of the frame, with or without points on it.
const shownOrEmpty = `document.querySelector(".waiting").hidden`

func everyPageFitsAPhone(t *testing.T, b *browser, run string) {
	t.Helper()
	b.do(t, chromedp.EmulateViewport(390, 844))
	swimmer := value[string](t, b, `document.querySelector('a[href^="/swimmer/"]').getAttribute("href")`)
	for _, path := range []string{"/", swimmer, swimmer + "/edit", "/swimmer/new", "/bring-in", run, run + "/mark", "/measures", "/about"} {
		b.open(t, path)
		if w := value[int](t, b, "document.documentElement.scrollWidth"); w > 390 {
			t.Errorf("%s is %d px wide on a phone of 390", path, w)
		}
	}
	b.open(t, run+"/mark")
	if !value[bool](t, b, `getComputedStyle(document.querySelector(".too-narrow")).display !== "none"`) {
		t.Error("marking does not say that it needs a wider screen")
	}
}
