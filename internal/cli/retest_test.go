package cli

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"underkick/internal/demo/demotest"
	"underkick/internal/poolside"
	"underkick/internal/poolside/poolsidetest"
	"underkick/internal/record"
)

// ran runs a command and holds exit code and what it printed against what is wanted.
func ran(t *testing.T, want int, must string, args ...string) string {
	t.Helper()
	code, out, problem := underkick(t, args...)
	if code != want || !strings.Contains(out+problem, must) {
		t.Errorf("%v: exit %d, want %d and %q: %s%s", args, code, want, must, out, problem)
	}
	if code != exitOK && (problem == "" || out != "") {
		t.Errorf("%v: failed, printed %q and said %q", args, out, problem)
	}
	return out
}

type retestSaid struct {
	Test       string   `json:"test_on"`
	Retest     string   `json:"retest_on"`
	TestRuns   []string `json:"test_runs"`
	RetestRuns []string `json:"retest_runs"`
	Refused    []string `json:"refused"`
	Practised  []struct {
		Serves  string `json:"serves"`
		GivenBy string `json:"given_by"`
	} `json:"practised"`
	Next []string `json:"next"`
}

func retestOf(t *testing.T, dir, who string) retestSaid {
	t.Helper()
	var said retestSaid
	if err := json.Unmarshal([]byte(ran(t, exitOK, "", "retest", "--data", dir, who, "--json")), &said); err != nil {
		t.Fatal(err)
	}
	return said
}

// TestRetestAndCompare holds what the two commands say of the demo's season, and how they
// refuse what they cannot use.
func TestRetestAndCompare(t *testing.T) {
	dir := demotest.Copy(t, poolsidetest.LoadDemo)
	joren := retestOf(t, dir, "Joren Pike")
	if joren.Test != "2026-08-29" || joren.Retest != "2026-10-24" || len(joren.Practised) != 2 || joren.Practised[0].Serves != "facing" || joren.Practised[0].GivenBy == "" || len(joren.Next) == 0 || len(joren.TestRuns) != 1 || len(joren.RetestRuns) != 2 {
		t.Fatalf("the retest of the demo: %+v", joren)
	}
	t.Run("retest", func(t *testing.T) {
		out := ran(t, exitOK, "what to do next:", "retest", "--data", dir, "Joren Pike")
		for _, must := range []string{"practised in between:", "given by " + joren.Practised[0].GivenBy, "blackout", "no change shown", "primary", "exploratory"} {
			if !strings.Contains(out, must) {
				t.Errorf("the retest lacks %q: %s", must, out)
			}
		}
		ran(t, exitOK, "There is one, of 24 October 2026", "retest", "--data", dir, "Mira Tallow")
		ran(t, exitOK, "measure,", "retest", "--data", dir, "Joren Pike", "--csv")
		ran(t, exitOK, "measure,", "retest", "--data", dir, "Mira Tallow", "--trends")
		for _, c := range []struct {
			want int
			must string
			args []string
		}{
			{exitInput, "Nobody Here", []string{"Nobody Here"}},
			{exitInput, "choose one of 2026-10-24, 2026-08-29", []string{"Joren Pike", "--test", "2026-01-01"}},
			{exitInput, "must come before", []string{"Joren Pike", "--test", "2026-10-24", "--retest", "2026-08-29"}},
			{exitInput, "must come before", []string{"Joren Pike", "--test", "2026-10-24", "--retest", "2026-10-24"}},
			{exitInput, "choose one of", []string{"Mira Tallow", "--test", "2026-08-29"}},
			{exitUsage, "is not a day", []string{"Joren Pike", "--test", "last week"}},
			{exitUsage, "is not a day", []string{"Joren Pike", "--retest", "2026-02-30"}},
			{exitUsage, "one swimmer", nil},
			{exitUsage, "one swimmer", []string{"Joren Pike", "Mira Tallow"}},
			{exitUsage, "neither with --csv", []string{"Joren Pike", "--json", "--csv"}},
			{exitUsage, "every visit", []string{"Joren Pike", "--trends", "--test", "2026-08-29"}},
		} {
			ran(t, c.want, c.must, append([]string{"retest", "--data", dir}, c.args...)...)
		}
	})
	t.Run("compare", func(t *testing.T) {
		test, again := joren.TestRuns[0], joren.RetestRuns
		ran(t, exitOK, "verdict", "compare", "--data", dir, test, again[0])
		ran(t, exitOK, "verdict", append([]string{"compare", "--data", dir, test}, again...)...)
		for _, c := range []struct {
			want int
			must string
			args []string
		}{
			{exitInput, "is not in", []string{test, "nobody"}},
			{exitInput, "", []string{test, test}},
			{exitUsage, "two to four", []string{test}},
			{exitUsage, "two to four", nil},
			{exitUsage, "two to four", []string{test, again[0], again[1], "a", "b"}},
			{exitUsage, "exclude each other", []string{test, again[0], "--json", "--csv"}},
		} {
			ran(t, c.want, c.must, append([]string{"compare", "--data", dir}, c.args...)...)
		}
	})
	t.Run("unequal conditions", func(t *testing.T) {
		swumEasily(t, dir, joren.TestRuns[0])
		out := ran(t, exitOK, "no verdict", "retest", "--data", dir, "Joren Pike")
		if !strings.Contains(out, "effort") || !strings.Contains(out, "easy") || !strings.Contains(out, "race") || strings.Contains(out, "no change shown") {
			t.Errorf("conditions that differ are not named: %s", out)
		}
		if said := retestOf(t, dir, "Joren Pike"); len(said.Refused) == 0 || len(said.Next) == 0 {
			t.Errorf("refused %q, next %q", said.Refused, said.Next)
		}
		if out = ran(t, exitOK, "", "compare", "--data", dir, "--all", joren.TestRuns[0], joren.RetestRuns[0]); !strings.Contains(out, string("no verdict")) || !strings.Contains(out, "effort") {
			t.Errorf("runs of unlike effort are judged: %s", out)
		}
	})
}

// swumEasily changes the effort of a kept run.
func swumEasily(t *testing.T, dir, run string) {
	t.Helper()
	app, err := poolside.Open(t.Context(), poolside.Options{DataDir: dir})
	if err != nil {
		t.Fatal(err)
	}
	r, err := app.Run(t.Context(), run)
	if err == nil {
		r.Effort = record.Easy
		err = app.UpdateRun(t.Context(), r)
	}
	if err != nil {
		t.Error(err)
	}
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
}

// TestPracticeWithBadInput goes through every verb of practice with what it cannot use: exit
// codes as the help says, and nothing is changed by any of them.
func TestPracticeWithBadInput(t *testing.T) {
	dir, _ := squadFolder(t, record.Swimmer{Name: "Ada Quist", BirthYear: 1990}, record.Swimmer{Name: "Ben Moor"})
	practice := func(args ...string) []string { return append([]string{"practice", "--data", dir}, args...) }
	out := ran(t, exitOK, "given by: R. Alder", practice("--give", "quiet-hands", "--swimmer", "Ada Quist", "--why", "to try", "--by", "R. Alder")...)
	i := strings.Index(out, "  Quiet hands (quiet-hands)")
	id := strings.TrimSpace(out[strings.LastIndex(out[:i], "\n"):i])
	list := practice("--swimmer", "Ada Quist", "--json")
	before := ran(t, exitOK, `"given_by": "R. Alder"`, list...)
	for _, c := range []struct {
		want int
		must string
		args []string
	}{
		{exitInput, "no run nobody", []string{"--run", "nobody"}},
		{exitInput, "no drill gills", []string{"--drill", "gills"}},
		{exitInput, "no drill own-gills", []string{"--drill", "own-gills"}},
		{exitInput, "Nobody", []string{"--swimmer", "Nobody"}},
		{exitInput, "Nobody", []string{"--swimmer", "Nobody", "--by-week"}},
		{exitInput, "Nobody", []string{"--give", "finish-in-front", "--swimmer", "Nobody", "--why", "x"}},
		{exitInput, "", []string{"--give", "finish-in-front", "--run", "nobody"}},
		{exitUsage, "no drill of the library", []string{"--give", "gills", "--swimmer", "Ada Quist", "--why", "x"}},
		{exitUsage, "why", []string{"--give", "finish-in-front", "--swimmer", "Ada Quist"}},
		{exitUsage, "practised now", []string{"--give", "quiet-hands", "--swimmer", "Ada Quist", "--why", "x"}},
		{exitUsage, "from", []string{"--give", "finish-in-front", "--swimmer", "Ada Quist", "--why", "x", "--from", "tomorrow"}},
		{exitUsage, "weeks", []string{"--give", "finish-in-front", "--swimmer", "Ada Quist", "--why", "x", "--weeks", "2"}},
		{exitUsage, "retest_on", []string{"--give", "finish-in-front", "--swimmer", "Ada Quist", "--why", "x", "--retest", "2020-01-01"}},
		{exitUsage, "without breathing", []string{"--give", "finish-in-front", "--swimmer", "Ada Quist", "--why", "to stay under as long as she can"}},
		{exitUsage, "by", []string{"--give", "finish-in-front", "--swimmer", "Ada Quist", "--why", "x", "--by", strings.Repeat("x", 200)}},
		{exitUsage, "dose", []string{"--change", id, "--repeats", "99"}},
		{exitUsage, "dose", []string{"--change", id, "--each", "11"}},
		{exitUsage, "weeks", []string{"--change", id, "--weeks", "13"}},
		{exitUsage, "retest_on", []string{"--change", id, "--retest", "soon"}},
		{exitUsage, "without breathing", []string{"--change", id, "--notes", "no breathing until the flags"}},
		{exitInput, "not found", []string{"--change", "nothing", "--weeks", "4"}},
		{exitUsage, "ended", []string{"--end", id, "--on", "2020-01-01"}},
		{exitUsage, "ended", []string{"--end", id, "--on", "yesterday"}},
		{exitInput, "not found", []string{"--end", "nothing"}},
		{exitInput, "not found", []string{"--take-back", "nothing"}},
		{exitInput, "not found", []string{"--again", id, "--version", "9"}},
		{exitUsage, "--version", []string{"--again", id}},
		{exitInput, "Nobody", []string{"--session", "--squad", "Nobody"}},
		{exitInput, "is no day", []string{"--session", "--squad", "Quiet Lane", "--on", "someday"}},
		{exitInput, "Nobody", []string{"--session", "--squad", "Quiet Lane", "--only", "Nobody"}},
		{exitInput, "Nobody", []string{"--due", "--squad", "Nobody"}},
		{exitInput, "none.json", []string{"--own", dir + "/none.json"}},
		{exitInput, "not found", []string{"--retire", "own-none"}},
		{exitInput, "not found", []string{"--bring-back", "own-none"}},
		{exitUsage, "does not go with", []string{"--drill", "quiet-hands", "--swimmer", "Ada Quist"}},
		{exitUsage, "does not go with", []string{"--by-week", "--session", "--squad", "Quiet Lane"}},
	} {
		ran(t, c.want, c.must, practice(c.args...)...)
	}
	if after := ran(t, exitOK, "", list...); after != before {
		t.Errorf("a refusal changed something:\n%s\n%s", before, after)
	}
}

// Every verb prints the cautions, as text and as JSON.
func TestPracticeAlwaysCautions(t *testing.T) {
	dir, _ := squadFolder(t, record.Swimmer{Name: "Ada Quist", BirthYear: 1990})
	ran(t, exitOK, "", "practice", "--data", dir, "--give", "quiet-hands,rock-on-the-mat", "--swimmer", "Ada Quist", "--why", "to try")
	for _, args := range [][]string{
		{}, {"--serves", "tempo"}, {"--drill", "kneel-and-lean"}, {"--swimmer", "Ada Quist"}, {"--swimmer", "Ada Quist", "--by-week"}, {"--session", "--squad", "Quiet Lane"}, {"--due", "--squad", "Quiet Lane"},
	} {
		for _, form := range [][]string{nil, {"--json"}} {
			out := ran(t, exitOK, "", slices.Concat([]string{"practice", "--data", dir}, args, form)...)
			for _, caution := range poolside.PracticeCautions() {
				if !strings.Contains(out, caution) {
					t.Errorf("practice %v %v lacks %q", args, form, caution)
				}
			}
		}
	}
	if out := ran(t, exitOK, "week by week", "practice", "--data", dir, "--swimmer", "Ada Quist", "--by-week"); strings.Count(out, "film again") != 2 || !strings.Contains(out, "this week") || !strings.Contains(out, "Slow") && !strings.Contains(out, "All with the float.") {
		t.Errorf("week by week: %s", out)
	}
	if out := ran(t, exitOK, "from 13, club and above", "practice", "--drill", "kneel-and-lean"); !strings.Contains(out, "weeks:   from week 3") || !strings.Contains(out, "Not with knee pain") {
		t.Errorf("one drill: %s", out)
	}
}
