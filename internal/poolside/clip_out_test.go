package poolside

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"underkick/internal/body"
	"underkick/internal/demo"
	"underkick/internal/drawing"
	"underkick/internal/film"
	"underkick/internal/record"
)

// measurableRun brings a demo clip in with its marks and its scale.
func measurableRun(t *testing.T, app *App, c demo.Clip) string {
	t.Helper()
	runID, _ := bringIn(t, app, c)
	marks, err := c.Marks()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.ImportMarks(t.Context(), runID, "A. Coach", bytes.NewReader(marks), nil); err != nil {
		t.Fatal(err)
	}
	run, err := app.Run(t.Context(), runID)
	if err != nil {
		t.Fatal(err)
	}
	run.Scale = c.Run.Scale
	if err := app.UpdateRun(t.Context(), run); err != nil {
		t.Fatal(err)
	}
	return runID
}

// lumas decodes a made clip whole.
func lumas(t *testing.T, e *film.Engine, path string) (pictures []film.Picture) {
	t.Helper()
	_, err := e.Decode(t.Context(), path, film.Request{}, func(p film.Picture) error {
		p.Data = slices.Clone(p.Data)
		pictures = append(pictures, p)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return pictures
}

// sourceLuma is a picture of a run as the clip was made from, brought to w by h px of
// luma in the video's range.
func sourceLuma(t *testing.T, p *clipPlan, panel *clipPanel, k int) []byte {
	t.Helper()
	file, err := p.app.cache.Picture(t.Context(), p.engine, p.app.filmClip(panel.rc.Clip), p.sourceWidth(panel), panel.m.frames[panel.shown[k]])
	if err != nil {
		t.Fatal(err)
	}
	source, err := jpeg.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	img := image.NewRGBA(image.Rect(0, 0, panel.width, panel.height))
	clipFraming.fill(img, source, panel.crops[k], float64(panel.rc.Clip.Facts.WidthPx))
	frame := make([]byte, panel.width*panel.height*3/2)
	film.Planar(frame, img)
	return frame[:panel.width*panel.height]
}

// unlike is the mean difference of a part of a made picture from the source's.
func unlike(made film.Picture, source []byte, panel *clipPanel, part image.Rectangle) float64 {
	sum, n := 0.0, 0
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			d := float64(made.Data[(panel.y+y)*made.Width+panel.x+x]) - float64(source[y*panel.width+x])
			sum, n = sum+math.Abs(d), n+1
		}
	}
	return sum / float64(n)
}

// placeAround is the square of 2 r px around a place, inside a panel.
func placeAround(x, y, r float64, panel *clipPanel) image.Rectangle {
	return image.Rect(int(x-r), int(y-r), int(x+r)+1, int(y+r)+1).Intersect(image.Rect(0, 0, panel.width, panel.height))
}

// TestClipsOut makes clips of two demo runs of different swimmers, rates and directions,
// one of them filmed by a moving hand. Bringing them in and measuring them takes seconds,
// so all parts share one data folder.
func TestClipsOut(t *testing.T) {
	skipShort(t)
	dir := t.TempDir()
	app := openClipApp(t, dir)
	runs := []string{measurableRun(t, app, clipNamed(t, "mira-october")), measurableRun(t, app, clipNamed(t, "nilo-november"))}
	for _, part := range []struct {
		name string
		test func(t *testing.T, app *App, runs []string)
	}{
		{"a clip is made", aClipIsMade},
		{"heads are softened", headsAreSoftened},
		{"two runs are locked by phase", twoRunsAreLocked},
		{"what cannot be made is refused", clipsAreRefused},
		{"a cancelled clip leaves nothing", aCancelledClip},
		{"a repeated picture is handed out once", repeatedOnce},
		{"the embedded engine makes one too", embeddedClip},
		{"names are hidden", hiddenNames},
		{"consent is asked", consentIsAsked},
		{"there is room", madeClipsAreBounded},
		{"a written clip", aWrittenClip},
	} {
		t.Run(part.name, func(t *testing.T) { part.test(t, app, runs) })
	}
	jobID := cutOff(t, app, runs[0])
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
	app = openClipApp(t, dir)
	t.Run("a clip that was cut off is made anew", func(t *testing.T) { madeAnew(t, app, jobID) })
	t.Run("erased with its swimmer", func(t *testing.T) { erasedWithItsSwimmer(t, app, runs) })
	if err := app.Close(); err != nil {
		t.Fatal(err)
	}
}

func openClipApp(t *testing.T, dir string) *App {
	t.Helper()
	app, err := Open(t.Context(), Options{DataDir: dir})
	if err != nil {
		t.Fatal(err)
	}
	app.film = openEngine(t)
	return app
}

// aClipIsMade makes one kick at a quarter of its speed and reads it back: its
// pictures are the run's, each shown four times as long as it was filmed; the toe's
// landmark is drawn where the toe was traced; the head is softened; elsewhere the film
// is as it was.
func aClipIsMade(t *testing.T, app *App, runs []string) {
	ctx, runID := t.Context(), runs[0]
	spec := ClipSpec{Runs: []ClipRun{{RunID: runID, Kick: 2, Kicks: 1}}, WidthPx: 640, Soften: true, Layers: drawing.Only(drawing.BodyLayer)}
	jobID, err := app.MakeClip(ctx, spec)
	if err != nil {
		t.Fatal(err)
	}
	if j, err := app.jobs.Wait(ctx, jobID); err != nil || j.State != record.Done {
		t.Fatalf("%+v, %v", j, err)
	}
	path, mediaType, err := app.MadeClip(ctx, jobID)
	if err != nil || mediaType != "video/mp4" || filepath.Base(filepath.Dir(path)) != runID {
		t.Fatal(path, mediaType, err)
	}
	plan, err := app.planClip(ctx, &spec)
	if err != nil {
		t.Fatal(err)
	}
	pictures, panel := lumas(t, openEngine(t), path), plan.panels[0]
	if len(pictures) != len(panel.shown) || pictures[0].Width != 640 || pictures[0].Height != 360 {
		t.Fatalf("%d pictures of %d by %d, want %d", len(pictures), pictures[0].Width, pictures[0].Height, len(panel.shown))
	}
	for k, p := range pictures {
		i := panel.shown[k]
		if want := 4 * (panel.m.motion.T[i] - panel.m.motion.T[panel.shown[0]]); math.Abs(p.Time-want) > 1.0/90000 {
			t.Errorf("picture %d is shown at %.6f s, want %.6f", k, p.Time, want)
		}
	}
	k := len(pictures) / 2
	checkDrawn(t, plan, panel, pictures[k], k)
}

func checkDrawn(t *testing.T, plan *clipPlan, panel *clipPanel, made film.Picture, k int) {
	t.Helper()
	source, i, scale := sourceLuma(t, plan, panel, k), panel.shown[k], float64(panel.width)/panel.crops[k].W
	toe := panel.m.motion.Paths[body.Toe]
	x, y := panel.m.View.ToPicture(panel.m.motion.T[i], toe.X[i], toe.Y[i])
	if d := unlike(made, source, panel, placeAround(x*scale, y*scale, 5, panel)); d < 10 {
		t.Errorf("nothing is drawn at the toe: difference %.1f", d)
	}
	if d := unlike(made, source, panel, image.Rect(0, panel.height-60, 200, panel.height-5)); d > 4 {
		t.Errorf("the film changed where nothing is drawn: difference %.1f", d)
	}
}

// headsAreSoftened draws one picture without any layer: where the head is, detail is
// gone, and where nobody is the picture is as it was.
func headsAreSoftened(t *testing.T, app *App, runs []string) {
	spec := ClipSpec{Runs: []ClipRun{{RunID: runs[0], Kick: 2, Kicks: 1}}, WidthPx: 640, Soften: true, Layers: drawing.None()}
	plan, err := app.planClip(t.Context(), &spec)
	if err != nil {
		t.Fatal(err)
	}
	panel, k := plan.panels[0], 7
	made, scale := drawnLuma(t, plan, k), float64(panel.width)/panel.crops[k].W
	source := sourceLuma(t, plan, panel, k)
	spots := panel.m.softAt(panel.shown[k])
	if len(spots) != upperSteps { // the demo's heads are not marked
		t.Fatalf("softened at %+v", spots)
	}
	for _, s := range spots {
		part := placeAround(s.X*scale, s.Y*scale, s.R*scale/2, panel)
		if before, after := roughness(source, panel.width, part), roughness(made.Data, made.Width, part); !(after < before/4) {
			t.Errorf("softened %v: roughness %.2f, was %.2f", part, after, before)
		}
	}
	if d := unlike(made, source, panel, image.Rect(400, 200, 600, 300)); d > 0 {
		t.Errorf("the film changed where nobody is: difference %.1f", d)
	}

	// A traced head is softened alone, and no place at all is refused.
	m := *panel.m
	m.motion.Paths[body.Head] = &body.Path{X: slices.Clone(m.motion.Paths[body.Shoulder].X), Y: slices.Clone(m.motion.Paths[body.Shoulder].Y)}
	for i := range m.motion.Paths[body.Head].X {
		m.motion.Paths[body.Head].X[i] += 0.25 * m.Result.Line.Along[0]
	}
	head, with := m.softAt(panel.shown[k]), m.FaceAt(panel.shown[k])
	if len(head) != 1 || head[0] != with || head[0].R >= spots[0].R*2 {
		t.Errorf("the head is softened at %+v", head)
	}
	m.motion.Paths[body.Head], m.motion.Paths[body.Shoulder] = nil, nil
	panel.m = &m
	if err := plan.facesKnown(); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), "cannot be softened") {
		t.Errorf("a swimmer without a head: %v", err)
	}
}

// drawnLuma is picture k of a clip as it goes to the encoder.
func drawnLuma(t *testing.T, p *clipPlan, k int) film.Picture {
	t.Helper()
	d := p.drawer()
	if err := d.draw(t.Context(), k); err != nil {
		t.Fatal(err)
	}
	frame := make([]byte, p.width*p.height*3/2)
	film.Planar(frame, d.canvas)
	return film.Picture{Width: p.width, Height: p.height, Data: frame[:p.width*p.height]}
}

// roughness is the mean square of what a pixel differs from its neighbours.
func roughness(luma []byte, width int, part image.Rectangle) float64 {
	sum, n := 0.0, 0
	for y := part.Min.Y + 1; y < part.Max.Y-1; y++ {
		for x := part.Min.X + 1; x < part.Max.X-1; x++ {
			at := func(dx, dy int) float64 { return float64(luma[(y+dy)*width+x+dx]) }
			d := at(0, 0) - (at(-1, 0)+at(1, 0)+at(0, -1)+at(0, 1))/4
			sum, n = sum+d*d, n+1
		}
	}
	return sum / float64(n)
}

// twoRunsAreLocked makes a pair and finds out from its pixels which picture of the second
// run is shown: of the neighbours in time it is the one that is nearest in phase to the
// first run's, so never more than half a picture off.
func twoRunsAreLocked(t *testing.T, app *App, runs []string) {
	ctx := t.Context()
	spec := ClipSpec{Runs: []ClipRun{{RunID: runs[0], Kick: 2, Kicks: 1}, {RunID: runs[1], Kick: 3}}, WidthPx: 640, Layers: drawing.None()}
	path, _, err := app.WriteClip(ctx, spec, filepath.Join(t.TempDir(), "pair"), nil)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := app.planClip(ctx, &spec)
	if err != nil {
		t.Fatal(err)
	}
	pictures, lead, other := lumas(t, openEngine(t), path), plan.panels[0], plan.panels[1]
	if !other.crops[0].Mirror || lead.crops[0].Mirror {
		t.Error("the swimmers do not swim the same way")
	}
	own, theirs := wholeKick(lead.m.Result, 2), wholeKick(other.m.Result, 3)
	looked, right, free := 0, 0, image.Rect(0, 30, other.width, other.height-30) // without clock and label
	for k, p := range pictures {
		if want := 4 * (lead.m.motion.T[lead.shown[k]] - lead.m.motion.T[lead.shown[0]]); math.Abs(p.Time-want) > 1.0/90000 {
			t.Errorf("picture %d is shown at %.6f s, want %.6f", k, p.Time, want)
		}
		phase, at := own.Phase(lead.m.motion.T[lead.shown[k]]), other.shown[k]
		for _, n := range []int{at - 1, at + 1} {
			if n < 0 || n >= len(other.m.motion.T) {
				continue
			}
			// In time, not in phase: the two halves of a kick last unequally long.
			if now, then := math.Abs(other.m.motion.T[at]-theirs.At(phase)), math.Abs(other.m.motion.T[n]-theirs.At(phase)); now > then+1e-9 {
				t.Errorf("picture %d: phase %.3f of the other run is nearer to its picture %d than to %d", k, phase, n, at)
			}
		}
		if k%4 != 0 {
			continue
		}
		looked++
		if seenIn(t, plan, p, seenAt{k, free}) == at {
			right++
		}
	}
	if looked < 8 || right < looked {
		t.Errorf("%d of %d pictures show the other run's wanted picture", right, looked)
	}
}

// seenAt is which picture of a clip is looked at, and which part of a panel.
type seenAt struct {
	k    int
	part image.Rectangle
}

// seenIn is the picture of the second run that a made picture shows: of the wanted one and
// its two neighbours the one that is most like it.
func seenIn(t *testing.T, plan *clipPlan, made film.Picture, at seenAt) int {
	t.Helper()
	panel := *plan.panels[1]
	best, least := -1, math.Inf(1)
	want := panel.shown[at.k]
	for i := max(0, want-1); i <= min(want+1, len(panel.m.motion.T)-1); i++ {
		panel.shown = slices.Clone(panel.shown)
		panel.shown[at.k] = i
		panel.crops = []drawing.Crop{}
		panel.follow(plan.spec)
		if d := unlike(made, sourceLuma(t, plan, &panel, at.k), &panel, at.part); d < least {
			best, least = i, d
		}
	}
	return best
}

func clipsAreRefused(t *testing.T, app *App, runs []string) {
	one := []ClipRun{{RunID: runs[0]}}
	for name, c := range map[string]struct {
		spec ClipSpec
		want string
	}{
		"no run":          {ClipSpec{}, "one run"},
		"three runs":      {ClipSpec{Runs: slices.Concat(one, one, one)}, "one run"},
		"the same twice":  {ClipSpec{Runs: slices.Concat(one, one)}, "beside themselves"},
		"odd speed":       {ClipSpec{Runs: one, Slow: 3}, "1/3"},
		"too wide":        {ClipSpec{Runs: one, WidthPx: 4000}, "px wide"},
		"no such kick":    {ClipSpec{Runs: []ClipRun{{RunID: runs[0], Kick: 90}}}, "no whole kick 90"},
		"too many kicks":  {ClipSpec{Runs: []ClipRun{{RunID: runs[0], Kick: 1, Kicks: 90}}}, "not 90"},
		"frames outside":  {ClipSpec{Runs: []ClipRun{{RunID: runs[0], From: 5, To: 9999}}}, "not in the run"},
		"frames backward": {ClipSpec{Runs: []ClipRun{{RunID: runs[0], From: 50, To: 20}}}, "after the first"},
		"frames of two":   {ClipSpec{Runs: []ClipRun{{RunID: runs[0], From: 5, To: 20}, {RunID: runs[1]}}}, "choose kicks"},
		"nobody":          {ClipSpec{Runs: one, Audience: "everyone"}, "everyone"},
	} {
		if _, err := app.MakeClip(t.Context(), c.spec); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := app.MakeClip(t.Context(), ClipSpec{Runs: []ClipRun{{RunID: "nothing"}}}); !errors.Is(err, ErrNotFound) {
		t.Errorf("no such run: %v", err)
	}
	if _, _, err := app.MadeClip(t.Context(), "nothing"); !errors.Is(err, ErrNotFound) {
		t.Errorf("no such clip: %v", err)
	}
}

// madeFiles lists the files below the folder of made clips.
func madeFiles(t *testing.T, app *App) (names []string) {
	t.Helper()
	err := filepath.WalkDir(app.madeDir(), func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			names = append(names, d.Name())
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// aCancelledClip is stopped while it is being written.
func aCancelledClip(t *testing.T, app *App, runs []string) {
	ctx, before := t.Context(), madeFiles(t, app)
	jobID, err := app.MakeClip(ctx, ClipSpec{Runs: []ClipRun{{RunID: runs[0]}}, WidthPx: 1280, Slow: 8, Layers: drawing.All()})
	if err != nil {
		t.Fatal(err)
	}
	told := false
	err = app.jobs.Watch(ctx, jobID, func(j record.Job) bool {
		if strings.Contains(j.Doing, "writing") && !told {
			told = true
			if err := app.CancelJob(ctx, jobID); err != nil {
				t.Error(err)
			}
		}
		return true
	})
	if j, jobErr := app.jobs.Job(ctx, jobID); err != nil || jobErr != nil || j.State != record.Cancelled || !told {
		t.Fatalf("%+v, %v, %v", j, err, jobErr)
	}
	if after := madeFiles(t, app); !slices.Equal(after, before) {
		t.Errorf("left behind: %v, before: %v", after, before)
	}
	if _, _, err := app.MadeClip(ctx, jobID); !errors.Is(err, ErrNotFound) {
		t.Errorf("a cancelled clip: %v", err)
	}
}

// hiddenNames: a clip of two swimmers with their names in it is not handed out while names
// are hidden; one that was made meanwhile has pseudonyms.
func hiddenNames(t *testing.T, app *App, runs []string) {
	ctx := t.Context()
	spec := ClipSpec{Runs: []ClipRun{{RunID: runs[0], Kick: 2, Kicks: 1}, {RunID: runs[1], Kick: 2, Kicks: 1}}, WidthPx: 320, Slow: 1}
	made := func() string {
		t.Helper()
		jobID, err := app.MakeClip(ctx, spec)
		if err != nil {
			t.Fatal(err)
		}
		if j, err := app.jobs.Wait(ctx, jobID); err != nil || j.State != record.Done {
			t.Fatalf("%+v, %v", j, err)
		}
		return jobID
	}
	named := made()
	plan, err := app.planClip(ctx, &spec)
	if err != nil || !strings.HasPrefix(plan.panels[0].label, "Wilma Reed") {
		t.Fatalf("label %q, %v", plan.panels[0].label, err)
	}
	if err := app.SetPseudonyms(ctx, true); err != nil {
		t.Fatal(err)
	}
	if _, _, err := app.MadeClip(ctx, named); !errors.Is(err, ErrHidden) {
		t.Errorf("a clip with names: %v", err)
	}
	if v, err := app.Made(ctx, named); err != nil || !strings.Contains(v.Gone, "written in it") || strings.Contains(v.Words+v.Name, "Wilma") {
		t.Errorf("%+v, %v", v, err)
	}
	if _, _, err := app.MadeClip(ctx, made()); err != nil {
		t.Errorf("a clip without names: %v", err)
	}
	if err := app.SetPseudonyms(ctx, false); err != nil {
		t.Fatal(err)
	}
	// What leaves the squad carries no name even while names are shown.
	plan.spec.Audience = record.OutsideSquad
	plan.name(ctx)
	if plan.panels[0].label != "Swimmer A" || plan.panels[1].label != "Swimmer B" || plan.named {
		t.Errorf("labels %q and %q", plan.panels[0].label, plan.panels[1].label)
	}
}

// consentIsAsked when a clip for others is begun, and again when it is handed out.
func consentIsAsked(t *testing.T, app *App, runs []string) {
	ctx := t.Context()
	spec := ClipSpec{Runs: []ClipRun{{RunID: runs[0], Kick: 2, Kicks: 1}, {RunID: runs[1], Kick: 2, Kicks: 1}}, WidthPx: 320, Audience: record.OutsideSquad}
	var given []string
	for i, id := range runs {
		if _, err := app.MakeClip(ctx, spec); !errors.Is(err, ErrConsent) || !errors.Is(err, ErrInput) {
			t.Fatalf("without consent of swimmer %d: %v", i+1, err)
		}
		rc, err := app.store.RunWhole(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		given = append(given, rc.Swimmer.ID)
		if _, err := app.AddConsent(ctx, record.Consent{
			SwimmerID: rc.Swimmer.ID, GivenBy: "Parent", As: record.ByParent, On: "2020-01-01", For: []record.Purpose{record.ForOutside},
		}); err != nil {
			t.Fatal(err)
		}
	}
	jobID, err := app.MakeClip(ctx, spec)
	if err != nil {
		t.Fatal(err)
	}
	if j, err := app.jobs.Wait(ctx, jobID); err != nil || j.State != record.Done {
		t.Fatalf("%+v, %v", j, err)
	}
	if _, _, err := app.MadeClip(ctx, jobID); err != nil {
		t.Fatal(err)
	}
	view, err := app.Consent(ctx, given[1])
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.WithdrawConsent(ctx, given[1], view.Rows[0].ID, ""); err != nil {
		t.Fatal(err)
	}
	if _, _, err := app.MadeClip(ctx, jobID); !errors.Is(err, ErrConsent) {
		t.Errorf("a clip whose consent was withdrawn: %v", err)
	}
}

// madeClipsAreBounded puts more files into the folder than are kept.
func madeClipsAreBounded(t *testing.T, app *App, runs []string) {
	dir := filepath.Join(app.madeDir(), runs[0])
	if err := os.MkdirAll(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	oldest := filepath.Join(dir, "keep.mp4")
	for i := range mostMade + 5 {
		path := filepath.Join(dir, fmt.Sprintf("old%02d.mp4", i))
		if i == 0 {
			path = oldest
		}
		if err := os.WriteFile(path, []byte("film"), 0o600); err != nil {
			t.Fatal(err)
		}
		at := time.Date(2020, 1, 1, 0, i, 0, 0, time.UTC)
		if err := os.Chtimes(path, at, at); err != nil {
			t.Fatal(err)
		}
	}
	if err := app.makeRoomForMade(oldest); err != nil {
		t.Fatal(err)
	}
	left := madeFiles(t, app)
	if len(left) != mostMade || !slices.Contains(left, "keep.mp4") || slices.Contains(left, "old01.mp4") || !slices.Contains(left, fmt.Sprintf("old%02d.mp4", mostMade+4)) {
		t.Errorf("%d files are left: %v", len(left), left)
	}
}

// aWrittenClip goes to a file of one's own; its ending is that of what was made.
func aWrittenClip(t *testing.T, app *App, runs []string) {
	dir := t.TempDir()
	spec := ClipSpec{Runs: []ClipRun{{RunID: runs[0], From: 100, To: 105}}, Slow: 1, WidthPx: 320, Follow: true}
	said := 0.0
	path, note, err := app.WriteClip(t.Context(), spec, filepath.Join(dir, "toes.mp4"), func(done float64, _ string) { said = done })
	if err != nil || path != filepath.Join(dir, "toes.mp4") || !strings.Contains(note, "6 pictures") || said != 1 {
		t.Fatalf("%s, %q, %v, %g", path, note, err, said)
	}
	if pictures := lumas(t, openEngine(t), path); len(pictures) != 6 || math.Abs(pictures[5].Time-0.05) > 1.0/90000 {
		t.Errorf("%d pictures, the last at %g s", len(pictures), pictures[5].Time)
	}
	ctx, cancel := context.WithCancel(t.Context())
	_, _, err = app.WriteClip(ctx, spec, filepath.Join(dir, "stopped"), func(done float64, doing string) {
		if strings.Contains(doing, "writing") {
			cancel()
		}
	})
	if left, _ := os.ReadDir(dir); !errors.Is(err, context.Canceled) || len(left) != 1 {
		t.Errorf("%v, left %v", err, left)
	}
}

// cutOff keeps a job as a killed process leaves it: running under another start of the
// program, with a file that was never finished.
func cutOff(t *testing.T, app *App, runID string) string {
	t.Helper()
	ctx := t.Context()
	if err := app.jobs.Stop(ctx); err != nil {
		t.Fatal(err)
	}
	spec := ClipSpec{Runs: []ClipRun{{RunID: runID, Kick: 2, Kicks: 1}}, WidthPx: 320}
	jobID, err := app.MakeClip(ctx, spec)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.store.ClaimJob(ctx, "killed", []string{jobClipOut}); err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(app.madeDir(), runID)
	if err := os.WriteFile(filepath.Join(dir, "."+jobID+".mp4.1234.part"), []byte("half"), 0o600); err != nil {
		t.Fatal(err)
	}
	return jobID
}

func madeAnew(t *testing.T, app *App, jobID string) {
	if j, err := app.jobs.Wait(t.Context(), jobID); err != nil || j.State != record.Done || j.Attempts != 2 {
		t.Fatalf("%+v, %v", j, err)
	}
	path, _, err := app.MadeClip(t.Context(), jobID)
	if err != nil {
		t.Fatal(err)
	}
	if n := len(lumas(t, openEngine(t), path)); n < 20 {
		t.Errorf("%d pictures", n)
	}
	for _, name := range madeFiles(t, app) {
		if strings.HasSuffix(name, ".part") {
			t.Errorf("left behind: %s", name)
		}
	}
}

// erasedWithItsSwimmer: clips of the second of a pair go when that swimmer goes.
func erasedWithItsSwimmer(t *testing.T, app *App, runs []string) {
	ctx := t.Context()
	rc, err := app.store.RunWhole(ctx, runs[1])
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.EraseSwimmer(ctx, EraseRequest{SwimmerID: rc.Swimmer.ID}); err != nil {
		t.Fatal(err)
	}
	folders, err := os.ReadDir(app.madeDir())
	if err != nil || len(folders) != 1 || folders[0].Name() != runs[0] {
		t.Errorf("%v, %v", folders, err)
	}
	one, err := app.store.RunWhole(ctx, runs[0])
	if err != nil {
		t.Fatal(err)
	}
	left, err := app.store.JobsOn(ctx, runs[0])
	for _, j := range left {
		if strings.Contains(string(j.Args), runs[1]) {
			t.Errorf("a job still names the erased run: %s", j.Args)
		}
	}
	if err != nil || len(left) == 0 {
		t.Errorf("jobs of the other run: %v, %v", left, err)
	}
	// Film erased while its records stay takes the clips made of it along.
	if err := app.EraseFilm(ctx, one.Clip.ID); err != nil {
		t.Fatal(err)
	}
	if left := madeFiles(t, app); len(left) > 0 {
		t.Errorf("made clips of erased film: %v", left)
	}
	if _, err := app.MakeClip(ctx, ClipSpec{Runs: []ClipRun{{RunID: runs[0]}}}); !errors.Is(err, ErrInput) {
		t.Errorf("a clip of erased film: %v", err)
	}
}
