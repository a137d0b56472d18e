package poolside

import (
	"bytes"
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"underkick/internal/demo"
	"underkick/internal/record"
	"underkick/internal/table"
)

// addSwimmer keeps a squad and a swimmer and returns the swimmer's id.
func addSwimmer(t *testing.T, app *App) string {
	t.Helper()
	squad, err := app.AddSquad(t.Context(), record.Squad{Name: "Quiet Lane"})
	if err != nil {
		t.Fatal(err)
	}
	id, alike, err := app.AddSwimmer(t.Context(), record.Swimmer{SquadID: squad, Name: "Wilma Reed", HeightM: 1.72, MassKg: 62, Sex: record.Female})
	if err != nil || len(alike) != 0 {
		t.Fatal(id, alike, err)
	}
	return id
}

// bringIn brings a demo clip in for a new swimmer and waits until it is read.
func bringIn(t *testing.T, app *App, c demo.Clip) (runID string, done JobView) {
	t.Helper()
	text, err := c.Film()
	if err != nil {
		t.Fatal(err)
	}
	return bringInFilm(t, app, c.File(), text)
}

func bringInFilm(t *testing.T, app *App, name string, text []byte) (runID string, done JobView) {
	t.Helper()
	in, err := app.BringIn(t.Context(), BringIn{SwimmerID: addSwimmer(t, app), On: "2026-10-24", Pool: "Old Baths", FileName: name, Content: bytes.NewReader(text)})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.jobs.Wait(t.Context(), in.JobID); err != nil {
		t.Fatal(err)
	}
	done, err = app.Job(t.Context(), in.JobID)
	if err != nil || done.State != "done" {
		t.Fatalf("job %+v, %v", done, err)
	}
	return done.RunID, done
}

func clipNamed(t *testing.T, name string) demo.Clip {
	t.Helper()
	for _, c := range loadDemo(t).Clips {
		if c.Name == name {
			return c
		}
	}
	t.Fatalf("no demo clip %s", name)
	return demo.Clip{}
}

func TestAClipGoesInAndAFindingComesOut(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	c := clipNamed(t, "mira-october")
	runID, _ := bringIn(t, app, c)

	view, err := app.Kick(ctx, runID, 0)
	if err != nil || !strings.Contains(view.Problem, "Nothing is marked") {
		t.Fatalf("unmarked: %q, %v", view.Problem, err)
	}
	marks, err := c.Marks()
	if err != nil {
		t.Fatal(err)
	}
	if notes, err := app.ImportMarks(ctx, runID, "A. Coach", bytes.NewReader(marks), nil); err != nil || len(notes) != 0 {
		t.Fatal(notes, err)
	}
	run, err := app.Run(ctx, runID)
	if err != nil {
		t.Fatal(err)
	}
	run.Scale, run.Effort, run.Start = c.Run.Scale, record.Race, record.PushOff
	if err := app.UpdateRun(ctx, run); err != nil {
		t.Fatal(err)
	}
	view, err = app.Kick(ctx, runID, 0)
	if err != nil || view.Problem != "" {
		t.Fatalf("%q, %v", view.Problem, err)
	}
	if view.Finding.Sentence == "" || view.Result.Counted < 3 || len(view.Stills) != 8 {
		t.Errorf("finding %q, %d kicks, %d stills", view.Finding.Sentence, view.Result.Counted, len(view.Stills))
	}
	for _, s := range view.Stills {
		if s.Crop.X < 0 || s.Crop.Y < 0 || s.Crop.X+s.Crop.W > 1280 || s.Crop.Y+s.Crop.H > 720 || math.Abs(s.Crop.W/view.Stills[0].Crop.W-1) > 0.02 {
			t.Errorf("%s: crop %+v", s.Moment, s.Crop)
		}
		if toe := drawnToe(t, s.Scene); toe.X < s.Crop.X || toe.X > s.Crop.X+s.Crop.W {
			t.Errorf("%s: the toe %+v is outside the crop %+v", s.Moment, toe, s.Crop)
		}
		if _, err := app.Picture(ctx, view.Clip.ID, s.Frame); err != nil {
			t.Error(err)
		}
	}
	squads, err := app.Squad(ctx)
	if err != nil {
		t.Fatal(err)
	}
	row := squads.Squads[0].Rows[0]
	if row.LastRunID != runID || row.Speed == nil || row.Finding == "" || row.LastVisit != "2026-10-24" {
		t.Errorf("squad row %+v", row)
	}
}

func TestMarkingIsKeptAndUndone(t *testing.T) {
	ctx, app := t.Context(), openApp(t)
	runID, _ := bringIn(t, app, clipNamed(t, "mira-october"))
	place := func(frame int, x float64) MarksView {
		t.Helper()
		v, err := app.Mark(ctx, runID, "A. Coach", MarkAction{Do: "place", Frame: frame, Landmark: "toe", XPx: x, YPx: 300})
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	place(5, 100)
	v := place(5, 120) // the same place again moves the mark
	if len(v.Marks) != 1 || v.Marks[0].XPx != 120 {
		t.Fatalf("%+v", v.Marks)
	}
	seen := v.Seq
	v = place(9, 140)
	stale, err := app.Mark(ctx, runID, "", MarkAction{Do: "undo", Seq: seen})
	if err != nil || len(stale.Marks) != 2 || len(stale.Warn) == 0 {
		t.Errorf("an undo from another window: %+v, %v", stale, err)
	}
	for want := 1; want >= 0; want-- {
		v, err = app.Mark(ctx, runID, "", MarkAction{Do: "undo", Seq: v.Seq})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(v.Marks) != 1 || v.Marks[0].XPx != 100 || !v.CanRedo {
		t.Errorf("after two undos: %+v", v)
	}
	v, err = app.Mark(ctx, runID, "", MarkAction{Do: "redo", Seq: v.Seq})
	if err != nil || v.Marks[0].XPx != 120 {
		t.Errorf("after redo: %+v, %v", v, err)
	}
	for _, bad := range []MarkAction{
		{Do: "place", Frame: 5, Landmark: "toe", XPx: 5000, YPx: 10},
		{Do: "place", Frame: 100000, Landmark: "toe", XPx: 10, YPx: 10},
		{Do: "place", Frame: 5, Landmark: "nose", XPx: 10, YPx: 10},
		{Do: "explode"},
	} {
		if _, err := app.Mark(ctx, runID, "", bad); err == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
	if after, err := app.Marks(ctx, runID); err != nil || len(after.Marks) != 1 {
		t.Errorf("a refused action changed the marks: %+v, %v", after, err)
	}
}

func TestMarksGoOutAndComeBack(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	c := clipNamed(t, "joren-october-2")
	runID, _ := bringIn(t, app, c)
	text, err := c.Marks()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.ImportMarks(ctx, runID, "", bytes.NewReader(text), nil); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := app.WriteMarks(ctx, runID, &out); err != nil {
		t.Fatal(err)
	}
	was, err := table.ReadMarks(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	is, err := table.ReadMarks(&out)
	if err != nil {
		t.Fatal(err)
	}
	if len(is.Marks) != len(was.Marks) {
		t.Fatalf("%d marks came back of %d", len(is.Marks), len(was.Marks))
	}
	for i, m := range is.Marks {
		if w := was.Marks[i]; m.Frame != w.Frame || m.Landmark != w.Landmark || m.X != w.X || m.Y != w.Y {
			t.Fatalf("mark %d is %+v, was %+v", i, m, w)
		}
	}
	undone, err := app.Mark(ctx, runID, "", MarkAction{Do: "undo", Seq: 1})
	if err != nil || len(undone.Marks) != 0 {
		t.Errorf("one undo takes the import back: %d marks, %v", len(undone.Marks), err)
	}
	far := "frame,landmark,x_px,y_px\n3,toe,9000,10\n"
	if _, err := app.ImportMarks(ctx, runID, "", strings.NewReader(far), nil); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), "outside the picture") {
		t.Errorf("marks outside the picture: %v", err)
	}
}

func TestSlowMotionMustBeConfirmed(t *testing.T) {
	skipShort(t)
	ctx, app := t.Context(), openApp(t)
	c := clipNamed(t, "bram-october")
	runID, done := bringIn(t, app, c)
	marks, err := c.Marks()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.ImportMarks(ctx, runID, "", bytes.NewReader(marks), nil); err != nil {
		t.Fatal(err)
	}
	view, err := app.Kick(ctx, runID, 0)
	if err != nil || !strings.Contains(view.Problem, "how fast") || view.Result != nil {
		t.Fatalf("%q, %v", view.Problem, err)
	}
	if err := app.SetTrueFPS(ctx, done.ClipID, 240); err != nil {
		t.Fatal(err)
	}
	view, err = app.Kick(ctx, runID, 0)
	if err != nil || view.Problem != "" {
		t.Fatalf("%q, %v", view.Problem, err)
	}
	truth, err := c.Truth()
	if err != nil {
		t.Fatal(err)
	}
	want := trueValue(t, truth, "kick_frequency")
	if got := value(t, view.Result, "kick_frequency"); got < 0.98*want || got > 1.02*want {
		t.Errorf("kick frequency %.3f, true %.3f", got, want)
	}
}

func TestWhatIsNoFilmIsNotKept(t *testing.T) {
	ctx, app := t.Context(), openApp(t)
	swimmer := addSwimmer(t, app)
	for name, text := range map[string]string{"text.mp4": "hello, I am a text file", "empty.mp4": ""} {
		_, err := app.BringIn(ctx, BringIn{SwimmerID: swimmer, FileName: name, Content: strings.NewReader(text)})
		if err == nil {
			t.Errorf("%s was taken", name)
		}
	}
	view, err := app.Swimmer(ctx, swimmer)
	if err != nil || len(view.Visits) != 0 {
		t.Errorf("something was kept: %+v, %v", view.Visits, err)
	}
	if _, err := app.BringIn(ctx, BringIn{SwimmerID: "nobody", FileName: "a.mp4", Content: strings.NewReader("x")}); !errors.Is(err, ErrNotFound) {
		t.Errorf("a clip for nobody: %v", err)
	}
}

func TestDamagedPicturesAreNamed(t *testing.T) {
	skipShort(t)
	app := openApp(t)
	text, err := clipNamed(t, "mira-october").Film()
	if err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(1, 2))
	text = slices.Clone(text)
	for range 40 { // a card that lost some bytes in the middle of the pictures
		text[len(text)/3+rng.IntN(len(text)/3)] ^= 0xff
	}
	runID, _ := bringInFilm(t, app, "mira.mp4", text)
	view, err := app.Marking(t.Context(), runID)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range view.Clip.Facts.Warnings {
		if w.Code == warnDamagedFrames && strings.Contains(w.Text, "frames") {
			return
		}
	}
	t.Errorf("nothing is said of the damage: %+v", view.Clip.Facts.Warnings)
}

// endless is an upload that never ends.
type endless struct{}

func (endless) Read(p []byte) (int, error) { return len(p), nil }

func TestUploadsAreBoundedAndCancelled(t *testing.T) {
	app := openApp(t)
	swimmer := addSwimmer(t, app)
	b := &bounded{r: endless{}, left: 1 << 20}
	buf := make([]byte, 1<<16)
	var err error
	for range 20 {
		if _, err = b.Read(buf); err != nil {
			break
		}
	}
	if !errors.Is(err, ErrInput) {
		t.Errorf("an endless upload: %v", err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	if _, err := app.BringIn(ctx, BringIn{SwimmerID: swimmer, FileName: "a.mp4", Content: endless{}}); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("a cancelled upload: %v", err)
	}
}

func TestDemoLoadsOnceAndNotOverOwnSquads(t *testing.T) {
	ctx, app := t.Context(), openDemo(t) // loaded once, and the folder opened again
	var told []string
	tell := func(s string) { told = append(told, s) }
	first, err := app.Squad(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(first.Squads[0].Rows); n < 5 {
		t.Errorf("%d swimmers", n)
	}
	for _, r := range first.Squads[0].Rows {
		if r.Speed == nil || r.Finding == "" {
			t.Errorf("%s has no measured run", r.Name)
		}
	}
	told = nil
	if err := app.LoadDemo(ctx, tell); err != nil || len(told) != 0 {
		t.Errorf("loaded twice: %v, %v", told, err)
	}
	runID := first.Squads[0].Rows[0].LastRunID
	before, err := app.store.Results(ctx, runID)
	if err != nil || len(before) == 0 {
		t.Fatalf("kept of the first: %d results, %v", len(before), err)
	}
	app.measured = measuredCache{} // as after a restart
	if _, err := app.Kick(ctx, runID, 0); err != nil {
		t.Fatal(err)
	}
	if results, err := app.store.Results(ctx, runID); err != nil || len(results) != len(before) {
		t.Errorf("the same inputs are kept once: %d results, then %d, %v", len(before), len(results), err)
	}
	own := openApp(t)
	addSwimmer(t, own)
	if err := own.LoadDemo(ctx, tell); !errors.Is(err, ErrInput) {
		t.Errorf("over a squad of one's own: %v", err)
	}
}
