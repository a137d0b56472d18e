package web

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"underkick/internal/kick"
)

// filmsReady: the script runs and every picture of the kicks shown is decoded.
const filmsReady = `document.querySelector("[data-films][data-started]") && document.querySelector("[data-films]").dataset.ready === "yes"`

// shownColours reads the middle of every film from the screen: red, green, blue, and the
// place on the phase axis that the page stands at.
const shownColours = `(() => {
	const films = [...document.querySelectorAll("[data-run] canvas")].map((c) => [...c.getContext("2d").getImageData(c.width >> 1, c.height >> 1, 1, 1).data].slice(0, 3));
	return { place: Number(document.querySelector("[data-films]").dataset.place), films };
})()`

type shownFilms struct {
	Place float64
	Films [][]int
}

// goTo moves the bar to a place in thousandths of a kick.
func goTo(t *testing.T, b *browser, thousandths int) {
	t.Helper()
	value[any](t, b, fmt.Sprintf(`(() => { const r = document.querySelector("[data-phase]"); r.value = %d; r.dispatchEvent(new Event("input", { bubbles: true })); })()`, thousandths))
}

// holdsThePhase reads the numbers of the pictures from the colours on the screen and
// checks that each is the one nearest in time to the phase: within half a frame.
// kicks are the kicks of each film in turn.
func holdsThePhase(t *testing.T, b *browser, kicks [][]kick.Kick) {
	t.Helper()
	s := value[shownFilms](t, b, shownColours)
	if len(s.Films) != len(kicks) {
		t.Fatalf("%d films, want %d", len(s.Films), len(kicks))
	}
	turn := min(int(s.Place), len(kicks[0])-1)
	for i, rgb := range s.Films {
		times := comparedFilms[i].times
		n := frameOf(rgb[0], rgb[1], rgb[2]) - 100
		if n < 0 || n >= len(times) {
			t.Errorf("film %d shows the colour %v, which is no picture of it", i+1, rgb)
			continue
		}
		at := kicks[i][turn].At(s.Place - float64(turn))
		if off := math.Abs(times[n] - at); off > halfFrame(times, at)+1e-4 {
			t.Errorf("place %.4f: film %d shows the picture of %.4f s, its phase is at %.4f s, %.1f ms off", s.Place, i+1, times[n], at, 1000*off)
		}
	}
}

// halfFrame is half the time between the pictures around a time.
func halfFrame(times []float64, at float64) float64 {
	i := sort.SearchFloat64s(times, at)
	i = min(max(i, 1), len(times)-1)
	return (times[i] - times[i-1]) / 2
}

// chosenKicks are the kicks that the page shows at first, and all whole ones in turn.
func chosenKicks(t *testing.T) (chosen, inTurn [][]kick.Kick) {
	t.Helper()
	runs, err := comparedRuns()
	if err != nil {
		t.Fatal(err)
	}
	least := math.MaxInt
	for _, r := range runs {
		var whole []kick.Kick
		for _, k := range r.Result.Kicks {
			if k.Number > 0 {
				whole = append(whole, k)
			}
			if k.Number == r.Chosen {
				chosen = append(chosen, []kick.Kick{k})
			}
		}
		inTurn, least = append(inTurn, whole), min(least, len(whole))
	}
	for i := range inTurn {
		inTurn[i] = inTurn[i][:least]
	}
	return chosen, inTurn
}

// TestFilmsHoldThePhaseInABrowser compares four films of unlike rates, one uneven, tempos,
// directions and positions, and reads from the screen which pictures are shown.
func TestFilmsHoldThePhaseInABrowser(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 900))
	b.open(t, "/compare?run=k1&run=k2&run=k3&run=k4")
	b.wait(t, filmsReady)
	chosen, inTurn := chosenKicks(t)
	for p := 0; p <= 1000; p += 37 {
		goTo(t, b, p)
		holdsThePhase(t, b, chosen)
	}
	t.Run("at 390 px", func(t *testing.T) { fitsAPhoneLocked(t, b, chosen) })
	t.Run("keys and drags", func(t *testing.T) { scrubsByHand(t, b, chosen) })
	t.Run("playing", func(t *testing.T) { playsLocked(t, b, chosen) })
	t.Run("all kicks in turn", func(t *testing.T) {
		b.do(t, chromedp.Click("[data-turn]"))
		b.wait(t, filmsReady)
		for p := 0; p <= 1000*len(inTurn[0]); p += 391 {
			goTo(t, b, p)
			b.wait(t, filmsReady)
			holdsThePhase(t, b, inTurn)
		}
		b.do(t, chromedp.Click("[data-turn]"))
		b.wait(t, filmsReady)
	})
	t.Run("another kick", func(t *testing.T) {
		other := [][]kick.Kick{{inTurn[0][0]}, chosen[1], chosen[2], chosen[3]}
		value[any](t, b, fmt.Sprintf(`(() => { const s = document.querySelector('select[name="kick.k1"]'); s.value = "%d"; s.dispatchEvent(new Event("change", { bubbles: true })); })()`, other[0][0].Number))
		b.wait(t, filmsReady)
		goTo(t, b, 410)
		holdsThePhase(t, b, other)
		if at := value[string](t, b, `location.search`); !strings.Contains(at, fmt.Sprintf("kick.k1=%d", other[0][0].Number)) {
			t.Errorf("the address forgets the kick: %s", at)
		}
	})
	b.check(t, "willReadFrequently") // the test reads the screen
}

func fitsAPhoneLocked(t *testing.T, b *browser, kicks [][]kick.Kick) {
	b.resize(t, 390, 844)
	defer func() {
		b.resize(t, 1280, 900)
		b.wait(t, filmsReady)
	}()
	b.wait(t, filmsReady)
	tops := value[[]float64](t, b, `[...document.querySelectorAll("[data-window]")].map((w) => w.getBoundingClientRect().top)`)
	for i := 1; i < len(tops); i++ {
		if tops[i] <= tops[i-1]+100 {
			t.Errorf("the films do not stand below each other: %v", tops)
		}
	}
	if wide := value[int](t, b, `document.documentElement.scrollWidth`); wide > 390 {
		t.Errorf("the page is %d px wide", wide)
	}
	b.do(t, chromedp.ScrollIntoView("[data-run=k2]"))
	if bottom := value[float64](t, b, `document.querySelector(".phase-bar").getBoundingClientRect().bottom`); bottom > 845 {
		t.Errorf("the bar ends at %.0f px, below the screen", bottom)
	}
	for _, p := range []int{120, 500, 930} {
		goTo(t, b, p)
		holdsThePhase(t, b, kicks)
	}
	b.shot(t, "compare-390")
}

const placeNow = `Number(document.querySelector("[data-films]").dataset.place)`

func scrubsByHand(t *testing.T, b *browser, kicks [][]kick.Kick) {
	goTo(t, b, 500)
	value[any](t, b, `document.activeElement.blur()`)
	at := func(what string, want float64) {
		t.Helper()
		if got := value[float64](t, b, placeNow); math.Abs(got-want) > 0.0011 {
			t.Errorf("%s: place %.3f, want %.3f", what, got, want)
		}
		holdsThePhase(t, b, kicks)
	}
	b.do(t, chromedp.KeyEvent(kb.ArrowRight))
	at("right arrow", 0.51)
	b.do(t, chromedp.KeyEvent(kb.ArrowLeft), chromedp.KeyEvent(kb.ArrowLeft))
	at("left arrow twice", 0.49)
	b.do(t, chromedp.KeyEvent(kb.ArrowRight, chromedp.KeyModifiers(chromedp.ModifierShift)))
	at("shift and right arrow", 0.59)
	b.do(t, chromedp.Focus("[data-phase]"), chromedp.KeyEvent(kb.End))
	at("end", 1)
	b.do(t, chromedp.KeyEvent(kb.Home))
	at("home", 0)
	b.do(t, chromedp.KeyEvent(kb.PageDown))
	at("page down", 0.1)
	b.do(t, chromedp.ScrollIntoView("[data-run=k1]"))
	box := value[[]float64](t, b, `(() => { const r = document.querySelector("[data-run=k1] [data-window]").getBoundingClientRect(); return [r.x, r.y, r.width, r.height]; })()`)
	x, y := box[0]+0.3*box[2], box[1]+box[3]/2
	b.do(t, chromedp.MouseEvent("mousePressed", x, y, chromedp.ButtonLeft), chromedp.MouseEvent("mouseMoved", x+0.25*box[2], y, chromedp.ButtonLeft), chromedp.MouseEvent("mouseReleased", x+0.25*box[2], y, chromedp.ButtonLeft))
	at("a drag over a quarter of the film", 0.35)
	fastest := phaseOfMoment(kicks[0][0], "fastest")
	b.do(t, chromedp.Click(`[data-moment="fastest"]`))
	at("the fastest moment", fastest)
	// What is drawn follows: the cursor on the curves and the outlines.
	moved := value[[]string](t, b, `[document.querySelector("[data-phase-chart] .cursor").getAttribute("x1"), document.querySelector("[data-outlines] path").getAttribute("d")]`)
	goTo(t, b, 900)
	if now := value[[]string](t, b, `[document.querySelector("[data-phase-chart] .cursor").getAttribute("x1"), document.querySelector("[data-outlines] path").getAttribute("d")]`); now[0] == moved[0] || now[1] == moved[1] || now[1] == "" {
		t.Errorf("cursor and outline stand still: %v", now)
	}
	if drawn := value[int](t, b, `document.querySelectorAll("[data-run] .drawn circle").length`); drawn != len(kicks) {
		t.Errorf("%d films have their drawing", drawn)
	}
}

func phaseOfMoment(k kick.Kick, name string) float64 {
	for _, m := range k.Moments.List() {
		if m.Name == name {
			return k.Phase(m.T)
		}
	}
	return math.NaN()
}

// placeAtAFrame is the place that the screen shows and the time, ms, for which it is shown:
// both of one animation frame, since the place stands still between two.
func placeAtAFrame(t *testing.T, b *browser) []float64 {
	t.Helper()
	at, err := chromedp.Run(b.ctx, chromedp.Evaluate[[]float64](`new Promise((done) => requestAnimationFrame((now) => done([`+placeNow+`, now])))`, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// playsLocked plays by key and reads the screen on the way.
func playsLocked(t *testing.T, b *browser, kicks [][]kick.Kick) {
	goTo(t, b, 0)
	value[any](t, b, `document.activeElement.blur()`)
	b.do(t, chromedp.KeyEvent(" "))
	b.wait(t, placeNow+` > 0.02`)
	before := placeAtAFrame(t, b)
	for range 8 {
		time.Sleep(60 * time.Millisecond)
		holdsThePhase(t, b, kicks)
	}
	after := placeAtAFrame(t, b)
	b.do(t, chromedp.KeyEvent(" "))
	still := value[float64](t, b, placeNow)
	time.Sleep(100 * time.Millisecond)
	if now := value[float64](t, b, placeNow); now != still {
		t.Error("the space bar does not stop it")
	}
	k, passed := kicks[0][0], (after[1]-before[1])/1000
	turned := after[0] - before[0]
	if turned < 0 {
		turned++ // over the end into the same kick
	}
	moved := k.At(before[0]+turned) - k.At(before[0])
	if before[0]+turned > 1 {
		moved = k.End - k.At(before[0]) + k.At(before[0]+turned-1) - k.Start
	}
	// A slow machine may lose time (steps are cut at 0.1 s), never gain it.
	if moved > 0.25*passed*1.05+0.005 || moved < 0.25*passed*0.2 {
		t.Errorf("%.3f s of the first film passed in %.3f s, want a quarter", moved, passed)
	}
	if missed := value[string](t, b, `document.querySelector("[data-films]").dataset.missed ?? "0"`); missed != "0" {
		t.Errorf("%s pictures were not there in time", missed)
	}
}

// decodedBound is what decoded pictures may take in the browser, bytes.
const decodedBound = 300 << 20

// TestFourLargeFilmsInABrowser plays four clips of 1920 by 1080 side by side: what is
// decoded stays within its bound and no picture is late.
func TestFourLargeFilmsInABrowser(t *testing.T) {
	app, runs := largeRuns(t)
	pages, err := New(Options{App: app})
	if err != nil {
		t.Fatal(err)
	}
	srv := serveHandler(t, pages)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1920, 1080))
	began := time.Now()
	b.open(t, "/compare?run="+strings.Join(runs, "&run="))
	b.wait(t, filmsReady)
	ready := time.Since(began)
	wanted := value[int](t, b, `performance.getEntriesByType("resource").filter((e) => e.name.includes("/frame/")).length`)
	b.do(t, chromedp.Click("[data-play]"))
	time.Sleep(2 * time.Second)
	b.do(t, chromedp.Click("[data-play]"))
	data := value[map[string]string](t, b, `({ ...document.querySelector("[data-films]").dataset })`)
	var peak, played, missed int
	for name, into := range map[string]*int{"peak": &peak, "played": &played, "missed": &missed} {
		if data[name] != "" {
			if _, err := fmt.Sscan(data[name], into); err != nil {
				t.Fatal(err)
			}
		}
	}
	t.Logf("four clips of 1920 x 1080: %d pictures ready after %.1f s, %.0f MB decoded at most, %d steps played in 2 s, %d late", wanted, ready.Seconds(), float64(peak)/(1<<20), played, missed)
	if peak == 0 || peak > decodedBound {
		t.Errorf("%d bytes of decoded pictures, at most %d are allowed", peak, decodedBound)
	}
	if played == 0 || missed > 0 {
		t.Errorf("%d steps played, %d of them without their picture", played, missed)
	}
	b.do(t, chromedp.Click("[data-turn]"))
	b.wait(t, filmsReady)
	if now := value[float64](t, b, `Number(document.querySelector("[data-films]").dataset.peak)`); now > decodedBound {
		t.Errorf("all kicks in turn: %.0f bytes of decoded pictures", now)
	}
	b.shot(t, "compare-1080p")
	b.check(t)
}
