package web

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"underkick/internal/demo"
)

// TestFilmingCardInABrowser changes a set-up and sees the card follow by itself.
func TestFilmingCardInABrowser(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 900))
	b.open(t, "/")
	b.do(t, chromedp.Click("nav summary"), chromedp.Click(`nav a[href="/filming-card"]`))
	b.wait(t, `document.querySelector(".expected strong")`) // the bands come by themselves
	wide := value[string](t, b, `document.querySelector(".first dd").innerText`)
	b.do(t, chromedp.SetValue("#distance_m", "8"), chromedp.Evaluate[chromedp.Void](`document.querySelector("#distance_m").dispatchEvent(new Event("change", {bubbles: true}))`))
	b.wait(t, fmt.Sprintf(`document.querySelector(".first dd").innerText !== %q && document.querySelector(".expected strong")`, wide))
	if at := value[string](t, b, "location.search"); !strings.Contains(at, "distance_m=8") {
		t.Errorf("the address does not hold the set-up: %s", at)
	}
	b.shot(t, "filming-card")
	b.do(t, chromedp.Evaluate[chromedp.Void](`(() => { const p = document.querySelector("#preset"); p.value = "window"; p.dispatchEvent(new Event("change", {bubbles: true})); })()`))
	b.wait(t, `document.querySelector("#housing").value === "window" && document.querySelector(".setup .wall")`)
	b.do(t, chromedp.EmulateViewport(390, 844))
	if over := value[int](t, b, "document.documentElement.scrollWidth - innerWidth"); over > 0 {
		t.Errorf("the filming card is %d px too wide for a phone", over)
	}
	b.check(t)
}

// TestRunsInABrowser brings a clip in, moves the ends of its run by keys and by the
// pointer, and keeps it together with a second run of its own.
func TestRunsInABrowser(t *testing.T) {
	srv, _ := demoPages(t)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 1400))
	b.open(t, "/bring-in")
	b.do(t,
		chromedp.Evaluate[chromedp.Void](`document.querySelector("#swimmer").selectedIndex = 1`),
		chromedp.SetUploadFiles("#clip", []string{longerClip(t)}),
		chromedp.Click("form[data-bring-in] button.go"),
	)
	b.wait(t, `document.querySelector('main a.go[href^="/clip/"]') && document.querySelector("h1").innerText === "The clip is read"`)
	b.do(t, chromedp.Click(`main a.go[href^="/clip/"]`))
	b.wait(t, `document.querySelector(".ribbon .kept") && document.querySelector(".ribbon .motion").getAttribute("d")`)
	if words := value[string](t, b, `document.querySelector("fieldset[data-row]").innerText`); !strings.Contains(words, "to the right: about") {
		t.Errorf("the run reads %q", words)
	}
	if checks := value[string](t, b, `document.querySelector(".checks").innerText`); !strings.Contains(checks, "pictures per second") || !strings.Contains(checks, "The edges of the feet show no smear") || !strings.Contains(checks, "mm per px") {
		t.Errorf("the check card reads %q", checks)
	}
	b.wait(t, `[...document.images].every((i) => i.complete && i.naturalWidth > 0)`)
	b.shot(t, "clip-runs")

	from := value[int](t, b, `Number(document.querySelector("#from_0").value)`)
	b.do(t, chromedp.Focus("#from_0"), chromedp.KeyEvent(kb.ArrowUp))
	if now := value[int](t, b, `Number(document.querySelector("#from_0").value)`); now != from+1 {
		t.Errorf("a key moved the first frame from %d to %d", from, now)
	}
	ends := value[[]float64](t, b, `(() => { const r = document.querySelector('.ribbon [data-run="0"]').getBoundingClientRect(); return [r.right, r.top + r.height / 2, r.width]; })()`)
	b.do(t, chromedp.MouseEvent("mousePressed", ends[0], ends[1], chromedp.ButtonLeft), chromedp.MouseEvent("mouseMoved", ends[0]-100, ends[1], chromedp.ButtonLeft), chromedp.MouseEvent("mouseReleased", ends[0]-100, ends[1], chromedp.ButtonLeft))
	if now := value[float64](t, b, `document.querySelector('.ribbon [data-run="0"]').getBoundingClientRect().width`); now > ends[2]-80 {
		t.Errorf("the run was %.0f px wide and is %.0f after its end was drawn by 100", ends[2], now)
	}
	b.do(t, chromedp.Evaluate[chromedp.Void](`(() => {
		for (const [id, v] of [["from_1", "0"], ["to_1", "60"], ["position_0", "prone"], ["position_1", "supine"]]) document.querySelector("#" + id).value = v;
		document.querySelector('[name="keep_1"]').checked = true;
	})()`), chromedp.Click("form[data-runs] button.go"))
	b.wait(t, `document.querySelector("h1").innerText === "The clip is read"`)
	b.do(t, chromedp.Click(`main a.go[href^="/clip/"]`))
	b.wait(t, `document.querySelectorAll(".ribbon .kept").length === 2`)
	if first := value[[]string](t, b, `["from_0", "to_0", "position_0"].map((id) => document.querySelector("#" + id).value)`); strings.Join(first, " ") != "0 60 supine" {
		t.Errorf("the second run came back as %v", first)
	}
	b.do(t, chromedp.EmulateViewport(390, 844))
	if over := value[int](t, b, "document.documentElement.scrollWidth - innerWidth"); over > 0 {
		t.Errorf("the runs are %d px too wide for a phone", over)
	}
	b.check(t)
}

// longerClip is a demo clip in a file.
func longerClip(t *testing.T) string {
	t.Helper()
	squad, err := demo.Load()
	if err != nil {
		t.Fatal(err)
	}
	text, err := squad.Clips[3].Film()
	if err != nil {
		t.Fatal(err)
	}
	// A few bytes more make it a clip of its own to the store, which knows clips by content.
	text = append(text, 0, 0, 0, 8, 'f', 'r', 'e', 'e')
	path := filepath.Join(t.TempDir(), squad.Clips[3].File())
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}
