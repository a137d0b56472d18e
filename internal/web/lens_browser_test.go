package web

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// TestLensAndSteadyingInABrowser marks two bent lines on the picture, keeps the lens, and
// lets a run be steadied, stops that, and switches it off.
func TestLensAndSteadyingInABrowser(t *testing.T) {
	srv, _ := demoPages(t)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 900))
	b.open(t, "/")
	run := value[string](t, b, `document.querySelector('td a[href^="/run/"]').getAttribute("href")`)
	b.open(t, run+"/mark")
	started := `document.querySelector("[data-started]")`
	b.wait(t, started)
	b.wait(t, `document.querySelector(".overlay circle")`) // the frame is read
	b.do(t, chromedp.Click("form.lens [data-start]"))
	stage := value[[]float64](t, b, `(() => { const s = document.querySelector(".stage"); s.scrollIntoView(); const r = s.getBoundingClientRect(); return [r.x, r.y, r.width, r.height]; })()`)
	click := func(x, y float64) {
		b.do(t, chromedp.MouseClickXY(stage[0]+x*stage[2], stage[1]+y*stage[3]))
	}
	for x := -4.0; x <= 4; x++ { // bulges by 5 % of the height towards the edge
		click(0.5+0.11*x, 0.05+0.003*x*x)
	}
	b.wait(t, `!document.querySelector("form.lens [data-next]").disabled`)
	value[any](t, b, `document.querySelector("form.lens [data-next]").click()`)
	for x := -4.0; x <= -1; x++ {
		click(0.5+0.11*x, 0.95-0.003*x*x)
	}
	b.wait(t, `document.querySelector("[data-fit]").textContent === "Line 2 needs 1 more point."`)
	for x := 0.0; x <= 4; x++ {
		click(0.5+0.11*x, 0.95-0.003*x*x)
	}
	b.wait(t, `document.querySelector("[data-fit]").textContent.includes("The lens bends") && !document.querySelector("form.lens [type=submit]").disabled`)
	b.shot(t, "lens")
	b.do(t, chromedp.Click("form.lens [type=submit]"))
	b.wait(t, `document.querySelector("#lens").innerText.includes("Take the lens away") && `+started)
	b.do(t, chromedp.Click(`#steady [value="yes"]`))
	b.wait(t, `document.querySelector("#steady [data-doing]").textContent.includes("following the camera")`)
	b.do(t, chromedp.Click(`#steady [name="stop"]`))
	b.wait(t, `document.querySelector("#steady").innerText.includes("It was stopped.")`)
	b.do(t, chromedp.Click(`#steady [value="no"]`))
	b.wait(t, `document.querySelector("#steady").innerText.includes("The camera moved: steady it") && `+started)
	b.check(t)
}
