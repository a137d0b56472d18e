package web

import (
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"
)

// page asks for an address and returns status and body.
func comparePageOf(t *testing.T, f *fixture, path string) (int, string, http.Header) {
	t.Helper()
	srv := serve(t, f, Options{})
	answer, err := srv.Client().Get(srv.URL + path)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(body), answer.Header
}

func TestComparePages(t *testing.T) {
	for _, c := range []struct {
		name, path string
		status     int
		must       []string
		mustNot    []string
	}{
		{"the chooser", "/compare", 200, []string{"Choose two to four runs", `<optgroup label="Mira Okonjo">`, "8 March 2026, 1.30 m/s"}, []string{"Films by phase"}},
		{"one run chosen", "/compare?run=r1", 200, []string{`<option value="r1" selected>`, "Choose two to four runs"}, []string{"Films by phase"}},
		{
			"two runs", "/compare?run=k1&run=k2", 200,
			[]string{
				"Films by phase", "Swimmer &lt;1&gt; and Swimmer &lt;2&gt;", "All differences, run by run", "front side up", "mirrored", "differ most here", "Knee flexion", "no verdict: two swimmers",
				"A note &lt;of the runs&gt;.", `data-films="/compare/films.json?run=k1&amp;run=k2"`, `class="line run-2"`, `class="band run-1"`, "Toe path in the body frame",
				`name="kick.k1"`, "All kicks in turn",
			},
			[]string{"Swimmer <1>", "NaN", "%!", "line run-3"},
		},
		{"four runs", "/compare?run=k1&run=k2&run=k3&run=k4&view=legs", 200, []string{`class="line run-4"`, "Show the whole body", "view=legs"}, []string{"NaN"}},
		{"a chosen kick", "/compare?run=k1&run=k2&kick.k1=1", 200, []string{`<option value="1" selected>`}, nil},
		{"one run twice", "/compare?run=k1&run=k1", 422, []string{"chosen twice", "Choose two to four runs"}, []string{"Films by phase"}},
		{"a run that is not there", "/compare?run=k1&run=zz", 404, nil, nil},
		{"films", "/compare/films.json?run=k1&run=k2", 200, []string{`"aspect":2`, `"mirror":true`, `"pictures":"/clip/k1/frame/"`, `"moments":{"drive":`}, nil},
		{"drawn", "/compare/drawn.json?run=k2&kick=1&layers=body", 200, []string{`"frame":100`, `film drawn`}, nil},
		{"drawn in no kick", "/compare/drawn.json?run=k2&kick=x", 404, nil, nil},
		{"drawn in no layer", "/compare/drawn.json?run=k2&kick=1&layers=glow", 422, nil, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, body, _ := comparePageOf(t, newFixture(t), c.path)
			if status != c.status {
				t.Fatalf("status %d, want %d: %.300s", status, c.status, body)
			}
			for _, m := range c.must {
				if !strings.Contains(body, m) {
					t.Errorf("%q is not in the answer", m)
				}
			}
			for _, m := range c.mustNot {
				if strings.Contains(body, m) {
					t.Errorf("%q is in the answer", m)
				}
			}
		})
	}
}

func TestARetestPairIsChosenForASwimmer(t *testing.T) {
	status, _, header := comparePageOf(t, newFixture(t), "/compare?swimmer=w1")
	if status != http.StatusSeeOther || header.Get("Location") != "/compare?run=r0&run=r1" {
		t.Errorf("%d to %q", status, header.Get("Location"))
	}
	if status, body, _ := comparePageOf(t, newFixture(t), "/compare?swimmer=w2"); status != http.StatusOK || !strings.Contains(body, "Choose two to four runs") {
		t.Errorf("a swimmer with one visit: %d", status)
	}
}

// TestFilmsAnswerHoldsWhatTheScriptReads decodes what is sent for a run.
func TestFilmsAnswerHoldsWhatTheScriptReads(t *testing.T) {
	_, body, _ := comparePageOf(t, newFixture(t), "/compare/films.json?run=k1&run=k2&kick.k2=2")
	var a filmsAnswer
	if err := json.Unmarshal([]byte(body), &a); err != nil {
		t.Fatal(err)
	}
	for i, r := range a.Runs {
		n := len(comparedFilms[i].times)
		if len(r.Frames) != n || len(r.Times) != n || len(r.X) != n || len(r.Y) != n || len(r.W) != n {
			t.Errorf("run %d has lists of unlike length", i+1)
		}
		if len(r.Kicks) < 3 || r.Kicks[0].Bottom <= r.Kicks[0].Start || r.Kicks[0].End <= r.Kicks[0].Bottom {
			t.Errorf("kicks %+v", r.Kicks)
		}
		if toe := r.Figure.Points["toe"]; len(toe.X) != len(r.Figure.Times) {
			t.Error("the figure's toe has no course")
		}
	}
	if a.Runs[1].Chosen != 2 || a.Bytes != pictureBytes {
		t.Errorf("chosen %d, bytes %d", a.Runs[1].Chosen, a.Bytes)
	}
}
