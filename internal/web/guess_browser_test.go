package web

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"underkick/internal/demo"
	"underkick/internal/guess"
)

// guessState is an expression that is true in one of the states given.
func guessState(states ...string) string {
	return fmt.Sprintf(`%q.split(" ").includes(document.querySelector(".guess").dataset.state)`, fmt.Sprint(states)[1:len(fmt.Sprint(states))-1])
}

// started waits for the marking page's picture.
const started = `document.querySelector("[data-started]") && document.querySelector(".waiting").hidden`

// onPicture is the place on the screen of a point of the picture.
func onPicture(t *testing.T, b *browser, at [2]float64) (x, y float64) {
	t.Helper()
	p := value[[]float64](t, b, fmt.Sprintf(`(() => { const r = document.querySelector(".stage").getBoundingClientRect();
		const s = Math.min(r.width / 1280, r.height / 720);
		return [r.x + (r.width - 1280 * s) / 2 + %g * s, r.y + (r.height - 720 * s) / 2 + %g * s]; })()`, at[0], at[1]))
	return p[0], p[1]
}

// TestTheGuessInABrowser starts the guess of a short run by two clicks, stops it, goes on,
// sees the points, accepts one by key, and switches the guess off.
func TestTheGuessInABrowser(t *testing.T) {
	if !guess.Supported() {
		t.Skip("this machine cannot guess")
	}
	srv, _ := demoPages(t)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 900))
	run, truth := shortRun(t, b)
	b.open(t, run+"/mark?frame=70")
	b.wait(t, started)
	b.wait(t, `Number(document.querySelector("#count").textContent) === 0`)

	b.do(t, chromedp.KeyEvent("g"))
	b.wait(t, `document.querySelector("[data-guess-words]").textContent.startsWith("Click the finger tip")`)
	tipX, tipY := onPicture(t, b, truth["fingertip"][70])
	b.do(t, chromedp.MouseClickXY(tipX, tipY))
	b.wait(t, `document.querySelector("[data-guess-words]").textContent.startsWith("Now the toe")`)
	b.shot(t, "guess-pointing")
	toeX, toeY := onPicture(t, b, truth["toe"][70])
	b.do(t, chromedp.MouseClickXY(toeX, toeY))
	b.wait(t, guessState("running")+` && document.querySelector("[data-guess-progress]").value > 0.15`)
	b.shot(t, "guess-running")
	seenTogether(t, b, "while the guess runs")
	b.do(t, chromedp.EmulateViewport(1280, 900))
	b.do(t, chromedp.Click("[data-guess-stop]"))
	b.wait(t, guessState("stopped")+` && document.querySelector("[data-guess-progress]").hidden`)
	b.do(t, chromedp.Click("[data-guess-on]"))
	b.wait(t, guessState("running"))
	b.wait(t, guessState("ready"))
	b.wait(t, `document.querySelectorAll(".overlay circle.filled-in").length >= 6`)
	if n := value[int](t, b, `Number(document.querySelector("#count").textContent)`); n != 0 {
		t.Errorf("the guess left %d marks", n)
	}
	b.shot(t, "guess-ready")
	seenTogether(t, b, "with a guess")
	b.do(t, chromedp.EmulateViewport(1280, 900))

	ring := value[string](t, b, `document.querySelector('.overlay [data-landmark="toe"] title').textContent`)
	value[any](t, b, `document.activeElement.blur()`)
	b.do(t, chromedp.KeyEvent("1"), chromedp.KeyEvent(kb.Enter))
	b.wait(t, saved+` && Number(document.querySelector("#count").textContent) === 1`)
	if now := value[string](t, b, `document.querySelector('.overlay [data-landmark="toe"] title').textContent`); ring != "toe, filled in" || now != "toe, marked" {
		t.Errorf("before Enter %q, after it %q", ring, now)
	}
	dragsAPoint(t, b)
	b.open(t, run+"/mark?frame=70") // undo reaches back over a load of the page
	b.wait(t, started)
	for left := 1; left >= 0; left-- {
		b.do(t, chromedp.Click("#undo"))
		b.wait(t, fmt.Sprintf(saved+` && Number(document.querySelector("#count").textContent) === %d`, left))
	}

	startsAgainAtOnce(t, b, tipX, tipY, toeX, toeY)
	b.do(t, chromedp.Click(`.guess button[value="no"]`))
	b.wait(t, guessState("off")+` && document.querySelector("[data-started]")`)
	b.wait(t, started)
	if n := value[int](t, b, `document.querySelectorAll(".overlay circle.filled-in").length`); n != 0 {
		t.Errorf("%d points are filled in although the guess is off and nothing is marked", n)
	}
	b.shot(t, "guess-off")
	seenTogether(t, b, "without a guess")
	reviewedOnAPhone(t, b)
	b.check(t)
}

// shortRun finds the run of a demo clip, makes it a third of a second long and returns
// its address and the truth. Its marks are undone until none is left: the demo's are one step.
func shortRun(t *testing.T, b *browser) (run string, truth map[string][][2]float64) {
	t.Helper()
	d, err := demo.Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range d.Clips {
		if c.Name == "joren-october-1" {
			known, err := c.Truth()
			if err != nil {
				t.Fatal(err)
			}
			truth = known.Landmarks
		}
	}
	b.open(t, "/")
	swimmer := value[string](t, b, `[...document.querySelectorAll('a[href^="/swimmer/"]')].find(a => a.textContent.startsWith("Joren")).getAttribute("href")`)
	b.open(t, swimmer)
	run = value[string](t, b, `(() => { const box = [...document.querySelectorAll("*")].filter(e => e.textContent.includes("joren-october-1.mp4") && e.querySelector('a[href^="/run/"]')).pop();
		return box.querySelector('a[href^="/run/"]').getAttribute("href").replace("/mark", ""); })()`)
	b.open(t, run+"/mark")
	b.wait(t, started)
	b.do(t, chromedp.Click("#undo"))
	b.wait(t, saved+` && Number(document.querySelector("#count").textContent) === 0`)
	value[any](t, b, `(() => { const f = document.querySelector('form[action$="/conditions"]'); f.from_frame.value = 60; f.to_frame.value = 80; f.requestSubmit(); })()`)
	b.wait(t, `document.querySelector("#frame")?.max === "80" && `+started)
	return run, truth
}

// dragsAPoint drags the filled-in knee, which makes a mark of it.
func dragsAPoint(t *testing.T, b *browser) {
	t.Helper()
	b.do(t, chromedp.KeyEvent("4"))
	b.wait(t, `document.querySelector('.overlay .chosen-point[data-landmark="knee"] circle.filled-in')`)
	at := value[[]float64](t, b, `(() => { const c = document.querySelector('.overlay [data-landmark="knee"] circle.filled-in').getBoundingClientRect(); return [c.x + c.width / 2, c.y + c.height / 2]; })()`)
	b.do(t,
		chromedp.MouseEvent("mousePressed", at[0], at[1], chromedp.ButtonLeft),
		chromedp.MouseEvent("mouseMoved", at[0]+15, at[1]+10, chromedp.ButtonLeft),
		chromedp.MouseEvent("mouseReleased", at[0]+15, at[1]+10, chromedp.ButtonLeft))
	b.wait(t, saved+` && Number(document.querySelector("#count").textContent) === 2`)
}

// startsAgainAtOnce points at the same places: nothing is looked at again, so the guess
// is ready without ever having been seen to wait for a picture.
func startsAgainAtOnce(t *testing.T, b *browser, tipX, tipY, toeX, toeY float64) {
	t.Helper()
	began := value[float64](t, b, `performance.now()`)
	b.do(t, chromedp.Click("[data-guess-show]"), chromedp.MouseClickXY(tipX, tipY), chromedp.MouseClickXY(toeX, toeY))
	b.wait(t, guessState("ready")+` && document.querySelector("#status").textContent.startsWith("Guessed on the frames 60 to 80")`)
	t.Logf("the same start again: %.0f ms", value[float64](t, b, `performance.now()`)-began)
}
