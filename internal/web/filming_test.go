package web

import (
	"net/url"
	"strings"
	"testing"

	"underkick/internal/poolside"
	"underkick/internal/record"
)

func TestFilmingPages(t *testing.T) {
	for _, sc := range []scenario{
		{name: "card", path: "/filming-card", status: 200, must: []string{"seen in water", "Work out the bands", "Battery gear in a tested case", "never ignore the urge", "From above, to scale", `class="swimmer"`}, mustNot: []string{"NaN", "%!", "<no value>"}},
		{name: "card of a preset", path: "/filming-card?preset=window", status: 200, must: []string{`value="3840"`, `class="wall"`, "Put the camera at the window"}},
		{name: "card of a typed set-up", path: "/filming-card?field_deg=90&distance_m=3&fps=120&shutter_s=1/500", status: 200, must: []string{"64 degrees of view in water, 90 in air", "3.8 m wide", "1/500"}},
		{name: "card with bands", path: "/filming-card?field_deg=60&distance_m=6&fps=50&bands=1", status: 200, must: []string{"What helps most", "Expected 95 % band", "Every change that was tried", "All measures"}, mustNot: []string{"NaN", "Inf"}},
		{name: "card too near", path: "/filming-card?field_deg=40&distance_m=1&bands=1", status: 200, must: []string{"does not fit into", "No whole kick fits"}},
		{name: "card that cannot be", path: "/filming-card?fps=5000&shutter_s=fast", status: 422, must: []string{"This is 5000 frames per second", "This is a time such as 1/500", `value="5000"`}, mustNot: []string{"seen in water"}},
		{name: "clip", path: "/clip/c1", status: 200, must: []string{"Run 1, kept", "Run 2, proposed", "crosses to the right: about 2 whole kicks, 2.10 per second", "no steady kicking is seen", "habit, not seen", "choose; film does not show it", `data-run="1"`, "How it was filmed"}},
		{name: "no clip", path: "/clip/zz", status: 404},
		{name: "runs kept", method: "POST", path: "/clip/c1/runs", form: url.Values{
			"run_0": {"r1"}, "from_0": {"8"}, "to_0": {"158"}, "position_0": {"prone"}, "keep_0": {"1"},
			"run_1": {""}, "from_1": {"180"}, "to_1": {"300"}, "position_1": {"supine"}, "keep_1": {"1"},
			"run_2": {""}, "from_2": {""}, "to_2": {""},
		}, status: 303, location: "/job/j1", afterwards: func(t *testing.T, f *fixture) {
			want := []poolside.RunChoice{
				{RunID: "r1", From: 8, To: 158, Position: record.Prone, Keep: true},
				{From: 180, To: 300, Position: record.Supine, Keep: true},
				{},
			}
			for i, c := range want {
				if len(f.chosen) != 3 || f.chosen[i] != c {
					t.Errorf("kept %+v", f.chosen)
				}
			}
		}},
		{name: "run without a position", method: "POST", path: "/clip/c1/runs", form: url.Values{"run_0": {"r1"}, "from_0": {"5"}, "to_0": {"160"}, "keep_0": {"1"}}, status: 422, must: []string{"This is not said"}},
		{name: "run without a frame", method: "POST", path: "/clip/c1/runs", form: url.Values{"run_0": {""}, "from_0": {"ten"}, "to_0": {"160"}, "position_0": {"prone"}, "keep_0": {"1"}}, status: 422, must: []string{"This is no frame number"}},
		{name: "looking again", method: "POST", path: "/clip/c1/find-runs", form: url.Values{}, status: 303, location: "/job/j1"},
		{name: "preview", path: "/clip/c1/preview/0.jpg", status: 200},
		{name: "no preview", path: "/clip/c1/preview/12.jpg", status: 404},
		{name: "preview that is none", path: "/clip/c1/preview/x.png", status: 404},
	} {
		t.Run(sc.name, func(t *testing.T) {
			f := newFixture(t)
			srv := serve(t, f, Options{})
			resp, body := ask(t, srv.Client(), sc.request(t, srv.URL))
			if resp.StatusCode != sc.status || resp.Header.Get("Location") != sc.location {
				t.Fatalf("status %d, location %q: %s", resp.StatusCode, resp.Header.Get("Location"), body)
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
			if sc.afterwards != nil {
				sc.afterwards(t, f)
			}
		})
	}
}

// TestASharedDoubtIsToldOnce: what stands against all four measures is not repeated at each.
func TestASharedDoubtIsToldOnce(t *testing.T) {
	one := func(id string, doubts ...string) poolside.FilmingBand {
		return poolside.FilmingBand{ID: id, Primary: true, Doubts: doubts}
	}
	speed := one("speed", "few kicks", "a bent picture")
	p := filmingPage{Expected: &poolside.FilmingBands{Bands: []poolside.FilmingBand{speed, one("sweep", "few kicks"), {ID: "period"}}}}
	if got := p.SharedDoubts(); len(got) != 1 || got[0] != "few kicks" {
		t.Errorf("shared: %q", got)
	}
	if got := p.OwnDoubts(speed); len(got) != 1 || got[0] != "a bent picture" {
		t.Errorf("of speed alone: %q", got)
	}
	if got := p.OwnDoubts(p.Expected.Bands[1]); len(got) != 0 {
		t.Errorf("of sweep alone: %q", got)
	}
}
