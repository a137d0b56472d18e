package web

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"underkick/internal/demo"
	"underkick/internal/guess"
)

// hands counts what a coach does: every click and every key.
type hands struct {
	*browser
	count int
	noise *rand.Rand
	truth demo.Truth
}

// clickNoisePx is the scatter of a hand's click per axis, px of the picture.
const clickNoisePx = 2

func (h *hands) clicks(t *testing.T, selector string) {
	t.Helper()
	h.count++
	for try := 1; ; try++ {
		_, err := chromedp.Run(h.ctx, chromedp.Click(selector))
		if err == nil {
			return
		}
		// A page that follows work by itself may be loaded again between finding and clicking.
		if try == 5 || !strings.Contains(err.Error(), "Could not find node") {
			t.Fatalf("click %s: %v", selector, err)
		}
		h.wait(t, fmt.Sprintf("document.querySelector(%q)", selector))
	}
}

func (h *hands) keys(t *testing.T, keys string) {
	t.Helper()
	h.count += len(keys)
	h.do(t, chromedp.KeyEvent(keys))
}

// points clicks on a place of the picture, as exactly as a hand does.
func (h *hands) points(t *testing.T, at [2]float64) {
	t.Helper()
	h.count++
	x, y := onPicture(t, h.browser, [2]float64{at[0] + clickNoisePx*h.noise.NormFloat64(), at[1] + clickNoisePx*h.noise.NormFloat64()})
	h.do(t, chromedp.MouseClickXY(x, y))
}

// TestHandsFromDropToFinding goes the whole way with a five-kick clip: drop it, keep its
// run, set the scale, start the guess, mark what is asked for. At most 60 clicks and keys
// for speed, tempo and sweep, 120 for facing.
func TestHandsFromDropToFinding(t *testing.T) {
	if !guess.Supported() {
		t.Skip("this machine cannot guess")
	}
	srv, _ := demoPages(t)
	h := &hands{browser: newBrowser(t, srv.URL), noise: rand.New(rand.NewPCG(3, 60))}
	h.do(t, chromedp.EmulateViewport(1280, 800))
	h.open(t, "/")
	h.open(t, value[string](t, h.browser, `[...document.querySelectorAll('a[href^="/swimmer/"]')].find(a => a.textContent.startsWith("Joren")).getAttribute("href")`))

	h.bringsInAClip(t)
	h.setsTheScale(t)
	t.Logf("%d clicks and keys up to the scale", h.count)
	h.guesses(t)
	h.marksUntil(t, 1)
	first := h.count
	h.sees(t, map[string]float64{"speed": 0.03, "kick_frequency": 0.01, "toe_amplitude": 0.05, "sweep": math.Inf(1)})
	h.marksUntil(t, 2)
	h.sees(t, map[string]float64{"toe_amplitude": 0.04, "facing": math.Inf(1)})
	t.Logf("level 1 after %d clicks and keys, level 2 after %d", first, h.count)
	if first > 60 || h.count > 120 {
		t.Errorf("%d clicks and keys for speed, tempo and sweep, %d for facing; at most 60 and 120", first, h.count)
	}
	h.check(t)
}

// bringsInAClip drops a file on the page and keeps the run that is proposed.
func (h *hands) bringsInAClip(t *testing.T) {
	t.Helper()
	h.clicks(t, `main a[href^="/bring-in"]`)
	h.wait(t, `document.querySelector("#clip")`)
	h.count++ // the drop
	h.do(t, chromedp.SetUploadFiles("#clip", []string{h.aClip(t)}))
	h.clicks(t, `[data-bring-in] button.go`)
	h.wait(t, `document.querySelector('a.go[href^="/clip/"]')`)
	h.clicks(t, `a.go[href^="/clip/"]`)
	h.wait(t, `document.querySelector("form[data-runs] button.go")`)
	if value[string](t, h.browser, `document.querySelector("#position_0").value`) == "" {
		h.count += 2
		h.do(t, chromedp.SetValue("#position_0", "prone"))
	}
	h.clicks(t, `form[data-runs] button.go`)
	h.wait(t, `document.querySelector('main a[href$="/mark"]')`)
	h.clicks(t, `main a[href$="/mark"]`)
	h.wait(t, started)
}

// aClip writes one of the demo's clips into a folder of its own and keeps its truth.
func (h *hands) aClip(t *testing.T) string {
	t.Helper()
	d, err := demo.Load()
	if err != nil {
		t.Fatal(err)
	}
	c := d.Clips[slices.IndexFunc(d.Clips, func(c demo.Clip) bool { return c.Name == "joren-august" })]
	if h.truth, err = c.Truth(); err != nil {
		t.Fatal(err)
	}
	film, err := c.Film()
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "lane-4.mp4")
	if err := os.WriteFile(path, film, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// setsTheScale clicks both ends of a level length in the swimmer's plane and types it.
func (h *hands) setsTheScale(t *testing.T) {
	t.Helper()
	h.clicks(t, "form.scale [data-start]")
	h.do(t, chromedp.ScrollIntoView(".stage"))
	px := 4 / h.truth.MetresPerPx
	h.points(t, [2]float64{200, 600})
	h.points(t, [2]float64{200 + px, 600})
	h.wait(t, `document.activeElement.id === "length_m"`)
	h.keys(t, "4")
	h.clicks(t, "form.scale [type=submit]")
	h.wait(t, `document.body.innerText.includes("known length 4.00 m") && `+started)
}

// guesses starts the guess by two clicks on the frame shown and waits for it.
func (h *hands) guesses(t *testing.T) {
	t.Helper()
	h.keys(t, "g")
	h.wait(t, `document.querySelector("[data-guess-words]").textContent.startsWith("Click the finger tip")`)
	frame := value[int](t, h.browser, `Number(document.querySelector("#frame").value)`)
	h.points(t, h.truth.Landmarks["fingertip"][frame])
	h.points(t, h.truth.Landmarks["toe"][frame])
	began := time.Now()
	for time.Since(began) < 4*time.Minute && !value[bool](t, h.browser, guessState("ready")) {
		time.Sleep(time.Second)
	}
	h.wait(t, guessState("ready"))
	t.Logf("the guess took %.0f s", time.Since(began).Seconds())
}

// levelNow is an expression for the level that the marks have reached.
const levelNow = `(async () => (await (await fetch(document.querySelector("[data-marking]").dataset.marking)).json()).marks.meter.level)()`

// marksUntil marks what the page asks for until it says that a level is reached.
func (h *hands) marksUntil(t *testing.T, level int) {
	t.Helper()
	for range 40 {
		got, err := chromedp.Run(h.ctx, chromedp.Evaluate[int](levelNow, chromedp.EvalAwaitPromise))
		if err != nil {
			t.Fatal(err)
		}
		if got >= level {
			return
		}
		h.keys(t, "n")
		h.wait(t, shownOrEmpty+` && document.querySelector("#why").textContent.startsWith("Mark ")`)
		frame := value[int](t, h.browser, `Number(document.querySelector("#frame").value)`)
		for range len(h.truth.Landmarks) {
			landmark := value[string](t, h.browser, `document.querySelector(".points .wanted[aria-pressed=true]")?.dataset.choose ?? ""`)
			if landmark == "" {
				break
			}
			h.points(t, h.truth.Landmarks[landmark][frame])
			h.wait(t, saved)
		}
	}
	t.Fatalf("level %d is not reached after %d clicks and keys", level, h.count)
}

// sees goes to the kicks, expects a finding and the named measures, within a part of the
// truth where that is finite, and goes back to marking.
func (h *hands) sees(t *testing.T, measures map[string]float64) {
	t.Helper()
	h.clicks(t, "#kicks")
	h.wait(t, `document.querySelectorAll("ul.stills svg image").length >= 4`)
	seesAFinding(t, h.browser)
	const read = `(async () => (await (await fetch(location.pathname + "/measures.json")).json()).summary[%q].value)()`
	for id, part := range measures {
		got := settled[float64](t, h.browser, fmt.Sprintf(read, id), chromedp.EvalAwaitPromise)
		i := slices.IndexFunc(h.truth.Measures, func(m demo.TrueMeasure) bool { return m.ID == id })
		switch {
		case !(got > 0):
			t.Errorf("%s is %v", id, got)
		case !math.IsInf(part, 1) && (i < 0 || math.Abs(got-h.truth.Measures[i].Value) > part*h.truth.Measures[i].Value):
			t.Errorf("%s is %.4g, want the truth to %.0f %%", id, got, 100*part)
		}
	}
	h.clicks(t, `a[href$="/mark"]`)
	h.wait(t, started)
}
