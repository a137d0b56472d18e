package poolside

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"underkick/internal/drawing"
	"underkick/internal/record"
)

// lessonDemo is the demo's squad with one run of each swimmer, by name.
func lessonDemo(t *testing.T) (app *App, runs map[string][]string, ids map[string]string) {
	t.Helper()
	app = openDemo(t)
	runs, ids = map[string][]string{}, map[string]string{}
	all, err := app.AllSwimmers(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range all {
		name, _, _ := strings.Cut(w.Name, " ")
		ids[name] = w.ID
		measured, err := app.store.Measured(t.Context(), w.ID, "speed")
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range measured {
			runs[name] = append(runs[name], m.RunID)
		}
	}
	return app, runs, ids
}

// forget takes back every consent that the demo came with.
func forget(t *testing.T, app *App, swimmer string) {
	t.Helper()
	consents, err := app.store.Consents(t.Context(), swimmer)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range consents {
		if c.Withdrawn == "" {
			if _, err := app.store.WithdrawConsent(t.Context(), c.ID, c.On); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// consent records one from some months ago and returns its id.
func consent(t *testing.T, app *App, swimmer string, purposes ...record.Purpose) string {
	t.Helper()
	w, err := app.store.Swimmer(t.Context(), swimmer)
	if err != nil {
		t.Fatal(err)
	}
	on := record.Date(today())
	c, err := app.store.AddConsent(t.Context(), record.Consent{SwimmerID: swimmer, GivenBy: "Somebody", As: record.GiverOf(w.BirthYear, on), On: on, For: purposes})
	if err != nil {
		t.Fatal(err)
	}
	return c.ID
}

// made is a new lesson's id; it ends the test where there is none.
func made(t *testing.T, app *App, start LessonStart) string {
	t.Helper()
	id, err := app.NewLesson(t.Context(), start)
	if err != nil {
		t.Fatal(err)
	}
	return id
}

func fileOf(t *testing.T, app *App, id string) (text string, warnings []string) {
	t.Helper()
	var b bytes.Buffer
	warnings, err := app.WriteLesson(t.Context(), id, &b)
	if err != nil {
		t.Fatal(err)
	}
	return b.String(), warnings
}

func TestLessonsOnTheDemo(t *testing.T) {
	app, runs, ids := lessonDemo(t)
	for _, id := range ids {
		forget(t, app, id)
	}
	t.Run("consent", func(t *testing.T) { lessonConsent(t, app, runs, ids) })
	for name, id := range ids {
		if name != "Bram" {
			consent(t, app, id, record.ForFilming, record.ForSquad, record.ForOutside)
		}
	}
	three := LessonStart{Template: record.BuildLesson, RunIDs: []string{runs["Joren"][0], runs["Mira"][0], runs["Edda"][0]}}
	t.Run("names", func(t *testing.T) { lessonNamesHidden(t, app, three) })
	t.Run("cautions", func(t *testing.T) { lessonCautions(t, app, three) })
	t.Run("changes", func(t *testing.T) { lessonChanges(t, app, runs, three) })
	t.Run("faces", func(t *testing.T) { lessonFaces(t, app, three) })
	t.Run("templates", func(t *testing.T) { lessonTemplates(t, app, runs) })
	t.Run("printed", func(t *testing.T) { lessonPrinted(t, app, three) })
	t.Run("sheets", func(t *testing.T) { sheetsPrinted(t, app, runs) })
}

// lessonConsent: a lesson asks for the consent of its audience when a run comes in, when the
// audience changes, and each time anything of it is shown.
func lessonConsent(t *testing.T, app *App, runs map[string][]string, ids map[string]string) {
	ctx := t.Context()
	start := LessonStart{Template: record.FacingLesson, RunIDs: []string{runs["Mira"][0], runs["Bram"][0]}}
	if _, err := app.NewLesson(ctx, start); !errors.Is(err, ErrConsent) || !errors.Is(err, ErrInput) {
		t.Fatalf("without consent: %v", err)
	}
	consent(t, app, ids["Mira"], record.ForSquad)
	bram := consent(t, app, ids["Bram"], record.ForSquad)
	id := made(t, app, start)

	l, err := app.Lesson(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	out := l.LessonBody
	out.Audience = record.OutsideSquad
	if _, err := app.ChangeLesson(ctx, id, l.Seq, out); !errors.Is(err, ErrConsent) {
		t.Errorf("squad consent alone, for outside: %v", err)
	}
	more := l.LessonBody.Set(record.LessonBlock{ID: "b2", Kind: record.StillsBlock, Runs: []record.LessonRun{{RunID: runs["Edda"][0]}}})
	if _, err := app.ChangeLesson(ctx, id, l.Seq, more); !errors.Is(err, ErrConsent) {
		t.Errorf("a run without consent comes in: %v", err)
	}
	before, _ := fileOf(t, app, id)
	picture := LessonPicture{LessonID: id, RunID: runs["Bram"][0], Kick: 2, Moment: "fastest"}
	if _, err := app.LessonStill(ctx, picture); err != nil {
		t.Errorf("a picture with consent: %v", err)
	}
	if _, err := app.LessonStill(ctx, LessonPicture{LessonID: id, RunID: runs["Tessa"][0], Moment: "fastest"}); !errors.Is(err, ErrNotFound) {
		t.Errorf("a picture of a run that is not on the lesson: %v", err)
	}

	if _, err := app.store.WithdrawConsent(ctx, bram, record.Date(today())); err != nil {
		t.Fatal(err)
	}
	after, warnings := fileOf(t, app, id)
	if n, m := strings.Count(before, "data:image"), strings.Count(after, "data:image"); n != 8 || m != 4 {
		t.Errorf("%d pictures before the consent was withdrawn, %d after; want 8 and 4", n, m)
	}
	if strings.Contains(after, "Bram") || !strings.Contains(after, "Withheld: there is no consent today") {
		t.Error("the sheet still names who is withheld, or does not say that somebody is")
	}
	if !slices.ContainsFunc(warnings, func(w string) bool { return strings.Contains(w, "Bram") && strings.Contains(w, "no consent") }) {
		t.Errorf("the author is told: %q", warnings)
	}
	if _, err := app.LessonStill(ctx, picture); !errors.Is(err, ErrConsent) {
		t.Errorf("a picture after the consent was withdrawn: %v", err)
	}
	// What stands can still be changed: its other blocks, its words.
	l.Blocks[0].Text = "Other words."
	if _, err := app.ChangeLesson(ctx, id, l.Seq, l.LessonBody); err != nil {
		t.Errorf("changing what has a withheld row: %v", err)
	}
}

// lessonNamesHidden: with pseudonyms or letters no name stands anywhere in the file, not even in
// the author's own words.
func lessonNamesHidden(t *testing.T, app *App, start LessonStart) {
	ctx := t.Context()
	for shown, want := range map[record.NamesShown]string{record.ShowNames: "Joren Pike, 29 August 2026", record.ShowPseudonyms: "Swimmer ", record.ShowNoNames: "Swimmer A, 29 August 2026"} {
		id := made(t, app, start)
		l, err := app.Lesson(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		b := l.LessonBody
		b.Names, b.Title = shown, "What Joren and Mira show"
		b.Blocks[0].Text = "Look at Joren Pike's foot."
		b.Blocks[1].Runs[1].Captions = map[string]string{"set": "Mira, heels high"}
		if _, err := app.ChangeLesson(ctx, id, l.Seq, b); err != nil {
			t.Fatal(err)
		}
		text, warnings := fileOf(t, app, id)
		if !strings.Contains(text, want) {
			t.Errorf("%s: no %q", shown, want)
		}
		words := regexp.MustCompile(`data:[^"]*"`).ReplaceAllString(text, "")
		named := regexp.MustCompile(`Joren|Pike|Mira|Tallow|Edda|Quill`).FindString(words)
		if (named == "") == (shown == record.ShowNames) {
			t.Errorf("%s: the file says %q", shown, named)
		}
		if told := slices.Contains(warnings, "A name in your own words is replaced on the sheet."); told != (shown != record.ShowNames) {
			t.Errorf("%s: told of replaced names: %v", shown, told)
		}
	}
}

// lessonCautions: they come by themselves and cannot be taken away.
func lessonCautions(t *testing.T, app *App, start LessonStart) {
	ctx := t.Context()
	start.Audience = record.OutsideSquad
	id := made(t, app, start)
	l, err := app.Lesson(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	if l.Names != record.ShowPseudonyms || !l.Soften {
		t.Errorf("for outside it begins with names %q, softened %v", l.Names, l.Soften)
	}
	text, _ := fileOf(t, app, id)
	if !strings.Contains(text, "Shallow-water blackout") || !strings.Contains(text, "Film of minors.") { // Edda was born in 2012
		t.Error("a caution is missing")
	}
	b := l.LessonBody
	b.Blocks = slices.DeleteFunc(slices.Clone(b.Blocks), func(x record.LessonBlock) bool { return x.Kind == record.PracticeBlock })
	for words, touched := range map[string]bool{"Look at the foot.": false, "Do 6 x 6 kicks.": true, "Practise it twice a week.": true, "Breathe out slowly.": true} {
		b.Blocks[0].Text = words
		l, err = app.ChangeLesson(ctx, id, l.Seq, b)
		if err != nil {
			t.Fatal(err)
		}
		if text, _ = fileOf(t, app, id); strings.Contains(text, "Shallow-water blackout") != touched {
			t.Errorf("%q: caution on breath-holding %v, want %v", words, !touched, touched)
		}
	}
}

// lessonChanges: kept by itself, refused when it was changed elsewhere, duplicated, undone.
func lessonChanges(t *testing.T, app *App, runs map[string][]string, start LessonStart) {
	ctx := t.Context()
	id := made(t, app, start)
	l, err := app.Lesson(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	same, err := app.ChangeLesson(ctx, id, l.Seq, l.LessonBody)
	if err != nil || same.Seq != l.Seq {
		t.Errorf("keeping what stands adds a version: %v, %v", same.Seq, err)
	}
	b := l.Move("b1", 1)
	moved, err := app.ChangeLesson(ctx, id, l.Seq, b)
	if err != nil || moved.Blocks[1].ID != "b1" || moved.Undos != 1 {
		t.Fatalf("%+v, %v", moved.Undos, err)
	}
	if _, err := app.ChangeLesson(ctx, id, l.Seq, b.Drop("b1")); !errors.Is(err, ErrChangedElsewhere) {
		t.Errorf("changed elsewhere: %v", err)
	}
	copied, err := app.DuplicateLesson(ctx, id)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := app.LessonAct(ctx, id, record.UndoLesson); err != nil {
		t.Fatal(err)
	}
	first, err1 := app.Lesson(ctx, id)
	second, err2 := app.Lesson(ctx, copied)
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	if first.Blocks[0].ID != "b1" || second.Blocks[0].ID != "b2" || second.Title != first.Title+", copy" {
		t.Errorf("after undoing the first: %s first in it, %s in the copy %q", first.Blocks[0].ID, second.Blocks[0].ID, second.Title)
	}
	for range 2 {
		if _, err = app.LessonAct(ctx, copied, record.UndoLesson); err != nil {
			break
		}
	}
	if !errors.Is(err, ErrInput) {
		t.Errorf("nothing to undo: %v", err)
	}
	if _, err := app.LessonAct(ctx, id, record.RemoveLesson); err != nil {
		t.Fatal(err)
	}
	view, err := app.Lessons(ctx)
	if err != nil || !slices.ContainsFunc(view.Squads[0].Removed, func(r LessonRow) bool { return r.ID == id }) {
		t.Errorf("removed: %+v, %v", view.Squads[0].Removed, err)
	}
	for name, body := range map[string]record.LessonBody{
		"no run":         l.Set(record.LessonBlock{ID: "b2", Kind: record.StillsBlock, Runs: []record.LessonRun{{RunID: "zz"}}}),
		"too many":       l.Set(record.LessonBlock{ID: "b2", Kind: record.StillsBlock, Runs: slices.Repeat([]record.LessonRun{{RunID: runs["Joren"][0]}}, 7)}),
		"no such option": l.Set(record.LessonBlock{ID: "b2", Kind: record.CurveBlock, Curve: "dance"}),
	} {
		var faults record.Faults
		if _, err := app.ChangeLesson(ctx, copied, second.Seq, body); !errors.Is(err, ErrInput) && !errors.As(err, &faults) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// lessonFaces: a softened picture of a clip differs from the plain one inside the head alone, but
// for what JPEG does to the squares around it.
func lessonFaces(t *testing.T, app *App, start LessonStart) {
	ctx := t.Context()
	for _, run := range start.RunIDs {
		rc, err := app.store.RunWhole(ctx, run)
		if err != nil {
			t.Fatal(err)
		}
		m, _, err := app.measureKept(ctx, rc)
		if err != nil {
			t.Fatal(err)
		}
		p := LessonPicture{RunID: run, Kick: 2, Moving: true, Frame: len(m.frames) / 2}
		plain := StillsOptions{Swims: ToRight}
		soft := plain
		soft.Soften = true
		a, b := pictureOf(t, app, p, plain), pictureOf(t, app, p, soft)
		f, err := pictureSize(rc.Clip)
		if err != nil {
			t.Fatal(err)
		}
		framing := stillsFrame{Frame: f, whole: true}
		framing.mirror, _ = m.mirrors(ToRight)
		crop := m.crop(p.Frame, m.bodyLength(), framing)
		inside, outside := 0, 0
		for y := range a.Bounds().Dy() {
			for x := range a.Bounds().Dx() {
				switch differ := apart(a.At(x, y), b.At(x, y)); {
				case inHead(m.softAt(p.Frame), crop, float64(x), float64(y)):
					if differ > 8<<8 {
						inside++
					}
				case differ > 24<<8:
					outside++
				}
			}
		}
		if inside < 100 || outside > 0 {
			t.Errorf("%s: %d px differ in the head, %d outside", rc.Swimmer.Name, inside, outside)
		}
	}
}

// inHead reports whether a px of a clip's picture is in what is softened, or within the 16 px
// over which JPEG carries a difference.
func inHead(soft []Face, c drawing.Crop, x, y float64) bool {
	scale := lessonMovingPx / c.W
	for _, f := range soft {
		fx := (f.X - c.X) * scale
		if c.Mirror {
			fx = lessonMovingPx - fx
		}
		if math.Hypot(x-fx, y-(f.Y-c.Y)*scale) < f.R*scale+16 {
			return true
		}
	}
	return false
}

func apart(a, b color.Color) int {
	r1, g1, b1, _ := a.RGBA()
	r2, g2, b2, _ := b.RGBA()
	gap := func(x, y uint32) int { return max(int(x)-int(y), int(y)-int(x)) }
	return max(gap(r1, r2), gap(g1, g2), gap(b1, b2))
}

func pictureOf(t *testing.T, app *App, p LessonPicture, opt StillsOptions) image.Image {
	t.Helper()
	text, err := app.framed(t.Context(), p, opt)
	if err != nil {
		t.Fatal(err)
	}
	img, err := jpeg.Decode(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// lessonTemplates: every template makes a lesson that holds what it promises.
func lessonTemplates(t *testing.T, app *App, runs map[string][]string) {
	for _, template := range record.LessonTemplates() {
		start := LessonStart{Template: template, RunIDs: runs["Joren"][:2], Paper: record.Letter}
		if template == record.OneSwimmer {
			start.RunIDs = start.RunIDs[:1]
		}
		text, warnings := fileOf(t, app, made(t, app, start))
		stills := 4 * len(start.RunIDs)
		if template == record.OneSwimmer {
			stills = 8
		}
		warnings = slices.DeleteFunc(warnings, func(w string) bool { return strings.HasPrefix(w, "The head is not marked") })
		if n := strings.Count(text, "data:image"); n != stills || len(warnings) > 0 {
			t.Errorf("%s: %d pictures, want %d; warnings %q", template, n, stills, warnings)
		}
		for _, piece := range []string{`class="curve"`, `class="bar`, `class="card"`, "Shallow-water blackout"} {
			if !strings.Contains(text, piece) {
				t.Errorf("%s: no %s", template, piece)
			}
		}
		text = regexp.MustCompile(`data:[^"]*"`).ReplaceAllString(text, "")
		if strings.Contains(text, "NaN") || strings.Contains(text, "%!") || strings.Contains(text, `class="empty"`) {
			t.Errorf("%s: something is empty or broken", template)
		}
	}
}
