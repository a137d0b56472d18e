package web

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestSlidersInABrowser asks the model by keys alone: every press is answered, the changed
// kick is drawn, the band follows, and nothing is left over after the way back. The same
// address without scripts shows the same answer.
func TestSlidersInABrowser(t *testing.T) {
	srv, _ := demoPages(t)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 900))
	b.open(t, "/")
	run := value[string](t, b, `document.querySelector('td a[href^="/run/"]').getAttribute("href")`)
	b.open(t, run)
	b.wait(t, `document.querySelector("form[data-what-if]")?.dataset.started === ""`)
	still := value[string](t, b, `document.querySelector('[data-path="changed"]').getAttribute("d")`)
	if measured := value[string](t, b, `document.querySelector('[data-path="measured"]').getAttribute("d")`); measured != still {
		t.Error("the changed kick differs before anything is asked")
	}
	b.do(t, chromedp.Focus("#ask-foot"))
	for range 5 {
		b.do(t, chromedp.KeyEvent(kb.ArrowRight))
	}
	b.wait(t, `document.querySelector("output[for=ask-foot]").textContent === "+5 °"`)
	b.wait(t, `document.querySelector('[data-path="changed"]').getAttribute("d") !== `+"`"+still+"`")
	b.wait(t, `document.querySelector("form[data-what-if]").dataset.band === "there"`)
	for id, want := range map[string]string{"[data-same]": "At the same effort: about ", "[data-whole]": " to ", "[data-notes]": "Evidence"} {
		if text := value[string](t, b, `document.querySelector("`+id+`").textContent`); !strings.Contains(text, want) {
			t.Errorf("%s says %q, want %q in it", id, text, want)
		}
	}
	b.do(t, chromedp.ScrollIntoView("#what-if"))
	b.shot(t, "what-if")
	whole := value[string](t, b, `document.querySelector("[data-whole]").textContent`)
	b.do(t, chromedp.Focus("#phase"), chromedp.KeyEvent(kb.Home))
	b.wait(t, `document.querySelector("[data-where]").textContent === "toe top"`)
	if got := value[string](t, b, `document.querySelector('[data-path="measured"]').getAttribute("d")`); got == still {
		t.Error("the swimmer is drawn at the same phase as before")
	}
	b.do(t, chromedp.Click("[data-reset]"))
	b.wait(t, `document.querySelector("[data-same]").textContent === "Nothing changed yet."`)
	b.open(t, run+"?foot=5#what-if")
	b.wait(t, `document.querySelector("[data-whole]")`)
	if form := value[string](t, b, `document.querySelector("[data-whole]").textContent`); form != whole {
		t.Errorf("the form answers %q, the script %q", form, whole)
	}
	b.check(t)
}
