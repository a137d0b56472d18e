package web

import (
	"math"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestClipOutInABrowser makes a pair from the kick page and plays it: the browser reads
// the film without an error, in its whole length, and moves on in it.
func TestClipOutInABrowser(t *testing.T) {
	srv, _ := demoPages(t)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 900))
	b.open(t, "/")
	run := value[string](t, b, `document.querySelector('td a[href^="/run/"]').getAttribute("href")`)
	b.open(t, run)
	b.do(t, chromedp.Click(`a[href="`+run+`/clip-out"]`))
	b.wait(t, `document.querySelector(".try img").naturalWidth === 640`)
	if !value[bool](t, b, `document.querySelector("[data-show]").hidden`) {
		t.Error("the button for the picture is shown although choices show it")
	}
	first := value[string](t, b, `document.querySelector(".try img").src`)
	choose(t, b, "#kick", "2")
	choose(t, b, "#slow", "1")
	choose(t, b, "#width", "480")
	choose(t, b, "#place", "above")
	value[bool](t, b, `(() => { const s = document.querySelector("#beside"); s.value = [...s.options].at(-1).value; s.dispatchEvent(new Event("change", { bubbles: true })); return true })()`)
	b.wait(t, `!("waiting" in document.querySelector(".try").dataset) && document.querySelector(".try img").naturalHeight === 480`)
	if now := value[string](t, b, `document.querySelector(".try img").src`); now == first || !strings.Contains(now, "kick=2") {
		t.Errorf("the picture is still %s", now)
	}
	b.shot(t, "clip-out")
	choose(t, b, "#beside_kick", "99")
	b.wait(t, `"refused" in document.querySelector(".try").dataset`)
	if words := value[string](t, b, `document.querySelector(".try figcaption").textContent`); !strings.Contains(words, "no whole kick 99") {
		t.Errorf("refused with %q", words)
	}
	choose(t, b, "#beside_kick", "1")
	b.do(t, chromedp.Click(`form.clip-out button.go`))
	b.wait(t, `document.querySelector("video")?.readyState >= 2`)
	if said := value[string](t, b, `String(document.querySelector("video").error?.message)`); said != "undefined" {
		t.Errorf("the browser says of the film: %s", said)
	}
	size := value[[]float64](t, b, `(() => { const v = document.querySelector("video"); return [v.videoWidth, v.videoHeight, v.duration] })()`)
	if size[0] != 480 || size[1] != 480 || math.IsNaN(size[2]) || size[2] < 0.3 || size[2] > 1.5 {
		t.Errorf("the film is %g by %g and %g s long", size[0], size[1], size[2])
	}
	value[bool](t, b, `(() => { const v = document.querySelector("video"); v.muted = true; v.loop = false; v.play(); return true })()`)
	b.wait(t, `document.querySelector("video").ended`)
	b.shot(t, "made-clip")
	b.check(t, "422") // the kick that is not there
}

// choose sets a field as a person does.
func choose(t *testing.T, b *browser, field, to string) {
	t.Helper()
	value[bool](t, b, `(() => { const f = document.querySelector("`+field+`"); f.value = "`+to+`"; f.dispatchEvent(new Event("change", { bubbles: true })); return f.value === "`+to+`" })()`)
}
