package web

import (
	"bytes"
	"errors"
	"flag"
	"io"
	"math"
	"mime/multipart"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"underkick/internal/poolside"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// scenario is one request and what must and must not be in the answer.
type scenario struct {
	name       string
	method     string // GET when empty
	path       string
	form       url.Values
	json       string
	status     int
	location   string
	must       []string
	mustNot    []string
	problem    error // what every use case answers
	prepared   func(f *fixture)
	afterwards func(t *testing.T, f *fixture)
}

var scenarios = []scenario{
	{name: "squad", path: "/", status: 200, must: []string{"Harbour Juniors", "Mira Okonjo", "3 May 2026", "name close to", "speed over 3 visits", "Bring in a clip"}, mustNot: []string{"NaN", "<no value>", "%!"}},
	{name: "empty squad", path: "/", prepared: func(f *fixture) { f.squads = nil }, status: 200, must: []string{"No squad yet", `<a class="button go" href="/swimmer/new">`, "underkick demo"}, mustNot: []string{`class="button go" href="/bring-in"`}},
	{name: "bring in without a swimmer", path: "/bring-in", prepared: func(f *fixture) { f.squads = nil }, status: 200, must: []string{"Add a swimmer</a> first"}},
	{name: "swimmer", path: "/swimmer/w1", status: 200, must: []string{"Mira Okonjo", "Harbour Baths", "max effort", "84 marks", "lane5 &lt;2&gt;.mp4", "taking the pictures, 40 %"}, mustNot: []string{"lane5 <2>"}},
	{name: "unknown swimmer", path: "/swimmer/nobody", status: 404, must: []string{"This is not here", "Go to the squad"}},
	{name: "unknown page", path: "/nowhere", status: 404, must: []string{"This is not here"}},
	{name: "new swimmer", path: "/swimmer/new", status: 200, must: []string{`<option value="q1" selected>Harbour Juniors`}},
	{name: "swimmer kept", method: "POST", path: "/swimmer/new", form: url.Values{"squad": {"q1"}, "name": {" Ivo Brandt "}, "height_m": {"1,81"}, "measured_on": {"2026-04-02"}}, status: 303, location: "/swimmer/w3", afterwards: func(t *testing.T, f *fixture) {
		if f.swimmer.Name != "Ivo Brandt" || f.swimmer.HeightM != 1.81 || f.swimmer.HeightOn != "2026-04-02" || f.swimmer.MassOn != "" {
			t.Errorf("kept %+v", f.swimmer)
		}
	}},
	{name: "swimmer in a new squad", method: "POST", path: "/swimmer/new", form: url.Values{"squad_name": {"Night Group"}, "name": {"Ivo Brandt"}}, status: 303, location: "/swimmer/w3", afterwards: func(t *testing.T, f *fixture) {
		if len(f.squads) != 2 || f.swimmer.SquadID != "q2" {
			t.Errorf("squads %v, swimmer in %s", f.squads, f.swimmer.SquadID)
		}
	}},
	{
		name: "swimmer with faults", method: "POST", path: "/swimmer/new", form: url.Values{"squad_name": {"Night Group"}, "name": {"Ivo"}, "height_m": {"tall"}, "mass_kg": {"900"}}, status: 422,
		must: []string{`value="tall"`, `id="wrong-height_m"`, `id="wrong-mass_kg"`, `aria-invalid="true"`, `value="Night Group"`}, afterwards: func(t *testing.T, f *fixture) {
			if len(f.squads) != 1 {
				t.Error("a squad was made for a swimmer that was refused")
			}
		},
	},
	{name: "no name, no squad", method: "POST", path: "/swimmer/new", form: url.Values{}, status: 422, must: []string{`id="wrong-name"`, `id="wrong-squad_name"`}},
	{name: "edit", path: "/swimmer/w1/edit", status: 200, must: []string{`value="2009"`, "<option selected>female"}},
	{name: "changed", method: "POST", path: "/swimmer/w1/edit", form: url.Values{"name": {"Mira Okonjo"}}, status: 303, location: "/swimmer/w1"},
	{name: "changed with faults", method: "POST", path: "/swimmer/w1/edit", form: url.Values{"name": {""}, "birth_year": {"09"}}, status: 422, must: []string{`id="wrong-name"`, `id="wrong-birth_year"`}},
	{name: "bring in", path: "/bring-in?swimmer=w1", status: 200, must: []string{`<option value="w1" selected>Mira Okonjo`, "parent or guardian", "never alone", `enctype="multipart/form-data"`}},
	{name: "job", path: "/job/j1", status: 200, must: []string{"taking the pictures, 40 %", `http-equiv="refresh"`, "Stop reading"}},
	{name: "job done", path: "/job/j1", prepared: func(f *fixture) { f.job.State, f.job.RunID = "done", "r1" }, status: 200, must: []string{`href="/run/r1/mark"`}, mustNot: []string{"refresh"}},
	{name: "job failed", path: "/job/j1", prepared: func(f *fixture) {
		f.job.State, f.job.Problem = "failed", "The recording did not finish. Copy it again."
	}, status: 200, must: []string{"Copy it again"}, mustNot: []string{"refresh", "Stop reading"}},
	{name: "job cancelled", method: "POST", path: "/job/j1/cancel", form: url.Values{}, status: 303, location: "/job/j1", afterwards: func(t *testing.T, f *fixture) {
		if f.job.State != "cancelled" {
			t.Error("the job goes on")
		}
	}},
	{name: "clip read again", method: "POST", path: "/clip/c1/read-again", form: url.Values{}, status: 303, location: "/job/j1"},
	{name: "unknown job", path: "/job/zz", status: 404},
	{name: "frame", path: "/clip/c1/frame/12.jpg", status: 200, must: []string{"\xff\xd8\xff"}},
	{name: "frame past the end", path: "/clip/c1/frame/99999.jpg", status: 404},
	{name: "frame that is none", path: "/clip/c1/frame/twelve.jpg", status: 404},
	{name: "frame without jpg", path: "/clip/c1/frame/12", status: 404},
	{name: "marking", path: "/run/r1/mark", status: 200, must: []string{`data-marks="/run/r1/marks"`, "known length 1.00 m", "needs a wider screen", "<noscript>", `data-landmark="toe"`, "First frame"}},
	{name: "the next frame and the meter", path: "/run/r1/mark", status: 200, must: []string{"Best next frame", "This frame helps most.", `<li data-good="speed"><span>speed</span><progress max="1" value="1" aria-label="speed"></progress><span class="share small">enough</span>`, ">99 %<", "Enough for speed."}},
	{name: "nothing to ask", path: "/run/r1/mark", prepared: func(f *fixture) { f.nothingToAsk = true }, status: 200, must: []string{`id="next" data-do='{"do":"next-frame"}' disabled`}, mustNot: []string{"This frame helps"}},
	{name: "slow motion", path: "/run/r1/mark", prepared: func(f *fixture) {
		f.slow = poolside.SlowMotionView{Ask: true, PlaysFPS: 29.97, TaggedFPS: 240}
	}, status: 200, must: []string{"plays 30 frames per second, but says it was filmed at 240", `name="fps" value="240"`, `name="fps" value="0"`, `action="/clip/c1/true-fps"`}},
	{name: "marking of no run", path: "/run/zz/mark", status: 404},
	{name: "marking data", path: "/run/r1/marking.json", status: 200, must: []string{`"width":1280`, `"id":"toe"`, `"next":{"frame":7,"landmarks":["toe","ankle"],"others":[3]`, `"meter":{"speed":1,`, `"traces":{`, `"frames":[{"n":0,"t":0}`}},
	{name: "mark placed", method: "POST", path: "/run/r1/marks", json: `{"do":"place","frame":3,"landmark":"toe","x_px":10.5,"y_px":20,"seq":0}`, status: 200, must: []string{`"seq":1`, `"can_undo":true`, `"x_px":10.5`}},
	{name: "mark outside", method: "POST", path: "/run/r1/marks", json: `{"do":"place","frame":3,"landmark":"toe","x_px":5000,"y_px":20}`, status: 422, must: []string{`{"problem":"The toe was put outside the picture`}},
	{name: "no marking action", method: "POST", path: "/run/r1/marks", json: `{"do":"dance"}`, status: 400, must: []string{`"problem"`}},
	{name: "unknown field", method: "POST", path: "/run/r1/marks", json: `{"do":"place","z_px":3}`, status: 400},
	{name: "broken JSON", method: "POST", path: "/run/r1/marks", json: `{"do":`, status: 400},
	{name: "guess, none yet", path: "/run/r1/mark", status: 200, must: []string{"Show the two points.", "Show both points", `data-guess-stop hidden`, `data-guess-on hidden`}, mustNot: []string{"Switch the guess on"}},
	{name: "guess under way", path: "/run/r1/mark", prepared: func(f *fixture) {
		f.guess = poolside.GuessView{State: poolside.GuessRunning, Fraction: 0.25, Words: "Guessing <here>."}
	}, status: 200, must: []string{"Guessing &lt;here&gt;.", `value="0.25"`, `data-guess-stop>`}},
	{name: "guess off", path: "/run/r1/mark", prepared: func(f *fixture) {
		f.guess = poolside.GuessView{State: poolside.GuessOff, Words: "Switched off."}
	}, status: 200, must: []string{"Switched off.", "Switch the guess on"}, mustNot: []string{"Show both points"}},
	{name: "guess off for good", path: "/run/r1/mark", prepared: func(f *fixture) {
		f.guess = poolside.GuessView{State: poolside.GuessCannot, Words: "Cannot."}
	}, status: 200, must: []string{"Cannot."}, mustNot: []string{"Show both points", "Switch the guess on"}},
	{name: "guess asked for", path: "/run/r1/guess.json", status: 200, must: []string{`"state":"none"`, `"go_on":false`}},
	{name: "guess of no run", path: "/run/zz/guess.json", status: 404},
	{name: "guess started", method: "POST", path: "/run/r1/guess", json: `{"frame":3,"fingertip_px":[900,300],"toe_px":[300,310]}`, status: 200, must: []string{`"state":"running"`, `"fraction":0.25`}},
	{name: "guess started off the run", method: "POST", path: "/run/r1/guess", json: `{"frame":900,"fingertip_px":[900,300],"toe_px":[300,310]}`, status: 422, must: []string{`{"problem":"Frame 900 is not among`}},
	{name: "guess started oddly", method: "POST", path: "/run/r1/guess", json: `{"frame":"x"}`, status: 400, must: []string{`"problem"`}},
	{name: "guess gone on with", method: "POST", path: "/run/r1/guess-on", json: `{}`, status: 200, must: []string{`"state":"running"`}},
	{name: "guess stopped", method: "POST", path: "/run/r1/guess-stop", json: `{}`, status: 200, must: []string{`"state":"stopped"`, `"go_on":true`}},
	{name: "guess switched off", method: "POST", path: "/run/r1/guess-switch", form: url.Values{"on": {"no"}}, status: 303, location: "/run/r1/mark", afterwards: func(t *testing.T, f *fixture) {
		if f.guess.State != poolside.GuessOff {
			t.Errorf("the guess is %q", f.guess.State)
		}
	}},
	{name: "guess switched for no run", method: "POST", path: "/run/zz/guess-switch", form: url.Values{"on": {"no"}}, status: 404},
	{name: "mark as a form", method: "POST", path: "/run/r1/marks", form: url.Values{"do": {"place"}}, status: 415},
	{name: "huge mark", method: "POST", path: "/run/r1/marks", json: `{"do":"` + strings.Repeat("x", jsonBytes) + `"}`, status: 400},
	{name: "conditions", method: "POST", path: "/run/r1/conditions", form: url.Values{"from_frame": {"10"}, "to_frame": {"200"}, "effort": {"race"}, "depth_m": {"0,8"}}, status: 303, location: "/run/r1/mark", afterwards: func(t *testing.T, f *fixture) {
		if f.run.FromFrame != 10 || f.run.ToFrame != 200 || f.run.Effort != "race" || f.run.DepthM != 0.8 || f.run.Start != "" {
			t.Errorf("kept %+v", f.run)
		}
	}},
	{name: "conditions with faults", method: "POST", path: "/run/r1/conditions", form: url.Values{"from_frame": {"10"}, "to_frame": {"5"}, "depth_m": {"deep"}}, status: 422, must: []string{"Nothing was changed", `id="wrong-depth_m"`}},
	{name: "known length", method: "POST", path: "/run/r1/scale", form: url.Values{"kind": {"length"}, "length_m": {"2.5"}, "points_px": {"[[10,20],[900,24]]"}}, status: 303, location: "/run/r1/mark", afterwards: func(t *testing.T, f *fixture) {
		if f.run.Scale.LengthM != 2.5 || f.run.Scale.PointsPx[1] != [2]float64{900, 24} {
			t.Errorf("kept %+v", f.run.Scale)
		}
	}},
	{name: "length without points", method: "POST", path: "/run/r1/scale", form: url.Values{"kind": {"length"}, "length_m": {"2.5"}, "points_px": {"[]"}}, status: 422, must: []string{"click both ends"}},
	{name: "points that are none", method: "POST", path: "/run/r1/scale", form: url.Values{"kind": {"length"}, "points_px": {"nowhere"}}, status: 422},
	{name: "grid of the kept scale", path: "/run/r1/scale/grid.json?shown=3&points_px=[]", status: 200, must: []string{`"metres":1`, "3.9 m by 2.2 m"}},
	{name: "grid of a scale not kept yet", path: "/run/r1/scale/grid.json?shown=3&kind=length&length_m=2,5&points_px=[[10,20],[900,24]]", status: 200, must: []string{`"metres":2.5`}},
	{name: "grid of too little", path: "/run/r1/scale/grid.json?shown=3&kind=length&points_px=[[10,20]]", status: 200, must: []string{`"lines":[]`}},
	{name: "grid on no frame", path: "/run/r1/scale/grid.json?shown=x", status: 400},
	{name: "rectangle", method: "POST", path: "/run/r1/scale", form: url.Values{"kind": {"rectangle"}, "width_m": {"2"}, "height_m": {"1"}, "frame": {"7"}, "points_px": {"[[100,100],[500,110],[490,300],[110,310]]"}}, status: 303, location: "/run/r1/mark", afterwards: func(t *testing.T, f *fixture) {
		if want := `{"frame":7,"points_px":[[100,100],[500,110],[490,300],[110,310]],"points_m":[[0,0],[2,0],[2,-1],[0,-1]]}`; string(f.run.Scale.Plane) != want {
			t.Errorf("kept %s, want %s", f.run.Scale.Plane, want)
		}
	}},
	{name: "rectangle without sides", method: "POST", path: "/run/r1/scale", form: url.Values{"kind": {"rectangle"}, "points_px": {"[[100,100],[500,110],[490,300],[110,310]]"}}, status: 422, must: []string{"Width m is missing"}},
	{name: "true rate", method: "POST", path: "/clip/c1/true-fps", form: url.Values{"fps": {"240"}, "run": {"r1"}}, status: 303, location: "/run/r1/mark", afterwards: func(t *testing.T, f *fixture) {
		if f.fps != 240 {
			t.Errorf("kept %v", f.fps)
		}
	}},
	{name: "rate that is none", method: "POST", path: "/clip/c1/true-fps", form: url.Values{"fps": {"fast"}}, status: 422},
	{name: "kicks", path: "/run/r1?kick=2", status: 200, must: []string{"Kick 2, downkick", `aria-current="true"`, "What this clip cannot tell", "A warning &lt;of the run&gt;.", `class="hatch"`, "/clip/c1/frame/", "measures#facing", "Upkick of kick 2"}, mustNot: []string{"NaN", "%!", "worth <", "<no value>"}},
	{name: "kicks with a broken number", path: "/run/r1?kick=two", status: 200, must: []string{"Kick 2, downkick"}},
	{name: "kicks of no run", path: "/run/zz", status: 404},
	{name: "JSON", path: "/run/r1/measures.json", status: 200, must: []string{`"kick_frequency"`}},
	{name: "CSV", path: "/run/r1/measures.csv", status: 200, must: []string{"measure,value,unit"}},
	{name: "marks saved", path: "/run/r1/marks.json", status: 200, must: []string{`{"marks":[]}`}},
	{name: "marks file as a plain form", method: "POST", path: "/run/r1/marks-file", form: url.Values{}, status: 422, must: []string{"choose the file again"}},
	{name: "curves CSV", path: "/run/r1/curves.csv", status: 200, must: []string{"time_s,phase"}},
	{name: "kicks CSV", path: "/run/r1/kicks.csv", status: 200, must: []string{"kick,start_s"}},
	{name: "measures", path: "/measures", status: 200, must: []string{`id="facing"`, `id="strouhal"`, "Source"}},
	{name: "about", path: "/about", status: 200, must: []string{"the licence&#39;s text", "the notices", "blackout", "parent or guardian"}},
	{name: "failure of our own", path: "/", problem: errFixture, status: 500, must: []string{"Something failed here", "request"}, mustNot: []string{"secret detail"}},
}

type plainError string

func (e plainError) Error() string { return string(e) }

const errFixture = plainError("secret detail of the database")

func TestScenarios(t *testing.T) { runScenarios(t, scenarios) }

// runScenarios asks each of a list and looks at the answers.
func runScenarios(t *testing.T, list []scenario) {
	for _, sc := range list {
		t.Run(sc.name, func(t *testing.T) {
			f := newFixture(t)
			f.fail = sc.problem
			if sc.prepared != nil {
				sc.prepared(f)
			}
			srv := serve(t, f, Options{})
			resp, body := ask(t, srv.Client(), sc.request(t, srv.URL))
			if resp.StatusCode != sc.status {
				t.Fatalf("status %d, want %d: %s", resp.StatusCode, sc.status, body)
			}
			if got := resp.Header.Get("Location"); got != sc.location {
				t.Errorf("goes on to %q, want %q", got, sc.location)
			}
			for _, s := range sc.must {
				if !strings.Contains(body, s) {
					t.Errorf("lacks %q", s)
				}
			}
			for _, s := range sc.mustNot {
				if strings.Contains(body, s) {
					t.Errorf("holds %q", s)
				}
			}
			if t.Failed() {
				t.Log(body)
			}
			if sc.afterwards != nil {
				sc.afterwards(t, f)
			}
		})
	}
}

func (sc scenario) request(t *testing.T, base string) *http.Request {
	t.Helper()
	method, body, kind := sc.method, io.Reader(nil), ""
	switch {
	case sc.json != "":
		body, kind = strings.NewReader(sc.json), "application/json"
	case sc.form != nil:
		body, kind = strings.NewReader(sc.form.Encode()), "application/x-www-form-urlencoded"
	}
	req, err := http.NewRequestWithContext(t.Context(), method, base+sc.path, body)
	if err != nil {
		t.Fatal(err)
	}
	if kind != "" {
		req.Header.Set("Content-Type", kind)
	}
	return req
}

func ask(t *testing.T, c *http.Client, req *http.Request) (*http.Response, string) {
	t.Helper()
	resp, err := c.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	body, err := io.ReadAll(resp.Body)
	if err := errors.Join(err, resp.Body.Close()); err != nil {
		t.Fatal(err)
	}
	return resp, string(body)
}

func TestGoldenPages(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	for name, path := range map[string]string{
		"squad": "/", "swimmer": "/swimmer/w1", "kick": "/run/r1?kick=2", "mark": "/run/r1/mark", "bring-in": "/bring-in?swimmer=w1&on=2026-05-03", "job": "/job/j1",
	} {
		_, page := ask(t, srv.Client(), scenario{path: path}.request(t, srv.URL))
		readsAsKept(t, name, page)
	}
}

// readsAsKept holds what a person reads on a page against the golden file of that name.
func readsAsKept(t *testing.T, name, page string) {
	t.Helper()
	got, file := readable(page), filepath.Join("testdata", name+".golden")
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := firstDifference(got, string(want)); diff != "" {
		t.Errorf("page %s differs from %s: read the difference, then run with -update\n%s", name, file, diff)
	}
}

var (
	drawn = regexp.MustCompile(`(?s)<(svg|script|style)[ >].*?</(svg|script|style)>`)
	onTop = regexp.MustCompile(`(?s)<header class="top">.*?</header>`)
	label = regexp.MustCompile(`aria-label="([^"]*)"`)
	tag   = regexp.MustCompile(`<[^>]*>`)
)

// readable is what a person can read on a page below its head: its text, and of each
// drawing its text alternative. Drawings themselves have golden files in package chart,
// and the head has tests of its own.
func readable(page string) string {
	page = onTop.ReplaceAllString(page, "")
	page = drawn.ReplaceAllStringFunc(page, func(el string) string {
		if m := label.FindStringSubmatch(el); m != nil && strings.HasPrefix(el, "<svg") {
			return "[drawing: " + m[1] + "]"
		}
		return ""
	})
	var lines []string
	for _, l := range strings.Split(tag.ReplaceAllString(page, " "), "\n") {
		if l = strings.Join(strings.Fields(l), " "); l != "" {
			lines = append(lines, l)
		}
	}
	return strings.Join(lines, "\n") + "\n"
}

var number = regexp.MustCompile(`[0-9]+(?:\.[0-9]+)?`)

// firstDifference compares line by line, text exactly and numbers to one in the
// last digit: a rounding edge may fall the other way on another machine. It
// returns "" when there is none.
func firstDifference(got, want string) string {
	g, w := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range max(len(g), len(w)) {
		if i >= len(g) || i >= len(w) {
			return "one is longer"
		}
		if number.ReplaceAllString(g[i], "#") != number.ReplaceAllString(w[i], "#") || !closeNumbers(g[i], w[i]) {
			return "got  " + g[i] + "\nwant " + w[i]
		}
	}
	return ""
}

func closeNumbers(a, b string) bool {
	as, bs := number.FindAllString(a, -1), number.FindAllString(b, -1)
	for i := range as {
		x, _ := strconv.ParseFloat(as[i], 64)
		y, _ := strconv.ParseFloat(bs[i], 64)
		_, fraction, _ := strings.Cut(bs[i], ".")
		if math.Abs(x-y) > 1.01*math.Pow10(-len(fraction)) || (fraction == "" && x != y && !strings.Contains(a, "%") && !strings.Contains(a, "°")) {
			return false
		}
	}
	return true
}

func TestMarksComeInFromFiles(t *testing.T) {
	for name, c := range map[string]struct {
		file, content string
		status        int
		must          string
	}{
		"fits":       {"m.csv", "frame,landmark,x_px,y_px", 303, ""},
		"other clip": {"m.json", "other clip", 200, "belong to another &lt;clip&gt;"},
		"unreadable": {"m.csv", "elbow patch", 422, "Nothing was brought in. Read the marks: line 2: unknown landmark"},
		"no file":    {"", "", 422, "No file came in"},
	} {
		t.Run(name, func(t *testing.T) {
			f := newFixture(t)
			srv := serve(t, f, Options{})
			resp, body := ask(t, srv.Client(), uploadTo(t, srv.URL+"/run/r1/marks-file", "marks", nil, c.file, c.content))
			if resp.StatusCode != c.status || !strings.Contains(body, c.must) {
				t.Errorf("status %d, want %d and %q: %s", resp.StatusCode, c.status, c.must, body)
			}
			if took := string(f.taken); (c.status < 400) != (took != "") {
				t.Errorf("took %q", took)
			}
		})
	}
}

func upload(t *testing.T, base string, fields map[string]string, name, content string) *http.Request {
	t.Helper()
	return uploadTo(t, base+"/bring-in", "clip", fields, name, content)
}

func uploadTo(t *testing.T, address, field string, fields map[string]string, name, content string) *http.Request {
	t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	for k, v := range fields {
		if err := m.WriteField(k, v); err != nil {
			t.Fatal(err)
		}
	}
	if name != "" {
		part, err := m.CreateFormFile(field, name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(part, content); err != nil {
			t.Fatal(err)
		}
	}
	if err := m.Close(); err != nil {
		t.Fatal(err)
	}
	req, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address, &b)
	if err != nil {
		t.Fatal(err)
	}
	req.Header.Set("Content-Type", m.FormDataContentType())
	return req
}

func TestClipsComeInAsTheyAre(t *testing.T) {
	f := newFixture(t)
	srv := serve(t, f, Options{})
	film := strings.Repeat("\x00film\xff", 200_000)
	resp, _ := ask(t, srv.Client(), upload(t, srv.URL, map[string]string{"swimmer": "w1", "on": "2026-05-03", "true_fps": "240"}, "a.mp4", film))
	if resp.StatusCode != http.StatusSeeOther || resp.Header.Get("Location") != "/job/j1" {
		t.Errorf("answered %d to %s", resp.StatusCode, resp.Header.Get("Location"))
	}
	if string(f.taken) != film || f.fps != 240 {
		t.Errorf("took %d bytes at %v fps, want %d", len(f.taken), f.fps, len(film))
	}
}

func TestClipsThatAreRefusedKeepTheForm(t *testing.T) {
	for name, c := range map[string]struct {
		fields        map[string]string
		file, content string
		status        int
		must          string
	}{
		"not a film": {map[string]string{"swimmer": "w1", "on": "2026-05-03", "pool": "Harbour <Baths>"}, "a.txt", "not a film", 422, "a.txt was not kept"},
		"no file":    {map[string]string{"swimmer": "w1", "on": "2026-05-03"}, "", "", 422, `id="wrong-clip"`},
		"no swimmer": {map[string]string{"on": "2026-05-03"}, "a.mp4", "film", 422, `id="wrong-swimmer"`},
		"bad rate":   {map[string]string{"swimmer": "w1", "on": "2026-05-03", "true_fps": "slow"}, "a.mp4", "film", 422, `id="wrong-true_fps"`},
		"no day":     {map[string]string{"swimmer": "w1", "on": "someday"}, "a.mp4", "film", 422, `id="wrong-on"`},
		"too large":  {map[string]string{"swimmer": "w1", "on": "2026-05-03"}, "a.mp4", strings.Repeat("x", 3<<20), 413, "too large"},
	} {
		t.Run(name, func(t *testing.T) {
			f := newFixture(t)
			srv := serve(t, f, Options{MaxClipBytes: 1 << 20})
			resp, body := ask(t, srv.Client(), upload(t, srv.URL, c.fields, c.file, c.content))
			if resp.StatusCode != c.status || !strings.Contains(body, c.must) {
				t.Errorf("status %d, want %d and %q: %s", resp.StatusCode, c.status, c.must, body)
			}
			if pool := c.fields["pool"]; pool != "" && !strings.Contains(body, `value="Harbour &lt;Baths&gt;"`) {
				t.Error("the pool that was typed is lost")
			}
			if f.taken != nil {
				t.Error("something was kept")
			}
		})
	}
}

func TestTemplatesMustBeDeclaredAndUsed(t *testing.T) {
	layout := &fstest.MapFile{Data: []byte(`{{block "main" .}}{{end}}`)}
	page := &fstest.MapFile{Data: []byte(`{{define "main"}}x{{end}}`)}
	files := fstest.MapFS{"layout.html": layout, "pages/a.html": page}
	if _, err := parsePages(files, map[string][]string{"a": nil}); err != nil {
		t.Errorf("a fitting set was refused: %v", err)
	}
	if _, err := parsePages(files, map[string][]string{"a": nil, "b": nil}); err == nil {
		t.Error("a page without a file passed")
	}
	files["parts/left.html"] = page
	if _, err := parsePages(files, map[string][]string{"a": nil}); err == nil || !strings.Contains(err.Error(), "parts/left.html") {
		t.Errorf("an unused part passed: %v", err)
	}
}
