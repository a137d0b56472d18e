package web

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

func init() { scenarios = append(scenarios, rightScenarios...) }

func (f *fixture) PutRight(_ context.Context, id string) (poolside.PutRightView, error) {
	if id != "c1" {
		return poolside.PutRightView{}, poolside.ErrNotFound
	}
	ivo := record.Swimmer{ID: "w2", Name: "Ivo <Brandt>"}
	return poolside.PutRightView{
		Clip: record.Clip{ID: "c1", Name: "lane5 <2>.mp4"}, Owner: f.swimmer, Of: 2,
		Visit: record.Visit{ID: "v1", SquadID: "q1", On: "2026-05-03", Pool: "Harbour Baths", Notes: "cold"},
		Runs:  []poolside.RightRun{{Run: f.run, Swimmer: f.swimmer.Name}}, Squads: []poolside.RightSquad{{Squad: record.Squad{ID: "q1", Name: "Harbour Juniors"}, Swimmers: []record.Swimmer{f.swimmer, ivo}}},
	}, f.fail
}

func (f *fixture) MoveClip(_ context.Context, id, swimmerID string, on record.Date, _ string) error {
	if err := (record.Visit{SquadID: "q1", On: on}).Validate(); err != nil {
		return err
	}
	if swimmerID == "" {
		return record.Faults{{Field: "swimmer", Text: "is not there; choose one of the list"}}
	}
	f.moved = append(f.moved, "clip "+id+" "+swimmerID+" "+string(on))
	return nil
}

func (f *fixture) MoveRun(_ context.Context, id, swimmerID string) error {
	f.moved = append(f.moved, "run "+id+" "+swimmerID)
	return nil
}

func (f *fixture) SetAside(_ context.Context, id, why string) error {
	f.moved = append(f.moved, "aside "+id+" "+why)
	return nil
}

func (f *fixture) UpdateVisit(_ context.Context, v record.Visit) error {
	f.moved = append(f.moved, "visit "+v.ID+" "+string(v.On)+" "+v.Notes)
	return v.Validate()
}

func (f *fixture) Squads(context.Context) ([]record.Squad, error) { return f.squads, f.fail }

func (f *fixture) SquadFacts(_ context.Context, id string) (record.Squad, error) {
	for _, q := range f.squads {
		if q.ID == id {
			return q, nil
		}
	}
	return record.Squad{}, poolside.ErrNotFound
}

func (f *fixture) UpdateSquad(_ context.Context, q record.Squad) error {
	f.moved = append(f.moved, "squad "+q.ID+" "+q.Name)
	return q.Validate()
}

func movedTo(want string) func(*testing.T, *fixture) {
	return func(t *testing.T, f *fixture) {
		if strings.Join(f.moved, ";") != want {
			t.Errorf("done: %v, want %s", f.moved, want)
		}
	}
}

var rightScenarios = []scenario{
	{name: "put right", path: "/clip/c1/put-right", status: 200, must: []string{`<option value="w1" selected>`, "Ivo &lt;Brandt&gt;", `value="Harbour Baths"`, "2 clips", "cold", "lane5 &lt;2&gt;"}, mustNot: []string{"<Brandt>", "<no value>"}},
	{name: "put right what is not there", path: "/clip/none/put-right", status: 404},
	{name: "clip put right", method: "POST", path: "/clip/c1/put-right", form: url.Values{"swimmer": {"w2"}, "on": {"2026-05-04"}}, status: 303, location: "/swimmer/w2", afterwards: movedTo("clip c1 w2 2026-05-04")},
	{name: "clip put right to no day", method: "POST", path: "/clip/c1/put-right", form: url.Values{"swimmer": {"w2"}, "on": {"yesterday"}}, status: 422, must: []string{"YYYY-MM-DD", `<option value="w2" selected>`}},
	{name: "run put right", method: "POST", path: "/clip/c1/put-right/run/r1", form: url.Values{"swimmer": {"w2"}}, status: 303, location: "/clip/c1/put-right", afterwards: movedTo("run r1 w2")},
	{name: "run of another clip", method: "POST", path: "/clip/c2/put-right/run/r1", form: url.Values{"swimmer": {"w2"}}, status: 404, afterwards: movedTo("")},
	{name: "run set aside", method: "POST", path: "/clip/c1/put-right/run/r1/aside", form: url.Values{"aside": {" hit the rope "}}, status: 303, location: "/clip/c1/put-right", afterwards: movedTo("aside r1 hit the rope")},
	{name: "run set aside without a reason", method: "POST", path: "/clip/c1/put-right/run/r1/aside", form: url.Values{"aside": {" "}}, status: 422, must: []string{"say why"}, afterwards: movedTo("")},
	{name: "run counts again", method: "POST", path: "/clip/c1/put-right/run/r1/aside", form: url.Values{"act": {"count"}}, status: 303, location: "/clip/c1/put-right", afterwards: movedTo("aside r1 ")},
	{name: "run that is set aside", path: "/run/r1", prepared: func(f *fixture) { f.run.Aside = "hit the rope" }, status: 200, must: []string{"Set aside:</strong> hit the rope", "/clip/c1/put-right"}},
	{name: "visit put right", method: "POST", path: "/clip/c1/put-right/visit", form: url.Values{"on": {"2026-05-05"}, "notes": {"warm"}}, status: 303, location: "/clip/c1/put-right", afterwards: movedTo("visit v1 2026-05-05 warm")},
	{name: "visit put right to no day", method: "POST", path: "/clip/c1/put-right/visit", form: url.Values{"on": {""}, "notes": {"warm"}}, status: 422, must: []string{"missing", ">warm</textarea>"}},
	{name: "squad facts", path: "/squad/q1/edit", status: 200, must: []string{`value="Harbour Juniors"`}},
	{name: "squad facts of none", path: "/squad/none/edit", status: 404},
	{name: "squad renamed", method: "POST", path: "/squad/q1/edit", form: url.Values{"name": {" Harbour Seniors "}, "notes": {""}}, status: 303, location: "/", afterwards: movedTo("squad q1 Harbour Seniors")},
	{name: "squad without a name", method: "POST", path: "/squad/q1/edit", form: url.Values{"name": {" "}, "notes": {"stays"}}, status: 422, must: []string{"write a name", ">stays</textarea>"}},
}

// TestPutRightInABrowser gives a clip to the right swimmer and day, and back: trends and
// the squad follow each time.
func TestPutRightInABrowser(t *testing.T) {
	srv := serveSeason(t, smallSeason)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(390, 844))
	clips := func(swimmer string) int {
		b.open(t, swimmer)
		return value[int](t, b, `document.querySelectorAll('a[href$="/put-right"]').length`)
	}
	if n, m := clips(seasonSwimmer), clips("/swimmer/swimmer00004"); n != 6 || m != 6 {
		t.Fatalf("%d and %d clips", n, m)
	}
	b.do(t, chromedp.Click(`a[href$="/put-right"]`))
	b.wait(t, `document.querySelector("#visit-notes")`)
	if w := value[int](t, b, "document.documentElement.scrollWidth"); w > 390 {
		t.Errorf("the page is %d px wide on a phone of 390", w)
	}
	b.shot(t, "put-right-phone")
	back := value[string](t, b, "location.pathname")
	b.do(t, chromedp.SetValue("#swimmer", "swimmer00003"), chromedp.SetValue("#on", "2025-11-01"), chromedp.Click("button.go"))
	b.wait(t, `location.pathname === "`+seasonSwimmer+`" && document.querySelector("#trends")`)
	if words := value[string](t, b, "document.body.innerText"); !strings.Contains(words, "1 November 2025") {
		t.Error("the swimmer's page has no visit of the new day")
	}
	if n, m := clips(seasonSwimmer), clips("/swimmer/swimmer00004"); n != 7 || m != 5 {
		t.Errorf("%d and %d clips after the move", n, m)
	}
	b.open(t, back)
	b.do(t, chromedp.SetValue("#swimmer", "swimmer00004"), chromedp.SetValue("#on", "2025-10-04"), chromedp.Click("button.go"))
	b.wait(t, `location.pathname === "/swimmer/swimmer00004"`)
	if n, m := clips(seasonSwimmer), clips("/swimmer/swimmer00004"); n != 6 || m != 6 {
		t.Errorf("%d and %d clips after moving it back", n, m)
	}
	resp, page := ask(t, srv.Client(), getRequest(t, srv.URL+seasonSwimmer))
	if resp.StatusCode != http.StatusOK || strings.Contains(page, "1 November 2025") {
		t.Errorf("%d: the visit that nobody needs any more is still there", resp.StatusCode)
	}
	b.check(t)
}
