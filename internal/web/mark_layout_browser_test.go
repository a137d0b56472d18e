package web

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// seenTogether checks that picture, transport, next frame and all needed landmarks of the
// marking page are seen together, without scrolling, on a screen of 1280 by 720 px.
func seenTogether(t *testing.T, b *browser, when string) {
	t.Helper()
	b.do(t, chromedp.EmulateViewport(1280, 720))
	value[any](t, b, `scrollTo(0, 0)`)
	hidden := value[[]string](t, b, `[".stage", "#frame", "#next", ...[...document.querySelectorAll(".landmarks > .points button")].map(e => "[data-choose=" + e.dataset.choose + "]")].filter(q => {
		const r = document.querySelector(q).getBoundingClientRect();
		return !(r.width > 0 && r.top >= 0 && r.left >= 0 && r.bottom <= innerHeight && r.right <= innerWidth + 0.5);
	})`)
	if len(hidden) != 0 {
		t.Errorf("%s, at 1280 by 720 px %q are not whole on the screen", when, hidden)
	}
	if n := value[int](t, b, `document.querySelectorAll(".landmarks > .points button").length`); n < 6 {
		t.Errorf("%s, %d landmarks are listed", when, n)
	}
}

// reviewedOnAPhone checks that at 390 px the marking page shows picture and transport
// and says why nothing can be placed there.
func reviewedOnAPhone(t *testing.T, b *browser) {
	t.Helper()
	b.do(t, chromedp.EmulateViewport(390, 844))
	value[any](t, b, `scrollTo(0, 0)`)
	if hidden := value[[]string](t, b, `[".too-narrow", ".stage", "#frame"].filter(q => {
		const r = document.querySelector(q).getBoundingClientRect();
		return !(r.width > 0 && r.left >= 0 && r.right <= innerWidth && r.bottom <= innerHeight);
	})`); len(hidden) != 0 {
		t.Errorf("at 390 px %q are not whole on the screen", hidden)
	}
	if value[bool](t, b, `document.querySelector("#next").getBoundingClientRect().width > 0`) {
		t.Error("at 390 px the page asks for a frame that cannot be marked there")
	}
}
