package web

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

func withConsent(f *fixture) {
	f.consents = []record.Consent{{ID: "k1", SwimmerID: "w1", GivenBy: "Ada <Okonjo>", As: record.ByParent, On: "2026-01-02", Until: "2026-12-31", For: []record.Purpose{record.ForFilming, record.ForSquad}}}
}

var privacyScenarios = []scenario{
	{name: "no consent yet", path: "/swimmer/w1/consent", status: 200, must: []string{"Nothing is recorded yet", "Allowed today: none recorded", "A parent or guardian must give consent", "<option selected>parent or guardian", "safeguarding policy", "pool's operator", "never alone"}},
	{name: "consents", path: "/swimmer/w1/consent", prepared: withConsent, status: 200, must: []string{"Ada &lt;Okonjo&gt;, parent or guardian", "filming, showing in the squad", "until 31 December 2026", `action="/swimmer/w1/consent/k1/withdraw"`}, mustNot: []string{"Ada <Okonjo>", "NaN", "<no value>", "%!"}},
	{name: "consent of nobody", path: "/swimmer/zz/consent", status: 404},
	{name: "recorded", method: "POST", path: "/swimmer/w1/consent", form: url.Values{"given_by": {" Ada Okonjo "}, "as": {"parent or guardian"}, "on": {"2026-05-01"}, "for": {"filming", "outside"}}, status: 303, location: "/swimmer/w1/consent", afterwards: func(t *testing.T, f *fixture) {
		if c := f.consents[0]; c.GivenBy != "Ada Okonjo" || !slices.Equal(c.For, []record.Purpose{record.ForFilming, record.ForOutside}) || c.SwimmerID != "w1" {
			t.Errorf("recorded %+v", c)
		}
	}},
	{name: "recorded, allows nothing", method: "POST", path: "/swimmer/w1/consent", form: url.Values{"given_by": {"Mira"}, "as": {"swimmer"}, "on": {"2026-05-01"}, "for": {"filming"}}, status: 200, must: []string{"It does not count: the swimmer was under age."}},
	{
		name: "recorded with faults", method: "POST", path: "/swimmer/w1/consent", form: url.Values{"given_by": {""}, "as": {"coach"}, "on": {"2026-05-01"}, "until": {"2026-04-01"}, "notes": {"in the folder"}}, status: 422,
		must: []string{`id="wrong-given_by"`, `id="wrong-as"`, `id="wrong-until"`, `id="wrong-for"`, "in the folder"},
	},
	{name: "recorded on no day", method: "POST", path: "/swimmer/w1/consent", form: url.Values{"given_by": {"Ada"}, "as": {"parent or guardian"}, "for": {"filming"}}, status: 422, must: []string{`id="wrong-on"`}},
	{name: "withdrawn", method: "POST", path: "/swimmer/w1/consent/k1/withdraw", prepared: withConsent, form: url.Values{"withdrawn": {"2026-05-02"}}, status: 303, location: "/swimmer/w1/consent", afterwards: func(t *testing.T, f *fixture) {
		if len(f.consents) != 1 || f.consents[0].Withdrawn != "2026-05-02" {
			t.Errorf("kept %+v", f.consents)
		}
	}},
	{name: "one withdrawn, another stands", method: "POST", path: "/swimmer/w1/consent/k1/withdraw", prepared: func(f *fixture) {
		withConsent(f)
		other := f.consents[0]
		other.ID, other.GivenBy = "k2", "Ben Okonjo"
		f.consents = append(f.consents, other)
	}, form: url.Values{"withdrawn": {"2026-05-02"}}, status: 200, must: []string{"Another consent still allows filming until 31 December 2026"}},
	{name: "withdrawn before it was given", method: "POST", path: "/swimmer/w1/consent/k1/withdraw", prepared: withConsent, form: url.Values{"withdrawn": {"2025-05-02"}}, status: 422},
	{name: "withdrawn, not there", method: "POST", path: "/swimmer/w1/consent/zz/withdraw", form: url.Values{"withdrawn": {"2026-05-02"}}, status: 404},

	{name: "growth", path: "/swimmer/w1/edit", prepared: func(f *fixture) {
		f.growth = []record.Growth{{On: "2026-04-01", HeightM: 1.7, MassKg: 60}, {HeightM: 1.6}}
	}, status: 200, must: []string{"1 April 2026", "1.70\u00a0m", "60\u00a0kg", "day not noted", `action="/swimmer/w1/growth/remove"`, "Main strokes", `value="butterfly"`, `href="/swimmer/w1/consent"`}},
	{name: "growth kept", method: "POST", path: "/swimmer/w1/growth", form: url.Values{"on": {"2026-05-01"}, "height_m": {"1,73"}}, status: 303, location: "/swimmer/w1/edit#growth", afterwards: func(t *testing.T, f *fixture) {
		if g := f.growth[0]; g.HeightM != 1.73 || g.MassKg != 0 || g.On != "2026-05-01" || g.SwimmerID != "w1" {
			t.Errorf("kept %+v", g)
		}
	}},
	{name: "growth with faults", method: "POST", path: "/swimmer/w1/growth", form: url.Values{"height_m": {"tall"}, "mass_kg": {"61"}}, status: 422, must: []string{`value="tall"`, `id="wrong-height_m"`, `value="61"`}},
	{name: "growth out of range", method: "POST", path: "/swimmer/w1/growth", form: url.Values{"height_m": {"173"}}, status: 422, must: []string{`id="wrong-height_m"`}},
	{name: "growth removed", method: "POST", path: "/swimmer/w1/growth/remove", prepared: func(f *fixture) { f.growth = []record.Growth{{HeightM: 1.6}} }, form: url.Values{"on": {""}}, status: 303, location: "/swimmer/w1/edit#growth", afterwards: func(t *testing.T, f *fixture) {
		if len(f.growth) != 0 {
			t.Errorf("kept %+v", f.growth)
		}
	}},
	{name: "strokes kept", method: "POST", path: "/swimmer/w1/edit", form: url.Values{"name": {"Mira Okonjo"}, "strokes": {"butterfly", "medley"}}, status: 303, location: "/swimmer/w1", afterwards: func(t *testing.T, f *fixture) {
		if len(f.swimmer.Strokes) != 2 || f.swimmer.HeightM != 1.72 {
			t.Errorf("kept %+v", f.swimmer)
		}
	}},

	{name: "privacy", path: "/privacy", prepared: withConsent, status: 200, must: []string{"Hide names", "filming until 31 December 2026; showing in the squad", "no consent for filming", "Nothing is due."}},
	{name: "due", path: "/privacy", prepared: func(f *fixture) {
		f.due = poolside.DueView{Squads: []record.Squad{{ID: "q1", Name: "Harbour Juniors", FilmMonths: 24}}, Swimmers: []poolside.DueSwimmer{{
			Swimmer: f.swimmer, Ended: "2026-04-01", Films: []poolside.DueFilm{{Clip: f.clip(), On: "2024-03-01", Pool: "Harbour Baths", Since: "2026-03-01", Why: "the squad keeps film 24 months"}},
		}}}
	}, status: 200, must: []string{`value="24"`, "due since 1 March 2026, the squad keeps film 24 months", `action="/clip/c1/erase-film"`, "Without consent for filming since 1 April 2026", "/swimmer/w1/erase"}},
	{name: "film rule", method: "POST", path: "/privacy/film-rule", form: url.Values{"squad": {"q1"}, "film_months": {"24"}}, status: 303, location: "/privacy#film", afterwards: func(t *testing.T, f *fixture) {
		if f.due.Squads[0].FilmMonths != 24 {
			t.Errorf("kept %+v", f.due.Squads)
		}
	}},
	{name: "film rule taken back", method: "POST", path: "/privacy/film-rule", form: url.Values{"squad": {"q1"}, "film_months": {""}}, status: 303, location: "/privacy#film"},
	{name: "film rule that is none", method: "POST", path: "/privacy/film-rule", prepared: func(f *fixture) { f.due.Squads = f.squads }, form: url.Values{"squad": {"q1"}, "film_months": {"two years"}}, status: 422, must: []string{`value="two years"`, `id="wrong-film_months"`}},
	{name: "film rule out of range", method: "POST", path: "/privacy/film-rule", form: url.Values{"squad": {"q1"}, "film_months": {"999"}}, status: 422, must: []string{`id="wrong-film_months"`}},
	{name: "film erased", method: "POST", path: "/clip/c1/erase-film", form: url.Values{"sure": {"yes"}}, status: 303, location: "/privacy#film", afterwards: func(t *testing.T, f *fixture) {
		if !slices.Equal(f.erasedFilms, []string{"c1"}) {
			t.Errorf("erased %v", f.erasedFilms)
		}
	}},
	{name: "film not erased by a slip", method: "POST", path: "/clip/c1/erase-film", form: url.Values{}, status: 422, must: []string{"Nothing was erased"}, afterwards: func(t *testing.T, f *fixture) {
		if len(f.erasedFilms) != 0 {
			t.Errorf("erased %v", f.erasedFilms)
		}
	}},
	{name: "names hidden", method: "POST", path: "/names", form: url.Values{"hide": {"yes"}}, status: 303, location: "/", afterwards: func(t *testing.T, f *fixture) {
		if !f.hidden {
			t.Error("names are shown")
		}
	}},
	{name: "a clip without consent", path: "/clip/c1", prepared: func(f *fixture) { f.withheld = map[record.Purpose]bool{record.ForFilming: true} }, status: 200, must: []string{"No consent for filming Mira Okonjo on 3 May 2026 is recorded", "It may exist on paper", `href="/swimmer/w1/consent"`}},
	{name: "a clip with consent", path: "/clip/c1", status: 200, mustNot: []string{"No consent for filming"}},
}

func TestPrivacyPages(t *testing.T) { runScenarios(t, privacyScenarios) }

// TestPhoneShowsWhatConsentAllows: without consent for showing in the squad a phone sees the
// pseudonym and nothing of what was found.
func TestPhoneShowsWhatConsentAllows(t *testing.T) {
	cases, base := serveLAN(t, Options{})
	phone := visitor(t, "127.0.0.1")
	if resp, _ := post(t, phone, base+"/enter", url.Values{"passphrase": {rightWords}}); resp.StatusCode != http.StatusSeeOther {
		t.Fatalf("entering: %d", resp.StatusCode)
	}
	if _, body := get(t, phone, base+"/"); !strings.Contains(body, cases.finding.Word) || !strings.Contains(body, "/finding/w1") {
		t.Errorf("with consent: %s", body)
	}
	cases.withheld = map[record.Purpose]bool{record.ForSquad: true}
	_, body := get(t, phone, base+"/")
	for _, secret := range []string{cases.finding.Word, "m/s", "3 May 2026", "/finding/w1"} {
		if strings.Contains(body, secret) {
			t.Errorf("the list tells %q without consent", secret)
		}
	}
	if !strings.Contains(body, "Otter") || !strings.Contains(body, "no consent for showing in the squad") {
		t.Errorf("the list: %s", body)
	}
	resp, body := get(t, phone, base+"/finding/w1")
	if resp.StatusCode != http.StatusForbidden || strings.Contains(body, "m/s") || strings.Contains(body, "Mira") {
		t.Errorf("the finding without consent: %d, %s", resp.StatusCode, body)
	}
	cases.withheld = map[record.Purpose]bool{record.ForFilming: true}
	if resp := send(t, phone, base, "w1", "a.mp4", strings.NewReader("film")); resp.Header.Get("Location") != "/?took=unasked" || string(cases.taken) != "film" {
		t.Errorf("a clip without consent for filming: %d to %s", resp.StatusCode, resp.Header.Get("Location"))
	}
	if _, body := get(t, phone, base+"/?took=unasked"); !strings.Contains(body, "No consent for filming is recorded") {
		t.Error("the phone does not say that no consent is recorded")
	}
}

func TestBackToThePageAFormWasOn(t *testing.T) {
	for referer, want := range map[string]string{
		"http://127.0.0.1:80/swimmer/w1?x=1": "/swimmer/w1?x=1",
		"http://pool.example/swimmer/w1":     "/",
		"http://127.0.0.1:80//pool.example":  "/",
		"":                                   "/",
		"%":                                  "/",
	} {
		r := httptest.NewRequest(http.MethodPost, "http://127.0.0.1:80/names", nil)
		r.Host = "127.0.0.1:80"
		r.Header.Set("Referer", referer)
		if got := cameFrom(r); got != want {
			t.Errorf("from %q back to %q, want %q", referer, got, want)
		}
	}
}

// Text is masked whole, whatever pieces it is written in; pictures pass untouched.
func TestMaskedWriter(t *testing.T) {
	mask := func(s string) string { return strings.ReplaceAll(s, "Mira", "Otter") }
	send := func(kind, disposition string, pieces ...string) *httptest.ResponseRecorder {
		t.Helper()
		rec := httptest.NewRecorder()
		m := &maskedWriter{ResponseWriter: rec, text: mask}
		m.Header().Set("Content-Type", kind)
		m.Header().Set("Content-Length", "8")
		if disposition != "" {
			m.Header().Set("Content-Disposition", disposition)
		}
		for _, p := range pieces {
			if _, err := m.Write([]byte(p)); err != nil {
				t.Fatal(err)
			}
		}
		if err := m.send(); err != nil {
			t.Fatal(err)
		}
		return rec
	}
	for _, kind := range []string{"text/html; charset=utf-8", "text/csv", "application/json", "image/svg+xml"} {
		rec := send(kind, `attachment; filename="Mira run.csv"`, "of Mi", "ra here")
		if rec.Body.String() != "of Otter here" || rec.Header().Get("Content-Length") != "" || rec.Header().Get("Content-Disposition") != `attachment; filename="Otter run.csv"` {
			t.Errorf("%s: %q, %v", kind, rec.Body, rec.Header())
		}
	}
	if rec := send("image/jpeg", "", "Mi", "ra"); !bytes.Equal(rec.Body.Bytes(), []byte("Mira")) || rec.Header().Get("Content-Length") != "8" {
		t.Errorf("a picture: %q, %v", rec.Body, rec.Header())
	}
}
