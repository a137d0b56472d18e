package cli

import (
	"strings"
	"testing"

	"underkick/internal/poolside"
	"underkick/internal/record"
	"underkick/internal/store"
)

func TestRecordsArePutRight(t *testing.T) {
	dir, ids := squadFolder(t, record.Swimmer{Name: "Ada Quist"}, record.Swimmer{Name: "Ben Moor"})
	clip, run := keptClip(t, dir, ids[0])
	ask := func(want int, args ...string) string {
		t.Helper()
		code, out, problem := underkick(t, append([]string{"put-right", "--data", dir}, args...)...)
		if code != want {
			t.Fatalf("%v: exit %d, want %d: %s", args, code, want, problem)
		}
		return out + problem
	}
	view := func() (v poolside.PutRightView) {
		t.Helper()
		app, err := poolside.Open(t.Context(), poolside.Options{DataDir: dir})
		if err != nil {
			t.Fatal(err)
		}
		v, err = app.PutRight(t.Context(), clip)
		if err != nil {
			t.Fatal(err)
		}
		if err := app.Close(); err != nil {
			t.Fatal(err)
		}
		return v
	}
	ask(0, "--clip", clip, "--swimmer", "Ben Moor", "--day", "2026-10-24")
	if v := view(); v.Owner.Name != "Ben Moor" || v.Visit.On != "2026-10-24" || v.Runs[0].Swimmer != "Ben Moor" {
		t.Errorf("%+v", v)
	}
	ask(0, "--visit-of", clip, "--pool", "Lake Hall")
	if v := view(); v.Visit.On != "2026-10-24" || v.Visit.Pool != "Lake Hall" {
		t.Errorf("%+v", v.Visit)
	}
	ask(0, "--run", run, "--swimmer", ids[0])
	if v := view(); v.Owner.Name != "Ben Moor" || v.Runs[0].Swimmer != "Ada Quist" {
		t.Errorf("%+v", v)
	}
	ask(0, "--run", run, "--aside", "hit the lane rope")
	if v := view(); v.Runs[0].Aside != "hit the lane rope" {
		t.Errorf("%+v", v.Runs[0].Run)
	}
	ask(0, "--run", run, "--count")
	if v := view(); v.Runs[0].Aside != "" {
		t.Errorf("%+v", v.Runs[0].Run)
	}
	ask(0, "--squad", "Quiet Lane", "--name", "Quiet Lane Youth")
	if v := view(); v.Squads[0].Name != "Quiet Lane Youth" {
		t.Errorf("%+v", v.Squads[0].Squad)
	}
	for _, c := range []struct {
		code int
		args []string
		must string
	}{
		{2, nil, "one of --clip, --run, --visit-of, --squad"},
		{2, []string{"--clip", clip, "--run", run}, "one of"},
		{2, []string{"--clip", clip}, "say what is right"},
		{2, []string{"--run", run, "--day", "2026-10-24"}, "another --swimmer"},
		{2, []string{"--run", run, "--count", "--aside", "why"}, "may --count again"},
		{2, []string{"--clip", clip, "--aside", "why", "--day", "2026-10-24"}, "go with --run"},
		{2, []string{"--visit-of", clip, "--swimmer", "Ada Quist"}, "--day or --pool"},
		{2, []string{"--squad", "Quiet Lane Youth"}, "another --name"},
		{2, []string{"--clip", clip, "--day", "soon"}, "YYYY-MM-DD"},
		{2, []string{"--squad", "Quiet Lane Youth", "--name", " "}, "write a name"},
		{3, []string{"--clip", "none", "--day", "2026-10-24"}, "no clip or run of that id"},
		{3, []string{"--run", "none", "--swimmer", "Ada Quist"}, "no clip or run of that id"},
		{3, []string{"--clip", clip, "--swimmer", "Nobody"}, "no swimmer"},
		{3, []string{"--squad", "Loud Lane", "--name", "x"}, "no squad"},
	} {
		if out := ask(c.code, c.args...); !strings.Contains(out, c.must) {
			t.Errorf("%v: %s", c.args, out)
		}
	}
}

// keptClip keeps a clip with a run of a swimmer, in a folder that nobody has open.
func keptClip(t *testing.T, dir, swimmerID string) (clip, run string) {
	t.Helper()
	s, err := store.Open(t.Context(), dir, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	w, err := s.Swimmer(t.Context(), swimmerID)
	if err != nil {
		t.Fatal(err)
	}
	v, err := s.AddVisit(t.Context(), record.Visit{SquadID: w.SquadID, On: "2026-03-01"})
	if err != nil {
		t.Fatal(err)
	}
	c, err := s.ImportClip(t.Context(), strings.NewReader("film"), "c.mp4", record.Clip{VisitID: v.ID, SwimmerID: w.ID})
	if err != nil {
		t.Fatal(err)
	}
	r, err := s.AddRun(t.Context(), record.Run{ClipID: c.ID, SwimmerID: w.ID, ToFrame: 99})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return c.ID, r.ID
}
