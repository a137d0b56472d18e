package web

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

// The fixture's part of marking again: one frame, begun, with one mark made.

func (f *fixture) MarkerName(context.Context) (string, error) { return "Coach <One>", nil }

func (f *fixture) SetMarkerName(_ context.Context, name string) error {
	if strings.TrimSpace(name) == "" {
		return record.Faults{{Field: "marker", Text: "is empty; write a name"}}
	}
	return nil
}

func (f *fixture) Markers(context.Context) (poolside.MarkersView, error) {
	return poolside.MarkersView{
		Name: "Coach <One>", Assumed: poolside.MarkerAssumed{OffsetMM: 8, SpreadMM: 7.2},
		Markers: []poolside.MarkerRow{{
			Name: "Coach <One>", Frames: 3, Marks: 21, Later: 7, OffsetMM: 5.1, OffsetMin: 3.9, OffsetMax: 6.8, SpreadMM: 4.4, SpreadMin: 3.6, SpreadMax: 5.6,
			Landmarks: []poolside.MarkerLandmark{{Landmark: "toe", Marks: 3, RMSMM: 4.2}},
		}},
		Sittings: []poolside.RemarkSitting{
			{By: "Coach <One>", Swimmer: f.swimmer.Name, When: "3 May 2026", RunID: "r1", RemarkID: "k1", At: time.Date(2026, 5, 4, 9, 0, 0, 0, time.UTC), Frames: 1, Marks: 7, LargestMM: 9.4, Largest: "hip", Finished: true, Discarded: true},
			{By: "Coach <One>", Swimmer: f.swimmer.Name, When: "3 May 2026", RunID: "r1", At: time.Date(2026, 5, 4, 9, 0, 0, 0, time.UTC), Frames: 9, Marks: 18, Finished: true},
		},
	}, nil
}

func (f *fixture) WriteMarkers(_ context.Context, w io.Writer) error {
	_, err := io.WriteString(w, "marker,at\n")
	return err
}

func (f *fixture) RemarkOffer(_ context.Context, id string) (poolside.RemarkOffer, error) {
	if id != f.run.ID {
		return poolside.RemarkOffer{}, poolside.ErrNotFound
	}
	return poolside.RemarkOffer{Offer: true}, nil
}

func (f *fixture) StartRemark(_ context.Context, id string, frame int) (string, error) {
	if id != f.run.ID {
		return "", poolside.ErrNotFound
	}
	if frame == 299 {
		return "", fmt.Errorf("nothing is marked on frame 299: %w", poolside.ErrInput)
	}
	return "k1", nil
}

func (f *fixture) StartLaterRemark(context.Context) (string, error) { return "k1", nil }

func (f *fixture) Remark(_ context.Context, id string) (poolside.RemarkView, error) {
	v := poolside.RemarkView{ID: id, By: "Coach <One>", Frame: 12, Blind: f.blind()}
	v.Whole.Swimmer, v.Whole.Visit, v.Whole.Clip, v.Whole.Run = f.swimmer, f.visit(), f.clip(), f.run
	switch id {
	case "k1":
		return v, nil
	case "k2":
		v.Blind.State.Done = true
		v.Points = []poolside.RemarkPoint{{Frame: 12, Landmark: "toe", First: [2]float64{100, 50}, Second: [2]float64{102.5, 49}, SizePart: 0.0037}, {Frame: 12, Landmark: "hip", First: [2]float64{1, 1}, Second: [2]float64{40, 1}, SizePart: 0.05, FirstBy: "B"}}
		return v, nil
	}
	return v, poolside.ErrNotFound
}

func (f *fixture) blind() poolside.BlindView {
	return poolside.BlindView{
		Places:    []poolside.BlindPlace{{Picture: "/clip/c1/frame/12.jpg", Frame: 12, Width: 1280, Height: 720, Words: "Frame 12", Landmarks: []string{"toe", "ankle"}}},
		Landmarks: []poolside.BlindLandmark{{ID: "toe", Key: "1", Sentence: "The tip."}, {ID: "ankle", Key: "3", Sentence: "The bone."}},
		State:     poolside.BlindState{Marks: []poolside.BlindMark{}, Left: 1},
	}
}

func (f *fixture) RemarkMark(_ context.Context, id string, act poolside.BlindAction) (poolside.BlindState, error) {
	if id != "k1" {
		return poolside.BlindState{}, poolside.ErrNotFound
	}
	if act.Do == "explode" {
		return poolside.BlindState{}, fmt.Errorf("%w: %q", poolside.ErrAction, act.Do)
	}
	return f.blind().State, nil
}

func (f *fixture) JudgeRemark(_ context.Context, id string, word record.RemarkWord) error {
	if word == "explode" {
		return fmt.Errorf("%w: %q", poolside.ErrAction, word)
	}
	if id != "k1" {
		return poolside.ErrNotFound
	}
	return nil
}

func (f *fixture) AlikeChoices(_ context.Context, id string) (poolside.AlikeChoices, error) {
	if id != f.swimmer.ID {
		return poolside.AlikeChoices{}, poolside.ErrNotFound
	}
	other := f.run
	other.ID = "r2"
	return poolside.AlikeChoices{Swimmer: f.swimmer, Runs: []poolside.AlikeChoice{
		{Run: f.run, When: "3 May 2026", Clip: "lane4.mp4", Frames: 9, With: []string{"r2"}}, {Run: other, When: "8 March 2026", Clip: "lane5 <2>.mp4", Frames: 7, With: []string{"r1"}},
	}}, nil
}

func (f *fixture) StartPair(_ context.Context, a, b string) (string, error) {
	if a == b {
		return "", record.Faults{{Field: "run_b", Text: "is the same run"}}
	}
	return "p1", nil
}

func (f *fixture) Pair(_ context.Context, id string) (poolside.PairView, error) {
	if id != "p1" {
		return poolside.PairView{}, poolside.ErrNotFound
	}
	return poolside.PairView{Swimmer: f.swimmer, ID: id, By: "Coach <One>", RunIDs: [2]string{"r1", "r2"}, When: [2]string{"3 May 2026", "8 March 2026"}, Blind: f.blind()}, nil
}

func (f *fixture) PairMark(ctx context.Context, _ string, act poolside.BlindAction) (poolside.BlindState, error) {
	return f.RemarkMark(ctx, "k1", act)
}

func TestMarkingAgainAnswers(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	for _, c := range []struct {
		method, path, body string
		status             int
		has, hasNot        string
	}{
		{"GET", "/remark/k1", "", 200, "Your first marks are hidden", "Second place against the first"},
		{"GET", "/remark/k2", "", 200, "Far apart", "hidden. Each click"},
		{"GET", "/remark/k2", "", 200, "&#43;2.5, −1.0", "remark.js"},
		{"GET", "/remark/nothing", "", 404, "", ""},
		{"GET", "/remark/k1/blind.json", "", 200, `"landmarks":["toe","ankle"]`, "first"},
		{"POST", "/remark/k1/marks", `{"do":"place","place":0,"landmark":"toe","x_px":1,"y_px":2}`, 200, `"left":1`, ""},
		{"POST", "/remark/k1/marks", `{"do":"explode"}`, 400, "problem", ""},
		{"POST", "/remark/k1/marks", `{"first":1}`, 400, "problem", ""},
		{"POST", "/remark/k1/judge", "word=finish", 303, "", ""},
		{"POST", "/remark/k1/judge", "word=explode", 400, "", ""},
		{"POST", "/run/r1/remark", "", 303, "", ""},
		{"POST", "/run/r1/remark", "frame=299", 422, "othing is marked on frame 299", ""},
		{"POST", "/run/r1/remark", "frame=x", 422, "", ""},
		{"GET", "/run/r1/remark-offer.json", "", 200, `"offer":true`, ""},
		{"GET", "/markers", "", 200, "Coach &lt;One&gt;", "Coach <One>"},
		{"GET", "/markers", "", 200, "two runs marked alike", ""},
		{"POST", "/markers", "marker=Ann", 303, "", ""},
		{"POST", "/markers", "marker=+", 422, "This is empty", ""},
		{"POST", "/markers/later", "", 303, "", ""},
		{"GET", "/markers.csv", "", 200, "marker,at", ""},
		{"GET", "/swimmer/w1/alike", "", 200, "marked alike with 8 March 2026, lane5 &lt;2&gt;.mp4", ""},
		{"POST", "/swimmer/w1/alike", "run=r1", 422, "Choose two runs", ""},
		{"POST", "/swimmer/w1/alike", "run=r1&run=r1", 422, "same run", ""},
		{"POST", "/swimmer/w1/alike", "run=r1&run=r2", 303, "", ""},
		{"GET", "/alike/p1", "", 200, "1</span> of 1 left", ""},
		{"GET", "/alike/p1/blind.json", "", 200, `"side":0`, ""},
		{"POST", "/alike/p1/marks", `{"do":"undo"}`, 200, `"marks":[]`, ""},
	} {
		req, err := http.NewRequestWithContext(t.Context(), c.method, srv.URL+c.path, strings.NewReader(c.body))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		if strings.HasPrefix(c.body, "{") {
			req.Header.Set("Content-Type", "application/json")
		}
		res, err := srv.Client().Do(req)
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(res.Body)
		_ = res.Body.Close()
		if err != nil || res.StatusCode != c.status || !strings.Contains(string(text), c.has) || (c.hasNot != "" && strings.Contains(string(text), c.hasNot)) {
			t.Errorf("%s %s %q: %d, %v; wanted %d with %q and without %q:\n%.900s", c.method, c.path, c.body, res.StatusCode, err, c.status, c.has, c.hasNot, text)
		}
	}
}

// TestMarkingAgainInABrowser marks one frame of the demo again, by mouse and by keys,
// looks at the comparison, discards it, and opens the walk through two runs.
func TestMarkingAgainInABrowser(t *testing.T) {
	srv, _ := demoPages(t)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 900))
	b.open(t, "/")
	run := value[string](t, b, `document.querySelector('td a[href^="/run/"]').getAttribute("href")`)
	if res, err := srv.Client().PostForm(srv.URL+"/markers", url.Values{"marker": {"R. Alder"}}); err != nil || res.StatusCode != http.StatusOK { // who marked the demo
		t.Fatal(res, err)
	} else {
		_ = res.Body.Close()
	}
	b.open(t, run+"/mark")
	b.wait(t, `document.querySelector("[data-started]") && !document.querySelector("[data-remark-offer]").hidden`)
	b.shot(t, "remark-offer")
	b.do(t, chromedp.Click("[data-remark-offer] button"))
	started := `document.querySelector("[data-blind][data-started]") && document.querySelector(".waiting").hidden`
	b.wait(t, started)
	if n := value[int](t, b, `document.querySelectorAll(".overlay g").length`); n != 0 {
		t.Errorf("%d marks are seen on a frame whose marks are hidden", n)
	}
	if text := value[string](t, b, `(async () => (await (await fetch(document.querySelector("[data-blind]").dataset.blind)).text()))().then(t => window.blind = t), ""`); text != "" {
		t.Error(text)
	}
	b.wait(t, `window.blind`)
	if text := value[string](t, b, `window.blind`); strings.Contains(text, "x_px") {
		t.Errorf("the page is given marks: %s", text)
	}
	wanted := value[int](t, b, `document.querySelectorAll("[data-state]").length`)
	at := value[[]float64](t, b, `(() => { const r = document.querySelector(".stage").getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()`)
	b.do(t, chromedp.MouseClickXY(at[0], at[1]))
	b.wait(t, saved+` && document.querySelectorAll(".overlay circle.marked").length === 1`)
	for n := 2; n <= wanted; n++ { // by keys alone: the cross starts in the middle
		for range n {
			b.do(t, chromedp.KeyEvent(kb.ArrowRight, chromedp.KeyModifiers(chromedp.ModifierShift)))
		}
		b.do(t, chromedp.KeyEvent("\r"))
		b.wait(t, fmt.Sprintf(`%s && document.querySelectorAll(".overlay circle.marked").length === %d`, saved, n))
	}
	b.do(t, chromedp.Click("#undo"))
	b.wait(t, fmt.Sprintf(`%s && document.querySelectorAll(".overlay circle.marked").length === %d`, saved, wanted-1))
	b.do(t, chromedp.Click("#redo"))
	b.wait(t, fmt.Sprintf(`document.querySelectorAll(".overlay circle.marked").length === %d`, wanted))
	b.shot(t, "remark")
	again := value[string](t, b, `location.pathname`)
	b.open(t, again) // a reload loses nothing
	b.wait(t, started+fmt.Sprintf(` && document.querySelectorAll(".overlay circle.marked").length === %d`, wanted))
	b.do(t, chromedp.Click("#finish"))
	b.wait(t, `document.querySelectorAll("tbody tr").length > 0`)
	if n := value[int](t, b, `document.querySelectorAll("tbody tr").length`); n != wanted {
		t.Errorf("%d rows of %d", n, wanted)
	}
	b.shot(t, "remark-done")
	b.open(t, run)
	b.wait(t, `document.body.innerText.includes("from what R. Alder marked again on 1 frame")`)
	b.open(t, again)
	b.wait(t, `document.querySelector('button[value="discard"]')`)
	b.do(t, chromedp.Click(`button[value="discard"]`))
	b.wait(t, `document.body.innerText.includes("does not count")`)
	b.open(t, "/markers")
	b.wait(t, `document.querySelector("tr.aside button[value=restore]")`)
	b.shot(t, "markers")
	b.do(t, chromedp.EmulateViewport(390, 844))
	if value[bool](t, b, `document.documentElement.scrollWidth > 390`) {
		t.Error("the list of markers is wider than a phone")
	}
	b.shot(t, "markers-390")
	b.check(t)
}

// TestTwoRunsInABrowser walks through two runs of a swimmer of the demo.
func TestTwoRunsInABrowser(t *testing.T) {
	srv, _ := demoPages(t)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 900))
	b.open(t, "/")
	swimmers := value[[]string](t, b, `[...document.querySelectorAll('a[href^="/swimmer/"]')].map(a => a.getAttribute("href")).filter(h => h.split("/").length === 3 && !h.endsWith("new"))`)
	for _, swimmer := range swimmers {
		b.open(t, swimmer+"/alike")
		b.wait(t, `document.querySelector("h1")`)
		runs := value[[]string](t, b, `[...document.querySelectorAll("input[name=run]")].map(i => i.value)`)
		if len(runs) < 2 {
			continue
		}
		res, err := srv.Client().PostForm(srv.URL+swimmer+"/alike", url.Values{"run": runs[:2]})
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(res.Body)
		_ = res.Body.Close()
		if err != nil {
			t.Fatal(err)
		}
		if res.StatusCode != http.StatusOK {
			t.Logf("%s: %d %.300s", swimmer, res.StatusCode, text)
			continue
		}
		walksThroughTwoRuns(t, b, res.Request.URL.Path)
		return
	}
	t.Error("no swimmer of the demo has two runs that can be marked together")
}

func walksThroughTwoRuns(t *testing.T, b *browser, path string) {
	t.Helper()
	b.open(t, path)
	started := `document.querySelector("[data-blind][data-started]") && document.querySelector(".waiting").hidden`
	b.wait(t, started)
	left := value[int](t, b, `Number(document.querySelector("#left").textContent)`)
	first := value[string](t, b, `document.querySelector("#where").textContent`)
	for n := 1; !value[bool](t, b, `document.querySelector("#where").textContent.startsWith("2 of")`) && n < 5; n++ {
		for range n {
			b.do(t, chromedp.KeyEvent(kb.ArrowDown))
		}
		b.do(t, chromedp.KeyEvent("\r"))
		b.wait(t, saved)
	}
	b.wait(t, started+fmt.Sprintf(` && Number(document.querySelector("#left").textContent) === %d`, left-1))
	if second := value[string](t, b, `document.querySelector("#where").textContent`); second == first || !strings.HasPrefix(second, "2 of") {
		t.Errorf("after the first frame, %q, comes %q", first, second)
	}
	at := value[[]float64](t, b, `(() => { const r = document.querySelector(".stage").getBoundingClientRect(); return [r.x + r.width / 3, r.y + r.height / 2]; })()`)
	b.do(t, chromedp.MouseEvent("mouseMoved", at[0], at[1]))
	b.wait(t, `!document.querySelector(".earlier").hidden`)
	b.shot(t, "pair")
	b.do(t, chromedp.Click("#undo"))
	b.wait(t, fmt.Sprintf(`%s && Number(document.querySelector("#left").textContent) === %d`, saved, left))
	b.check(t)
}
