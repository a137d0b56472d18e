package poolside

import (
	"bytes"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"underkick/internal/guess"
	"underkick/internal/record"
)

// guessableRun brings in a demo clip with a run of a third of a second and returns
// where to point in its middle, 3 px off the truth.
func guessableRun(t *testing.T, app *App) (run record.Run, s GuessStart, truth map[string][][2]float64) {
	t.Helper()
	c := clipNamed(t, "joren-october-1")
	known, err := c.Truth()
	if err != nil {
		t.Fatal(err)
	}
	id, _ := bringIn(t, app, c)
	if run, err = app.Run(t.Context(), id); err != nil {
		t.Fatal(err)
	}
	run.FromFrame, run.ToFrame, run.Scale = 60, 80, c.Run.Scale
	if err := app.UpdateRun(t.Context(), run); err != nil {
		t.Fatal(err)
	}
	tip, toe := known.Landmarks["fingertip"][70], known.Landmarks["toe"][70]
	s = GuessStart{Frame: 70, Fingertip: [2]float64{tip[0] + 2, tip[1] - 2}, Toe: [2]float64{toe[0] - 2, toe[1] + 2}}
	return run, s, known.Landmarks
}

// until waits until the guess of a run meets a condition.
func until(t *testing.T, app *App, runID string, is func(GuessView) bool) GuessView {
	t.Helper()
	for range 1200 {
		v, err := app.Guess(t.Context(), runID)
		if err != nil {
			t.Fatal(err)
		}
		if is(v) {
			return v
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatal("waited in vain for the guess")
	return GuessView{}
}

// lookedAt lists what is kept of the guesses of a run's clip.
func lookedAt(t *testing.T, app *App, run record.Run) (lines []string) {
	t.Helper()
	clip, err := app.store.Clip(t.Context(), run.ClipID)
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(guess.Dir(app.store.CacheDir(), clip.Hash), "*.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, strings.Split(strings.TrimSpace(string(text)), "\n")...)
	}
	return lines
}

// TestAGuessOfAKeptRun goes the way of a coach: refused starts, a stop, the program's
// end in the middle, the points on the film, accepting them, switching the guess off.
func TestAGuessOfAKeptRun(t *testing.T) {
	if testing.Short() {
		t.Skip("takes 15 s of computing")
	}
	if !guess.Supported() {
		t.Skip("this machine cannot guess")
	}
	ctx, dir := t.Context(), t.TempDir()
	app, err := Open(ctx, Options{DataDir: dir})
	if err != nil {
		t.Fatal(err)
	}
	run, start, truth := guessableRun(t, app)

	if v := until(t, app, run.ID, func(GuessView) bool { return true }); v.State != GuessNone || v.GoOn {
		t.Errorf("before the first start: %+v", v)
	}
	if _, err := app.GuessOn(ctx, run.ID); !errors.Is(err, ErrInput) {
		t.Errorf("going on with nothing: %v", err)
	}
	for name, spoil := range map[string]func(*GuessStart){
		"off the run":     func(s *GuessStart) { s.Frame = 81 },
		"off the picture": func(s *GuessStart) { s.Toe[1] = -4 },
		"too close":       func(s *GuessStart) { s.Toe = s.Fingertip },
	} {
		bad := start
		spoil(&bad)
		if _, err := app.StartGuess(ctx, run.ID, bad); !errors.Is(err, ErrInput) {
			t.Errorf("a start %s: %v", name, err)
		}
	}

	if _, err := app.StartGuess(ctx, run.ID, start); err != nil {
		t.Fatal(err)
	}
	v := until(t, app, run.ID, func(v GuessView) bool { return v.Fraction > 0.15 })
	if v.State != GuessRunning || !strings.Contains(v.Words, "looking at the frames") {
		t.Errorf("under way: %+v", v)
	}
	if err := app.CancelGuess(ctx, run.ID); err != nil {
		t.Fatal(err)
	}
	v = until(t, app, run.ID, func(v GuessView) bool { return !v.Busy() })
	if v.State != GuessStopped || !v.GoOn {
		t.Errorf("stopped: %+v", v)
	}
	if m, err := app.Marks(ctx, run.ID); err != nil || len(m.Traces) != 0 {
		t.Errorf("%d traces of a stopped guess, %v", len(m.Traces), err)
	}
	first := len(lookedAt(t, app, run))
	if _, err := app.GuessOn(ctx, run.ID); err != nil || first == 0 {
		t.Fatalf("%d frames kept, %v", first, err)
	}
	until(t, app, run.ID, func(v GuessView) bool { return v.Fraction > 0.4 })
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}

	if app, err = Open(ctx, Options{DataDir: dir}); err != nil { // the job goes on by itself
		t.Fatal(err)
	}
	v = until(t, app, run.ID, func(v GuessView) bool { return !v.Busy() })
	if v.State != GuessReady || v.GoOn || !strings.Contains(v.Words, "60 to 80") {
		t.Errorf("at the end: %+v", v)
	}
	all := lookedAt(t, app, run)
	seen := map[string]bool{}
	for _, l := range all {
		seen[l[:min(len(l), 28)]] = true // frame and side
	}
	if len(seen) != len(all) || len(all) > 21+9 {
		t.Errorf("%d frames looked at, %d of them different; 30 at most are needed", len(all), len(seen))
	}
	checkGuessedPoints(t, app, run, truth)
	acceptsPoints(t, app, run)

	if _, err := app.StartGuess(ctx, run.ID, start); err != nil {
		t.Fatal(err)
	}
	until(t, app, run.ID, func(v GuessView) bool { return !v.Busy() })
	if again := lookedAt(t, app, run); len(again) != len(all) {
		t.Errorf("the same start looked at %d frames more", len(again)-len(all))
	}
	switchesOff(t, app, run, start)
	if err := app.Close(); err != nil {
		t.Error(err)
	}
	if app, err = Open(ctx, Options{DataDir: dir, NoGuess: true}); err != nil {
		t.Fatal(err)
	}
	if v, err := app.Guess(ctx, run.ID); err != nil || v.State != GuessOffHere {
		t.Errorf("started without the guess: %+v, %v", v, err)
	}
	if err := app.Close(); err != nil {
		t.Error(err)
	}
}

// checkGuessedPoints holds the points of a guess without marks against the truth. The
// bound is that of TestGuessFile.
func checkGuessedPoints(t *testing.T, app *App, run record.Run, truth map[string][][2]float64) {
	t.Helper()
	m, err := app.Marks(t.Context(), run.ID)
	if err != nil || len(m.Marks) != 0 || m.Next == nil || m.Meter.Level > 0 {
		t.Fatalf("with the guess alone: %d marks, next %v, level %d, %v", len(m.Marks), m.Next, m.Meter.Level, err)
	}
	length := math.Hypot(truth["toe"][70][0]-truth["fingertip"][70][0], truth["toe"][70][1]-truth["fingertip"][70][1])
	for _, l := range []string{"fingertip", "shoulder", "hip", "knee", "ankle", "toe"} {
		tr, sum, n := m.Traces[l], 0.0, 0.0
		for i := range tr.XPx {
			if tr.XPx[i] != nil {
				w := truth[l][tr.From+i]
				sum, n = sum+math.Pow(*tr.XPx[i]-w[0], 2)+math.Pow(*tr.YPx[i]-w[1], 2), n+1
			}
		}
		if rms := math.Sqrt(sum/n) / length; n != 21 || !(rms < 0.044) {
			t.Errorf("%s: off by %.1f %% of the body on %g frames", l, 100*rms, n)
		}
	}
	if k, err := app.Kick(t.Context(), run.ID, 0); err != nil || k.Problem == "" || k.Result != nil {
		t.Errorf("a guess alone was measured: %q, %v", k.Problem, err)
	}
}

// acceptsPoints accepts a filled-in point, takes that back and brings it again.
func acceptsPoints(t *testing.T, app *App, run record.Run) {
	t.Helper()
	ctx := t.Context()
	m, err := app.Marks(ctx, run.ID)
	if err != nil {
		t.Fatal(err)
	}
	knee := m.Traces["knee"]
	act := MarkAction{Do: "accept", Frame: 65, Landmark: "knee", XPx: *knee.XPx[5], YPx: *knee.YPx[5]}
	m, err = app.Mark(ctx, run.ID, "", act)
	if err != nil || len(m.Marks) != 1 || m.Marks[0].XPx != act.XPx {
		t.Fatalf("accepted: %v, %v", m.Marks, err)
	}
	if after := m.Traces["knee"]; !(*after.SDPx[5] < *knee.SDPx[5]) {
		t.Errorf("the knee is no surer where it was accepted: %g px, %g before", *after.SDPx[5], *knee.SDPx[5])
	}
	steps, err := app.store.Steps(ctx, run.ID)
	if err != nil || steps[0].Act != record.AcceptMark || !(steps[0].Changes[0].Mark.SD > 0) {
		t.Errorf("kept as %+v, %v", steps, err)
	}
	if k, err := app.Kick(ctx, run.ID, 0); err != nil || !strings.Contains(k.Problem, "A guess alone") {
		t.Errorf("measured from a guess and one knee: %q, %v", k.Problem, err)
	}
	var out bytes.Buffer
	if err := app.WriteMarks(ctx, run.ID, &out); err != nil || strings.Count(out.String(), `"landmark"`) != 1 {
		t.Errorf("the marks' file holds more than what was accepted: %s, %v", out.String(), err)
	}
	for _, do := range []string{"undo", "redo", "undo"} {
		if m, err = app.Mark(ctx, run.ID, "", MarkAction{Do: do, Seq: m.Seq}); err != nil || len(m.Marks) != map[string]int{"undo": 0, "redo": 1}[do] {
			t.Errorf("%s: %v, %v", do, m.Marks, err)
		}
	}
}

// switchesOff holds that nothing of the guess is used while it is off.
func switchesOff(t *testing.T, app *App, run record.Run, start GuessStart) {
	t.Helper()
	ctx := t.Context()
	if err := app.SetGuessing(ctx, false); err != nil {
		t.Fatal(err)
	}
	if v, err := app.Guess(ctx, run.ID); err != nil || v.State != GuessOff || v.Words == "" {
		t.Errorf("off: %+v, %v", v, err)
	}
	if m, err := app.Marks(ctx, run.ID); err != nil || len(m.Traces) != 0 || m.Next == nil {
		t.Errorf("off: %d traces, next %v, %v", len(m.Traces), m.Next, err)
	}
	if _, err := app.StartGuess(ctx, run.ID, start); !errors.Is(err, ErrInput) {
		t.Errorf("started while off: %v", err)
	}
	if err := app.SetGuessing(ctx, true); err != nil {
		t.Fatal(err)
	}
	if m, err := app.Marks(ctx, run.ID); err != nil || len(m.Traces) == 0 {
		t.Errorf("on again: %d traces, %v", len(m.Traces), err)
	}
}
