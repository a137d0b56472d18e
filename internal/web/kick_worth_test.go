package web

import (
	"io"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"underkick/internal/poolside"
)

func init() { scenarios = append(scenarios, worthScenarios...) }

var worthScenarios = []scenario{
	{name: "the finding leads with worth", path: "/run/r1", status: 200, must: []string{"<h1>The model expects about &#43;0.07 m/s (0.03 to 0.11) if facing", "Worth in the model, as in the reference run: at the same effort about &#43;0.05 m/s", "marked together, so facing is hard to tell", "State the effort of both runs.", "(cannot serve)", "taping &lt;of the ankles&gt;", "Nothing changed yet.", `href="/run/r1/model"`}, mustNot: []string{"NaN", "%!"}},
	{name: "worth is being worked out", path: "/run/r1", prepared: func(f *fixture) {
		f.worth = poolside.WorthView{State: poolside.WorthWorking, Job: &f.job}
	}, status: 200, must: []string{`data-worth-job="/run/r1/worth.json?job=j1"`, "Worth is being worked out: taking the pictures", "Look again", `action="/run/r1/worth/stop"`}},
	{name: "worth was stopped", path: "/run/r1", prepared: func(f *fixture) {
		f.worth = poolside.WorthView{State: poolside.WorthStopped, Why: "The disk is full."}
	}, status: 200, must: []string{"Worth was not worked out. The disk is full.", `action="/run/r1/worth/again"`}},
	{name: "too poor for worth", path: "/run/r1", prepared: func(f *fixture) {
		f.poor, f.worth = true, poolside.WorthView{State: poolside.WorthRefused, Why: "The run touches the surface."}
	}, status: 200, must: []string{"There is no estimate. The run touches the surface.", "The model gives no answers for this run. The run has 2 whole kicks"}, mustNot: []string{`type="range"`}},
	{name: "sliders without a script", path: "/run/r1?foot=5&tempo=3&phase=20", status: 200, must: []string{`name="foot" min="-10" max="15" step="1" value="5"`, "At the same effort: about &#43;", "The model expects about &#43;", " if everything else stays.", "Only if the sweep is kept", "Kuhn and Legerlotz 2022", "downkick, 43 %"}, mustNot: []string{"Nothing changed yet"}},
	{name: "tempo buys speed with effort", path: "/run/r1/what-if.json?tempo=5&band=1", status: 200, must: []string{`"same":"At the same effort: nothing gained. Faster only by working harder."`, "for clearly more effort", `"where":"toe bottom"`, `"changed":"M`}},
	{name: "a later peak is not resolved", path: "/run/r1/what-if.json?peak=6", status: 200, must: []string{"not resolved by the model", "costs effort"}},
	{name: "a slider past its end", path: "/run/r1/what-if.json?tempo=900&foot=x", status: 200, must: []string{"The model expects about +0.2"}},
	{name: "a what-if of no run", path: "/run/zz/what-if.json", status: 404},
	{name: "work on worth", path: "/run/r1/worth.json?job=j1", status: 200, must: []string{`{"state":"running","doing":"taking the pictures","fraction":0.4}`}},
	{name: "no such work", path: "/run/r1/worth.json?job=zz", status: 404},
	{name: "worth stopped", method: "POST", path: "/run/r1/worth/stop", form: url.Values{"job": {"j1"}}, status: 303, location: "/run/r1#worth", afterwards: func(t *testing.T, f *fixture) {
		if f.job.State != "cancelled" {
			t.Error("the work goes on")
		}
	}},
	{name: "worth again", method: "POST", path: "/run/r1/worth/again", form: url.Values{}, status: 303, location: "/run/r1#worth", afterwards: func(t *testing.T, f *fixture) {
		if f.again != 1 {
			t.Error("nothing was begun")
		}
	}},
	{name: "reference named", method: "POST", path: "/run/r1/reference", form: url.Values{"reference": {"r0"}}, status: 303, location: "/run/r1#worth", afterwards: func(t *testing.T, f *fixture) {
		if f.reference != "r0" {
			t.Errorf("kept %q", f.reference)
		}
	}},
	{name: "reference at another effort", method: "POST", path: "/run/r1/reference", form: url.Values{"reference": {"easy"}}, status: 422, must: []string{"the effort differs"}},
	{name: "reference of no run", method: "POST", path: "/run/zz/reference", form: url.Values{}, status: 404},
	{name: "the model for experts", path: "/run/r1/model", status: 200, must: []string{"Every number on this page is the model", "mean drag = 1 (model)", "personal factor", "84 %", "added mass of the feet", "0.5 to 1"}, mustNot: []string{"NaN", "%!"}},
	{name: "a run too poor for the model", path: "/run/r1/model", prepared: func(f *fixture) { f.poor = true }, status: 200, must: []string{"at least 3 are needed"}, mustNot: []string{"personal factor <b>"}},
	{name: "the model of no run", path: "/run/zz/model", status: 404},
	{name: "what was touched", method: "POST", path: "/run/r1/conditions", form: url.Values{"from_frame": {"10"}, "to_frame": {"200"}, "contact": {"surface"}}, status: 303, location: "/run/r1/mark", afterwards: func(t *testing.T, f *fixture) {
		if f.run.Contact != "surface" {
			t.Errorf("kept %+v", f.run)
		}
	}},
}

// units are newtons, newton seconds, newton metres and watts as a page might write them.
var units = regexp.MustCompile(`[0-9]\s*(&nbsp;)?(N|N s|N m|Nm|Ns|kW|W)\b|newton|watt`)

// No force and no power stands on a coach's page, nor on the expert's.
func TestNoForcesOnPages(t *testing.T) {
	srv := serve(t, newFixture(t), Options{})
	for _, path := range []string{"/run/r1", "/run/r1?foot=5&sweep=3&tempo=2&peak=4&knee=5", "/run/r1/what-if.json?foot=5&sweep=3&band=1", "/run/r1/model"} {
		res, err := http.Get(srv.URL + path) //nolint:noctx // a test server
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(res.Body)
		if err != nil {
			t.Fatal(err)
		}
		if err := res.Body.Close(); err != nil {
			t.Fatal(err)
		}
		words := regexp.MustCompile(`<[^>]*>`).ReplaceAllString(string(text), " ")
		if found := units.FindString(words); found != "" {
			t.Errorf("%s says %q", path, found)
		}
	}
	for text, is := range map[string]bool{"22 N s": true, "700 W": true, "12 N": true, "1.40 m/s": false, "5 °": false} {
		if units.MatchString(text) != is {
			t.Errorf("the test takes %q wrongly", text)
		}
	}
}

func TestEffortInWords(t *testing.T) {
	for power, want := range map[float64]string{0: "about the same effort", 0.05: "a little more", -0.2: "clearly less", 0.5: "much more", 0.029: "about the same"} {
		if got := effortWords(power); !strings.Contains(got, want) {
			t.Errorf("%g: %q, want %q", power, got, want)
		}
	}
}
