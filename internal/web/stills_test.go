package web

import (
	"context"
	"encoding/xml"
	"io"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"underkick/internal/drawing"
	"underkick/internal/poolside"
)

func init() { scenarios = append(scenarios, stillsScenarios...) }

// Layers and SetLayers keep the switches in the fixture.
func (f *fixture) Layers(context.Context) (drawing.Switches, error) { return f.layers, nil }

func (f *fixture) SetLayers(_ context.Context, sw drawing.Switches) error {
	f.layers = sw
	return nil
}

// Stills are those of the kick page.
func (f *fixture) Stills(ctx context.Context, id string, opt poolside.StillsOptions) (poolside.StillsView, error) {
	number := opt.Kick
	if number == 0 {
		number = 2
	}
	view, err := f.Kick(ctx, id, number)
	if err != nil {
		return poolside.StillsView{}, err
	}
	v := poolside.StillsView{Swimmer: f.swimmer, Name: "Pike", Visit: f.visit(), Clip: f.clip(), Run: f.run, Kick: number, Kicks: []int{1, 2, 3, 4}, Why: "The best-marked one.", WidthPx: 1280, HighPx: 720}
	if opt.Soften {
		v.Notes = []string{"The head is not <marked>."}
	}
	for _, s := range view.Stills {
		for _, name := range opt.Moments {
			if s.Moment == name {
				v.Stills = append(v.Stills, s)
			}
		}
	}
	return v, nil
}

func (f *fixture) StillPicture(ctx context.Context, id string, opt poolside.StillPictureOptions) ([]byte, string, error) {
	if id != f.run.ID || opt.Moment == "breath" {
		return nil, "", poolside.ErrNotFound
	}
	data, err := f.Picture(ctx, "c1", 3)
	if opt.PNG {
		return []byte("\x89PNG"), "image/png", err
	}
	return data, "image/jpeg", err
}

func (f *fixture) StillSVG(context.Context, string, poolside.StillPictureOptions) ([]byte, error) {
	return []byte("<svg>still</svg>"), nil
}

func (f *fixture) StillsPage(_ context.Context, _ string, opt poolside.StillsOptions) ([]byte, error) {
	return []byte("<!doctype html>" + strings.Join(opt.Moments, " ")), nil
}

var stillsScenarios = []scenario{
	{name: "layers of the kick page", path: "/run/r1?kick=2", status: 200, must: []string{
		`value="speed" aria-keyshortcuts="6"`, `value="facing" checked`, `<g data-layer="speed" display="none">`, `data-layer-words="speed" hidden`, `name="back" value="/run/r1?kick=2#stills"`, `<g data-layer="facing">`,
		"<b>drive</b>", "foot and shank face back over the kick 29\u00a0% (25 to 33\u00a0%)",
	}, mustNot: []string{"facing back: "}},
	{name: "layers chosen", method: "POST", path: "/drawing/layers", form: url.Values{"layer": {"speed", "clock"}, "back": {"/run/r1?kick=2#stills"}}, status: 303, location: "/run/r1?kick=2#stills", afterwards: func(t *testing.T, f *fixture) {
		if f.layers != drawing.Only(drawing.SpeedLayer, drawing.ClockLayer) {
			t.Errorf("kept %v", f.layers)
		}
	}},
	{name: "layers lead to no other site", method: "POST", path: "/drawing/layers", form: url.Values{"back": {"//example.org"}}, status: 303, location: "/"},
	{name: "stills", path: "/run/r1/stills", status: 200, must: []string{
		"Stills of kick 2", "The best-marked one.", "knees bent most 72°", "/run/r1/still/set.png?kick=2", "/run/r1/still/finish.svg?kick=2", `href="/clip/c1/frame/`, ">Pike<",
	}, mustNot: []string{"set-up", "Mira"}},
	{name: "stills as asked", path: "/run/r1/stills?kick=3&part=up&show=body&swims=left&soften=yes", status: 200, must: []string{
		"Stills of kick 3", "set-up", "The head is not &lt;marked&gt;.", `href="/run/r1/still/set-up.jpg?kick=3&amp;part=up&amp;show=body&amp;soften=yes&amp;swims=left"`, `<option value="3" selected>kick 3`,
	}, mustNot: []string{"<b>set</b>", `href="/clip/`}},
	{name: "stills asked for oddly", path: "/run/r1/stills?kick=-1&part=arms&swims=up", status: 200, must: []string{"Stills of kick 2"}},
	{name: "stills of no run", path: "/run/zz/stills", status: 404},
	{name: "a still as PNG", path: "/run/r1/still/set.png?kick=2", status: 200, must: []string{"\x89PNG"}},
	{name: "a still as SVG", path: "/run/r1/still/set.svg?kick=2", status: 200, must: []string{"<svg>still"}},
	{name: "a still's picture", path: "/run/r1/still/set.jpg?kick=2&soften=yes", status: 200, must: []string{"\xff\xd8\xff"}},
	{name: "a still of no moment", path: "/run/r1/still/breath.png", status: 404},
	{name: "a still of no kind", path: "/run/r1/still/set.gif", status: 404},
	{name: "the row as one file", path: "/run/r1/stills.html?part=up", status: 200, must: []string{"<!doctype html>set-up drive-up fastest-up finish-up"}},
	{name: "a curve as a file", path: "/run/r1/curve/foot-speed.svg?kick=2", status: 200, must: []string{"<svg", "<style>", "stroke: #0072b2", "foot speed"}, mustNot: []string{"var(--", "narrow"}},
	{name: "the toe path as a file", path: "/run/r1/curve/toe-path.svg?kick=2", status: 200, must: []string{"<svg", "fill: #0072b2"}},
	{name: "no such curve", path: "/run/r1/curve/breath.svg", status: 404},
}

func TestCurveFilesAreWellFormed(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	for name := range curves {
		resp, body := ask(t, srv.Client(), scenario{path: "/run/r1/curve/" + name + ".svg?kick=2"}.request(t, srv.URL))
		if resp.StatusCode != 200 || !strings.HasPrefix(resp.Header.Get("Content-Disposition"), "attachment") {
			t.Errorf("%s: %d, %s", name, resp.StatusCode, resp.Header.Get("Content-Disposition"))
		}
		for dec := xml.NewDecoder(strings.NewReader(body)); ; {
			if _, err := dec.Token(); err == io.EOF {
				break
			} else if err != nil {
				t.Fatalf("%s is not well formed: %v", name, err)
			}
		}
	}
}

// TestFilmColoursStandInBothPlaces: the marking page's style sheet draws on film in the
// colours of package drawing.
func TestFilmColoursStandInBothPlaces(t *testing.T) {
	css, err := staticFiles.ReadFile("static/css/colours.css")
	if err != nil {
		t.Fatal(err)
	}
	for name, role := range map[string]drawing.Role{"--film-line": drawing.Body, "--film-casing": drawing.Casing, "--film-facing": drawing.Hatch} {
		if want := name + ": " + role.Colour().Hex() + ";"; !strings.Contains(string(css), want) {
			t.Errorf("colours.css does not hold %q", want)
		}
	}
}

// TestLayersInABrowser switches layers by keys and by clicks on the demo's kick page: the
// drawings follow at once, the next page remembers, 'see it' still jumps to the stills,
// and the page of stills shows the same size on a phone.
func TestLayersInABrowser(t *testing.T) {
	srv, _ := demoPages(t)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 900))
	b.open(t, "/")
	run := value[string](t, b, `document.querySelector('td a[href^="/run/"]').getAttribute("href")`)
	b.open(t, run)
	b.wait(t, `document.querySelector("form[data-layers]") && !document.querySelector("[data-without-script]")`)
	shown := func(id string) string {
		return `[...document.querySelectorAll('.stills [data-layer="` + id + `"]')].filter(g => g.getBoundingClientRect().width > 0).length`
	}
	if n := value[int](t, b, shown("clock")); n != 0 {
		t.Errorf("the clock is drawn on %d stills before it is asked for", n)
	}
	b.do(t, chromedp.KeyEvent("9"))
	b.wait(t, shown("clock")+` >= 4 && !document.querySelector('[data-layer-words="clock"]').hidden`)
	b.do(t, chromedp.KeyEvent("2"))
	b.wait(t, shown("facing")+` === 0`)
	b.do(t, chromedp.Click(`form[data-layers] input[value="speed"]`))
	b.wait(t, shown("speed")+` >= 1`)
	b.shot(t, "layers")
	b.open(t, run)
	b.wait(t, shown("clock")+` >= 4 && `+shown("facing")+` === 0`)
	b.do(t, chromedp.Click(`.qualities a[href*="#stills"]`))
	b.wait(t, `location.hash === "#stills" && `+shown("clock")+` >= 4`)
	b.do(t, chromedp.KeyEvent("2"))
	b.wait(t, shown("facing")+` >= 1`)
	b.open(t, run+"/stills?part=all&swims=right&soften=yes&show=body")
	b.wait(t, `document.querySelectorAll(".stills svg").length === 8 && [...document.querySelectorAll(".stills figcaption")].every(c => c.innerText.length > 20)`)
	b.shot(t, "stills")
	b.do(t, chromedp.EmulateViewport(390, 844))
	b.open(t, run+"/stills")
	if w := value[int](t, b, "document.documentElement.scrollWidth"); w > 390 {
		t.Errorf("the page of stills is %d px wide on a phone of 390", w)
	}
	b.check(t)
}
