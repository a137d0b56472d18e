package web

import (
	"net/http"
	"net/url"
	"reflect"
	"strings"
	"testing"

	"underkick/internal/drawing"
	"underkick/internal/poolside"
	"underkick/internal/record"
)

func TestClipOutForm(t *testing.T) {
	f := newFixture(t)
	srv := serve(t, f, Options{})
	c, at := srv.Client(), srv.URL
	_, body := get(t, c, at+"/run/r1/clip-out")
	for _, want := range []string{
		`<option value="1" selected>1</option>`, `Swimmer &lt;2&gt;`, `value="960" selected`, `name="layer" value="body" checked`,
		"MP4 with H.264", `src="/run/r1/clip-out/picture.jpg?asked=1`, `<option value="4" selected>a quarter</option>`,
	} {
		if !strings.Contains(body, want) {
			t.Errorf("the form lacks %s", want)
		}
	}
	if strings.Contains(body, ">1280<") {
		t.Error("the form offers a width that cannot be made")
	}
	f.poor = true
	if _, body := get(t, c, at+"/run/r1/clip-out"); !strings.Contains(body, "Nothing is marked yet.") || strings.Contains(body, "data-clip-out") {
		t.Error("a run that was not measured gets a form")
	}
	if resp, _ := get(t, c, at+"/run/none/clip-out"); resp.StatusCode != http.StatusNotFound {
		t.Errorf("no such run: %d", resp.StatusCode)
	}
}

// TestClipOutReadsWhatItWrites sends every choice and compares the spec; the picture's
// address on the page that comes back asks for the same.
func TestClipOutReadsWhatItWrites(t *testing.T) {
	f := newFixture(t)
	srv := serve(t, f, Options{})
	c, at := srv.Client(), srv.URL
	form := url.Values{
		"asked": {"1"}, "kick": {"2"}, "kicks": {"1"}, "slow": {"8"}, "shows": {"legs"}, "beside": {"r2"}, "beside_kick": {"3"},
		"place": {"above"}, "layer": {"facing", "toe-path", "clock"}, "for": {"squad"}, "width": {"640"},
	}
	want := poolside.ClipSpec{
		Runs: []poolside.ClipRun{{RunID: "r1", Kick: 2, Kicks: 1}, {RunID: "r2", Kick: 3, Kicks: 1}}, Slow: 8,
		Layers: drawing.Only(drawing.FacingLayer, drawing.PathLayer, drawing.ClockLayer), Follow: true, Legs: true, Above: true,
		WidthPx: 640, Audience: record.InSquad,
	}
	check := func(what string) {
		t.Helper()
		if got := f.clips.asked; !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v, want %+v", what, got, want)
		}
	}
	if resp, _ := get(t, c, at+"/run/r1/clip-out/picture.jpg?"+form.Encode()); resp.StatusCode != http.StatusOK {
		t.Fatal(resp.StatusCode)
	}
	check("picture")
	answer, _ := post(t, c, at+"/run/r1/clip-out", form)
	if answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != "/clip-out/j7" {
		t.Fatal(answer.StatusCode, answer.Header)
	}
	check("clip")
	f.clips.asked = poolside.ClipSpec{}
	if resp, _ := get(t, c, at+"/run/r1/clip-out/picture.jpg?"+clipQuery(want).Encode()); resp.StatusCode != http.StatusOK {
		t.Fatal(resp.StatusCode)
	}
	check("written back")
}

func TestClipOutRefuses(t *testing.T) {
	f := newFixture(t)
	srv := serve(t, f, Options{})
	c, at := srv.Client(), srv.URL
	answer, body := post(t, c, at+"/run/r1/clip-out", url.Values{"asked": {"1"}, "kick": {"2"}, "for": {"outside"}, "soften": {"1"}})
	if answer.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(body, "no consent for &lt;that&gt;") {
		t.Errorf("%d %s", answer.StatusCode, body)
	}
	for _, want := range []string{`value="outside" checked`, `name="soften" value="1" checked`, `<option value="2" selected>2</option>`} {
		if !strings.Contains(body, want) {
			t.Errorf("the form lost %s", want)
		}
	}
	if resp, _ := get(t, c, at+"/run/r1/clip-out/picture.jpg?asked=1&soften=1"); resp.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a picture that cannot be: %d", resp.StatusCode)
	}
}

func TestMadeClipPages(t *testing.T) {
	f := newFixture(t)
	srv := serve(t, f, Options{})
	c, at := srv.Client(), srv.URL
	if resp, _ := get(t, c, at+"/clip-out/j7"); resp.StatusCode != http.StatusNotFound {
		t.Errorf("no such clip: %d", resp.StatusCode)
	}
	post(t, c, at+"/run/r1/clip-out", url.Values{"asked": {"1"}, "kick": {"2"}})
	_, body := get(t, c, at+"/clip-out/j7")
	for _, want := range []string{`http-equiv="refresh"`, "picture 5 of 20", "25 %", `action="/clip-out/j7/cancel"`} {
		if !strings.Contains(body, want) {
			t.Errorf("under way, the page lacks %s", want)
		}
	}
	f.clips.finish(t)
	answer, body := get(t, c, at+"/clip-out/j7")
	for _, want := range []string{`<video controls loop playsinline`, `src="/clip-out/j7/film"`, `download="Mira Okonjo kick-2026-05-03-slow4.mp4"`, "960 by 540"} {
		if !strings.Contains(body, want) {
			t.Errorf("made, the page lacks %s", want)
		}
	}
	if strings.Contains(body, "http-equiv") || !strings.Contains(answer.Header.Get("Content-Security-Policy"), "media-src 'self'") {
		t.Error("the page loads itself again, or may not play film")
	}
	film, content := get(t, c, at+"/clip-out/j7/film?download")
	if content != "0123456789" || film.Header.Get("Content-Type") != "video/mp4" ||
		film.Header.Get("Content-Disposition") != `attachment; filename="Mira Okonjo kick-2026-05-03-slow4.mp4"` {
		t.Errorf("%q, %v", content, film.Header)
	}
	req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, at+"/clip-out/j7/film", nil)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Range", "bytes=2-5")
	if part, content := ask(t, c, req); part.StatusCode != http.StatusPartialContent || content != "2345" {
		t.Errorf("a part: %d %q", part.StatusCode, content)
	}
	f.clips.made.Gone = "the consent was withdrawn"
	if _, body := get(t, c, at+"/clip-out/j7"); !strings.Contains(body, "The consent was withdrawn.") || strings.Contains(body, "<video") {
		t.Error("a clip that may not be shown is played")
	}
	if _, body := get(t, c, at+"/run/r1/clip-out"); !strings.Contains(body, `<a href="/clip-out/j7">`) {
		t.Error("the form does not list what was made")
	}
}
