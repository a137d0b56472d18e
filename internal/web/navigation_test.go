package web

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestNavigationLeadsToPages asks for every entry and looks whether it marks itself,
// and nothing else.
func TestNavigationLeadsToPages(t *testing.T) {
	if len(mainPages) > 6 {
		t.Errorf("%d pages in the row; more than six is no longer calm", len(mainPages))
	}
	srv := serve(t, newFixture(t), Options{})
	for i, l := range append(append([]pageLink{}, mainPages...), morePages...) {
		resp, body := ask(t, srv.Client(), scenario{path: l.Path}.request(t, srv.URL))
		if resp.StatusCode != 200 {
			t.Errorf("%s answers with %d", l.Path, resp.StatusCode)
			continue
		}
		nav, _, _ := strings.Cut(body, "</nav>")
		if n := strings.Count(nav, `aria-current="page"`); n != 1 || !strings.Contains(nav, fmt.Sprintf(`<a href="%s" aria-current="page">%s</a>`, l.Path, l.Words)) {
			t.Errorf("%s marks %d entries, or not its own", l.Path, n)
		}
		folded := strings.Contains(nav, `<summary aria-current="true">More: `+l.Words+`</summary>`)
		if want := i >= len(mainPages); folded != want {
			t.Errorf("%s: named beside More %v, want %v", l.Path, folded, want)
		}
	}
}

// TestNavigationByKeysAlone unfolds the rest of the pages and goes to one, on a wide
// window and on a phone's.
func TestNavigationByKeysAlone(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	b := newBrowser(t, srv.URL)
	for _, width := range []int64{1280, 390} {
		b.do(t, chromedp.EmulateViewport(width, 800))
		b.open(t, "/about")
		if hidden := value[bool](t, b, `!document.querySelector('nav a[href="/keep"]').checkVisibility()`); !hidden {
			t.Errorf("at %d px the rest is not folded away", width)
		}
		before := value[[]float64](t, b, atSummary)
		b.tabTo(t, "nav summary")
		b.do(t, chromedp.KeyEvent(kb.Enter))
		b.wait(t, `document.querySelector("nav details").open`)
		if after := value[[]float64](t, b, atSummary); after[0] != before[0] || after[1] != before[1] {
			t.Errorf("at %d px More goes from %v to %v when it is opened", width, before, after)
		}
		if over := value[int](t, b, furthest); over > int(width) {
			t.Errorf("at %d px the unfolded list reaches to %d px", width, over)
		}
		b.shot(t, fmt.Sprintf("navigation-%d", width))
		b.tabTo(t, `nav a[href="/keep"]`)
		b.do(t, chromedp.KeyEvent(kb.Enter))
		b.wait(t, `location.pathname === "/keep"`)
		if says := value[string](t, b, `document.querySelector("nav summary").innerText`); says != "More: Keep" {
			t.Errorf("at %d px the folded list says %q of where we are", width, says)
		}
	}
	b.check(t)
}

const (
	atSummary = `(() => { const r = document.querySelector("nav summary").getBoundingClientRect(); return [r.x, r.y]; })()`
	furthest  = `Math.ceil(Math.max(document.documentElement.scrollWidth, ...[...document.querySelectorAll("nav a")].map(a => a.getBoundingClientRect().right)))`
)
