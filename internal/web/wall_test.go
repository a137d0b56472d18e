package web

import (
	"net/http/httptest"
	"net/url"
	"reflect"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/wall"
)

// event is the smallest form of a wall plan.
func event(more url.Values) url.Values {
	form := url.Values{"pool": {"25 m"}, "distance": {"100"}, "stroke": {"freestyle"}, "kick_from": {""}, "surface_freestyle": {"1,62"}}
	for k, v := range more {
		form[k] = v
	}
	return form
}

var wallScenarios = []scenario{
	{name: "walls of the squad", path: "/walls", status: 200, must: []string{"Harbour Juniors", "Mira Okonjo", "100 m freestyle, 25 m pool", "kicks, up at", "Plan an event", "blackout", "qualified lifeguard", "No hyperventilation", `aria-current="page">Walls`}, mustNot: []string{"NaN", "<no value>", "%!"}},
	{name: "walls of a swimmer", path: "/swimmer/w1/walls", status: 200, must: []string{`href="/plan/p1"`, `href="/ladder/l1"`, "Put back", "click-track.wav", "blackout"}},
	{name: "walls of nobody", path: "/swimmer/zz/walls", status: 404},
	{name: "new plan", path: "/swimmer/w1/walls/new", status: 200, must: []string{`<option selected>25 m`, "run of 3 May 2026: 1.52 m/s", "blackout", "Most kicks"}, mustNot: []string{"NaN", "%!", "<no value>"}},
	{name: "plan", path: "/plan/p1", status: 200, must: []string{
		"turn 3", "head up", "First kick with the head anywhere from", "there is no best point", "by 15 m", "current rule book", "blackout", "Model estimates", "come up whenever you need air",
		"If the limiter brought the 0.05 m/s", "Harbour Cup", "more than planned", "is assumed", "Undo", "speed of the head over its distance",
	}, mustNot: []string{"NaN", "%!", "<no value>", "newton", "Inf"}},
	{name: "no plan", path: "/plan/zz", status: 404},
	{name: "plan as JSON", path: "/plan/p1/plan.json", status: 200, must: []string{`"kicks":`, `"breakout_m":{"value":`, `"cautions":[`}, mustNot: []string{"NaN"}},
	{name: "plan kept", method: "POST", path: "/swimmer/w1/walls/new", form: event(nil), status: 303, location: "/plan/p1"},
	{name: "plan changed", method: "POST", path: "/plan/p1", form: event(url.Values{"most_kicks": {"4"}}), status: 303, location: "/plan/p1"},
	{
		name: "plan with faults", method: "POST", path: "/swimmer/w1/walls/new", form: event(url.Values{"kick": {"fast"}, "tempo_hz": {"130"}, "push_off_speed": {"2,4"}, "glide": {"0.2 1.9\nthen"}, "name": {"Cup"}}), status: 422,
		must: []string{`value="fast"`, `id="wrong-kick"`, `id="wrong-glide"`, "in line 2", `value="2,4"`, `value="Cup"`, `value="1,62"`, "blackout", `action="/swimmer/w1/walls/new"`},
	},
	{name: "plan out of range", method: "POST", path: "/plan/p1", form: event(url.Values{"tempo_hz": {"130"}, "distance": {"110"}}), status: 422, must: []string{`id="wrong-tempo_hz"`, `id="wrong-event"`, "not a race", `value="130"`, `action="/plan/p1"`}},
	{name: "half a kick", method: "POST", path: "/plan/p1", form: event(url.Values{"most_kicks": {"4.5"}}), status: 422, must: []string{"no whole number"}},
	{name: "splits that cannot be", method: "POST", path: "/plan/p1", form: event(url.Values{"kick_from": {"splits"}, "splits": {"5 2\n14 2.2"}}), status: 422, must: []string{`id="wrong-splits"`, "14 2.2"}},
	{name: "done", method: "POST", path: "/plan/p1/done", form: url.Values{"meet": {"Cup"}, "done_kicks_1": {"8"}, "done_15_2": {"7,1"}}, status: 303, location: "/plan/p1#done"},
	{name: "done with faults", method: "POST", path: "/plan/p1/done", form: url.Values{"meet": {"Cup 2"}, "done_kicks_1": {"many"}, "done_15_2": {"7,1"}}, status: 422, must: []string{`value="many"`, `value="7,1"`, `id="wrong-done_kicks_1"`, `value="Cup 2"`}},
	{name: "undo", method: "POST", path: "/plan/p1/undo", form: url.Values{}, status: 303, location: "/plan/p1"},
	{name: "removed", method: "POST", path: "/plan/p1/remove", form: url.Values{}, status: 303, location: "/swimmer/w1/walls"},
	{name: "turned otherwise", method: "POST", path: "/plan/p1/burn", form: url.Values{}, status: 404},
	{name: "new ladder", path: "/swimmer/w1/ladder/new", status: 200, must: []string{"run of 3 May 2026: 2.20 kicks per second, 1.52 m/s", "Six to ten kicks", "blackout"}},
	{name: "ladder", path: "/ladder/l1", status: 200, must: []string{"Best range", "Distance per kick", "1.7 1.31", "Speed against kick tempo, 5 runs", "blackout", `name="tempo"`}, mustNot: []string{"NaN", "%!", "<no value>"}},
	{name: "ladder kept", method: "POST", path: "/swimmer/w1/ladder/new", form: url.Values{"steps": {"1.8 1.3\n2.0; 1,4\n2.2 1.45\n2.4\t1.44\n"}}, status: 303, location: "/ladder/l1"},
	{name: "ladder too short", method: "POST", path: "/swimmer/w1/ladder/new", form: url.Values{"steps": {"1.8 1.3\n2.0 1.4"}, "name": {"June"}}, status: 422, must: []string{`id="wrong-steps"`, "four runs", "1.8 1.3", `value="June"`}},
	{name: "ladder that is none", method: "POST", path: "/ladder/l1", form: url.Values{"steps": {"1.8 fast"}}, status: 422, must: []string{"in line 1", "1.8 fast"}},
	{name: "click track", path: "/click-track.wav?tempo=2,1&seconds=5&count_in=4&volume=50", status: 200, must: []string{"RIFF", "WAVEfmt "}},
	{name: "click track of nonsense", path: "/click-track.wav?tempo=120", status: 422, must: []string{"kicks per minute divide by 60"}},
	{name: "click track of a word", path: "/click-track.wav?tempo=fast", status: 422, must: []string{"no number"}},
	{name: "click track for too long", path: "/click-track.wav?tempo=2&seconds=600", status: 422, must: []string{"six to ten kicks"}},
}

func init() { scenarios = append(scenarios, wallScenarios...) }

// The page of a plan as a person reads it, on the screen and printed.
func TestGoldenWalls(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	for name, path := range map[string]string{"wall-plan": "/plan/p1", "squad-walls": "/walls", "ladder": "/ladder/l1"} {
		_, page := ask(t, srv.Client(), scenario{path: path}.request(t, srv.URL))
		readsAsKept(t, name, page)
	}
}

// What a form shows of a kept plan comes back as the same plan.
func TestWallFormKeepsEverything(t *testing.T) {
	in := fixtureWalls()
	in.Kick, in.KickFrom, in.Tempo, in.MostKicks, in.Mark = 1.44, "typed", 2.05, 6, 10
	in.Splits, in.FirstKick, in.SplitKicks = []wall.Split{{X: 5, T: 2.1}, {X: 11.5, T: 6.25}}, 3, 9
	in.Glide, in.GlideSpeed = []wall.Point{{T: 0.1, X: 1.9}, {T: 0.5, X: 2.7}}, 2.2
	in.StartAt, in.StartSpeed, in.StartTime, in.DragFactor, in.UpTurn, in.UpStart = 5.5, 2.3, 1.6, 1.1, 5, 8
	shown := wallForm{Input: in, Name: "Cup"}
	form := url.Values{"pool": {"25 m"}, "stroke": {"freestyle"}, "kick_from": {in.KickFrom}, "name": {"Cup"}}
	for _, field := range []string{"distance", "most_kicks", "split_kicks", "splits", "glide", "surface_freestyle", "surface_backstroke"} {
		form.Set(field, shown.Typed(field))
	}
	for _, n := range wallNumbers() {
		form.Set(n.Name, shown.Typed(n.Name))
	}
	req := scenario{method: "POST", form: form}.request(t, "http://localhost")
	read := wallForm{Input: poolside.WallInput{Meet: in.Meet, Done: in.Done}}
	read.read(req)
	if len(read.Faults) > 0 || !reflect.DeepEqual(read.Input, in) {
		t.Errorf("came back as %+v, faults %v, want %+v", read.Input, read.Faults, in)
	}
}

// A coach plans an event and looks at it on a phone and on paper.
func TestWallsInABrowser(t *testing.T) {
	app, err := poolside.Open(t.Context(), poolside.Options{DataDir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := app.Close(); err != nil {
			t.Error(err)
		}
	})
	squad, err := app.AddSquad(t.Context(), record.Squad{Name: "Quiet Lane"})
	if err != nil {
		t.Fatal(err)
	}
	id, _, err := app.AddSwimmer(t.Context(), record.Swimmer{SquadID: squad, Name: "Wilma Reed", HeightM: 1.72, MassKg: 62, Sex: record.Female})
	if err != nil {
		t.Fatal(err)
	}
	pages, err := New(Options{App: app})
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(pages)
	t.Cleanup(srv.Close)
	b := newBrowser(t, srv.URL)
	b.do(t, chromedp.EmulateViewport(1280, 900))
	b.open(t, "/swimmer/"+id+"/walls/new")
	b.wait(t, `document.querySelector('[data-stroke="butterfly"]').hidden`)
	b.do(t, chromedp.SetValue("#stroke", "medley"))
	b.wait(t, `(document.querySelector("#stroke").dispatchEvent(new Event("change")), !document.querySelector('[data-stroke="butterfly"]').hidden)`)
	b.do(t, chromedp.SetValue("#stroke", "freestyle"), chromedp.SendKeys("#surface_freestyle", "1,55"), chromedp.SendKeys("#kick", "1.4"), chromedp.SendKeys("#tempo_hz", "2.1"), chromedp.Click("form[data-walls] button.go"))
	b.wait(t, `document.querySelectorAll("table.walls tbody tr").length === 4`)
	plan := value[string](t, b, "location.pathname")
	if !strings.HasPrefix(plan, "/plan/") {
		t.Fatalf("at %s", plan)
	}
	if n := value[int](t, b, `[...document.querySelectorAll("svg.chart.wide")].filter(e => getComputedStyle(e).display !== "none").length`); n != 2 {
		t.Errorf("%d drawings on a wide screen, want start and turn", n)
	}
	b.shot(t, "walls-1280")
	b.do(t, chromedp.EmulateViewport(390, 844))
	for _, path := range []string{"/walls", "/swimmer/" + id + "/walls", "/swimmer/" + id + "/walls/new", plan, "/swimmer/" + id + "/ladder/new"} {
		b.open(t, path)
		if w := value[int](t, b, "document.documentElement.scrollWidth"); w > 390 {
			t.Errorf("%s is %d px wide on a phone of 390", path, w)
		}
		if !value[bool](t, b, `document.body.innerText.includes("blackout")`) {
			t.Errorf("%s carries no caution", path)
		}
	}
	b.open(t, plan)
	b.shot(t, "walls-390")
	b.do(t, chromedp.EmulateViewport(1280, 900))
	b.open(t, plan)
	b.do(t, chromedp.Click(`form[action$="/remove"] button`))
	b.wait(t, `document.querySelector('form[action$="/undo"]') !== null`)
	b.do(t, chromedp.Click(`form[action$="/undo"] button`))
	b.wait(t, `location.pathname === "`+plan+`"`)
	b.check(t)
}
